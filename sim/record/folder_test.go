package record_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"sunrill/sim/record"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func open(t *testing.T, dir string) *record.Folder {
	t.Helper()
	f, err := record.Open(dir, nil, record.Made("year", "Upper Meadow", nil))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFilesAppearOnlyWhenCommitted(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	f := open(t, dir)
	if err := f.Write("one.csv", text("1\n")); err != nil {
		t.Fatal(err)
	}
	if err := f.Write("charts/two.svg", text("<svg/>")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "one.csv")); err == nil {
		t.Error("one.csv is there before the commit")
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	f.Discard()
	if got := read(t, filepath.Join(dir, "charts", "two.svg")); got != "<svg/>" {
		t.Errorf("two.svg holds %q", got)
	}
	only(t, dir, "charts", "one.csv", record.ManifestName)
}

func TestFailureLeavesEarlierResults(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "results")
	if err := writeKind(dir, "old"); err != nil {
		t.Fatal(err)
	}
	f := open(t, dir)
	if err := f.Write("old.csv", text("new")); err != nil {
		t.Fatal(err)
	}
	full := func(w io.Writer) error {
		io.WriteString(w, "half a li")
		return &os.PathError{Op: "write", Path: "two.csv", Err: syscall.ENOSPC}
	}
	err := f.Write("two.csv", full)
	f.Discard()
	var we *record.WriteError
	if !errors.As(err, &we) || !strings.Contains(err.Error(), "disk is full") || !strings.Contains(err.Error(), dir) {
		t.Errorf("a full disk is told as %v", err)
	}
	isKind(t, dir, "old")
	only(t, filepath.Dir(dir), "results")
}

func TestStaleFoldersAreCleared(t *testing.T) {
	home := t.TempDir()
	// The process numbers of Linux end below this one.
	dead := filepath.Join(home, ".sunrill-partial-999999999-123")
	mine := filepath.Join(home, fmt.Sprintf(".sunrill-partial-%d-123", os.Getpid()))
	aside := filepath.Join(home, ".sunrill-old-999999999-other") // of a folder that is not asked for now
	for _, d := range []string{dead, mine, aside} {
		if err := os.MkdirAll(filepath.Join(d, "charts"), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	f := open(t, filepath.Join(home, "results"))
	f.Discard()
	if _, err := os.Stat(dead); err == nil {
		t.Error("what a dead process left is still there")
	}
	if _, err := os.Stat(mine); err != nil {
		t.Error("what a living process writes was cleared away")
	}
	if _, err := os.Stat(aside); err != nil {
		t.Error("the last good results of another folder were cleared away")
	}
}

// Only what this program wrote, and as it wrote it, is replaced; what is
// refused is told before any work and stays to the last byte.
func TestWhatIsNotOursStays(t *testing.T) {
	for name, c := range map[string]struct {
		put  func(t *testing.T, dir string) error
		says string
	}{
		"a letter": {func(t *testing.T, dir string) error {
			return os.WriteFile(filepath.Join(dir, "letter.txt"), nil, 0o666)
		}, "letter.txt"},
		"a letter in charts": {func(t *testing.T, dir string) error {
			return os.WriteFile(filepath.Join(dir, "charts", "a.svg"), nil, 0o666)
		}, "charts/a.svg"},
		"a folder": {func(t *testing.T, dir string) error { return os.MkdirAll(filepath.Join(dir, "data", "x"), 0o777) }, "data/"},
		"a changed result": {func(t *testing.T, dir string) error {
			return os.WriteFile(filepath.Join(dir, "old.csv"), []byte("dlo"), 0o666)
		}, "changed since they were written: old.csv"},
		"a link for a result": {func(t *testing.T, dir string) error {
			away := filepath.Join(t.TempDir(), "away.csv")
			if err := os.Rename(filepath.Join(dir, "old.csv"), away); err != nil {
				return err
			}
			return os.Symlink(away, filepath.Join(dir, "old.csv"))
		}, "did not write: old.csv"},
		"no manifest": {func(t *testing.T, dir string) error { return os.Remove(filepath.Join(dir, record.ManifestName)) }, "did not write: charts/, old.csv, report.html"},
		"another's manifest": {func(t *testing.T, dir string) error {
			return os.WriteFile(filepath.Join(dir, record.ManifestName), []byte("[1]"), 0o666)
		}, record.ManifestName},
		"a manifest that points out": {func(t *testing.T, dir string) error {
			return os.WriteFile(filepath.Join(dir, record.ManifestName), []byte(`{"command":"year","files":[{"name":"../x"}]}`), 0o666)
		}, record.ManifestName},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "results")
			if err := writeKind(dir, "old"); err != nil {
				t.Fatal(err)
			}
			if err := c.put(t, dir); err != nil {
				t.Skip(err)
			}
			before := all(t, dir)
			for what, err := range map[string]error{"Check": record.Check(dir, nil), "writing": writeKind(dir, "new")} {
				var fe *record.ForeignError
				if !errors.As(err, &fe) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), dir) {
					t.Errorf("%s: %v, want %q", what, err, c.says)
				}
			}
			if after := all(t, dir); after != before {
				t.Errorf("the folder held\n%s\nnow\n%s", before, after)
			}
			only(t, filepath.Dir(dir), "results")
		})
	}
}

// What is put there while a run works is found before it is replaced.
func TestWhatComesWhileItWorksStays(t *testing.T) {
	dir := t.TempDir()
	f := open(t, dir)
	defer f.Discard()
	if err := f.Write("days.csv", text("new")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "days.csv"), []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	var fe *record.ForeignError
	if err := f.Commit(); !errors.As(err, &fe) {
		t.Errorf("the commit says %v", err)
	}
	if got := read(t, filepath.Join(dir, "days.csv")); got != "mine" {
		t.Errorf("days.csv holds %q", got)
	}
}

// A file that was read is never in a folder that is replaced, whichever way
// the two are named.
func TestInputsStay(t *testing.T) {
	home := t.TempDir()
	dir := filepath.Join(home, "results")
	if err := writeKind(dir, "old"); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(home, "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Skip(err)
	}
	for _, out := range []string{dir, link} {
		for _, input := range []string{filepath.Join(dir, "old.csv"), filepath.Join(link, "old.csv")} {
			var fe *record.ForeignError
			if err := record.Check(out, []string{input}); !errors.As(err, &fe) || !strings.Contains(err.Error(), "old.csv, which was read") {
				t.Errorf("%s, read %s: %v", out, input, err)
			}
		}
		if err := record.Check(out, []string{filepath.Join(home, "old.csv")}); err != nil {
			t.Error(err)
		}
	}
	// Through a link the folder behind it is replaced, and the link stays.
	if err := writeKind(link, "new"); err != nil {
		t.Fatal(err)
	}
	isKind(t, dir, "new")
	only(t, home, "link", "results")
}

// The folder that a person stands in is not pulled away.
func TestFolderOneStandsIn(t *testing.T) {
	t.Chdir(t.TempDir())
	var fe *record.ForeignError
	if err := record.Check(".", nil); !errors.As(err, &fe) || !strings.Contains(err.Error(), "stand in") {
		t.Error(err)
	}
	if err := writeKind("results", "new"); err != nil {
		t.Fatal(err)
	}
	isKind(t, "results", "new")
}

// A look leaves nothing behind, nor does it make the folder.
func TestCheckLeavesNothing(t *testing.T) {
	home := t.TempDir()
	if err := record.Check(filepath.Join(home, "a", "b", "c"), nil); err != nil {
		t.Fatal(err)
	}
	only(t, home)
}

// all is what a folder holds, in one text.
func all(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			fmt.Fprintln(&b, path)
			return err
		}
		data, err := os.ReadFile(path)
		fmt.Fprintf(&b, "%s %v %q\n", path, e.Type(), data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestUnwritableFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := record.Open(filepath.Join(file, "out"), nil, record.Made("year", "Upper Meadow", nil))
	var we *record.WriteError
	if !errors.As(err, &we) || !strings.Contains(err.Error(), "--out") {
		t.Errorf("a folder below a file: %v", err)
	}
}

// only checks the names in a folder.
func only(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

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
	f, err := record.Open(dir)
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
	only(t, dir, "charts", "one.csv")
}

func TestFailureLeavesEarlierResults(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "one.csv"), []byte("old"), 0o666); err != nil {
		t.Fatal(err)
	}
	f := open(t, dir)
	if err := f.Write("one.csv", text("new")); err != nil {
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
	if got := read(t, filepath.Join(dir, "one.csv")); got != "old" {
		t.Errorf("the earlier result now holds %q", got)
	}
	only(t, dir, "one.csv")
}

func TestStaleFoldersAreCleared(t *testing.T) {
	dir := t.TempDir()
	// The process numbers of Linux end below this one.
	dead := filepath.Join(dir, ".sunrill-partial-999999999-123")
	mine := filepath.Join(dir, fmt.Sprintf(".sunrill-partial-%d-123", os.Getpid()))
	for _, d := range []string{dead, mine} {
		if err := os.MkdirAll(filepath.Join(d, "charts"), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	f := open(t, dir)
	f.Discard()
	if _, err := os.Stat(dead); err == nil {
		t.Error("what a dead process left is still there")
	}
	if _, err := os.Stat(mine); err != nil {
		t.Error("what a living process writes was cleared away")
	}
}

func TestUnwritableFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := record.Open(filepath.Join(file, "out"))
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

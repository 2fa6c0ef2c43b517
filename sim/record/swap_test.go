package record_test

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"sunrill/sim/record"
)

// TestMain lets the test binary be a process that dies while it puts results
// in place.
func TestMain(m *testing.M) {
	if os.Args[0] == "dies" {
		dies(os.Args[1:])
	}
	os.Exit(m.Run())
}

// dies writes results of a kind into a folder, and dies before the n-th change.
func dies(args []string) {
	dir, kind := args[0], args[1]
	n, _ := strconv.Atoi(args[2])
	if args[3] == "two renames" {
		record.WithoutExchange()
	}
	record.DieAt(n, func(what string) {
		fmt.Println(what)
		os.Exit(9)
	})
	if err := writeKind(dir, kind); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(0)
}

// writeKind writes two files that both runs have and one that only this has.
func writeKind(dir, kind string) error {
	f, err := record.Open(dir, nil, record.Made("year", kind, nil))
	if err != nil {
		return err
	}
	defer f.Discard()
	for _, name := range []string{"report.html", "charts/soc.svg", kind + ".csv", "charts/" + kind + ".svg"} {
		if err := f.Write(name, text(kind)); err != nil {
			return err
		}
	}
	return f.Commit()
}

// isKind tells whether a folder has the results of a kind and no others.
func isKind(t *testing.T, dir, kind string) {
	t.Helper()
	only(t, dir, strings.Fields("charts "+kind+".csv report.html "+record.ManifestName)...)
	only(t, filepath.Join(dir, "charts"), orderly(kind+".svg", "soc.svg")...)
	for _, name := range []string{"report.html", "charts/soc.svg", kind + ".csv", "charts/" + kind + ".svg"} {
		if got := read(t, filepath.Join(dir, filepath.FromSlash(name))); got != kind {
			t.Errorf("%s is of %q, want %q", name, got, kind)
		}
	}
}

func orderly(a, b string) []string {
	if a < b {
		return []string{a, b}
	}
	return []string{b, a}
}

// A run that dies before any of the changes leaves one of the two runs'
// results, whole; the next run clears away what it left.
func TestDeathAtEveryChange(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Skip(err)
	}
	for how, changes := range map[string]map[string]string{
		// which results stand in the folder after a death before each change
		"one step":    {"exchange": "old", "clear": "new"},
		"two renames": {"exchange": "old", "set aside": "old", "put in place": "", "clear": "new"},
	} {
		t.Run(how, func(t *testing.T) {
			met := map[string]bool{}
			for n := 1; ; n++ {
				dir := filepath.Join(t.TempDir(), "results")
				if err := writeKind(dir, "old"); err != nil {
					t.Fatal(err)
				}
				cmd := &exec.Cmd{Path: program, Args: []string{"dies", dir, "new", strconv.Itoa(n), how}}
				out, err := cmd.Output()
				if err == nil {
					break // there are no more changes
				}
				var exit *exec.ExitError
				what := strings.TrimSpace(string(out))
				if !errors.As(err, &exit) || exit.ExitCode() != 9 {
					t.Fatalf("%v: %s", err, what)
				}
				if how == "one step" && what == "set aside" {
					t.Skip("this system cannot swap folders in one step")
				}
				met[what] = true
				if want := changes[what]; want != "" {
					isKind(t, dir, want)
				} else if _, err := os.Stat(dir); err == nil {
					t.Errorf("before %q the folder is there", what)
				}
				// The next look puts back what was set aside.
				if err := record.Check(dir, nil); err != nil {
					t.Fatalf("after a death before %q: %v", what, err)
				}
				if want := changes[what]; want != "" {
					isKind(t, dir, want)
				} else {
					isKind(t, dir, "old")
				}
				if err := writeKind(dir, "next"); err != nil {
					t.Fatalf("after a death before %q: %v", what, err)
				}
				isKind(t, dir, "next")
				only(t, filepath.Dir(dir), "results")
			}
			if len(met) != len(changes) {
				t.Errorf("it died before %v", met)
			}
		})
	}
}

// A folder that cannot be moved leaves the earlier results, all of them.
func TestFolderThatCannotBeReplaced(t *testing.T) {
	for _, at := range []string{"set aside", "put in place"} {
		dir := filepath.Join(t.TempDir(), "results")
		if err := writeKind(dir, "old"); err != nil {
			t.Fatal(err)
		}
		restore := record.FailAt(at)
		err := writeKind(dir, "new")
		restore()
		var we *record.WriteError
		if !errors.As(err, &we) || !strings.Contains(err.Error(), "earlier results are untouched") {
			t.Errorf("%s: %v", at, err)
		}
		isKind(t, dir, "old")
		only(t, filepath.Dir(dir), "results")
	}
}

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Inside a site folder a command without SITE runs that one, and says so;
// elsewhere it runs the built-in one, and says so.
func TestCommandInsideASiteFolder(t *testing.T) {
	t.Parallel()
	here, elsewhere := folderOf(t, smallSite()), t.TempDir()
	for dir, says := range map[string][2]string{here: {"using the one that you are in", "Drawn at random"}, elsewhere: {"using the invented homestead that is built in", "Alder Bend"}} {
		for _, line := range []string{"check", "year --draws 1"} {
			cmd, out, errOut := process(t, dir, strings.Fields(line)...)
			if err := cmd.Run(); err != nil {
				t.Fatalf("%v: %s", err, errOut)
			}
			for _, want := range says {
				if !strings.Contains(flat(out.String()), want) {
					t.Errorf("%s: it does not say %q: %.400s", line, want, out)
				}
			}
		}
	}
	// What is wrong with it is told of it.
	put(t, filepath.Join(here, "loads.csv"), "name,watts,hours\nlights,eight,6-8\n")
	cmd, out, errOut := process(t, here, "year")
	if err := cmd.Run(); cmd.ProcessState.ExitCode() != exitBadInput || !strings.Contains(errOut.String(), "loads.csv:2:8") || !strings.Contains(out.String(), "that you are in") {
		t.Errorf("%v: %s%s", err, out, errOut)
	}
}

// An empty folder, the one that a person is in among them, becomes a site with
// the rights that it had.
func TestNewInTheFolderThatOneIsIn(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o750); err != nil {
		t.Fatal(err)
	}
	cmd, _, errOut := process(t, dir, "new", ".")
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %s", err, errOut)
	}
	if info, err := os.Stat(dir); err != nil || info.Mode().Perm() != 0o750 {
		t.Errorf("its rights are %v", info.Mode())
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) > 0 {
		t.Errorf("it holds %v", left)
	}
	cmd, _, errOut = process(t, dir, "check")
	if err := cmd.Run(); err != nil {
		t.Errorf("%v: %s", err, errOut)
	}
	cmd, _, errOut = process(t, dir, "new", ".")
	if err := cmd.Run(); err == nil || !strings.Contains(errOut.String(), "not empty") {
		t.Errorf("a second time: %v: %s", err, errOut)
	}
}

// The day of opening is no day of closing, whoever says so.
func TestOpenOnTheDayOfClosing(t *testing.T) {
	t.Parallel()
	for _, line := range []string{"year --open 11-05 --close 11-05", "year --open 04-25"} { // the built-in site closes on that day
		_, errOut, code := sunrill(t, append(strings.Fields(line), "--out", filepath.Join(t.TempDir(), "out"))...)
		if code != exitUsage || !strings.Contains(errOut, "on the day of opening") {
			t.Errorf("%s: exit code %d: %s", line, code, errOut)
		}
	}
}

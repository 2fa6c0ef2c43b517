package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestReadmeCommands runs every command line of the README, in a temporary
// folder and in the README's order, and wants each to end well.
func TestReadmeCommands(t *testing.T) {
	t.Parallel()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, "prcp.csv"), read(t, "testdata/prcp.csv"))
	// The table speaks of a folder that "new" has made before.
	ran := 0
	for _, args := range readmeCommands(string(readme)) {
		name := strings.Join(args, " ")
		if args[0] == "live" { // which would go on
			out := liveIn(t, dir, args...)
			if !strings.Contains(out, "The page is at") {
				t.Errorf("sunrill %s printed %q", name, out)
			}
			ran++
			continue
		}
		// How many draws an answer rests on changes its range, not whether the
		// command runs; the command of the first block is run as it stands.
		at := slices.IndexFunc(commands(), func(c command) bool { return c.name == args[0] })
		if ran > 0 && at >= 0 && commands()[at].groups&withDraws != 0 {
			args = append(args, "--draws", "3")
		}
		out, errOut, code := sunrillIn(t, dir, args...)
		if args[0] == "new" { // three years of its record are enough here
			shortenRecord(t, filepath.Join(dir, "my-place", "site.toml"))
		}
		if code != exitOK {
			t.Errorf("sunrill %s: exit code %d\n%s", name, code, errOut)
		}
		if out == "" {
			t.Errorf("sunrill %s printed nothing", name)
		}
		ran++
	}
	if ran < 15 {
		t.Errorf("found only %d commands in the README", ran)
	}
	if _, err := os.Stat(filepath.Join(dir, "sunrill-out", "report.html")); err != nil {
		t.Error("the README sends its reader to sunrill-out/report.html, which is not there")
	}
}

// shortenRecord has a site run its last water years only.
func shortenRecord(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if os.IsNotExist(err) {
		return
	}
	if err == nil && !strings.Contains(string(data), "first = ") {
		err = os.WriteFile(path, []byte(strings.Replace(string(data), "[year]\n", "[year]\nfirst = 2016\n", 1)), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// liveIn runs the page's program until it serves, and ends it with Ctrl-C.
func liveIn(t *testing.T, dir string, args ...string) string {
	t.Helper()
	cmd, out, errOut := process(t, dir, append(args, "--no-browser")...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if len(args) > 1 {
		mark := filepath.Join(dir, args[1]+".live")
		for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
			if link, _ := os.ReadFile(mark); len(link) > 0 {
				break
			}
		}
	} else { // the built-in site leaves no mark
		time.Sleep(3 * time.Second)
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("%v: %v %s", args, err, errOut)
	}
	return out.String()
}

// readmeCommands finds the command lines: those of the code blocks, in full,
// and those in the table and the text, between backquotes.
func readmeCommands(text string) [][]string {
	var all [][]string
	add := func(line string) {
		line, _, _ = strings.Cut(line, "#")
		all = append(all, strings.Fields(line))
	}
	code := false
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "```") {
			code = !code
			continue
		}
		if rest, ok := strings.CutPrefix(line, "go run ./cmd/sunrill "); ok && code {
			add(rest)
		}
		if !code {
			for i, part := range strings.Split(line, "`") {
				if rest, ok := strings.CutPrefix(part, "sunrill "); ok && i%2 == 1 {
					add(rest)
				}
			}
		}
	}
	return all
}

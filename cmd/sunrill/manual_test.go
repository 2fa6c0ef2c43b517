package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestManual runs every command of the package doc, one after the other in one
// temporary folder, and holds the output against what stands below it. A line
// of three dots stands for lines that are left out. With -update the doc is
// written anew, with as many lines before and after the dots as it had.
func TestManual(t *testing.T) {
	t.Parallel()
	const name = "doc.go"
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	put(t, filepath.Join(home, "prcp.csv"), read(t, "testdata/prcp.csv"))
	var doc strings.Builder
	shown := map[string]bool{}
	lines := strings.Split(string(text), "\n")
	for i := 0; i < len(lines); i++ {
		doc.WriteString(lines[i] + "\n")
		line, ok := strings.CutPrefix(lines[i], "//\t$ sunrill ")
		if !ok {
			continue
		}
		var block []string
		for i+1 < len(lines) && (strings.HasPrefix(lines[i+1], "//\t") || lines[i+1] == "//" && i+2 < len(lines) && strings.HasPrefix(lines[i+2], "//\t")) && !strings.HasPrefix(lines[i+1], "//\t$ ") {
			i++
			block = append(block, strings.TrimPrefix(strings.TrimPrefix(lines[i], "//"), "\t"))
		}
		args := strings.Fields(line)
		shown[args[0]] = true
		out, errOut, code := sunrillIn(t, home, args...)
		if code != exitOK {
			t.Errorf("sunrill %s: exit code %d: %s", line, code, errOut)
		}
		got := shorten(strings.Split(strings.TrimRight(out, "\n"), "\n"), block)
		for _, l := range got {
			doc.WriteString(strings.TrimRight("//\t"+l, "\t ") + "\n")
		}
		if g, want := strings.Join(got, "\n"), strings.Join(block, "\n"); g != want && !*update {
			t.Errorf("sunrill %s prints\n%s\nthe manual says\n%s\n(go test ./cmd/sunrill -update takes it over)", line, g, want)
		}
	}
	for _, c := range commands() {
		if !shown[c.name] && !strings.Contains(string(text), "//\tsunrill "+c.name) && c.name != "version" {
			t.Errorf("the manual does not show %q", c.name)
		}
	}
	if *update && !t.Failed() {
		put(t, name, strings.TrimRight(doc.String(), "\n")+"\n")
	}
}

// shorten leaves as many lines at the beginning and the end as the manual has
// before and after its dots, and takes spaces off the lines' ends.
func shorten(lines, manual []string) []string {
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	for i, l := range manual {
		if end := len(manual) - i - 1; l == "..." && i+end < len(lines) {
			return append(append(append([]string{}, lines[:i]...), "..."), lines[len(lines)-end:]...)
		}
	}
	return lines
}

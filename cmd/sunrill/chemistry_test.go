package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/sim/site"
	"sunrill/storage"
)

// All that is told apart by the kind of cells stands in its row: outside of the
// table no code has a chemistry's name.
func TestChemistriesAreRows(t *testing.T) {
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || path == filepath.Join(root, "storage", "preset.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if text, err := strconv.Unquote(lit.Value); err == nil && slices.Contains(storage.Chemistries(), text) {
					t.Errorf("%s: the name %q belongs into its row of storage/preset.go", set.Position(lit.Pos()), text)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A site with another chemistry is told of that one alone, in the report and on
// the terminal.
func TestReportSpeaksOfItsOwnCells(t *testing.T) {
	for chemistry, words := range map[string]struct{ says, not string }{
		"nickel-iron": {`Hydrogen and lye`, `(?i)lead[- ]acid|\bacid|lithium|sulphat|flooded|equalis`},
		"agm":         {`Hydrogen and acid`, `(?i)\blye\b|lithium|nickel|equalis`},
		"lfp":         {`Cold lithium cells`, `(?i)lead[- ]acid|\bacid|sulphat|hydrogen|nickel|equalis`},
	} {
		dir := filepath.Join(t.TempDir(), "home")
		if err := site.WriteNew(dir, nil, false); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "site.toml")
		toml, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		// Its own values go with the chemistry that it had.
		lines := strings.Split(string(toml), "\n")
		bank := false
		for i, l := range lines {
			bank = l == "[bank]" || bank && !strings.HasPrefix(l, "[")
			key, _, _ := strings.Cut(l, " ")
			switch {
			case !bank:
			case key == "chemistry":
				lines[i] = `chemistry = "` + chemistry + `"`
			case key != "capacity" && key != "voltage" && !strings.HasPrefix(l, "["):
				lines[i] = ""
			}
		}
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o666); err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(t.TempDir(), "out")
		code, said, errOut := sunrillTo(t, "year", dir, "--draws", "1", "--out", out)
		if code != exitOK {
			t.Fatalf("%s: exit %d: %s", chemistry, code, errOut)
		}
		page, err := os.ReadFile(filepath.Join(out, "report.html"))
		if err != nil {
			t.Fatal(err)
		}
		code, checked, errOut := sunrillTo(t, "check", dir)
		if code != exitOK {
			t.Fatalf("%s: exit %d: %s", chemistry, code, errOut)
		}
		all := said + string(page) + checked
		if !strings.Contains(all, words.says) {
			t.Errorf("%s: nothing says %q", chemistry, words.says)
		}
		for _, at := range regexp.MustCompile(words.not).FindAllStringIndex(all, 5) {
			t.Errorf("%s: it says %q", chemistry, all[max(0, at[0]-60):min(len(all), at[1]+40)])
		}
	}
}

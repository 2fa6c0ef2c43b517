package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

// shapes are the packages beside the command that own a shape of JSON: sim/record
// alone, since results are facts, and how they stand in a file is another matter.
var shapes = map[string]bool{"sim/record": true}

// No package of sim but those names a field of JSON, nor does any leaf.
func TestResultsAreFacts(t *testing.T) {
	const root = "../.."
	files, tags := 0, map[string]int{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && (d.Name() == "cmd" || d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && path != root) {
			return filepath.SkipDir
		}
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		ast.Inspect(f, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok || field.Tag == nil {
				return true
			}
			text, err := strconv.Unquote(field.Tag.Value)
			if err != nil {
				t.Fatal(err)
			}
			if _, is := reflect.StructTag(text).Lookup("json"); is {
				tags[name]++
				if !shapes[name] {
					t.Errorf("%s: a field of JSON; the shapes of files belong to sim/record", set.Position(field.Pos()))
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 50 || tags["sim/record"] < 50 {
		t.Errorf("%d files and %d fields of JSON in sim/record: this test looks past them", files, tags["sim/record"])
	}
}

package site_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/sim/files"
	"sunrill/sim/site"
)

// Each folder of testdata/bad is refused with the messages of its
// expected.txt, all of them at once and in this order.
func TestBadFolders(t *testing.T) {
	dirs, err := filepath.Glob("../../testdata/bad/*")
	if err != nil || len(dirs) < 24 {
		t.Fatalf("%d bad folders, %v", len(dirs), err)
	}
	for _, dir := range dirs {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			s, err := site.Load(dir, site.Options{})
			var ps files.Problems
			if !errors.As(err, &ps) || s != nil {
				t.Fatalf("it is taken: %v", err)
			}
			got := err.Error() + "\n"
			for _, p := range ps {
				if strings.ContainsAny(p.What+p.Hint, "\n") || p.What == "" {
					t.Errorf("a message of more than its lines: %q", p)
				}
				for _, word := range []string{"strconv", "float64", "int64", "interface", "map[", "site.", "<nil>", "%!", "Go "} {
					if strings.Contains(strings.ReplaceAll(p.What, "site.toml", ""), word) {
						t.Errorf("it speaks of the program's inside: %s", p.What)
					}
				}
			}
			path := filepath.Join(dir, "expected.txt")
			if *update {
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("it says\n%s\nwant\n%s", got, want)
			}
		})
	}
}

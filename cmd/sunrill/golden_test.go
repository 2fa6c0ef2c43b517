package main

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write what the program prints now into testdata and the manual")

// What a few command lines print, word for word: testdata/NAME.stdout or
// NAME.stderr. The rest of what the program prints is tested by the manual in
// doc.go and by the numbers in it.
func TestGolden(t *testing.T) {
	for name, line := range map[string]string{
		"help.stdout":            "--help",
		"year-help.stdout":       "year --help",
		"no-command.stderr":      "",
		"unknown-command.stderr": "yaer",
		"unknown-flag.stderr":    "year --yaers all",
		"missing-value.stderr":   "year --out",
		"no-site.stderr":         "check nowhere",
		"bad-site.stderr":        "check ../../testdata/bad/out-of-range",
		"reckon.stdout":          "reckon --head 40m --flow 2L/s --length 250m --bore 50mm",
		"gauge.stdout":           "gauge weir --notch 90 --height 12cm",
	} {
		t.Run(name, func(t *testing.T) {
			out, errOut, _ := sunrill(t, strings.Fields(line)...)
			got, other := out, errOut
			if strings.HasSuffix(name, ".stderr") {
				got, other = errOut, out
			}
			if other != "" {
				t.Errorf("it prints on the other channel as well: %s", other)
			}
			path := filepath.Join("testdata", name)
			if *update {
				put(t, path, got)
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("it prints\n%s\nwant\n%s\n(go test ./cmd/sunrill -update takes it over)", got, want)
			}
		})
	}
}

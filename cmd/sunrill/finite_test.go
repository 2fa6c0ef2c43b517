package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// noNumber is how a number that is none shows in texts, tables and pictures; in
// base64, which pictures may hold, it can stand by chance between letters.
var noNumber = regexp.MustCompile(`\bNaN\b|[+-]Inf\b|\bInf\b|\+,Inf|∞`)

// Whatever the site, no study draws or writes what is no number, and all charts are
// drawn: over sites with a generator or a disconnect, whose unmet hours do not
// fall steadily with the bank, over banks that begin the year at their floor, and
// over appliances with names of a hundred letters.
func TestEveryStudyIsFinite(t *testing.T) {
	sites := rapid.Custom(func(t *rapid.T) *drawnSite { return drawSite(t, false) })
	for _, seed := range []int{21, 22, 23, 24, 25, 26} {
		d := sites.Example(seed)
		if seed%2 == 0 && d.generatorW == 0 {
			d.generatorW, d.generatorStart, d.generatorStop = 500, 0.6, 0.8
		}
		if seed%3 == 0 {
			d.bank.start = 0.5
		}
		t.Run(fmt.Sprint("site ", seed), func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "site")
			if err := d.write(dir, false); err != nil {
				t.Fatal(err)
			}
			loads := filepath.Join(dir, "loads.csv")
			if rows, err := os.ReadFile(loads); err == nil {
				header, _, _ := strings.Cut(string(rows), "\n")
				cells := strings.Split(header, ",")
				for i, name := range cells {
					cells[i] = map[string]string{"name": strings.Repeat("Würzburg ", 12), "watts": "30", "count": "1", "hours": "17-22"}[strings.TrimSpace(name)]
				}
				if err := os.WriteFile(loads, append(rows, []byte(strings.Join(cells, ",")+"\n")...), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			for _, line := range []string{"year --years all --draws 4", "changeover --draws 4", "bank --arrays --draws 4", "drywinter --made-up 3 --factors 0.5 --weeks 4 --draws 4", "worth --made-up 3 --draws 4"} {
				out := filepath.Join(t.TempDir(), "out")
				args := append(strings.Fields(line), dir, "--out", out)
				printed, errOut, code := sunrill(t, args...)
				if code != exitOK {
					if !strings.Contains(errOut, "the site has no hydro") && !strings.Contains(errOut, "needs a site with panels") {
						t.Errorf("%s: exit code %d: %s", line, code, errOut)
					}
					continue
				}
				all := printed + folderText(t, out)
				for _, at := range noNumber.FindAllStringIndex(all, 3) {
					t.Errorf("%s: no number: …%s…", line, all[max(0, at[0]-160):min(len(all), at[1]+20)])
				}
			}
		})
	}
}

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A winter that is not over can be run up to where the record ends, is told
// where years are run, and is mixed into none of them.
func TestYearsReachTheUnfinishedSeason(t *testing.T) {
	dir := folderOf(t, smallSite())
	rain := filepath.Join(dir, "rain.csv")
	data, err := os.ReadFile(rain)
	if err != nil {
		t.Fatal(err)
	}
	head, _, found := strings.Cut(string(data), "\n2015-01-01")
	if !found {
		t.Fatal("the record has no 1 January 2015")
	}
	put(t, rain, head+"\n")
	out := t.TempDir()
	var got struct {
		From, To   string
		Hours      int
		Unfinished bool
		Over       struct{ Years int } `json:"over_years"`
	}
	for spec, want := range map[string]string{"running": "2014-12-31", "2014": "2014-12-31", "2013": "2014-09-30", "all": "2014-09-30"} {
		text, errOut, code := sunrill(t, "year", dir, "--years", spec, "--draws", "1", "--json", "--out", out)
		if code != exitOK {
			t.Fatalf("--years %s: exit %d: %s", spec, code, errOut)
		}
		got.Unfinished, got.Over.Years = false, 0
		if err := json.Unmarshal([]byte(text), &got); err != nil {
			t.Fatal(err)
		}
		if got.To != want || got.Unfinished != (want == "2014-12-31") || got.Over.Years != 1 {
			t.Errorf("--years %s: to %s (want %s), unfinished %v, over %d years", spec, got.To, want, got.Unfinished, got.Over.Years)
		}
	}
	for spec, says := range map[string]string{
		"2013-2014": "the water year 2014 is not over, the records end on 31 December 2014",
		"2015":      "the record holds complete water years from 2013 to 2013",
	} {
		if _, errOut, code := sunrill(t, "year", dir, "--years", spec, "--out", out); code != exitUsage || !strings.Contains(errOut, says) {
			t.Errorf("--years %s: exit %d, %q; want %q", spec, code, errOut, says)
		}
	}
	if _, errOut, code := sunrill(t, "bank", dir, "--years", "2014", "--out", out); code != exitUsage || !strings.Contains(errOut, "is not over") {
		t.Errorf("bank: exit %d, %q", code, errOut)
	}
	if _, errOut, code := sunrill(t, "year", "--years", "running", "--out", out); code != exitUsage || !strings.Contains(errOut, "no week beyond the last whole water year, which ended on 30 September 2019") {
		t.Errorf("a record of whole years: exit %d, %q", code, errOut)
	}
}

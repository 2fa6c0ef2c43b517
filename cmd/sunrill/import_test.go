package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A newcomer with a US gauge's export and a form to fill in: one command in
// place of six rounds of editing, and the site reads what it wrote.
func TestImportIntoANewSite(t *testing.T) {
	dir := newSite(t)
	before := read(t, filepath.Join(dir, "rain.csv"))
	toml := read(t, filepath.Join(dir, "site.toml"))
	_, errOut, code := sunrill(t, "import", "testdata/prcp.csv", "--site", dir)
	if code != exitBadInput || !strings.Contains(errOut, "is there already; nothing was written") || !strings.Contains(errOut, "--replace") {
		t.Errorf("over a file without leave: exit code %d: %s", code, errOut)
	}
	if read(t, filepath.Join(dir, "rain.csv")) != before {
		t.Error("it wrote over rain.csv")
	}
	out, errOut, code := sunrill(t, "import", "testdata/prcp.csv", "--site", dir, "--replace")
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	for _, want := range []string{
		"the header on line 4", "month, day, year", "line 17 has 10/13/2016", "rain is in inches", "the header says so", "trace", "M (7 times)", "1.4 of the 7 days to 2017-04-25",
		"By year", "By month", "Wettest day", "2 gaps, 7 days in all", "unknown, not 0", "rain.old.csv", "sunrill check",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if read(t, filepath.Join(dir, "rain.old.csv")) != before {
		t.Error("the old rain.csv is not kept as it was")
	}
	if read(t, filepath.Join(dir, "site.toml")) != toml {
		t.Error("site.toml is changed")
	}
	// The gap of six days has to be told; then the record runs.
	if _, errOut, code = sunrill(t, "check", dir); code != exitBadInput || !strings.Contains(errOut, "rain_in is not known of the 6 days before this row (2017-07-28 to 2017-08-02)") {
		t.Errorf("exit code %d: %s", code, errOut)
	}
	put(t, filepath.Join(dir, "site.toml"), strings.Replace(toml, "[rain]\n", "[rain]\ngaps = \"fill\"\n", 1))
	if _, errOut, code = sunrill(t, "check", dir); code != exitOK {
		t.Errorf("exit code %d: %s", code, errOut)
	}
}

func TestImportAsJSON(t *testing.T) {
	out, errOut, code := sunrill(t, "import", "testdata/prcp.csv", "--json")
	var r struct {
		Kind, Unit, From, To string
		Years, Months        []struct{ Value float64 }
		Gaps                 []struct{ From, To string }
		Written              []string
	}
	if code != exitOK || json.Unmarshal([]byte(out), &r) != nil {
		t.Fatalf("exit code %d: %s\n%s", code, errOut, out)
	}
	if r.Kind != "rain" || r.Unit != "in" || r.From != "2016-10-01" || r.To != "2018-09-30" || len(r.Years) != 3 || len(r.Months) != 12 || len(r.Gaps) != 2 || len(r.Written) != 0 {
		t.Errorf("%+v", r)
	}
}

func TestImportRefusals(t *testing.T) {
	dir := t.TempDir()
	odd := filepath.Join(dir, "odd.csv")
	put(t, odd, "Date,Rain\n5/10/2016,1\n8/11/2016,2\n")
	for line, want := range map[string]struct {
		code int
		says string
	}{
		"import":                                      {exitUsage, "needs the files to read"},
		"import nowhere.csv":                          {exitBadInput, "nowhere.csv: cannot be read"},
		"import " + dir:                               {exitBadInput, "is a folder"},
		"import " + odd:                               {exitBadInput, "--dates dmy or --dates mdy"},
		"import " + odd + " --dates dmy":              {exitBadInput, "--unit mm or --unit in"},
		"import " + odd + " --dates european":         {exitUsage, "none of dmy, mdy, ymd"},
		"import " + odd + " --as wind":                {exitUsage, "none of rain, sun"},
		"import " + odd + " --replace":                {exitUsage, "--replace goes with --site"},
		"import " + odd + " --column rain":            {exitUsage, "is no pair"},
		"import " + odd + " --dates dmy --unit hours": {exitBadInput, "is no unit of rain"},
		"import " + odd + " --site " + dir:            {exitBadInput, "is no site folder"},
	} {
		_, errOut, code := sunrill(t, strings.Fields(line)...)
		if code != want.code || !strings.Contains(errOut, want.says) {
			t.Errorf("sunrill %s: exit code %d: %s\nwant %d: %s", line, code, errOut, want.code, want.says)
		}
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("files are left behind: %v", left)
	}
}

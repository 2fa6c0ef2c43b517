package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sunrill/cmd/sunrill/live"
)

// dataSite lays a site with a page on it.
func dataSite(t *testing.T) (dir string, p *livePage) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "place")
	if code, _, errOut := sunrillTo(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	return dir, &livePage{folder: dir, draws: fewDraws}
}

// filesIn are the files of a folder.
func filesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(data)
	}
	return all
}

func dropped(t *testing.T, name, content string, settings ...string) live.Dropped {
	t.Helper()
	body, err := json.Marshal(map[string]any{"Files": []map[string]any{{"Name": name, "Data": []byte(content)}}, "Settings": settings})
	if err != nil {
		t.Fatal(err)
	}
	var in live.Dropped
	if err := json.Unmarshal(body, &in); err != nil {
		t.Fatal(err)
	}
	return in
}

// problems are what the owner is told.
func problems(err error) string {
	var p live.Problem
	if errors.As(err, &p) {
		return p.Error()
	}
	return ""
}

// aRecord is a record of rain as a weather service might give it, in inches, by
// the calendar of the built-in one, twice as wet in every November.
func aRecord(t *testing.T, dir string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "rain.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("Station: 12 Mill Lane\nDay;Precipitation (in)\n")
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		var year, month, day int
		var mm float64
		if n, _ := fmt.Sscanf(line, "%d-%d-%d,%f", &year, &month, &day, &mm); n != 4 {
			continue
		}
		if month == 11 {
			mm *= 2
		}
		fmt.Fprintf(&b, "%d/%d/%d;%.3f\n", month, day, year, mm/25.4)
	}
	return b.String()
}

// A dropped file becomes what the import command makes of it, and the site's
// files change only when they are written.
func TestLiveImport(t *testing.T) {
	dir, p := dataSite(t)
	before := filesIn(t, dir)
	record := aRecord(t, dir)
	c, err := p.Import(context.Background(), dropped(t, "../../../evil/prcp.csv", record))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(c.Said, "a record of rain") || !strings.Contains(c.Said, "month, day, year") {
		t.Errorf("it says:\n%s", c.Said)
	}
	year := func(settings []string) string {
		t.Helper()
		a, err := p.Ask(context.Background(), live.Asked{Question: "year", Settings: settings})
		if err != nil {
			t.Fatal(err)
		}
		return a.Headline
	}
	if year(nil) == year(c.Settings) {
		t.Error("another record gives the same answer")
	}
	if now := filesIn(t, dir); !mapsEqual(now, before) {
		t.Error("the site's files changed before they were written")
	}
	// The same by the commands.
	other := filepath.Join(t.TempDir(), "other")
	file := filepath.Join(t.TempDir(), "prcp.csv")
	if code, _, errOut := sunrillTo(t, "new", other); code != exitOK {
		t.Fatal(errOut)
	}
	if err := os.WriteFile(file, []byte(record), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := sunrillTo(t, "import", file, "--site", other, "--replace"); code != exitOK {
		t.Fatal(errOut)
	}
	lines, err := p.Difference(c.Settings)
	if err != nil || len(lines) == 0 || !strings.HasPrefix(lines[0], "rain.csv: ") {
		t.Fatal(lines, err)
	}
	if w, err := p.Write(c.Settings, ""); err != nil || !strings.Contains(w.Said, "rain.csv.before-1") {
		t.Fatal(w, err)
	}
	now := filesIn(t, dir)
	_, rows, _ := strings.Cut(now["rain.csv"], "\n") // below the line that names the file
	if _, want, _ := strings.Cut(filesIn(t, other)["rain.csv"], "\n"); rows != want || now["rain.csv.before-1"] != before["rain.csv"] || now["site.toml"] != before["site.toml"] {
		t.Errorf("what was written is not what the import command writes, or the old is not kept: %.200s", now["rain.csv"])
	}

	// What the file does not tell is asked for, in the page's words.
	if _, err := p.Import(context.Background(), dropped(t, "x.csv", "date,rain\n2016-10-01,0.5\n2016-10-02,0\n")); !strings.Contains(problems(err), "unit: mm") {
		t.Errorf("%q", err)
	}
	in := dropped(t, "x.csv", "a")
	in.Dates = "yesterday"
	if _, err := p.Import(context.Background(), in); !strings.Contains(problems(err), "dates") {
		t.Errorf("%q", err)
	}
	for _, junk := range []string{"", "\x00\x01\x02", "PK\x03\x04", strings.Repeat("\"", 999), "<html><script>alert(1)</script>"} {
		if _, err := p.Import(context.Background(), dropped(t, "junk.csv", junk)); problems(err) == "" {
			t.Errorf("%q: %v", junk, err)
		}
	}
}

func mapsEqual(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for k, v := range a {
		if w, ok := b[k]; !ok || v != w {
			return false
		}
	}
	return true
}

func TestLiveSheets(t *testing.T) {
	dir, p := dataSite(t)
	for _, q := range p.Sheets() {
		s, err := p.Sheet(q.Name, nil)
		if err != nil || len(s.Head) < 2 || len(s.Rows) == 0 {
			t.Fatalf("%s: %v %v", q.Name, s, err)
		}
		// As it stands it may be taken, and says nothing new.
		c, err := p.Edit(q.Name, s.Head, s.Rows, nil)
		if err != nil {
			t.Errorf("%s: %v", q.Name, err)
			continue
		}
		lines, err := p.Difference(c.Settings)
		if err != nil {
			t.Errorf("%s: %v", q.Name, err)
		}
		for _, l := range lines {
			t.Errorf("%s taken as it stands: %s", q.Name, l)
		}
	}
	s, err := p.Sheet("loads", nil)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(s.Add, func(r live.Ready) bool { return strings.Contains(r.Label, "television") })
	if len(s.Add) < 15 || at < 0 {
		t.Fatalf("%d rows ready", len(s.Add))
	}
	c, err := p.Edit("loads", s.Head, append(slices.Clone(s.Rows), s.Add[at].Cells, []string{"", ""}), nil)
	if err != nil {
		t.Fatal(err)
	}
	site, _, err := p.load(c.Settings, "")
	if err != nil || len(site.Appliances) != len(s.Rows)+1 || site.Appliances[len(s.Rows)].Name != s.Add[at].Cells[0] {
		t.Fatal(err)
	}
	// An edit upon an edit, and a value set on top, written as a new site.
	more, err := p.Edit("horizon", []string{"bearing_deg", "height_deg"}, [][]string{{"90", "3"}, {"180", "33"}}, c.Settings)
	if err != nil {
		t.Fatal(err)
	}
	all := slices.Concat(c.Settings, more.Settings, []string{"bank.capacity=21 kWh", "loads.freezer.count=2"})
	lines, err := p.Difference(all)
	if text := strings.Join(lines, "\n"); err != nil || !strings.Contains(text, `capacity = "21 kWh"`) || !strings.Contains(text, "horizon.csv: is: 180,33") || !strings.Contains(text, "loads.csv: is: "+s.Add[at].Cells[0]) {
		t.Errorf("%v\n%s", err, text)
	}
	if _, err := p.Write(all, "other"); err != nil {
		t.Fatal(err)
	}
	written := filesIn(t, filepath.Join(filepath.Dir(dir), "other"))
	if !strings.Contains(written["loads.csv"], "freezer,80,2,") || !strings.Contains(written["horizon.csv"], "180,33") {
		t.Errorf("%s\n%s", written["loads.csv"], written["horizon.csv"])
	}

	// A wrong cell is told with its place, and nothing is kept of it.
	kept := len(p.drafts)
	rows := slices.Clone(s.Rows)
	rows[2] = slices.Clone(rows[2])
	rows[2][1] = "many"
	if _, err := p.Edit("loads", s.Head, rows, nil); !strings.Contains(problems(err), "loads.csv:7") || !strings.Contains(problems(err), "many") {
		t.Errorf("%q", err)
	}
	if len(p.drafts) != kept {
		t.Error("a table that cannot be used is kept")
	}
	if _, err := p.Edit("loads", []string{"name"}, nil, nil); problems(err) == "" {
		t.Error("other columns were taken")
	}
	if _, err := p.Sheet("../../etc/passwd", nil); problems(err) == "" {
		t.Error("a table that there is not was opened")
	}
	// Pasted: the header is left out, what is none stays.
	cells, err := p.Cells("Name\tWatts\nlamp\t7\n", []string{"name", "watts", "count"})
	if err != nil || len(cells) != 1 || cells[0][1] != "7" {
		t.Error(cells, err)
	}
}

// Two litres a second fill a bucket of 20 L in ten seconds.
func TestLiveReading(t *testing.T) {
	dir, p := dataSite(t)
	c, err := p.Reading(live.Reading{Date: "2018-12-01", Volume: "20 L", Seconds: []float64{10, 10.1, 9.9}})
	if err != nil || !strings.HasPrefix(c.Said, "2 L/s") && !strings.HasPrefix(c.Said, "2.0 L/s") && !strings.HasPrefix(c.Said, "2.00 L/s") {
		t.Fatal(c, err)
	}
	c, err = p.Reading(live.Reading{Date: "2018-12-02", Volume: "5 gal", Seconds: []float64{9, 9, 9}, Settings: c.Settings})
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.Sheet("readings", c.Settings)
	if err != nil || !slices.Equal(s.Rows[len(s.Rows)-2][:4], []string{"2018-12-01", "bucket", "20", "10 10.1 9.9"}) || s.Rows[len(s.Rows)-1][0] != "2018-12-02" {
		t.Errorf("%v %v", s.Rows[len(s.Rows)-2:], err)
	}
	if _, err := p.Write(c.Settings, ""); err != nil {
		t.Error(err)
	}
	if text := filesIn(t, dir)["gaugings.csv"]; !strings.Contains(text, "2018-12-01,bucket,20,10 10.1 9.9") {
		t.Errorf("%s", text)
	}
	for name, r := range map[string]live.Reading{
		"no unit":     {Volume: "20", Seconds: []float64{1, 2, 3}},
		"a lake":      {Volume: "2000 m3", Seconds: []float64{1, 2, 3}},
		"no day":      {Volume: "20 L", Date: "31-31-31", Seconds: []float64{10, 10, 10}},
		"no time":     {Volume: "20 L", Seconds: []float64{0, 0, 0}},
		"time run on": {Volume: "20 L", Seconds: []float64{-1, 10, 10}},
	} {
		if _, err := p.Reading(r); problems(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A line drawn over the sheet becomes hills: the sheet's units are degrees.
func TestLiveHills(t *testing.T) {
	_, p := dataSite(t)
	was, err := p.Hills(nil, nil)
	if err != nil || !strings.Contains(was.SVG, "<svg") || len(was.Settings) != 0 {
		t.Fatal(was, err)
	}
	var stroke [][2]float64
	for x := 150.0; x <= 210; x++ {
		stroke = append(stroke, [2]float64{x, hillsFoot - 40})
	}
	c, err := p.Hills(stroke, nil)
	if err != nil || c.SVG == was.SVG {
		t.Fatal(err)
	}
	s, _, err := p.load(c.Settings, "")
	if err != nil || s.Sun.Horizon.Height(180) != 40 || s.Sun.Horizon.Height(45) != 5 {
		t.Errorf("%v", err)
	}
	// South of the equator the sheet has north in its middle.
	months, err := p.Sheet("sun", nil)
	if err != nil {
		t.Fatal(err)
	}
	half := len(months.Rows) / 2
	for i := range half { // half a year on
		for k := 1; k < len(months.Head); k++ {
			months.Rows[i][k], months.Rows[i+half][k] = months.Rows[i+half][k], months.Rows[i][k]
		}
	}
	south := []string{"latitude=-43.1"}
	_, err = p.Edit("sun", months.Head, months.Rows, nil)
	if err == nil || !strings.Contains(problems(err), "hemisphere") {
		t.Errorf("the sun of the other hemisphere was taken: %v", err)
	}
	turned, err := p.Edit("sun", months.Head, months.Rows, south)
	if err != nil {
		t.Fatal(err)
	}
	south = append(south, turned.Settings...)
	over, err := p.Hills(stroke, south)
	if err != nil {
		t.Fatal(err)
	}
	if s, _, err = p.load(append(south, over.Settings...), ""); err != nil || s.Sun.Horizon.Height(0) != 40 || s.Sun.Horizon.Height(180) != 19 {
		t.Errorf("in the south: %v", err)
	}
	// A higher hill in the south is a darker winter.
	year := func(settings []string) string {
		a, err := p.Ask(context.Background(), live.Asked{Question: "year", Settings: settings})
		if err != nil {
			t.Fatal(err)
		}
		return a.Headline
	}
	if year(nil) == year(c.Settings) {
		t.Error("the hills do nothing")
	}
	if _, err := p.Hills([][2]float64{{900, 4}}, nil); problems(err) == "" {
		t.Error("a line off the sheet was taken")
	}
}

// Edited files outlive the program beside the site, cannot name anything else,
// and go when nothing speaks of them any more.
func TestLiveDraftsOfFiles(t *testing.T) {
	dir, p := dataSite(t)
	edit := func(height string) string {
		t.Helper()
		c, err := p.Edit("horizon", []string{"bearing_deg", "height_deg"}, [][]string{{"90", "3"}, {"180", height}}, nil)
		if err != nil || len(c.Settings) != 1 {
			t.Fatal(c, err)
		}
		return c.Settings[0]
	}
	wanted, unwanted := edit("33"), edit("44")
	if err := p.Keep([]byte(`{"settings":["` + wanted + `"]}`)); err != nil {
		t.Fatal(err)
	}
	beside := func() int {
		names, err := filepath.Glob(dir + ".draft-*")
		if err != nil {
			t.Fatal(err)
		}
		return len(names)
	}
	if beside() != 2 {
		t.Errorf("%d drafts", beside())
	}
	p = &livePage{folder: dir}
	release, err := p.claim(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	if beside() != 1 {
		t.Errorf("%d drafts after a start, one is wanted", beside())
	}
	s, _, err := p.load([]string{wanted}, "")
	if err != nil || s.Sun.Horizon.Height(180) != 33 {
		t.Error(err)
	}
	if _, _, err := p.load([]string{unwanted}, ""); !strings.Contains(problems(err), "not kept any more") {
		t.Error(err)
	}
	_, id, _ := strings.Cut(wanted, "=")
	for _, attack := range []string{
		"file.site.toml=" + id, "file.../../../etc/passwd=" + id, "file.rain.csv=../../../etc/passwd", "file.rain.csv=/etc/passwd", "file.horizon.csv=" + strings.ToUpper(id), "file.=", "file.x",
		"rain.file=../../../etc/passwd", "sun.horizon=/etc/passwd", "stream.parameters=..%2f..%2fetc%2fpasswd",
	} {
		if _, _, err := p.load([]string{attack}, ""); problems(err) == "" {
			t.Errorf("%s: %v", attack, err)
		}
	}
	// A draft that somebody changed, or a link in its place, is not taken.
	p = &livePage{folder: dir}
	if err := os.WriteFile(p.draftPath(id), []byte("horizon.csv\nbearing_deg,height_deg\n90,1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := p.load([]string{wanted}, ""); problems(err) == "" {
		t.Error("a changed draft was taken")
	}
	// Behind a link out of the folder nothing is written.
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "data")); err != nil {
		t.Skip(err)
	}
	loads, err := os.ReadFile(filepath.Join(dir, "loads.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(outside, "loads.csv"), loads, 0o644); err != nil {
		t.Fatal(err)
	}
	toml, err := os.ReadFile(filepath.Join(dir, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "site.toml"), bytes.Replace(toml, []byte(`"loads.csv"`), []byte(`"data/loads.csv"`), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	p = &livePage{folder: dir}
	if _, err := p.Write([]string{"loads.freezer.count=5"}, ""); err == nil {
		t.Error("it wrote outside of the folder")
	}
	if now := filesIn(t, outside); len(now) != 1 || now["loads.csv"] != string(loads) {
		t.Errorf("outside: %v", now)
	}
}

// From the built-in homestead a site of one's own is begun, and the page goes on
// with it.
func TestLiveBegins(t *testing.T) {
	parent := t.TempDir()
	p := &livePage{parent: parent}
	if _, err := p.Write([]string{"bank.capacity=21 kWh"}, ""); problems(err) == "" {
		t.Error("the built-in homestead was written to")
	}
	for _, name := range []string{"../up", "a/b", ".hidden", "", "con:", strings.Repeat("x", 61)} {
		if name == "" {
			continue
		}
		if _, err := p.Write(nil, name); problems(err) == "" {
			t.Errorf("%q was taken for a folder's name", name)
		}
	}
	w, err := p.Write([]string{"bank.capacity=21 kWh", "name=Our place"}, "our place")
	if err != nil || !w.Opened {
		t.Fatal(w, err)
	}
	defer p.release()
	name, folder := p.Name()
	if name != "Our place" || folder != filepath.Join(parent, "our place") {
		t.Error(name, folder)
	}
	if code, _, errOut := sunrillTo(t, "check", folder); code != exitOK {
		t.Error(errOut)
	}
	entries, err := os.ReadDir(parent)
	if err != nil || len(entries) != 2 { // the site and the mark that it is open
		t.Error(entries, err)
	}
}

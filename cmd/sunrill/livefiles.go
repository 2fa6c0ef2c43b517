package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"sunrill/cmd/sunrill/live"
	"sunrill/loads"
	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/gather"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

// fileKey begins settings that put an edited file in place of the site's:
// "file.rain.csv=0123456789abcdef", by the sum of its name and content.
const fileKey = "file."

const (
	mostDrafts     = 64 << 20 // bytes of edited files that are kept in memory
	mostOfSettings = 500
)

// drafted is an edited file that was not written into the site.
type drafted struct {
	name string
	data []byte
}

// liveState is a state taken apart.
type liveState struct {
	set     []files.Setting
	today   map[string]string // what the outlook is asked from
	instead map[string][]byte // edited files
}

// state takes settings apart.
func (p *livePage) state(settings []string) (liveState, error) {
	st := liveState{today: map[string]string{}, instead: map[string][]byte{}}
	if len(settings) > mostOfSettings {
		return st, live.Problem{Lines: []string{"too many settings"}}
	}
	for _, text := range settings {
		if rest, ok := strings.CutPrefix(text, fileKey); ok {
			name, id, _ := strings.Cut(rest, "=")
			d, ok := p.draft(id)
			if !ok || d.name != name {
				return st, live.Problem{Lines: []string{fmt.Sprintf("an edit of %s is not kept any more: go back to the files, and edit it again", files.Short(name))}}
			}
			st.instead[name] = d.data
			continue
		}
		s, err := files.ParseSetting(text, text)
		if err != nil {
			return st, live.Problem{Lines: []string{err.Error()}}
		}
		if key, ok := strings.CutPrefix(s.Key, todayKey); ok {
			st.today[key] = s.Value
			continue
		}
		st.set = append(st.set, s)
	}
	return st, nil
}

// fsys is the site's folder.
func (p *livePage) fsys() fs.FS {
	if p.dir() == "" {
		return site.DemoFS()
	}
	return os.DirFS(p.dir())
}

var draftID = regexp.MustCompile(`^[0-9a-f]{16}$`)

func idOf(d drafted) string {
	sum := sha256.Sum256(append([]byte(d.name+"\x00"), d.data...))
	return hex.EncodeToString(sum[:8])
}

// draftPath is where an edited file outlives the program: beside the site.
func (p *livePage) draftPath(id string) string { return p.beside(".draft-" + id) }

// draft returns an edited file by its sum, from memory or from beside the site.
func (p *livePage) draft(id string) (drafted, bool) {
	if !draftID.MatchString(id) {
		return drafted{}, false
	}
	p.mu.Lock()
	d, ok := p.drafts[id]
	p.mu.Unlock()
	if ok || p.dir() == "" {
		return d, ok
	}
	info, err := os.Lstat(p.draftPath(id))
	if err != nil || !info.Mode().IsRegular() || info.Size() > mostDrafts {
		return d, false
	}
	data, err := os.ReadFile(p.draftPath(id))
	if err != nil {
		return d, false
	}
	name, content, ok := bytes.Cut(data, []byte("\n"))
	d = drafted{string(name), content}
	if !ok || idOf(d) != id {
		return d, false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.remember(id, d)
	return d, true
}

// remember keeps an edited file in memory; p.mu is held. It tells whether there
// was room.
func (p *livePage) remember(id string, d drafted) bool {
	if p.drafts == nil {
		p.drafts = map[string]drafted{}
	}
	if _, ok := p.drafts[id]; !ok {
		if p.draftBytes+len(d.data) > mostDrafts {
			return false
		}
		p.draftBytes += len(d.data)
		p.drafts[id] = d
	}
	return true
}

// edited keeps edited files, once the site was read with them and with what
// goes along with them in its description, and returns the change.
func (p *livePage) edited(st liveState, said string, drafts []drafted, set ...string) (*live.Change, error) {
	c := &live.Change{Said: said}
	for _, text := range set {
		s, err := files.ParseSetting(text, text)
		if err != nil {
			return nil, err
		}
		st.set = append(st.set, s)
		c.Settings = append(c.Settings, text)
	}
	for _, d := range drafts {
		st.instead[d.name] = d.data
	}
	if _, err := p.read(st, ""); err != nil {
		return nil, curable(err)
	}
	for _, d := range drafts {
		id := idOf(d)
		p.mu.Lock()
		ok := p.remember(id, d)
		p.mu.Unlock()
		if !ok {
			return nil, live.Problem{Lines: []string{"there are too many edits for the program's memory: write what you want to keep into the site, stop the program and start it again"}}
		}
		if p.dir() != "" {
			if err := site.ReplaceFile(p.draftPath(id), append([]byte(d.name+"\n"), d.data...)); err != nil {
				return nil, err
			}
		}
		c.Settings = append(c.Settings, fileKey+d.name+"="+id)
	}
	return c, nil
}

// forgetDrafts takes away edited files beside a site's folder that the kept draft
// does not speak of.
func forgetDrafts(dir string) {
	kept, err := draftOf(dir)
	if err != nil {
		return
	}
	entries, _ := os.ReadDir(filepath.Dir(dir))
	for _, e := range entries {
		id, ours := strings.CutPrefix(e.Name(), filepath.Base(dir)+".draft-")
		if ours && draftID.MatchString(id) && !bytes.Contains(kept, []byte(id)) {
			os.Remove(filepath.Join(filepath.Dir(dir), e.Name())) // one that stays does no harm
		}
	}
}

// Sheets implements [live.Data].
func (p *livePage) Sheets() []live.Question {
	return []live.Question{{Name: "rain", Label: "rain, day by day"}, {Name: "loads", Label: "appliances"}, {Name: "horizon", Label: "hills"}, {Name: "readings", Label: "readings of the creek"}, {Name: "sun", Label: "sun hours by month"}}
}

// sheetFile says in which file a table stands, what its header is where there is
// no such file yet, and what its description has to say of it then.
func (p *livePage) sheetFile(name string, st liveState) (file string, head []string, set []string, err error) {
	given := map[string]string{}
	us := false
	if s, err := p.read(st, ""); err == nil {
		us = s.US
		for _, g := range s.Given {
			given[g.Key] = g.Value
		}
	}
	pick := func(metric, american string) string { return map[bool]string{false: metric, true: american}[us] }
	switch name {
	case "rain":
		file, head = cmp.Or(given["rain.file"], given["rain.months"], "rain.csv"), []string{"date", pick("rain_mm", "rain_in")}
	case "loads":
		file, head = cmp.Or(given["loads.file"], "loads.csv"), []string{"name", "watts", "count", "hours", "days", "months", "supply", "flexible"}
	case "horizon":
		file, head = cmp.Or(given["sun.horizon"], "horizon.csv"), []string{"bearing_deg", "height_deg"}
		if given["sun.horizon"] == "" {
			set = []string{"sun.horizon=horizon.csv"}
		}
	case "readings":
		file, head = "gaugings.csv", []string{"date", "method", pick("volume_l", "volume_gal"), "seconds", "note"}
	case "sun":
		file, head = cmp.Or(given["sun.file"], "sun.csv"), []string{"month", "sun_hours"}
	default:
		return "", nil, nil, live.Problem{Lines: []string{"there is no table " + strconv.Quote(files.Short(name))}}
	}
	if !fs.ValidPath(file) {
		return "", nil, nil, live.Problem{Lines: []string{files.Short(file) + ": is no file in the site's folder"}}
	}
	return file, head, set, nil
}

// mostOfFile bounds a table that the page shows.
const mostOfFile = 8 << 20

// content returns a file as a state has it; nil if there is none.
func (p *livePage) content(file string, st liveState) ([]byte, error) {
	if data, ok := st.instead[file]; ok {
		return data, nil
	}
	info, err := fs.Stat(p.fsys(), file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostOfFile:
		return nil, live.Problem{Lines: []string{fmt.Sprintf("%s: is no table that the page can show; edit it with a spreadsheet", file)}}
	}
	return fs.ReadFile(p.fsys(), file)
}

// raw returns a table as a state has it.
func (p *livePage) raw(name string, st liveState) (file string, t files.Raw, set []string, err error) {
	file, head, set, err := p.sheetFile(name, st)
	if err != nil {
		return file, t, nil, err
	}
	data, err := p.content(file, st)
	if err != nil {
		return file, t, nil, err
	}
	if t, err = files.ReadRaw(data); err != nil {
		return file, t, nil, live.Problem{Lines: []string{fmt.Sprintf("%s: cannot be taken apart (%v); edit it with a spreadsheet", file, err)}}
	}
	if t.Head == nil {
		t.Head = head
	}
	return file, t, set, nil
}

// Sheet implements [live.Data].
func (p *livePage) Sheet(name string, settings []string) (*live.Sheet, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, err
	}
	file, t, _, err := p.raw(name, st)
	if err != nil {
		return nil, err
	}
	s := &live.Sheet{Name: name, File: file, Head: t.Head, Rows: t.Rows, Add: []live.Ready{}}
	if s.Rows == nil {
		s.Rows = [][]string{}
	}
	if name == "loads" {
		for _, a := range loads.Typicals() {
			is := map[string]string{"name": a.Name, "watts": measure.Trim(a.Watts), "count": measure.Trim(a.Count), "hours": a.Hours, "days": "all", "months": a.Months, "supply": "ac", "flexible": "no"}
			if a.DC {
				is["supply"] = "dc"
			}
			if a.Flexible {
				is["flexible"] = "yes"
			}
			ready := live.Ready{Label: fmt.Sprintf("%s, %s W", a.Name, measure.Trim(a.Watts))}
			for _, column := range t.Head {
				ready.Cells = append(ready.Cells, is[strings.ToLower(strings.TrimSpace(column))])
			}
			s.Add = append(s.Add, ready)
		}
	}
	return s, nil
}

// Edit implements [live.Data].
func (p *livePage) Edit(name string, head []string, rows [][]string, settings []string) (*live.Change, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, err
	}
	file, t, set, err := p.raw(name, st)
	if err != nil {
		return nil, err
	}
	if !slices.Equal(head, t.Head) {
		return nil, live.Problem{Lines: []string{file + ": has other columns by now; open the table again"}}
	}
	t.Rows = rows
	return p.edited(st, fmt.Sprintf("%s is taken as edited. It is not written into the site yet.", file), []drafted{{file, t.Bytes()}}, set...)
}

// Cells implements [live.Data].
func (p *livePage) Cells(text string, head []string) ([][]string, error) {
	rows, err := files.Pasted(text)
	if err != nil {
		return nil, live.Problem{Lines: []string{"what was pasted cannot be taken apart: " + err.Error()}}
	}
	if len(rows) > 1 && slices.EqualFunc(rows[0], head[:min(len(head), len(rows[0]))], strings.EqualFold) {
		rows = rows[1:]
	}
	return rows, nil
}

// flagInText is a flag of the command as problems name it.
var flagInText = regexp.MustCompile(`--(as|dates|unit|decimal|unlisted|column|sheet)\b`)

// Import implements [live.Data]: it understands what the command does.
func (p *livePage) Import(ctx context.Context, in live.Dropped) (*live.Change, error) {
	st, err := p.state(in.Settings)
	if err != nil {
		return nil, err
	}
	o := gather.Options{As: gather.Kind(in.As), Dates: in.Dates, Unit: in.Unit, Decimal: in.Decimal, Unlisted: in.Unlisted, Sheet: in.Sheet, Columns: map[string]string{}, LatDeg: math.NaN(), UTCOffsetH: math.NaN()}
	for _, c := range []struct {
		name, value string
		known       []string
	}{{"as", in.As, importKinds}, {"dates", in.Dates, importDates}, {"decimal", in.Decimal, importDecimals}, {"unlisted", in.Unlisted, importUnlisted}} {
		if c.value != "" && !slices.Contains(c.known, c.value) {
			return nil, live.Problem{Lines: []string{fmt.Sprintf("%s: %q is none of %s", c.name, files.Short(c.value), strings.Join(c.known, ", "))}}
		}
	}
	if in.Column != "" {
		name, header, ok := strings.Cut(in.Column, "=")
		if !ok || header == "" {
			return nil, live.Problem{Lines: []string{fmt.Sprintf("column: %q is no pair; write rain=NAME OF THE COLUMN", files.Short(in.Column))}}
		}
		o.Columns[strings.TrimSpace(name)] = header
	}
	if s, err := p.read(st, ""); err == nil {
		o.LatDeg, o.UTCOffsetH = s.Place.LatDeg, s.Place.UTCOffsetH
	}
	var sources []gather.Source
	for _, f := range in.Files {
		sources = append(sources, gather.Source{Name: files.Short(filepath.Base(f.Name)), Data: f.Data})
	}
	p.importing.Lock() // one at a time: they may be large
	defer p.importing.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	g, err := gather.Read(sources, o)
	if err != nil {
		err = curable(err)
		var q live.Problem
		if errors.As(err, &q) {
			for i := range q.Lines {
				q.Lines[i] = flagInText.ReplaceAllString(q.Lines[i], "$1:")
			}
			return nil, q
		}
		return nil, err
	}
	var said bytes.Buffer
	c := &call{out: &said, err: io.Discard}
	c.printFindings(g)
	for _, w := range g.Warnings {
		c.say("%s", wrap("Warning: "+w))
	}
	c.printTotals(g)
	var drafts []drafted
	for _, out := range g.Outputs {
		drafts = append(drafts, drafted{out.Name, out.Data})
		c.say("It becomes %s, %s.", out.Name, measure.Plural(out.Rows, "row", "rows"))
	}
	return p.edited(st, said.String(), drafts, described(g.Set)...)
}

// described turns lines for site.toml into settings.
func described(lines []string) (set []string) {
	table := ""
	for _, line := range lines {
		if name, ok := strings.CutPrefix(line, "["); ok {
			table = strings.TrimSuffix(name, "]")
			continue
		}
		if key, value, ok := strings.Cut(line, " = "); ok {
			set = append(set, table+"."+key+"="+strings.Trim(value, `"`))
		}
	}
	return set
}

// Reading implements [live.Data].
func (p *livePage) Reading(r live.Reading) (*live.Change, error) {
	st, err := p.state(r.Settings)
	if err != nil {
		return nil, err
	}
	wrong := func(format string, args ...any) (*live.Change, error) {
		return nil, live.Problem{Lines: []string{fmt.Sprintf(format, args...)}}
	}
	raw := site.RawReading{Seconds: r.Seconds, US: strings.Contains(strings.ToLower(r.Volume), "gal")}
	if raw.VolumeM3, err = measure.Volumes.Parse(r.Volume); err != nil {
		return wrong("the bucket: %v", err)
	}
	if !(raw.VolumeM3 >= 1e-5 && raw.VolumeM3 <= 100) {
		return wrong("the bucket: %s is outside 0.01 L to 100 m3", files.Short(r.Volume))
	}
	day, err := time.Parse("2006-01-02", cmp.Or(strings.TrimSpace(r.Date), time.Now().Format("2006-01-02")))
	if err != nil || day.Year() < files.FirstYear || day.Year() > files.LastYear {
		return wrong("the day: %q is none; write year-month-day, such as 2016-11-05", files.Short(r.Date))
	}
	if len(r.Note) > 200 {
		return wrong("the note is too long")
	}
	f, err := stream.Bucket(raw.VolumeM3, r.Seconds)
	if err != nil {
		return wrong("%v", err)
	}
	raw.Gauging = stream.Gauging{Date: day, Method: f.Method, FlowM3S: f.FlowM3S, ErrorM3S: f.ErrorM3S, Note: r.Note}
	old, err := p.content("gaugings.csv", st)
	if err != nil {
		return nil, err
	}
	text, err := site.GaugingsWith(old, raw)
	if err != nil {
		return nil, curable(err)
	}
	c := &call{}
	said := []string{fmt.Sprintf("%s, give or take %s: %s.", both(func(s measure.System) string { return s.Flow(f.FlowM3S) }), measure.Percent(f.ErrorM3S/f.FlowM3S), c.fills(f, raw))}
	said = append(said, f.Cautions...)
	said = append(said, "It stands in the table of readings now, and in the site once you write it there. A dozen, in wet weeks and in dry ones, let \"sunrill fit\" learn the creek.")
	return p.edited(st, strings.Join(said, "\n"), []drafted{{"gaugings.csv", text}})
}

// Fit implements [live.Data]: it fits what the command does, with all that the
// site says of the creek itself taken out but its area.
func (p *livePage) Fit(ctx context.Context, settings []string, shown string) (*live.Change, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, err
	}
	s, err := p.readAs(st, shown, site.Options{Unfitted: true})
	if err != nil {
		return nil, curable(err)
	}
	if s.Stream == nil || s.Stream.Record != nil {
		return nil, live.Problem{Lines: []string{"there is no creek here whose parameters are to be found: [stream] has model curve or catchment"}}
	}
	if len(s.Gaugings) == 0 {
		return nil, live.Problem{Lines: []string{"there is no reading to fit to: time a bucket above"}}
	}
	h, err := series.New(s)
	if err != nil {
		return nil, curable(err)
	}
	f := fitting{call: &call{ctx: ctx, out: io.Discard, err: io.Discard, opts: options{seed: 1, quiet: true}}, h: h, rounds: 200}
	choice, err := f.fit("")
	if err != nil {
		return nil, curable(err)
	}
	said := report.FitVerdict(choice.Best, units(s))
	if choice.Other != nil {
		said = append(said, report.FitChoice(choice))
	}
	said = append(said, "The creek of this page is the fitted one now. It is not written into the site yet.")
	set := []string{"stream.model=" + choice.Best.Kind.String(), "stream.parameters=" + parametersFile}
	for _, g := range s.Given {
		key, ok := strings.CutPrefix(g.Key, "stream.")
		if ok && key != "model" && key != "parameters" && key != "area" {
			set = append(set, g.Key+"=")
		}
	}
	tables := fitTables(choice.Best)
	var drafts []drafted
	for _, name := range slices.Sorted(maps.Keys(tables)) {
		drafts = append(drafts, drafted{name, tables[name]})
	}
	return p.edited(st, strings.Join(said, "\n"), drafts, set...)
}

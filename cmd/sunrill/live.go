package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"sunrill/cmd/sunrill/live"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/storage"
	"sunrill/weather"
)

func liveCommand() command {
	return command{
		name:  "live",
		args:  "[SITE] [flags]",
		brief: "all of it in the browser, on this machine alone",
		long: `Serves the site as a page on this machine and opens the browser: values can be
moved and the years answer at once, states kept as plans, laid side by side, and
written to the site or to a new one when you ask for it. What you moved is kept
in a draft beside the site's folder, named like it. The page is served to this
machine alone, by a link that nobody can guess; Ctrl-C or the page's button
ends it. A double click on the program does the same.`,
		example: "sunrill live my-place",
		flags: func(fs *pflag.FlagSet) {
			fs.Bool("no-browser", false, "print the link and open no browser")
			fs.Int("port", 0, "port on the loopback address; 0: any that is free")
		},
		run: runLive,
	}
}

func runLive(c *call) error {
	if len(c.args) > 1 {
		return usageError{fmt.Sprintf("live takes one site folder, not %d", len(c.args))}
	}
	port, err := c.flags.GetInt("port")
	if err != nil {
		return err
	}
	if port < 0 || port > 65535 {
		return usageError{fmt.Sprintf("--port: %d is outside 0 to 65535", port)}
	}
	p := &livePage{}
	if len(c.args) == 1 {
		if p.folder, err = filepath.Abs(c.args[0]); err != nil {
			return err
		}
		if info, err := os.Stat(filepath.Join(p.folder, "site.toml")); err != nil || info.IsDir() {
			return files.Problems{{What: fmt.Sprintf("%s: is no site folder: it has no site.toml", c.args[0]), Hint: "\"sunrill new " + c.args[0] + "\" lays one to start from"}}
		}
	}
	release, err := p.claim()
	if err != nil {
		return err
	}
	defer release()
	ln, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return usageError{fmt.Sprintf("--port %d: cannot be listened on: %v", port, err)}
	}
	server, err := live.New(ln, p, "Made by "+version()+".")
	if err != nil {
		ln.Close()
		return err
	}
	if err := p.sign(server.URL()); err != nil {
		ln.Close()
		return err
	}
	fmt.Fprintf(c.out, "The page is at\n\n  %s\n\nCtrl-C here, or the button on the page, ends the program.\n", server.URL())
	if quiet, _ := c.flags.GetBool("no-browser"); !quiet {
		if err := openBrowser(server.URL()); err != nil {
			c.warn("no browser could be opened (" + err.Error() + "): open the link yourself")
		}
	}
	return server.Serve(c.ctx)
}

// livePage answers the page by the functions of the commands.
type livePage struct {
	folder string // "": the built-in homestead
}

const todayKey = "today." // of values that the outlook asks for and no file holds

// load reads the site with settings in place; those of today come apart.
func (p *livePage) load(settings []string) (*site.Site, map[string]string, error) {
	today := map[string]string{}
	var set []files.Setting
	for _, text := range settings {
		s, err := files.ParseSetting(text, text)
		if err != nil {
			return nil, nil, live.Problem{Lines: []string{err.Error()}}
		}
		if key, ok := strings.CutPrefix(s.Key, todayKey); ok {
			today[key] = s.Value
			continue
		}
		set = append(set, s)
	}
	var s *site.Site
	var err error
	if p.folder == "" {
		s, err = site.LoadFS(site.DemoFS(), site.Options{Set: set})
	} else {
		s, err = site.Load(p.folder, site.Options{Set: set})
	}
	return s, today, curable(err)
}

// curable marks what the owner can cure.
func curable(err error) error {
	var ps files.Problems
	var u usageError
	switch {
	case errors.As(err, &ps):
		var lines []string
		for _, q := range ps {
			lines = append(lines, q.String())
		}
		return live.Problem{Lines: lines}
	case errors.As(err, &u):
		return live.Problem{Lines: []string{u.Error()}}
	}
	return err
}

// Name implements [live.Homestead].
func (p *livePage) Name() (name, folder string) {
	if s, _, err := p.load(nil); err == nil {
		return s.Name, p.folder
	}
	return filepath.Base(p.folder), p.folder
}

// Questions implements [live.Homestead].
func (p *livePage) Questions() []live.Question {
	return []live.Question{
		{Name: "year", Label: "Will it carry us?"},
		{Name: "outlook", Label: "The days ahead", Slow: true},
		{Name: "changeover", Label: "When to open and close", Slow: true},
		{Name: "drywinter", Label: "A dry winter", Slow: true},
		{Name: "bank", Label: "How big a bank", Slow: true},
		{Name: "worth", Label: "Is hydro worth it?", Slow: true},
		{Name: "understood", Label: "What was understood"},
	}
}

// Values implements [live.Homestead].
func (p *livePage) Values() ([]live.Group, error) {
	s, _, err := p.load(nil)
	if err != nil {
		return nil, err
	}
	var groups []live.Group
	at := map[string]int{}
	add := func(v live.Value) {
		table, _, ok := strings.Cut(v.Key, ".")
		if !ok {
			table = "place"
		}
		i, known := at[table]
		if !known {
			i = len(groups)
			at[table] = i
			groups = append(groups, live.Group{Name: table})
		}
		groups[i].Values = append(groups[i].Values, v)
	}
	for _, table := range []string{"place", "bank", "array", "stream", "intake", "forebay", "penstock", "turbine", "visits", "cable", "inverter"} {
		at[table] = len(groups)
		groups = append(groups, live.Group{Name: table})
	}
	for _, g := range s.Given {
		if !movable(g.Key) {
			continue
		}
		add(liveValue(g.Key, g.Value))
	}
	for _, d := range s.Defaults {
		key := listEntry.ReplaceAllString(d.Key, ".$1")
		value, reason := d.In(units(s))
		if !movable(key) || strings.HasPrefix(value, "table of") {
			continue
		}
		v := liveValue(key, value)
		v.Default, v.Reason = true, reason
		add(v)
	}
	groups = slices.DeleteFunc(groups, func(g live.Group) bool { return len(g.Values) == 0 })
	if t := loadsTable(s); t != nil {
		groups = append(groups, live.Group{Name: "appliances", Table: t})
	}
	today := live.Group{Name: "today, for the days ahead"}
	for _, v := range []live.Value{
		{Key: todayKey + "charge", Label: "charge of the bank", Text: "80 %"},
		{Key: todayKey + "flow", Label: "creek, if you read it"},
		{Key: todayKey + "date", Label: "day (today, if empty)"},
	} {
		if v.Text != "" {
			slide := liveValue(v.Key, v.Text)
			slide.Label = v.Label
			v = slide
		}
		today.Values = append(today.Values, v)
	}
	return append(groups, today), nil
}

var (
	listEntry = regexp.MustCompile(`\[(\d+)\]`)
	readable  = strings.NewReplacer("_soc", " charge", "_", " ")
	sliding   = regexp.MustCompile(`^(-?\d+(?:\.\d+)?) ?([^\d\s"\[\]].*)?$`)
)

// movable tells whether a key's value is one to move: not a name of a file.
func movable(key string) bool {
	last := key[strings.LastIndexByte(key, '.')+1:]
	return last != "file" && last != "hourly" && last != "parameters" && last != "horizon" && last != "name" && last != "seed" && !strings.HasPrefix(key, "year.")
}

// liveValue is a value with its slider, if it is a number with a unit.
func liveValue(key, text string) live.Value {
	parts := strings.Split(readable.Replace(key), ".")
	if len(parts) > 1 {
		parts = parts[1:]
	}
	v := live.Value{Key: key, Label: strings.Join(parts, ": "), Text: text, Choices: liveChoices[key]}
	m := sliding.FindStringSubmatch(text)
	if m == nil || v.Choices != nil {
		return v
	}
	n, err := strconv.ParseFloat(m[1], 64)
	unit := m[2]
	last := parts[len(parts)-1]
	if err != nil || n == 0 && unit == "" || last == "latitude" || last == "longitude" || last == "utc offset" {
		return v
	}
	v.Slides, v.Number, v.Unit = true, n, unit
	switch {
	case unit == "%":
		v.Low, v.High, v.Step = 0, 100, 1
	case unit == "deg" && (strings.Contains(last, "facing")):
		v.Low, v.High, v.Step = 0, 360, 5
	case unit == "deg":
		v.Low, v.High, v.Step = 0, 90, 1
	case n < 0 || unit == "C":
		v.Low, v.High, v.Step = math.Min(2*n, -20), math.Max(2*n, 50), 1
	default:
		v.High = 3 * n
		if n == 0 {
			v.High = 10
		}
		v.Step = math.Pow(10, math.Floor(math.Log10(v.High/60)))
		v.High = math.Ceil(v.High/v.Step) * v.Step
	}
	if math.Abs(math.Mod(n, v.Step)) > 1e-9 && math.Abs(math.Mod(n, v.Step)-v.Step) > 1e-9 {
		v.Step /= 10
	}
	return v
}

// liveChoices are the values of keys that take one of a few words.
var liveChoices = map[string][]string{
	"units":          {"metric", "us"},
	"bank.place":     {"indoors", "shed"},
	"bank.model":     {"bucket", "two-well"},
	"bank.chemistry": storage.Chemistries(),
}

// loadsTable is the list of appliances.
func loadsTable(s *site.Site) *live.Table {
	if s.DemandW != nil || len(s.Appliances) == 0 {
		return nil
	}
	t := &live.Table{Head: []string{"appliance", "watts", "count"}}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	for _, a := range s.Appliances {
		key := func(column string) string {
			if strings.Contains(a.Name, ".") {
				return fmt.Sprintf("loads.%q.%s", a.Name, column)
			}
			return "loads." + a.Name + "." + column
		}
		t.Rows = append(t.Rows, live.Row{Name: a.Name, Cells: []live.Value{
			{Key: key("watts"), Label: a.Name + ", watts", Text: number(a.Watts)},
			{Key: key("count"), Label: a.Name + ", count", Text: number(a.Count)},
		}})
	}
	return t
}

// Ask implements [live.Homestead].
func (p *livePage) Ask(ctx context.Context, question string, settings []string) (*live.Answer, error) {
	s, today, err := p.load(settings)
	if err != nil {
		return nil, err
	}
	h, err := series.New(s)
	if err != nil {
		return nil, curable(err)
	}
	c := &call{ctx: ctx, out: io.Discard, err: io.Discard, opts: options{seed: 1, quiet: true, draws: 20}}
	if question == "year" {
		c.opts.draws = 1 // it answers while values move
	}
	years := h.Years()
	var sentences []string
	var bad bool
	var sections []report.Section
	switch question {
	case "year":
		sentences, bad, sections, err = liveYear(c, h, years)
	case "changeover":
		if err := needsHydro(h, "changeover"); err != nil {
			return nil, curable(err)
		}
		r, e := changeoverStudy(c, h, years, quiet)
		if e != nil {
			return nil, curable(e)
		}
		v, e := changeoverReport(h, r, years[r.MiddleYear()])
		if e != nil {
			return nil, e
		}
		sentences, bad = v.Verdict()
		sections = []report.Section{v.Section()}
	case "drywinter":
		v, e := drywinterStudy(c, h, years, scenario.Options{Seed: 1, MadeUp: bookMadeUp, Progress: quiet})
		if err = e; err == nil {
			sentences, bad = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "bank":
		v, e := bankStudy(c, h, years, bookTargetHours, false, quiet)
		if err = e; err == nil {
			sentences, bad = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "worth":
		if err := needsHydro(h, "worth"); err != nil {
			return nil, curable(err)
		}
		r, e := worthStudy(c, h, years, bookWorthMadeUp, wanted{}, quiet)
		if err = e; err == nil {
			v := report.Worth{Result: r, System: units(s)}
			sentences, bad = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "outlook":
		q, e := liveToday(h, today)
		if e != nil {
			return nil, curable(e)
		}
		v, e := lookAhead(c, h, q, nil)
		if err = e; err == nil {
			sentences, bad = v.Verdict()
			sections = v.Sections()
		}
	case "understood":
		sentences = []string{fmt.Sprintf("%s: %d water years, from %d to %d.", s.Name, len(years), years[0].Number(), years[len(years)-1].Number())}
		sections = newChecked(h).site(false)
	default:
		return nil, live.Problem{Lines: []string{"there is no question " + strconv.Quote(question)}}
	}
	if err != nil {
		return nil, curable(err)
	}
	return liveAnswer(sentences, bad, sections, question)
}

func liveAnswer(sentences []string, bad bool, sections []report.Section, question string) (*live.Answer, error) {
	for i := range sections {
		if slices.Equal(sections[i].Text, sentences) || question != "year" && question != "understood" {
			sections[i].Text = nil // the sentences above say it
		}
	}
	var b bytes.Buffer
	if err := report.Fragment(&b, sentences[1:], sections, map[string]bool{"charge": true, "outlook-charge": true, "outlook-dark": true}); err != nil {
		return nil, err
	}
	return &live.Answer{Headline: sentences[0], Bad: bad, HTML: b.String()}, nil
}

// liveYear is the first thing that the page shows: how the years go, and a
// middling one drawn.
func liveYear(c *call, h *series.Homestead, years []weather.Year) ([]string, bool, []report.Section, error) {
	lines, carried, err := yearStudy(c, h, years, quiet)
	if err != nil {
		return nil, false, nil, err
	}
	y, err := sim.Run(h.Input(years[carried.Middling]), h.Bus())
	if err != nil {
		return nil, false, nil, err
	}
	v := yearReport(h, y)
	sentences, bad := carried.Verdict()
	keep := map[string]bool{"unmet-by-year": true, "charge": true, "energy-by-month": true, "rain-and-creek": true}
	var sections []report.Section
	for _, sec := range append([]report.Section{report.Years(lines, v.System, "")}, v.Sections()...) {
		sec.Figures = slices.DeleteFunc(slices.Clone(sec.Figures), func(f report.Figure) bool { return !keep[f.Name] })
		if len(sec.Figures) == 0 {
			continue
		}
		sec.Tables, sec.Text = nil, nil
		sections = append(sections, sec)
	}
	return sentences, bad, sections, nil
}

// liveToday reads what the outlook is asked from.
func liveToday(h *series.Homestead, today map[string]string) (question, error) {
	q := question{soc: 0.8, flowM3S: math.NaN(), days: 60, draws: 10, wait: 7, bear: 0.1, at: time.Now()}
	var err error
	if text := strings.TrimSpace(today["charge"]); text != "" {
		if q.soc, err = parseShare(text); err != nil {
			return q, usageError{"charge: " + err.Error()}
		}
	}
	if text := strings.TrimSpace(today["flow"]); text != "" {
		if q.flowM3S, q.errM3S, err = parseReading(text); err != nil {
			return q, usageError{"creek: " + err.Error()}
		}
	}
	if text := strings.TrimSpace(today["date"]); text != "" {
		if q.at, err = parseMoment(text); err != nil {
			return q, usageError{"day: " + err.Error()}
		}
	}
	q.at = time.Date(q.at.Year(), q.at.Month(), q.at.Day(), q.at.Hour(), 0, 0, 0, h.Site.Place.Zone())
	return q, nil
}

// Compare implements [live.Homestead].
func (p *livePage) Compare(ctx context.Context, plans []live.Plan) (*live.Answer, error) {
	t := report.Table{Caption: "Plans over all years", Head: []string{"plan", "dark hours, middling", "1 year in 5", "worst", "years carried", "creek, kWh a year", "dry-pipe stops a year"}}
	best, least := "", math.Inf(1)
	for _, plan := range plans {
		s, _, err := p.load(plan.Settings)
		if err != nil {
			return nil, err
		}
		h, err := series.New(s)
		if err != nil {
			return nil, curable(err)
		}
		c := &call{ctx: ctx, out: io.Discard, err: io.Discard, opts: options{seed: 1, quiet: true}}
		lines, err := runYears(c, h, h.Years(), func() {})
		if err != nil {
			return nil, err
		}
		row, mean := report.OverYearsRow(plan.Name, lines)
		t.Rows = append(t.Rows, row)
		if mean < least-1e-9 {
			best, least = plan.Name, mean
		}
	}
	headline := "Keep states as plans, and they stand here side by side."
	if len(plans) > 1 {
		headline = fmt.Sprintf("“%s” leaves the fewest hours dark in the mean of the years.", best)
	}
	return liveAnswer([]string{headline}, false, []report.Section{{ID: "plans", Title: "Plans side by side", Tables: []report.Table{t}}}, "compare")
}

// settingsFor reads settings for the site's files.
func settingsFor(settings []string) (set []files.Setting, err error) {
	for _, text := range settings {
		s, err := files.ParseSetting(text, text)
		if err != nil {
			return nil, live.Problem{Lines: []string{err.Error()}}
		}
		if !strings.HasPrefix(s.Key, todayKey) {
			set = append(set, s)
		}
	}
	return set, nil
}

func (p *livePage) edit(settings []string) (*site.Edit, error) {
	if p.folder == "" {
		return nil, live.Problem{Lines: []string{"The built-in homestead has no folder. Make a site of your own with \"sunrill new my-place\" and open that."}}
	}
	set, err := settingsFor(settings)
	if err != nil {
		return nil, err
	}
	e, err := site.EditFolder(p.folder, set)
	return e, curable(err)
}

// Difference implements [live.Homestead].
func (p *livePage) Difference(settings []string) ([]string, error) {
	e, err := p.edit(settings)
	if err != nil {
		return nil, err
	}
	return append([]string{}, e.Lines...), nil
}

var folderName = regexp.MustCompile(`^[\pL\pN][\pL\pN _-]{0,59}$`)

// Write implements [live.Homestead].
func (p *livePage) Write(settings []string, newFolder string) (string, error) {
	e, err := p.edit(settings)
	if err != nil {
		return "", err
	}
	if newFolder == "" {
		kept, err := e.Into()
		if err != nil {
			return "", curable(err)
		}
		return "Written. The files as they were are kept: " + strings.Join(kept, ", ") + ".", nil
	}
	if !folderName.MatchString(newFolder) {
		return "", live.Problem{Lines: []string{fmt.Sprintf("%q is no name for a folder here: letters, digits, spaces, - and _ only", newFolder)}}
	}
	dir := filepath.Join(filepath.Dir(p.folder), newFolder)
	if err := e.AsNew(dir); err != nil {
		return "", curable(err)
	}
	return "Written to " + dir + ".", nil
}

// beside names a file beside the site's folder.
func (p *livePage) beside(ending string) string { return p.folder + ending }

// Draft implements [live.Homestead].
func (p *livePage) Draft() ([]byte, error) {
	if p.folder == "" {
		return nil, nil
	}
	info, err := os.Lstat(p.beside(".draft.json"))
	if err != nil || !info.Mode().IsRegular() || info.Size() > 1<<20 {
		return nil, nil //nolint:nilerr // no draft is no fault
	}
	return os.ReadFile(p.beside(".draft.json"))
}

// Keep implements [live.Homestead].
func (p *livePage) Keep(draft []byte) error {
	if p.folder == "" {
		return nil
	}
	return site.ReplaceFile(p.beside(".draft.json"), draft)
}

// claim makes sure that one program at a time works on a site; it returns what
// gives the site free.
func (p *livePage) claim() (release func(), err error) {
	if p.folder == "" {
		return func() {}, nil
	}
	lock := p.beside(".live")
	for range 2 {
		f, err := os.OpenFile(lock, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err == nil {
			return func() { os.Remove(lock) }, f.Close()
		}
		if !errors.Is(err, os.ErrExist) {
			return nil, fmt.Errorf("open the site for the page: %w", err)
		}
		link, _ := os.ReadFile(lock)
		if alive(string(link)) {
			return nil, usageError{fmt.Sprintf("the site is open already, at %s; use that page, or stop that program first", strings.TrimSpace(string(link)))}
		}
		if err := os.Remove(lock); err != nil {
			return nil, err
		}
	}
	return nil, usageError{"the site is being opened by another program"}
}

// sign writes the page's link where the next program looks for it; only the
// owner can read it.
func (p *livePage) sign(url string) error {
	if p.folder == "" {
		return nil
	}
	return os.WriteFile(p.beside(".live"), []byte(url+"\n"), 0o600)
}

// alive tells whether a program answers on the address of a link.
func alive(link string) bool {
	rest, ok := strings.CutPrefix(strings.TrimSpace(link), "http://")
	if !ok {
		return false
	}
	addr, _, _ := strings.Cut(rest, "/")
	host, _, err := net.SplitHostPort(addr)
	if err != nil || host != "127.0.0.1" {
		return false
	}
	conn, err := net.DialTimeout("tcp", addr, 500*time.Millisecond)
	if err != nil {
		return false
	}
	conn.Close()
	return true
}

// quiet is a progress that nobody sees.
func quiet(done, total int) {}

package main

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"sunrill/cmd/sunrill/live"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/plans"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// mostAsked is after how many states the hourly parts that were kept of them
// are let go, so that memory does not grow with every move of a slider.
const mostAsked = 64

// home makes a state ready: what it has in common with the state that was asked
// last is not made again.
func (p *livePage) home(settings []string, units string) (*series.Homestead, map[string]string, error) {
	s, today, err := p.load(settings, units)
	if err != nil {
		return nil, nil, err
	}
	p.mu.Lock()
	last := p.last
	if p.asked++; p.asked%mostAsked == 0 {
		last = nil
	}
	p.mu.Unlock()
	var h *series.Homestead
	if last != nil {
		h, err = last.With(s)
	} else if h, err = series.New(s); err == nil {
		h = h.Keep()
	}
	if err != nil {
		return nil, nil, curable(err)
	}
	p.mu.Lock()
	p.last = h
	p.mu.Unlock()
	return h, today, nil
}

// Ask implements [live.Homestead].
func (p *livePage) Ask(ctx context.Context, q live.Asked) (*live.Answer, error) {
	h, today, err := p.home(q.Settings, q.Units)
	if err != nil {
		return nil, err
	}
	c := &call{ctx: ctx, out: io.Discard, err: io.Discard, opts: options{seed: 1, quiet: true, draws: cmp.Or(p.draws, usualDraws), units: q.Units}}
	years := h.Years()
	var said report.Verdict
	var sections []report.Section
	var tables tables
	switch q.Question {
	case "year":
		if q.Sure {
			return liveSure(c, h, years)
		}
		c.opts.draws = 1 // it answers while values move
		said, sections, tables, err = liveYear(c, h, years)
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
		said = v.Verdict()
		sections = []report.Section{v.Section()}
	case "drywinter":
		v, e := drywinterStudy(c, h, years, scenario.Options{Seed: 1, Synthetic: bookMadeUp, Progress: quiet})
		if err = e; err == nil {
			said = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "bank":
		v, e := bankStudy(c, h, years, bookTargetHours, false, quiet)
		if err = e; err == nil {
			said = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "worth":
		if err := needsHydro(h, "worth"); err != nil {
			return nil, curable(err)
		}
		v, e := worthStudy(c, h, years, bookWorthMadeUp, wanted{}, quiet)
		if err = e; err == nil {
			said = v.Verdict()
			sections = []report.Section{v.Section()}
		}
	case "improve":
		v, e := p.improve(c, h, q)
		if err = e; err == nil {
			said = v.Verdict()
			sec := v.Section()
			sec.Text = sec.Text[len(said.Sentences):] // the page shows the sentences above
			sections = []report.Section{sec}
		}
	case "outlook":
		from, e := liveToday(h, today)
		if e != nil {
			return nil, curable(e)
		}
		v, e := lookAhead(c, h, from, nil)
		if err = e; err == nil {
			said = v.Verdict()
			sections = v.Sections()
		}
	case "understood":
		said.Sentences = []string{fmt.Sprintf("%s: %d water years, from %d to %d.", h.Site.Name, len(years), years[0].Number(), years[len(years)-1].Number())}
		sections = newChecked(h).site(false)
	default:
		return nil, live.Problem{Lines: []string{"there is no question " + strconv.Quote(q.Question)}}
	}
	if err != nil {
		return nil, curable(err)
	}
	p.tell(q, sections, tables)
	return liveAnswer(said, sections, tables, q.Question)
}

// tables write the numbers of charts, by their name, as the command's files have
// them: of charts that bring none of their own.
type tables map[string]func(io.Writer) error

// answered is what an answer showed, for the numbers behind its charts.
type answered struct {
	key      string
	sections []report.Section
	tables   tables
}

// mostTold is how many answers are remembered.
const mostTold = 6

func askedKey(q live.Asked) string {
	return strings.Join(append([]string{q.Question, q.Units}, q.Settings...), "\n")
}

func (p *livePage) tell(q live.Asked, sections []report.Section, tables tables) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.told = append(p.told, answered{askedKey(q), slices.Clone(sections), tables})
	p.told = p.told[max(0, len(p.told)-mostTold):]
}

// figure finds a chart of an answer that is remembered, and what writes its
// numbers.
func (p *livePage) figure(q live.Asked, name string) (f report.Figure, write func(io.Writer) error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, a := range slices.Backward(p.told) {
		if a.key != askedKey(q) {
			continue
		}
		for _, sec := range a.sections {
			for _, f := range sec.Figures {
				switch {
				case f.Name != name:
				case a.tables[name] != nil:
					return f, a.tables[name]
				case f.Numbers != nil:
					return f, func(w io.Writer) error { return writeDrawn(w, f.Numbers) }
				}
			}
		}
	}
	return f, nil
}

// mostNumbers is the most rows of a chart's numbers that the page shows.
const mostNumbers = 1000

// Numbers implements [live.Homestead].
func (p *livePage) Numbers(ctx context.Context, q live.Asked, name string) (*live.Answer, error) {
	f, write := p.figure(q, name)
	if write == nil { // forgotten by now
		if _, err := p.Ask(ctx, q); err != nil {
			return nil, err
		}
		if f, write = p.figure(q, name); write == nil {
			return nil, live.Problem{Lines: []string{"there are no numbers of such a chart"}}
		}
	}
	var text, page bytes.Buffer
	if err := write(&text); err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fmt.Errorf("the numbers of %s: %w", name, err)
	}
	t := report.Table{Caption: "The numbers of: " + f.Title, Head: rows[0], Rows: rows[1:]}
	if n := len(t.Rows); n > mostNumbers {
		t.Rows = t.Rows[:mostNumbers]
		t.Note = fmt.Sprintf("The first %d of %d rows; the CSV files of the command have all.", mostNumbers, n)
	}
	err = report.Fragment(&page, nil, []report.Section{{Title: "Numbers", Tables: []report.Table{t}}}, report.Marks{})
	return &live.Answer{HTML: page.String()}, err
}

// improve tries the catalogue of single changes on top of a state.
func (p *livePage) improve(c *call, h *series.Homestead, q live.Asked) (report.Improve, error) {
	st, err := p.state(q.Settings)
	if err != nil {
		return report.Improve{}, err
	}
	read := func(more []files.Setting) (*site.Site, error) {
		st := st
		st.set = slices.Concat(st.set, more)
		return p.read(st, q.Units)
	}
	b := plans.NewBase(read, h, h.Years())
	if err := c.underDraws(b); err != nil {
		return report.Improve{}, err
	}
	r, err := b.Improve(c.ctx, quiet)
	return report.Improve{Result: r, System: units(h.Site)}, err
}

func liveAnswer(said report.Verdict, sections []report.Section, tables tables, question string) (*live.Answer, error) {
	for i := range sections {
		if slices.Equal(sections[i].Text, said.Sentences) || question != "year" && question != "understood" && question != "improve" {
			sections[i].Text = nil // the sentences above say it
		}
	}
	var b bytes.Buffer
	marks := report.Marks{Overlay: map[string]bool{"charge": true, "outlook-charge": true, "outlook-dark": true}, Numbers: map[string]bool{}}
	for name := range tables {
		marks.Numbers[name] = true
	}
	if err := report.Fragment(&b, said.Sentences[1:], sections, marks); err != nil {
		return nil, err
	}
	return &live.Answer{Headline: said.Sentences[0], Bad: said.Bad, HTML: b.String()}, nil
}

// liveYear is the first thing that the page shows: how the years go, and a
// middling one drawn.
func liveYear(c *call, h *series.Homestead, years []weather.Year) (report.Verdict, []report.Section, tables, error) {
	lines, carried, err := yearStudy(c, h, years, quiet)
	if err != nil {
		return report.Verdict{}, nil, nil, err
	}
	y, err := sim.Run(h.Input(years[carried.Middling]), h.Bus())
	if err != nil {
		return report.Verdict{}, nil, nil, err
	}
	v := yearReport(h, y)
	said := carried.Verdict()
	if len(years) == 1 {
		said = v.Verdict()
	}
	whole := 0
	for _, l := range lines {
		if l.Summary.UnmetHours == 0 {
			whole++
		}
	}
	said.Sentences = append(said.Sentences, fmt.Sprintf("Carried through every hour: %d of %s.", whole, measure.Plural(len(lines), "year", "years")))
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
	days := func(w io.Writer) error { return record.WriteDays(w, y.Days()) }
	months := func(w io.Writer) error { return record.WriteMonths(w, y.Months()) }
	return said, sections, tables{"charge": days, "rain-and-creek": days, "energy-by-month": months}, nil
}

// liveSure is how sure the first answer is, under draws.
func liveSure(c *call, h *series.Homestead, years []weather.Year) (*live.Answer, error) {
	_, carried, err := yearStudy(c, h, years, quiet)
	if err != nil {
		return nil, curable(err)
	}
	quickly := carried
	quickly.Carried.Draws = 0
	first := quickly.Verdict().Sentences // the page shows it already
	verdict := carried.Verdict()
	sentences := verdict.Sentences[len(first):]
	said := min(2, len(sentences)) // how sure, and in how many draws
	var b bytes.Buffer
	sec := report.Section{ID: "sure", Title: "How sure", Text: sentences[said:], Tables: []report.Table{carried.Table()}}
	if err := report.Fragment(&b, nil, []report.Section{sec}, report.Marks{}); err != nil {
		return nil, err
	}
	return &live.Answer{Headline: strings.Join(sentences[:said], " "), Bad: verdict.Bad, HTML: b.String()}, nil
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

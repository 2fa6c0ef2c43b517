package main

import (
	"bytes"
	"cmp"
	"context"
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
	switch q.Question {
	case "year":
		if q.Sure {
			return liveSure(c, h, years)
		}
		c.opts.draws = 1 // it answers while values move
		said, sections, err = liveYear(c, h, years)
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
	return liveAnswer(said, sections, q.Question)
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

func liveAnswer(said report.Verdict, sections []report.Section, question string) (*live.Answer, error) {
	for i := range sections {
		if slices.Equal(sections[i].Text, said.Sentences) || question != "year" && question != "understood" && question != "improve" {
			sections[i].Text = nil // the sentences above say it
		}
	}
	var b bytes.Buffer
	if err := report.Fragment(&b, said.Sentences[1:], sections, map[string]bool{"charge": true, "outlook-charge": true, "outlook-dark": true}); err != nil {
		return nil, err
	}
	return &live.Answer{Headline: said.Sentences[0], Bad: said.Bad, HTML: b.String()}, nil
}

// liveYear is the first thing that the page shows: how the years go, and a
// middling one drawn.
func liveYear(c *call, h *series.Homestead, years []weather.Year) (report.Verdict, []report.Section, error) {
	lines, carried, err := yearStudy(c, h, years, quiet)
	if err != nil {
		return report.Verdict{}, nil, err
	}
	y, err := sim.Run(h.Input(years[carried.Middling]), h.Bus())
	if err != nil {
		return report.Verdict{}, nil, err
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
	return said, sections, nil
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
	if err := report.Fragment(&b, nil, []report.Section{sec}, nil); err != nil {
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

// Compare implements [live.Homestead].
func (p *livePage) Compare(ctx context.Context, plans []live.Plan, units string) (*live.Answer, error) {
	t := report.Table{Caption: "Plans over all years", Head: []string{"plan", "dark hours, middling", "1 year in 5", "worst", "years carried", "creek, kWh a year", "dry-pipe stops a year"}}
	best, least := "", math.Inf(1)
	for _, plan := range plans {
		h, _, err := p.home(plan.Settings, units)
		if err != nil {
			return nil, err
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
	return liveAnswer(report.Verdict{Sentences: []string{headline}}, []report.Section{{ID: "plans", Title: "Plans side by side", Tables: []report.Table{t}}}, "compare")
}

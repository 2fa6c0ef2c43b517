package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// Odds says in a word how often something comes out among draws, with the count
// beside it: "likely (16 of 20)". The words are the same everywhere: sure from
// 19 of 20 on, likely from 15, open between 15 and 5, unlikely from 5 down, as
// good as ruled out from 1 down.
func Odds(n, of int) string {
	word := "open"
	switch {
	case 20*n >= 19*of:
		word = "sure"
	case 20*n >= 15*of:
		word = "likely"
	case 20*n <= of:
		word = "as good as ruled out"
	case 20*n <= 5*of:
		word = "unlikely"
	}
	return fmt.Sprintf("%s (%d of %d)", word, n, of)
}

// OddsNote tells the words of [Odds] once.
const OddsNote = "Sure: 19 of 20 draws or more; likely: 15 or more; open: between; unlikely: 5 or fewer; as good as ruled out: 1 or none."

// Doubts is what is not known for sure of a site, for words.
type Doubts struct {
	Draws   int
	Causes  []sim.Cause
	Unknown bool        // the creek's model was not fitted to readings
	Blames  *sim.Blames // what the spreads come from; nil: too few draws to tell
}

// causeNames are the causes as a person calls them.
var causeNames = map[sim.Cause]string{
	sim.TheSky: "sky", sim.TheCreek: "creek", sim.TheSunHours: "sun hours", sim.TheHead: "head",
	sim.TheFlow: "measured flow", sim.TheEfficiency: "efficiency", sim.TheLoads: "loads", sim.ThePrices: "prices",
}

// What says what the draws are drawn of.
func (d Doubts) What() string {
	var names []string
	for _, c := range d.Causes {
		names = append(names, causeNames[c])
	}
	return listed(names)
}

// Note explains the draws once.
func (d Doubts) Note() string {
	return fmt.Sprintf("A draw is one sky that the rain and the sun hours allow, and one value of each thing that nobody knows for sure (%s; see [uncertainty]), run through every year. 8 in 10: the range that one more draw would fall into in 8 cases of 10.", d.What())
}

// unknownCreek says why the ranges are wide.
const unknownCreek = "The creek was not fitted to readings, so it is drawn from all that is usual, and the ranges are honestly wide: \"sunrill fit\" narrows them."

// listed joins names: "a, b and c".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// Carried is the chapter on how a house fares over its years, and how sure that
// is.
type Carried struct {
	Carried                    sim.Carried
	Doubts                     Doubts
	Lines                      []YearLine // of the middle values; may be nil where only one year was run
	Middling, OneInFive, Worst int        // places in Lines
}

// NewCarried picks out the years that stand for the others.
func NewCarried(c sim.Carried, d Doubts, lines []YearLine) Carried {
	v := Carried{Carried: c, Doubts: d, Lines: lines}
	heads := make([]sim.Summary, len(lines))
	for i, l := range lines {
		heads[i] = l.Summary
	}
	v.Middling, v.OneInFive, v.Worst = sim.AtFraction(heads, 0.5), sim.AtFraction(heads, 0.8), sim.Worst(heads)
	return v
}

// Verdict says it in sentences, and whether it is bad news.
func (v Carried) Verdict() Verdict {
	var sentences []string
	bad := false
	c := v.Carried
	say := func(format string, a ...any) { sentences = append(sentences, fmt.Sprintf(format, a...)) }
	one := len(v.Lines) == 1
	if !one {
		dark := func(year int, of sim.Range, more string) string {
			l := v.Lines[year]
			if l.Summary.UnmetHours == 0 {
				more = ""
			}
			return fmt.Sprintf("for %s%s%s%s", measure.Hours(float64(l.Summary.UnmetHours)), more, reach(of), l.dark())
		}
		name := func(year int) string { return v.Lines[year].Name() }
		say("Of %d years a middling one (%s) leaves you in the dark %s; one in five (%s) %s; the worst (%s) %s.", len(v.Lines),
			name(v.Middling), dark(v.Middling, c.MiddlingRange, ""), name(v.OneInFive), dark(v.OneInFive, c.OneInFiveRange, " or more"), name(v.Worst), dark(v.Worst, c.WorstRange, ""))
		bad = v.Lines[v.OneInFive].Summary.UnmetHours > 0
		if reach(c.MiddlingRange)+reach(c.OneInFiveRange)+reach(c.WorstRange) != "" {
			sentences = append(sentences, inBrackets+fewYears(len(v.Lines)))
		}
	}
	if c.Draws == 0 {
		return Verdict{sentences, bad}
	}
	none := func(d sim.Doubt) string {
		n, of := d.Count(func(h float64) bool { return h == 0 })
		return Odds(n, of)
	}
	if one {
		span := "this year"
		if v.Lines[0].unfinished() {
			span = "this season so far"
		}
		say("How sure: over %d draws of %s %s leaves %s in the dark; carried through every hour: %s.", c.Draws, v.Doubts.What(), span, rangedHours(c.Middling), none(c.Middling))
		sentences = append(sentences, v.Doubts.blame("the hours in the dark", func(b *sim.Blames) sim.Blame { return b.Dark })...)
		return Verdict{sentences, bad}
	}
	say("How sure: over %d draws of %s a middling year leaves %s in the dark, one in five %s, the worst %s.",
		c.Draws, v.Doubts.What(), rangedHours(c.Middling), rangedHours(c.OneInFive), rangedHours(c.Worst))
	say("That a middling year is carried through every hour: %s; four years of five: %s; every year: %s.", none(c.Middling), none(c.OneInFive), none(c.Worst))
	if low, _ := c.Worst.Range(); c.Worst.Middle < low {
		say("The middle values are kinder than the draws: they leave out the luck of single days and of bad years. Trust the ranges.")
	}
	sentences = append(sentences, v.Doubts.blame("the hours in the dark", func(b *sim.Blames) sim.Blame { return b.Dark })...)
	if v.Doubts.Unknown {
		say("%s", unknownCreek)
	}
	return Verdict{sentences, bad}
}

// Section is the chapter.
func (v Carried) Section() Section {
	sec := Section{ID: "sure", Title: "How sure"}
	sec.Text = v.Verdict().Sentences
	if v.Carried.Draws > 0 {
		sec.Tables = []Table{v.Table()}
	}
	return sec
}

// Table lists the ranges.
func (v Carried) Table() Table {
	t := Table{
		Caption: "Hours in the dark, a year",
		Head:    []string{"year", "by the middle values", "middle of the draws", "8 in 10 from", "to", "none in"},
		Data:    "draws.csv",
		Note:    v.Doubts.Note() + " " + OddsNote,
	}
	c := v.Carried
	row := func(name string, d sim.Doubt, years sim.Range) {
		low, high := d.Range()
		mid, from, to := measure.RangedHours(d.Median(), low, high)
		n, of := d.Count(func(h float64) bool { return h == 0 })
		t.Rows = append(t.Rows, []string{name, measure.HoursNumber(d.Middle) + reach(years), mid, from, to, fmt.Sprintf("%d of %d", n, of)})
	}
	if c.Years == 1 {
		name := "this year"
		if len(v.Lines) == 1 && v.Lines[0].unfinished() {
			name, t.Caption = v.Lines[0].Name(), "Hours in the dark"
		}
		row(name, c.Middling, sim.Range{})
		return t
	}
	t.Note = inBrackets + " " + t.Note
	row("middling", c.Middling, c.MiddlingRange)
	row("one in five", c.OneInFive, c.OneInFiveRange)
	row("worst", c.Worst, c.WorstRange)
	return t
}

// dark names the months in which a year has most of its unmet hours, the worst
// first: as many as make four in five of them.
func (l YearLine) dark() string {
	total := 0
	var months []time.Month
	for m, h := range l.UnmetByMonth {
		if h > 0 {
			total += h
			months = append(months, time.Month(m+1))
		}
	}
	if total == 0 {
		return ""
	}
	slices.SortStableFunc(months, func(a, b time.Month) int { return l.UnmetByMonth[b-1] - l.UnmetByMonth[a-1] })
	var names []string
	sum := 0
	for _, m := range months {
		names = append(names, m.String())
		if sum += l.UnmetByMonth[m-1]; 5*sum >= 4*total {
			break
		}
	}
	if len(names) == len(months) {
		return ", in " + listed(names)
	}
	return ", most of them in " + listed(names)
}

// rangedHours writes the middle and the range of a number of hours.
func rangedHours(d sim.Doubt) string {
	low, high := d.Range()
	mid, from, to := measure.RangedHours(d.Median(), low, high)
	if from == to {
		return mid + " hours"
	}
	return fmt.Sprintf("%s hours (8 in 10: %s to %s)", mid, from, to)
}

// Reaches say how far the hours of the middling year and of the worst reach, for
// a table of the years, and explain it in a note; "" where they reach nowhere.
func (v Carried) Reaches() (middling, worst, note string) {
	middling, worst = reach(v.Carried.MiddlingRange), reach(v.Carried.WorstRange)
	if middling+worst != "" {
		note = inBrackets
	}
	return middling, worst, note
}

// odds says in one sentence how sure it is.
func (v Carried) odds() string {
	c := v.Carried
	if c.Draws == 0 {
		return ""
	}
	n, of := c.OneInFive.Count(func(h float64) bool { return h == 0 })
	return fmt.Sprintf("8 in 10 draws leave %s in a middling year; that four years of five are carried through: %s.", strings.TrimSpace(span8(c.Middling)+" hours"), Odds(n, of))
}

func span8(d sim.Doubt) string {
	low, high := d.Range()
	_, from, to := measure.RangedHours(d.Median(), low, high)
	if from == to {
		return from
	}
	return from + " to " + to
}

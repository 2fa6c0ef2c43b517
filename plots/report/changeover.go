package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/measure"
)

// Changeover is what the section on opening and closing the valve is made
// from.
type Changeover struct {
	Result *changeover.Result
	System measure.System

	// One water year with the dates of Pair, and the same with the valve
	// closed; both nil: not drawn.
	Year, Closed *sim.Year
	Pair         changeover.Pair

	// What the site's own dates come to; nil: it has none.
	Own      *changeover.Outcome
	OwnDates string // "from 5 November to 20 April"

	Doubts Doubts // what the draws are drawn of, where there are any

	OfYear bool // the section is part of the report of a year, whose files do not hold the numbers
}

// Verdict says in sentences which dates to keep, and whether the first of them
// is bad news.
func (v Changeover) Verdict() Verdict {
	var sentences []string
	r := v.Result
	sentences = []string{v.answer()}
	if v.OfYear {
		sentences = append(sentences, "These dates are known only afterwards: \"sunrill changeover\" looks at all years and finds a rule to follow.")
	}
	if v.Own != nil {
		sentences = append(sentences, v.ownText())
	}
	sentences = append(sentences, v.sure()...)
	sentences = append(sentences, v.windowText()...)
	sentences = append(sentences, v.steadyText()...)
	sentences = append(sentences, v.ruleText()...)
	return Verdict{sentences, r.Best.UnmetHours > 0}
}

// Section returns the chapter, with the verdict as its text.
func (v Changeover) Section() Section {
	r := v.Result
	sec := Section{ID: "changeover", Title: "When to open and close the valve"}
	sec.Text = v.Verdict().Sentences
	if r.Best.UnmetHours != r.Never.UnmetHours { // else the map has one colour
		sec.Figures = append(sec.Figures, Figure{Chart: v.mapChart()})
	}
	if v.Year != nil {
		sec.Figures = append(sec.Figures, Figure{v.yearChart(), ""})
	}
	if v.severalDated() {
		sec.Figures = append(sec.Figures, Figure{v.yearsChart(), v.file("changeover.json")})
	}
	if v.several() {
		sec.Tables = append(sec.Tables, v.alternativesTable())
	}
	if t := v.costTable(); len(t.Rows) > 0 {
		sec.Tables = append(sec.Tables, t)
	}
	if v.severalDated() {
		sec.Tables = append(sec.Tables, v.yearTable())
	}
	return sec
}

// file is the name of a file with the numbers, if it stands beside the page.
func (v Changeover) file(name string) string {
	if v.OfYear {
		return ""
	}
	return name
}

func (v Changeover) several() bool { return len(v.Result.Years) > 1 }

// severalDated reports whether there are several years and dates that matter
// in any of them.
func (v Changeover) severalDated() bool {
	return v.several() && slices.ContainsFunc(v.Result.Each, func(y changeover.YearBest) bool { return y.Dated() })
}

// ownText lays the site's own dates beside the best.
func (v Changeover) ownText() string {
	own, best := v.Own, v.Result.Best
	more := own.UnmetHours - best.UnmetHours
	switch {
	case more < 0.05 && best.Pair == changeover.Never:
		return fmt.Sprintf("The site's own dates, %s, do no harm, nor do they help.", v.OwnDates)
	case more < 0.05:
		s := fmt.Sprintf("The site's own dates, %s, leave the house short no longer than the best ones", v.OwnDates)
		if low := own.LowHours - best.LowHours; low >= 1 {
			s += fmt.Sprintf(", but the bank lower than you want it (below the comfort charge) for %s more", measure.Hours(low))
		}
		return s + "."
	}
	return fmt.Sprintf("The site's own dates, %s, cost %s more than the best ones: %s.", v.OwnDates, measure.Hours(more), measure.Energy(own.UnmetWh-best.UnmetWh))
}

// odds says in one sentence where the best dates lie in the draws.
func (v Changeover) odds() string {
	u := v.Result.Sure
	if u == nil || !v.Result.Best.Dated() || 2*u.Dated <= u.Draws {
		return ""
	}
	openFrom, openTo := u.Open.Range()
	closeFrom, closeTo := u.Close.Range()
	day := func(d float64) string { return v.spoken(int(math.Round(d))) }
	return fmt.Sprintf("In 8 of 10 draws the best opening lies between %s and %s, the best closing between %s and %s.", day(openFrom), day(openTo), day(closeFrom), day(closeTo))
}

// sure says how sure the dates are.
func (v Changeover) sure() []string {
	u, best := v.Result.Sure, v.Result.Best
	if u == nil {
		return nil
	}
	text := fmt.Sprintf("How sure: over %d draws of %s", u.Draws, v.Doubts.What())
	if best.Dated() {
		day := func(d float64) string { return v.spoken(int(math.Round(d))) }
		if 2*u.Dated > u.Draws {
			openFrom, openTo := u.Open.Range()
			closeFrom, closeTo := u.Close.Range()
			text += fmt.Sprintf(" the best day to open lies between %s and %s in 8 of 10, the best to close between %s and %s;", day(openFrom), day(openTo), day(closeFrom), day(closeTo))
		}
		regret, _, to := ranged(u.Regret)
		text += fmt.Sprintf(" the dates above leave %s a year, which is %s hours (up to %s) more than each draw's own best.", rangedHours(u.AtBest), regret, to)
	} else if best.Pair == changeover.Never {
		text += fmt.Sprintf(" a valve that stays closed is best in %d.", u.Never)
	} else {
		text += fmt.Sprintf(" a valve open all year leaves %s a year.", rangedHours(u.AtBest))
	}
	if best.Pair != changeover.Never {
		text += fmt.Sprintf(" That they halve what a closed valve leaves, or better: %s.", Odds(u.Helps, u.Draws))
	}
	out := append([]string{text}, v.Doubts.blame("the day from which the creek can run the turbine", func(b *sim.Blames) sim.Blame { return b.Start })...)
	if v.Doubts.Unknown {
		out = append(out, unknownCreek)
	}
	return out
}

// windowText says within which dates there is no hurry.
func (v Changeover) windowText() []string {
	w := v.Result.Window
	if w == nil {
		return nil
	}
	open := v.spanText("opening", w.Open)
	close := v.spanText("closing", w.Close)
	return []string{fmt.Sprintf("There is no hurry within these dates, each of which costs at most one unmet hour while the other date is kept: %s, and %s.", open, close)}
}

func (v Changeover) spanText(what string, s changeover.Span) string {
	if s.From == s.To {
		return fmt.Sprintf("%s only on %s", what, v.spoken(s.From))
	}
	return fmt.Sprintf("%s from %s to %s", what, v.spoken(s.From), v.spoken(s.To))
}

func (v Changeover) spoken(day int) string {
	switch day {
	case 0:
		return "the water year's start"
	case v.Result.Days():
		return "its end"
	}
	return v.Result.Date(day).Format("2 January")
}

// on writes "on 5 November", or "at the water year's start".
func (v Changeover) on(day int) string {
	if day == 0 || day == v.Result.Days() {
		return "at " + v.spoken(day)
	}
	return "on " + v.spoken(day)
}

// steadyText names the pair for those who plan for a bad year.
func (v Changeover) steadyText() []string {
	s := v.Result.Steady
	if !v.several() || !s.Dated() {
		return nil
	}
	far, bracketed := reach(s.HoldsRange), ""
	if far != "" {
		bracketed = " " + inBrackets
	}
	if s.Pair == v.Result.Best.Pair {
		return []string{fmt.Sprintf("The same dates also hold best in bad years: in %d of %d years they leave %s unmet%s.%s",
			s.HoldsYears, len(v.Result.Years), atMost(s.HoldsHours), far, bracketed)}
	}
	return []string{fmt.Sprintf("To plan for a bad year, open %s and close %s: in %d of %d years that leaves %s unmet%s.%s",
		v.on(s.Pair.Open), v.on(s.Pair.Close), s.HoldsYears, len(v.Result.Years), atMost(s.HoldsHours), far, bracketed)}
}

func atMost(hours float64) string {
	if hours == 0 {
		return "no hour"
	}
	return "at most " + measure.Hours(hours)
}

// ruleText gives the rule to live by and what it costs.
func (v Changeover) ruleText() []string {
	r := v.Result.Rule
	if r == nil || !v.several() {
		return nil
	}
	if r.AllYear {
		alone := "The turbine stops by itself when the creek is low"
		if r.DryPipeStops > 0 {
			alone += fmt.Sprintf("; the intake runs dry %s a year", times(r.DryPipeStops))
		}
		return []string{"A rule to live by: " + lowerFirst(v.Rule()), alone + "."}
	}
	cost := fmt.Sprintf("Followed in all %d years, the rule leaves %s unmet a year", len(v.Result.Years), measure.Hours(r.UnmetHours))
	if r.Regret < 0.05 {
		cost += ", as few as with perfect foresight"
	} else {
		cost += fmt.Sprintf(", %s more than with perfect foresight", measure.Hours(r.Regret))
	}
	if r.DryPipeStops > 0 {
		cost += fmt.Sprintf(", and the intake runs dry %s a year", times(r.DryPipeStops))
	}
	cost += fmt.Sprintf("; it takes %s walks", measure.Digits(r.Visits, 2))
	cost += ". It is chosen so that a bucket or a gauge misread by a fifth costs little."
	if r.LeftOutGroups > 1 {
		cost += fmt.Sprintf(" Rules found in the same way without a year leave %s unmet when tried on that year: expect that much.", measure.Hours(r.LeftOutUnmet))
	}
	return []string{"A rule to live by: " + lowerFirst(v.Rule()), cost}
}

// times writes how often something happens, also as a mean.
func times(n float64) string {
	if n == 1 {
		return "once"
	}
	return measure.Digits(n, 2) + " times"
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// costTable tells what other days cost.
func (v Changeover) costTable() Table {
	t := Table{
		Caption: "What another day costs, against the best dates",
		Head:    []string{"if you", "unmet hours", "unmet, kWh", "dry-pipe stops", "hours below comfort"},
		Data:    v.file("changeover.csv"),
		Note:    "The other date is kept at its best.",
	}
	for _, c := range v.Result.Costs {
		when := "late"
		weeks := c.Weeks
		if weeks < 0 {
			when, weeks = "early", -weeks
		}
		move := "open"
		if c.Closing {
			move = "close"
		}
		t.Rows = append(t.Rows, []string{
			fmt.Sprintf("%s %s %s", move, numberWords(weeks), when),
			more(c.UnmetHours, 0), more(c.UnmetWh/1000, 1), more(c.Stops, 1), more(c.LowHours, 0),
		})
	}
	return t
}

// alternativesTable lays the ways to work the valve side by side.
func (v Changeover) alternativesTable() Table {
	fuel := false
	for _, w := range v.Result.Alternatives {
		fuel = fuel || w.FuelL > 0
	}
	t := Table{
		Caption: "Ways to work the valve",
		Head:    []string{"way", "open", "close", "unmet hours, mean", "one year in five", "dry-pipe stops", "walks up", "days open"},
		Data:    v.file("changeover.json"),
		Note:    "Means of a year; one year in five has more unmet hours than it says. " + inBrackets + " The rule opens and closes on the days that its signals tell.",
	}
	if fuel {
		t.Head = append(t.Head, "fuel")
	}
	for _, w := range v.Result.Alternatives {
		open, close := valveDates(w.Choice, v.Result.Start())
		row := []string{practices[w.Practice], open, close, measure.HoursNumber(w.UnmetHours), measure.HoursNumber(w.OneInFive) + reach(w.FiveRange),
			measure.Digits(w.DryPipeStops, 2), measure.Count(int(w.Visits + 0.5)), measure.Count(int(w.OpenDays + 0.5))}
		if fuel {
			row = append(row, v.System.Volume(w.FuelL/1000))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func numberWords(weeks int) string {
	if weeks == 1 {
		return "a week"
	}
	return map[int]string{2: "two weeks", 4: "four weeks"}[weeks]
}

// more writes a difference with its sign.
func more(v float64, places int) string {
	s := fmt.Sprintf("%+.*f", places, v)
	if strings.Trim(s, "+-0.") == "" {
		return "0"
	}
	return strings.Replace(s, "-", "−", 1)
}

// yearTable lists the best dates and the rule's of each year.
func (v Changeover) yearTable() Table {
	r := v.Result
	rain := v.System.RainAxis()
	places := 0
	if v.System == measure.US {
		places = 1
	}
	t := Table{
		Caption: "The years",
		Head:    []string{"from", "rain, " + rain.Unit, "best opening", "best closing", "unmet hours", "closed all year"},
		Minor:   []int{1},
		Data:    v.file("changeover.json"),
		Note:    "Best dates are known only afterwards.",
	}
	if r.Rule != nil {
		t.Head = append(t.Head, "rule opens", "rule closes", "unmet hours by rule")
		t.Minor = append(t.Minor, 6, 7)
	}
	for i, y := range r.Each {
		open, close := valveDates(y.Choice, y.Start)
		row := []string{fmt.Sprint(y.Start.Year()), fmt.Sprintf("%.*f", places, rain.Of(y.RainMM)), open, close,
			measure.HoursNumber(y.UnmetHours), measure.HoursNumber(y.Never)}
		if r.Rule != nil {
			p := r.Rule.Played[i]
			open, close := valveDates(p.Choice, y.Start)
			row = append(row, open, close, measure.HoursNumber(p.UnmetHours))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (v Changeover) mapChart() plots.Chart {
	r := v.Result
	m := plots.ChangeoverMap{Start: r.Start(), Days: r.Days(), Years: len(r.Years)}
	m.UnmetHours = func(open, close int) float64 {
		if open == close || close < open && !r.Around() {
			return math.NaN()
		}
		return r.Of(changeover.Pair{Open: open, Close: close}).UnmetHours
	}
	if w := r.Window; w != nil {
		m.Dated = true
		m.BestOpen, m.BestClose = r.Best.Pair.Open, r.Best.Pair.Close
		m.OpenFrom, m.OpenTo = w.Open.From, w.Open.To
		m.CloseFrom, m.CloseTo = w.Close.From, w.Close.To
	}
	return plots.ChangeoverDates(m)
}

func (v Changeover) yearChart() plots.Chart {
	y := v.Year
	c := plots.ChangeoverYear{
		Start: y.In.Start, FlowM3S: y.In.FlowM3S, TurbineM3S: y.In.TurbineM3S, CutoffM3S: y.In.CutoffM3S,
		SoC: y.SoC, FloorSoC: y.Bus.Bank.FloorSoC, Open: v.Pair.Open, Close: v.Pair.Close,
		FlowScale: v.System.FlowAxis(),
	}
	if v.Closed != nil {
		c.ClosedSoC = v.Closed.SoC
	}
	return plots.ChangeoverThroughYear(c)
}

func (v Changeover) yearsChart() plots.Chart {
	r := v.Result
	s := plots.ChangeoverSeasons{Start: r.Start(), Days: r.Days(), RainScale: v.System.RainAxis()}
	for _, y := range r.Each {
		one := plots.ChangeoverSeason{Year: y.Start.Year(), RainMM: y.RainMM, Open: y.Pair.Open, Close: y.Pair.Close}
		if !y.Dated() {
			one.Word, _ = valveDates(y.Choice, y.Start)
		} else {
			one.OpenFrom, one.OpenTo = y.Window.Open.From, y.Window.Open.To
			one.CloseFrom, one.CloseTo = y.Window.Close.From, y.Window.Close.To
		}
		s.Seasons = append(s.Seasons, one)
	}
	return plots.ChangeoverByYear(s)
}

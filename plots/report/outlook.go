package report

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
	"sunrill/sources/stream"
)

// Outlook is what the page of an outlook is made from.
type Outlook struct {
	Result   *scenario.Outlook
	Judged   *scenario.Judged // nil: not asked for
	Creek    stream.Today
	Reading  float64     // m³/s; NaN: none
	Years    int         // of past weather
	Draws    int         // of each
	Drawn    []sim.Cause // what the draws are of
	Sets     [][]float64 // bores in m, of each of Result.Sets; nil with a spear valve
	OverM3S  float64     // what the creek must bring beyond the turbine's need
	Uses     []string    // names, by UseOutlook.Use
	Told     string      // where the charge comes from: "" as given
	Forecast int         // days told by a forecast
	Before   string      // how the last outlook turned out; "" none
	System   measure.System
}

// planName names what is done with the valve.
func (v Outlook) planName(p scenario.ValvePlan) string {
	switch p.Kind {
	case scenario.OpenNow:
		return "open now"
	case scenario.Wait:
		return fmt.Sprintf("wait %s, then open", measure.Plural(p.WaitDays, "day", "days"))
	case scenario.CloseNow:
		return "closed all the time"
	case scenario.WithoutIt:
		return withoutCreek(v.Result.Sources)
	}
	return "by your dates"
}

// share writes a chance as a count of a hundred futures; what happens in a few
// of many is not written as none.
func fraction(p float64) string {
	n := math.Round(100 * p)
	switch {
	case p <= 0:
		return "in none of the futures"
	case n < 1:
		return "in fewer than 1 of 100 futures"
	case p >= 1:
		return "in all futures"
	case n > 99:
		return "in more than 99 of 100 futures"
	}
	return fmt.Sprintf("in %.0f of 100 futures", n)
}

func percentOf(p float64) string {
	switch n := 100 * p; {
	case p > 0 && n < 1:
		return "under 1 %"
	case p < 1 && n > 99:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", n)
	}
}

func (v Outlook) day(days float64) time.Time {
	return v.Result.Start.Add(time.Duration(days * 24 * float64(time.Hour)))
}

func (v Outlook) date(days float64) string {
	if math.IsInf(days, 1) {
		return fmt.Sprintf("not within %d days", v.Result.Days)
	}
	return v.day(days).Format("2 January")
}

// on writes "on 3 December" or "not within 60 days".
func (v Outlook) on(days float64) string {
	if math.IsInf(days, 1) {
		return v.date(days)
	}
	return "on " + v.date(days)
}

// Verdict says in paragraphs what lies ahead, the answer first, and whether it
// is bad news.
func (v Outlook) Verdict() Verdict {
	r := v.Result
	best := r.Plans[r.Best]
	last := best.ChanceByDay[r.Days-1]
	var text []string
	if last == 0 {
		text = append(text, fmt.Sprintf("It does not get dark within %s in any of %s.", measure.Plural(r.Days, "day", "days"), measure.Plural(r.Futures, "future", "futures")))
	} else {
		s := fmt.Sprintf("It gets dark within %s %s: in a middling one %s", measure.Plural(r.Days, "day", "days"), fraction(last), v.on(best.Dark.Median))
		if best.Dark.OneIn5 != best.Dark.Median {
			s += fmt.Sprintf(", in a bad one (1 in 5) %s", v.on(best.Dark.OneIn5))
		}
		if best.Dark.OneIn20 != best.Dark.OneIn5 {
			s += fmt.Sprintf(", in a very bad one (1 in 20) %s", v.on(best.Dark.OneIn20))
		}
		text = append(text, s+".")
		if len(best.Chance) > 1 {
			var parts []string
			for i, c := range best.Chance {
				parts = append(parts, fmt.Sprintf("%s within %d days", percentOf(c), scenario.Leads[i]))
			}
			text = append(text, "The chance of a dark hour: "+listed(parts)+".")
		}
	}
	if s := v.valve(); s != "" {
		text = append(text, s)
	}
	if s := v.creek(); s != "" {
		text = append(text, s)
	}
	if r.Generator {
		g := best.Generator
		switch {
		case g.Fraction == 0:
			text = append(text, "The generator is not needed in any future.")
		default:
			text = append(text, fmt.Sprintf("The generator has to run %s: in a middling one first %s, in a bad one (1 in 5) %s. It burns %s in the mean of all.",
				fraction(g.Fraction), v.on(g.Median), v.on(g.OneIn5), litres(v.System, best.FuelL)))
		}
	}
	if s := v.putOff(); s != "" {
		text = append(text, s)
	}
	if v.Before != "" {
		text = append(text, v.Before)
	}
	return Verdict{append(text, v.made()), last > 0}
}

func litres(s measure.System, l float64) string {
	a := s.LitreAxis()
	return measure.Digits(a.Of(l), 2) + " " + a.Unit
}

// TurnedOut says how an outlook of the past came out: what it told for now
// beside how full the bank is and what the creek gives now. readM3S is NaN
// where the creek was not read.
func (v Outlook) TurnedOut(decided string, now time.Time, soc, readM3S float64) string {
	r := v.Result
	p := r.Plans[0]
	s := fmt.Sprintf("Your outlook of %s", r.Start.Format("2 January 2006"))
	if decided != "" {
		s += fmt.Sprintf(" (you noted: %s)", decided)
	}
	s += fmt.Sprintf(" told %.0f to %.0f %% of charge for %s in 8 of 10 futures; the bank is at %.0f %%", 100*p.End.P10, 100*p.End.P90, now.Format("2 January"), 100*soc)
	switch {
	case soc < p.End.P10:
		s += ", lower than that"
	case soc > p.End.P90:
		s += ", higher than that"
	}
	if n := len(r.Flow); n > 0 && !math.IsNaN(readM3S) {
		q := r.Flow[n-1]
		s += fmt.Sprintf(". For the creek it told %s to %s; you read %s", v.System.Flow(q.P10), v.System.Flow(q.P90), v.System.Flow(readM3S))
	}
	return s + fmt.Sprintf(". It gave the chance of a dark hour until now as %s.", percentOf(p.ChanceByDay[r.Days-1]))
}

// valve says what to do with the valve, and what else it would cost.
func (v Outlook) valve() string {
	r := v.Result
	best := r.Plans[r.Best]
	if best.Plan.Kind == scenario.WithoutIt {
		return ""
	}
	var s string
	switch {
	case best.Plan.Kind == scenario.OpenNow && best.Plan.Walks == 0:
		s = "Leave the valve open"
	case best.Plan.Kind == scenario.OpenNow:
		s = "Open the valve now, with load and dump load connected first"
	case best.Plan.Kind == scenario.Wait:
		s = fmt.Sprintf("Wait %s with opening the valve", measure.Plural(best.Plan.WaitDays, "day", "days"))
	case best.Plan.Kind == scenario.CloseNow && best.Plan.Walks == 0:
		s = "Leave the valve closed"
	case best.Plan.Kind == scenario.CloseNow:
		s = "Close the valve"
	default:
		s = "Open and close the valve by your dates"
	}
	s += fmt.Sprintf(": that leaves %s dark in a mean future", measure.Hours(best.UnmetHours))
	if best.DryStops >= 0.05 {
		s += fmt.Sprintf(" and stops the turbine for want of water %s times", measure.Digits(best.DryStops, 2))
	}
	var others []string
	for i, p := range r.Plans {
		if i != r.Best {
			others = append(others, measure.Hours(p.UnmetHours)+" "+instead(p))
		}
	}
	if len(others) > 0 {
		s += "; it would be " + listed(others)
	}
	return s + "."
}

// instead names another plan in a sentence.
func instead(p scenario.PlanOutlook) string {
	switch p.Plan.Kind {
	case scenario.OpenNow:
		return "with the valve open from now on"
	case scenario.Wait:
		return fmt.Sprintf("with the valve closed for %s first", measure.Plural(p.Plan.WaitDays, "day", "days"))
	case scenario.CloseNow:
		return "with it closed all the time"
	}
	return "by your dates"
}

// creek says when the creek carries the sets.
func (v Outlook) creek() string {
	r := v.Result
	if len(r.Sets) == 0 {
		return ""
	}
	first := r.Sets[0]
	what := "The creek carries the smallest set of nozzles"
	if v.Sets == nil {
		what = "The creek carries the turbine at its least flow"
	}
	need := first.Need.FlowM3S + v.OverM3S
	what += fmt.Sprintf(" (%s at the intake; %s)", v.System.Flow(need), v.System.BucketFills(need))
	var s string
	switch {
	case first.NowYes:
		s = what + " now"
	case first.Fraction == 0:
		s = what + fmt.Sprintf(" in none of the futures within %d days", r.Days)
	default:
		s = fmt.Sprintf("%s %s", what, fraction(first.Fraction))
		if !math.IsInf(first.Early, 1) {
			s += fmt.Sprintf(": in an early one (1 in 5) from %s, in a middling one %s, in a late one (1 in 5) %s", v.date(first.Early), v.from(first.Median), v.from(first.Late))
		}
	}
	if n := len(r.Sets); n > 1 {
		largest := r.Sets[n-1]
		for _, set := range r.Sets {
			if set.NowYes {
				largest = set
			}
		}
		switch {
		case largest.NowYes && largest.Need == r.Sets[n-1].Need:
			s += ", and the largest too"
		case r.Sets[n-1].Fraction > 0:
			s += fmt.Sprintf("; the largest (%s) %s within %d days", v.System.Flow(r.Sets[n-1].Need.FlowM3S+v.OverM3S), fraction(r.Sets[n-1].Fraction), r.Days)
		}
	}
	return s + "."
}

func (v Outlook) from(days float64) string {
	if math.IsInf(days, 1) {
		return v.date(days)
	}
	return "from " + v.date(days)
}

// putOff says what to switch off.
func (v Outlook) putOff() string {
	r := v.Result
	if len(r.Uses) == 0 {
		return ""
	}
	now := r.Plans[r.Best].ChanceByDay[r.Days-1]
	if len(r.PutOff) == 0 {
		return ""
	}
	var names []string
	for _, u := range r.PutOff {
		names = append(names, v.Uses[u.Use])
	}
	end := r.PutOff[len(r.PutOff)-1]
	if r.Met {
		return fmt.Sprintf("Put off %s: the chance of a dark hour then falls from %s to %s; you bear %s.", listed(names), percentOf(now), percentOf(end.Chance), percentOf(r.Borne))
	}
	if end.Chance >= now {
		return "Switching off any of the appliances does not lower the chance of a dark hour."
	}
	return fmt.Sprintf("Even with everything that has a name switched off, the chance of a dark hour is %s; most of it goes with %s.", percentOf(end.Chance), names[0])
}

// made says what the outlook is made from.
func (v Outlook) made() string {
	r := v.Result
	s := fmt.Sprintf("From %s, %s, with the bank at %.0f %%%s: the weather of %s from this day of the year on, each %s, %s in all.",
		r.Start.Format("2 January 2006"), r.Start.Format("15:04"), 100*r.StartSoC, v.Told,
		measure.Plural(v.Years, "past year", "past years"), v.underDraws(), measure.Plural(r.Futures, "future", "futures"))
	if v.Forecast > 0 {
		s += fmt.Sprintf(" The first %s follow your forecast.", measure.Plural(v.Forecast, "day", "days"))
	}
	c := v.Creek
	if math.IsNaN(c.ModelM3S) {
		return s
	}
	from := map[stream.StateFrom]string{
		stream.FromRecord:  "by the record's rain up to the day",
		stream.FromGap:     "by the record's rain and, beyond its end, that of past years in the mean",
		stream.FromSeasons: "as it stands on this day in the mean of past years",
		stream.NoState:     "as your record of its flow has it on this day in past years",
	}[c.From]
	if math.IsNaN(v.Reading) {
		return s + fmt.Sprintf(" The creek is taken %s, at %s; a bucket reading would tell better.", from, v.System.Flow(c.ModelM3S))
	}
	s += fmt.Sprintf(" The creek %s would give %s; you read %s.", from, v.System.Flow(c.ModelM3S), v.System.Flow(v.Reading))
	switch c.Moved {
	case stream.MovedSlow:
		s += " The water in its ground was moved to agree, so the difference fades as the creek falls."
		if c.From == stream.NoState {
			s = strings.Replace(s, " The water in its ground was moved to agree, so the difference fades as the creek falls.", " The difference fades as fast as differences did in that record.", 1)
		}
	case stream.MovedQuick:
		s += " The water in its ground and that of the last rain, still on its way, were moved to agree; the latter is gone within days."
	case stream.Beyond:
		s += fmt.Sprintf(" No state of the fitted creek explains that: the nearest gives %s. Measure again, or fit the creek anew with this reading.", v.System.Flow(c.GivesM3S))
	}
	return s
}

// underDraws says what is drawn beside each past year's weather.
func (v Outlook) underDraws() string {
	if v.Draws < 2 {
		return "with the site as it is told"
	}
	return fmt.Sprintf("under %d draws of %s", v.Draws, Doubts{Causes: v.Drawn}.What())
}

// Sections returns the page's chapters.
func (v Outlook) Sections() []Section {
	sec := Section{ID: "outlook", Title: "The days ahead"}
	a := v.ahead()
	sec.Figures = append(sec.Figures, Figure{plots.ChargeAhead(a), "outlook.csv"})
	if len(v.Result.Flow) > 0 {
		sec.Figures = append(sec.Figures, Figure{plots.CreekAhead(a), "outlook.csv"})
	}
	sec.Figures = append(sec.Figures, Figure{plots.DarkAhead(a), ""})
	sec.Tables = append(sec.Tables, v.PlanTable())
	if len(v.Result.Sets) > 0 {
		sec.Tables = append(sec.Tables, v.SetTable())
	}
	if len(v.Result.Uses) > 0 {
		sec.Tables = append(sec.Tables, v.UseTable())
	}
	all := []Section{sec}
	if v.Judged != nil {
		all = append(all, v.judged())
	}
	return all
}

func (v Outlook) ahead() plots.Ahead {
	r := v.Result
	fan := func(qs []scenario.Quantiles) plots.DayFan {
		var f plots.DayFan
		for _, q := range qs {
			f.P10, f.P20, f.P50 = append(f.P10, q.P10), append(f.P20, q.P20), append(f.P50, q.P50)
			f.P80, f.P90 = append(f.P80, q.P80), append(f.P90, q.P90)
		}
		return f
	}
	a := plots.Ahead{Start: r.Start, Charge: fan(r.Plans[r.Best].Charge), FloorSoC: r.FloorSoC, Flow: fan(r.Flow),
		FlowScale: v.System.FlowAxis()}
	for _, s := range r.Sets {
		a.SetM3S = append(a.SetM3S, s.Need.FlowM3S+v.OverM3S)
	}
	for _, i := range v.order() {
		a.Plans = append(a.Plans, plots.ChanceLine{Name: v.planName(r.Plans[i].Plan), Chance: r.Plans[i].ChanceByDay})
	}
	return a
}

// order lists the plans, the best first.
func (v Outlook) order() []int {
	order := []int{v.Result.Best}
	for i := range v.Result.Plans {
		if i != v.Result.Best {
			order = append(order, i)
		}
	}
	return order
}

// PlanTable lays what may be done with the valve side by side.
func (v Outlook) PlanTable() Table {
	r := v.Result
	t := Table{Caption: "What may be done with the valve", Head: []string{"valve"}, Data: "outlook.json",
		Note: "Chance of a dark hour within so many days; dark hours of a mean future and of the one that one in five exceeds. The first row is the best."}
	if r.Plans[r.Best].Plan.Kind == scenario.WithoutIt {
		t.Caption = "How likely it gets dark"
		t.Head[0] = "sources"
	}
	for _, lead := range scenario.Leads {
		if lead <= r.Days {
			t.Head = append(t.Head, fmt.Sprintf("dark in %d days", lead))
		}
	}
	t.Head = append(t.Head, "dark hours", "1 in 5", "dry-pipe stops")
	if r.Generator {
		t.Head = append(t.Head, "fuel, "+v.System.LitreAxis().Unit)
	}
	for _, i := range v.order() {
		p := r.Plans[i]
		row := []string{v.planName(p.Plan)}
		for _, c := range p.Chance {
			row = append(row, percentOf(c))
		}
		row = append(row, measure.HoursNumber(p.UnmetHours), measure.HoursNumber(p.UnmetP80), measure.Digits(p.DryStops, 2))
		if r.Generator {
			row = append(row, measure.Digits(v.System.LitreAxis().Of(p.FuelL), 2))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// SetTable tells when the creek carries each set of nozzles.
func (v Outlook) SetTable() Table {
	r := v.Result
	t := Table{Caption: "When the creek carries each set of nozzles", Head: []string{"nozzles", "creek, " + v.System.FlowAxis().Unit, v.System.Bucket() + " fills in", "gives", "early (1 in 5)", "middling", "late (1 in 5)", "chance"}, Data: "outlook.json",
		Note: "At the intake, with what the house draws and what stays in the creek. Chance: of futures in which it does at all."}
	for i, s := range r.Sets {
		name := "least flow"
		if v.Sets != nil {
			var bores []string
			for _, b := range v.Sets[i] {
				bores = append(bores, v.System.Bore(b))
			}
			name = strings.Join(bores, " + ")
		}
		when := func(days float64) string {
			switch {
			case math.IsInf(days, 1):
				return "later"
			case days == 0:
				return "now"
			}
			return v.day(days).Format("2 Jan")
		}
		need := s.Need.FlowM3S + v.OverM3S
		t.Rows = append(t.Rows, []string{name, measure.Digits(v.System.FlowAxis().Of(need), 2), measure.Seconds(v.System.BucketSeconds(need)),
			measure.Power(s.Need.PowerW), when(s.Early), when(s.Median), when(s.Late), percentOf(s.Fraction)})
	}
	return t
}

// UseTable ranks the appliances by the risk that each takes away.
func (v Outlook) UseTable() Table {
	r := v.Result
	t := Table{Caption: "What putting one appliance off would do", Head: []string{"without", "chance of dark", "less by", "dark hours"}, Data: "outlook.json",
		Note: fmt.Sprintf("Within %d days, the rest as always.", r.Days)}
	for _, u := range r.Uses {
		t.Rows = append(t.Rows, []string{v.Uses[u.Use], percentOf(u.Chance), percentOf(u.ChanceSaved), measure.HoursNumber(u.UnmetHours)})
	}
	return t
}

// judged is the chapter on how outlooks of the past came out.
func (v Outlook) judged() Section {
	j := v.Judged
	sec := Section{ID: "judged", Title: "How far to trust it"}
	sec.Text = v.JudgedText()
	table := Table{Caption: "Scores by the days ahead", Head: []string{"days ahead", "dates", "it came dark", "score", "season's share", "last week goes on"}, Data: "outlook.json",
		Note: "Score: mean squared difference of the chance told and what came (Brier score); 0 is best, and less than the two columns beside it is worth having."}
	for _, l := range j.Leads {
		table.Rows = append(table.Rows, []string{fmt.Sprint(l.Days), measure.Count(l.Dates), percentOf(l.Came), score(l.Brier), score(l.BrierClimate), score(l.BrierRepeat)})
	}
	sec.Tables = append(sec.Tables, table)
	for _, l := range j.Leads {
		rel := plots.Reliability{Days: l.Days}
		t := Table{Caption: fmt.Sprintf("Dark within %d days: told and come", l.Days), Head: []string{"chance told", "dates", "told in the mean", "then it came"}, Data: "outlook.json"}
		for _, b := range l.Bins {
			if b.Dates == 0 {
				continue
			}
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.0f to %.0f %%", 100*b.Low, 100*b.High), measure.Count(b.Dates), percentOf(b.Told), percentOf(b.Came)})
			rel.Told, rel.Came, rel.Dates = append(rel.Told, b.Told), append(rel.Came, b.Came), append(rel.Dates, b.Dates)
		}
		sec.Tables = append(sec.Tables, t)
		if l.Days == 14 || len(j.Leads) == 1 {
			sec.Figures = append(sec.Figures, Figure{plots.ReliabilityOf(rel), ""})
		}
	}
	return sec
}

func score(b float64) string { return fmt.Sprintf("%.3f", b) }

// JudgedText says how outlooks of the past came out.
func (v Outlook) JudgedText() []string {
	j := v.Judged
	if j.Dates == 0 || len(j.Leads) == 0 {
		return []string{"The record is too short to judge outlooks by."}
	}
	text := []string{fmt.Sprintf("An outlook was made for each of %d dates of the record, every %s days from %s to %s, without knowing what came, and held against it.",
		j.Dates, fmt.Sprint(scenario.HindcastStep), j.From.Format("2 January 2006"), j.To.Format("2 January 2006"))}
	if len(v.Drawn) > 0 {
		text[0] += fmt.Sprintf(" What came is told by other draws of %s than the outlook has", Doubts{Causes: v.Drawn}.What())
		if !math.IsNaN(v.Creek.ModelM3S) {
			text[0] += ", which knows of the creek what a bucket reads on that morning"
		}
		text[0] += "."
	}
	for _, l := range j.Leads {
		s := fmt.Sprintf("Dark within %d days came on %s of the dates", l.Days, percentOf(l.Came))
		if l.Came == 0 {
			text = append(text, s+": there is nothing to judge by.")
			continue
		}
		s += fmt.Sprintf("; the chances told score %s, against %s for the season's share and %s for the last week going on", score(l.Brier), score(l.BrierClimate), score(l.BrierRepeat))
		if l.Brier >= min(l.BrierClimate, l.BrierRepeat) {
			s += ": no better than the simpler way"
		}
		high := slices.IndexFunc(l.Bins, func(b scenario.ReliabilityBin) bool { return b.Low == 0.7 })
		if b := l.Bins[high]; b.Dates >= 5 {
			s += fmt.Sprintf(". Told %s in the mean (%d dates), it came %s", percentOf(b.Told), b.Dates, percentOf(b.Came))
		}
		text = append(text, s+".")
	}
	if r := j.Rise; r.Dates > 0 {
		late := "late"
		if r.BiasDays < 0 {
			late = "early"
		}
		text = append(text, fmt.Sprintf("The day on which the creek first carries the smallest set was told %s off in the mean (%s %s) on %d dates; on %d it came though it was not told, on %d it was told and did not come within the days.",
			measure.Digits(r.ErrorDays, 2)+" days", measure.Digits(math.Abs(r.BiasDays), 2)+" days", late, r.Dates, r.Missed, r.False))
	}
	return text
}

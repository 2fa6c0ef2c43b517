package report

import (
	"fmt"
	"strings"

	"sunrill/plots"
	"sunrill/sim/measure"
	"sunrill/sim/plans"
)

// Improve is what the chapter on what would help is made from.
type Improve struct {
	Result *plans.Result
	System measure.System
}

// Verdict says how dark the house is and what to do next, in order, and
// whether it is bad news.
func (v Improve) Verdict() Verdict {
	var sentences []string
	r := v.Result
	n := r.Now
	switch {
	case n.UnmetMean == 0 && !r.Generator:
		sentences = append(sentences, fmt.Sprintf("No hour is dark in any of %s: nothing has to be done.", measure.Plural(r.Years, "year", "years")))
	case n.UnmetMean == 0:
		sentences = append(sentences, fmt.Sprintf("No hour is dark in any of %s, with %s of fuel in a mean year.", measure.Plural(r.Years, "year", "years"), v.System.Volume(n.FuelL/1000)))
	default:
		sentences = append(sentences, fmt.Sprintf("Today the house is dark for %s in a middling year, %s; the mean is %s.",
			measure.Hours(n.UnmetMiddle), badYears(measure.Hours(n.UnmetP80), measure.Hours(n.UnmetWorst), r.Again, r.Years, r.Draws), measure.Hours(n.UnmetMean)))
		if reach(r.Again.P80)+reach(r.Again.Worst) != "" {
			sentences[0] += " " + inBrackets
		}
	}
	if len(r.Steps) == 0 && n.UnmetMean > 0 {
		sentences = append(sentences, "None of the single changes that were tried saves an hour of it in a mean year.")
	}
	for i, s := range r.Steps {
		first := []string{"First", "Then", "After that"}[min(i, 2)]
		does := fmt.Sprintf("from %s to %s dark hours in a mean year", measure.HoursNumber(s.UnmetMean+s.SavedH), measure.HoursNumber(s.UnmetMean))
		if s.SavedH < 1 {
			does = fmt.Sprintf("saves %s of fuel in a mean year", v.System.Volume(s.FuelSavedL/1000))
		}
		if r.Draws > 1 {
			does += fmt.Sprintf("; it helps in %d of %d draws", s.HelpsIn, r.Draws)
		}
		sentences = append(sentences, fmt.Sprintf("%s: %s (%s%s): %s.", first, s.Name, s.Effort, v.buy(s.Gain), does))
	}
	if len(r.Steps) > 0 && r.Steps[len(r.Steps)-1].UnmetMean == 0 && n.UnmetMean > 0 {
		sentences = append(sentences, "With these no hour of the record is dark any more.")
	}
	return Verdict{sentences, n.UnmetMean > 0}
}

func (v Improve) buy(g plans.Gain) string {
	if g.Capital == nil || *g.Capital == 0 {
		return ""
	}
	return fmt.Sprintf(", %s %s to buy", measure.Digits(*g.Capital, 3), v.Result.Currency)
}

// Section returns the chapter.
func (v Improve) Section() Section {
	r := v.Result
	s := Section{ID: "improve", Title: "What would help"}
	s.Text = v.Verdict().Sentences
	helps, nothing, worse := v.sorted()
	if len(helps) > 0 {
		var bars []plots.Gain
		for _, g := range helps {
			if g.SavedH >= 1 && len(bars) < 14 {
				bars = append(bars, plots.Gain{Name: g.Name, Before: r.Now.UnmetMean, After: g.UnmetMean})
			}
		}
		if len(bars) > 0 {
			s.Figures = append(s.Figures, Figure{plots.HoursSaved(bars), "improve.csv"})
		}
		s.Tables = append(s.Tables, v.table(helps))
	}
	if len(r.Without) > 0 && r.Now.UnmetMean > 0 {
		s.Tables = append(s.Tables, v.without())
	}
	s.Text = append(s.Text, v.Beside(nothing, worse)...)
	return s
}

// sorted parts the changes that help from those that do nothing and those that
// make it worse.
func (v Improve) sorted() (helps, nothing, worse []plans.Gain) {
	for _, g := range v.Result.Better {
		switch {
		case !g.Does():
			nothing = append(nothing, g)
		case g.Helps():
			helps = append(helps, g)
		default:
			worse = append(worse, g)
		}
	}
	return helps, nothing, worse
}

// Below is what the command prints below its tables.
func (v Improve) Below() []string {
	_, nothing, worse := v.sorted()
	return v.Beside(nothing, worse)
}

// Beside says what the other changes do: the engine, a smaller bank, what does
// nothing and what makes it worse.
func (v Improve) Beside(nothing, worse []plans.Gain) []string {
	r := v.Result
	var say []string
	for _, g := range r.Engine {
		if g.SavedH >= 1 {
			say = append(say, fmt.Sprintf("As long as there is fuel, %s%s ends %s of the dark hours and burns %s in a mean year.", g.Name, v.buy(g), ended(g.SavedH, r.Now.UnmetMean), v.System.Volume(g.FuelL/1000)))
		}
	}
	for _, g := range r.Less {
		if more := -g.SavedH; more < 1 {
			say = append(say, fmt.Sprintf("To save on: %s would do as well.", g.Name))
		} else {
			say = append(say, fmt.Sprintf("Nothing to save on there: %s would leave %s more dark in a mean year.", g.Name, measure.Hours(more)))
		}
	}
	if len(nothing) > 0 {
		say = append(say, "Tried, and does nothing here: "+names(nothing, false)+".")
	}
	if len(worse) > 0 {
		say = append(say, "Tried, and makes it worse (dark hours more in a mean year): "+names(worse, true)+".")
	}
	return say
}

func ended(part, whole float64) string {
	if whole-part < 0.05 {
		return "all"
	}
	return measure.HoursNumber(part) + " of " + measure.HoursNumber(whole)
}

func names(gains []plans.Gain, hours bool) string {
	var all []string
	for _, g := range gains {
		name := g.Name
		if hours && g.SavedH < -0.05 {
			name += fmt.Sprintf(" (%s)", measure.HoursNumber(-g.SavedH))
		}
		all = append(all, name)
	}
	return strings.Join(all, "; ")
}

// table is what each change that helps does.
func (v Improve) table(helps []plans.Gain) Table {
	r := v.Result
	t := Table{
		Caption: fmt.Sprintf("What would help, each change by itself over %s, the most first", throughWhat(r.Years, r.Draws)),
		Head:    []string{"change", "dark hours saved, mean year", "in the worst", "fewer dry-pipe stops"},
		Data:    "improve.csv",
		Minor:   []int{3},
		Note:    "Each line was run through every year with its value set in site.toml, and nothing else changed. Two changes together save less than their sum. An effort is judged: a habit needs nothing bought or built.",
	}
	if r.Draws > 1 {
		t.Head = append(t.Head[:2:2], append([]string{"8 in 10 draws"}, t.Head[2:]...)...)
		t.Minor = []int{4}
	}
	fuel := r.Generator
	if fuel {
		t.Head = append(t.Head, "fuel saved, "+v.System.LitreAxis().Unit)
	}
	t.Head = append(t.Head, "asks for")
	if r.Currency != "" {
		t.Head = append(t.Head, "to buy, "+r.Currency, r.Currency+" for a dark hour saved")
	}
	for _, g := range helps {
		row := []string{g.Name, measure.HoursNumber(max(g.SavedH, 0)), signed(g.WorstSavedH), signed(g.StopsSaved)}
		if r.Draws > 1 {
			row = append(row[:2:2], append([]string{signed(g.SavedLow) + " to " + signed(g.SavedHigh)}, row[2:]...)...)
		}
		if fuel {
			row = append(row, measure.Digits(v.System.LitreAxis().Of(g.FuelSavedL), 2))
		}
		row = append(row, g.Effort.String())
		if r.Currency != "" {
			row = append(row, money(g.Capital), money(g.CostAnHour))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func money(v *float64) string {
	if v == nil {
		return "–"
	}
	return measure.Digits(*v, 3)
}

// signed writes a number of which less than nothing is bad.
func signed(v float64) string {
	if v < -0.05 {
		return "−" + measure.HoursNumber(-v)
	}
	return measure.HoursNumber(max(v, 0))
}

// without is what each use of the house costs in dark hours.
func (v Improve) without() Table {
	t := Table{
		Caption: "What each use costs in dark hours: how many fewer there would be without it",
		Head:    []string{"use", "mean year", "in the worst"},
		Data:    "improve.csv",
	}
	for _, g := range v.Result.Without {
		t.Rows = append(t.Rows, []string{strings.TrimPrefix(g.Name, "without: "), measure.HoursNumber(max(g.SavedH, 0)), signed(g.WorstSavedH)})
	}
	return t
}

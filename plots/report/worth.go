package report

import (
	"fmt"
	"strings"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// Worth is what the chapter on ways to live is made from.
type Worth struct {
	Result *worth.Result
	System measure.System
	Doubts Doubts // what the draws are drawn of, where there are any
	// Invented tells that nobody has asked for these prices.
	Invented bool
}

// NothingToWeigh is the chapter in place of the ways to live where the site
// describes no hydro: what to describe to be answered.
func NothingToWeigh() Section {
	return Section{ID: "worth", Title: "Is hydro worth it?", Text: []string{
		"This is not weighed here, since the site describes no creek and no turbine.",
		"To be answered, describe [stream], [penstock] and [turbine] in site.toml as you would build them, and your prices in [costs]: nothing has to stand yet. " +
			"“sunrill reckon” gives a first idea from a bucket reading, a head and a length of pipe; “sunrill new DIR --blank” writes every key with a comment.",
	}}
}

// Verdict says in sentences whether hydro is worth it.
func (v Worth) Verdict() Verdict {
	var sentences []string
	if v.Result.Mixes == nil {
		sentences = append([]string{v.grown()}, v.sure()...)
		return Verdict{append(append(sentences, v.valve()), v.hangs()...), !v.Result.Worth}
	}
	// What the creek is worth against any mix comes before what it is worth
	// against one thing grown at a time.
	sentences = append(v.mixed(), v.hangs()...)
	sentences = append(sentences, v.sure()...)
	return Verdict{append(sentences, "Against what stands today, with one thing grown at a time and for the light that hydro leaves: "+v.grown()), !v.Result.Worth || !v.settled()}
}

// odds says in one sentence how sure the verdict is, unless that leads it.
func (v Worth) odds() string {
	u := v.Result.Sure
	if u == nil || u.Mixes == nil || !v.settled() {
		return ""
	}
	return fmt.Sprintf("How sure that the creek is in the cheapest mix: %s.", Odds(u.Mixes.Worth, u.Draws))
}

// sure says how sure the light is that hydro as described gives.
func (v Worth) sure() []string {
	u := v.Result.Sure
	if u == nil {
		return nil
	}
	low, high := u.With.Range()
	with, from, to := measure.RangedHours(u.With.Median(), low, high)
	low, high = u.Without.Range()
	without, from0, to0 := measure.RangedHours(u.Without.Median(), low, high)
	out := []string{fmt.Sprintf("With hydro as described the unmet hours of a mean year fall from %s (8 in 10: %s to %s) to %s (%s to %s), over %d draws of %s.", without, from0, to0, with, from, to, u.Draws, v.Doubts.What())}
	out = append(out, v.Doubts.blame("the dark hours that hydro saves", func(b *sim.Blames) sim.Blame { return b.Saved })...)
	if v.Doubts.Unknown {
		out = append(out, unknownCreek)
	}
	return out
}

// Section returns the chapter on ways to live.
func (v Worth) Section() Section {
	r := v.Result
	sentences := v.Verdict().Sentences
	s := Section{ID: "worth", Title: "Is hydro worth it?", Text: append(sentences, v.wayside()...)}
	var points []plots.AlternativePoint
	dark := plots.DarkMonth{}
	var given []sim.Yields
	var generatorWh []float64
	for _, w := range r.Alternatives {
		if w.CostAYear != nil && w.Found {
			points = append(points, plots.AlternativePoint{Name: w.Name, CostAYear: *w.CostAYear, UnmetHours: w.UnmetMean, Water: w.Hydro, Engine: w.Generator})
		}
		dark.Month = time.Month(w.Dark.Month).String()
		dark.Alternatives = append(dark.Alternatives, w.Name)
		given = append(given, w.Dark.Given)
		generatorWh = append(generatorWh, w.Dark.GeneratorWh)
		dark.DemandKWh = append(dark.DemandKWh, w.Dark.DemandWh/1000)
		dark.UnmetKWh = append(dark.UnmetKWh, w.Dark.UnmetWh/1000)
	}
	dark.Supplies = supplies(given, generatorWh)
	if r.Mixes != nil {
		s.Figures = append(s.Figures, Figure{v.mixChart(), "mixes.csv"})
	}
	if points != nil {
		s.Figures = append(s.Figures, Figure{plots.CostOfLight(r.Currency, points), "worth.csv"})
	}
	s.Figures = append(s.Figures, Figure{plots.EnergyOfDarkMonth(dark), "worth.csv"})
	if len(r.Turns) > 0 {
		var turns []plots.Turn
		for _, t := range r.Turns[:min(maxBars, len(r.Turns))] {
			name, _, _ := v.turnWords(t)
			turns = append(turns, plots.Turn{Name: name, Factor: t.Factor})
		}
		s.Figures = append(s.Figures, Figure{plots.TurningPoints(turns), "turning-points.csv"})
	}
	if r.Mixes != nil {
		s.Tables = append(s.Tables, v.mixTable())
	}
	s.Tables = append(s.Tables, v.ways())
	if points != nil {
		s.Tables = append(s.Tables, v.costs(), v.parts())
	}
	return s
}

// maxBars is how many turning points are drawn; their file has them all.
const maxBars = 12

// wayside says what became of the ways that are not in the chart, and of what
// the ways with a generator are made.
func (v Worth) wayside() []string {
	r := v.Result
	var say []string
	for _, w := range r.Alternatives {
		if !w.Found {
			text := sentence(w.Name + ": " + nothingGrows[w.Name])
			if because := why(w.Why); because != "" {
				text += " " + because
			}
			say = append(say, text)
		}
	}
	for i := 0; i < len(r.LeftOut); {
		names := r.LeftOut[i].Name
		why := r.LeftOut[i].Why
		for i++; i < len(r.LeftOut) && r.LeftOut[i].Why == why; i++ {
			names += ", " + r.LeftOut[i].Name
		}
		say = append(say, sentence("not compared: "+names+": "+reasons[why]))
	}
	if g := r.Generator; g != nil && !r.Stands {
		say = append(say, fmt.Sprintf("The generator of these ways is one that carries the house: %s, started at %.0f %% of charge and stopped at %.0f %%. It burns %s an hour and %s more for each kWh, as one small petrol set that its owner measured; describe yours in [generator], and it is taken instead.",
			measure.Power(g.RatedW), 100*g.StartSoC, 100*g.StopSoC, v.System.Volume(g.FuelIdleLH/1000), v.System.Volume(g.FuelLPerKWh/1000)))
	}
	return say
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

// ways is the table of what each way gives.
func (v Worth) ways() Table {
	t := Table{
		Caption: "The ways to live, over all years",
		Head:    []string{"way", "panels, kW", "bank, kWh", "unmet hours, mean", "1 in 5 years", "worst"},
		Data:    "worth.csv",
		Note:    "Unmet hours of a mean year, of the year that one in five exceeds, and of the worst. Energies of a mean year: what the sources could give, and what of it was dumped or held back. The bank lasts what its cycles and its age leave of it, midway between the maker's curve and half of that. " + inBrackets,
	}
	kinds := v.kinds()
	for _, k := range kinds {
		from := "from the " + k.Name
		if k == sim.Panels {
			from = "from " + k.Name
		}
		t.Minor = append(t.Minor, len(t.Head))
		t.Head = append(t.Head, from+", kWh")
	}
	n := len(t.Head)
	t.Minor = append(t.Minor, n, n+1, n+3)
	t.Head = append(t.Head, "from a generator, kWh", "left over, kWh", "fuel, "+v.System.LitreAxis().Unit, "bank lasts, years")
	for _, w := range v.Result.Alternatives {
		name := w.Name
		if !w.Found {
			name += " (not enough)"
		}
		row := []string{name, fmt.Sprintf("%.1f", w.PanelW/1000), fmt.Sprintf("%.1f", w.BankWh/1000),
			measure.HoursNumber(w.UnmetMean), measure.HoursNumber(w.UnmetP80) + reach(w.P80Range), measure.HoursNumber(w.UnmetWorst) + reach(w.WorstRange),
		}
		for _, k := range kinds {
			row = append(row, kWh(w.Given.Of(k)))
		}
		t.Rows = append(t.Rows, append(row, kWh(w.GeneratorWh), kWh(w.DumpWh+w.CurtailedWh), measure.Digits(v.System.LitreAxis().Of(w.FuelL), 2), years(w.BankLifeY)))
	}
	return t
}

// kinds are the sources of the ways; panels and creek are always among them.
func (v Worth) kinds() []sim.Kind {
	all := sim.Yields{{Kind: sim.Panels}, {Kind: sim.Creek}}
	for _, w := range v.Result.Alternatives {
		all = all.And(w.Given)
	}
	return all.Kinds()
}

// costs is the table of what each way costs.
func (v Worth) costs() Table {
	r := v.Result
	t := Table{
		Caption: "What they cost, " + r.Currency,
		Head:    []string{"way", "to buy now", "a year", "present value", "per kWh", "own hours a year"},
		Data:    "worth.csv",
		Minor:   []int{3},
		Note:    v.reckoned(),
	}
	for _, w := range r.Alternatives {
		if w.CostAYear == nil {
			continue
		}
		perKWh := ""
		if w.CostPerKWh != nil {
			perKWh = fmt.Sprintf("%.2f", *w.CostPerKWh)
		}
		name := w.Name
		if !w.Found {
			name += " (not enough)"
		}
		t.Rows = append(t.Rows, []string{name, measure.Digits(*w.Capital, 3), measure.Digits(*w.CostAYear, 3), measure.Digits(*w.PresentValue, 3), perKWh, measure.Digits(w.LabourH, 2)})
	}
	return t
}

// reckoned says how the costs were added up.
func (v Worth) reckoned() string {
	text := "To buy now: beyond what stands today. A year: what each thing costs spread over its life, and upkeep, fuel and own hours. The bank and the inverter that stand are in every way, since they wear out; panels that stand are in none."
	q := v.Result.Prices
	if q == nil {
		return text
	}
	return text + fmt.Sprintf(" Money costs %.3g %% a year. Lives in years: panels %.3g, turbine %.3g, penstock and works %.3g, inverter %.3g; a generator %s hours, %d years at most. Present value: all payments of %.3g years, in money of today.",
		100*q.DiscountRate, q.LifePanelsY, q.LifeHydroY, q.LifePenstockY, q.LifeInverterY, measure.Digits(q.LifeGeneratorH, 3), worth.GeneratorMaxY, q.Years)
}

// parts is the table of what the cost of a year is made of.
func (v Worth) parts() Table {
	t := Table{Caption: "What a year's cost is made of, " + v.Result.Currency, Head: []string{"way"}, Data: "worth.csv",
		Note: "Panels and hydro with their upkeep, the generator with its own. Own hours at the price that you set; a price that is not given counts as nothing."}
	var parts []string
	for _, part := range worth.Parts() {
		for _, w := range v.Result.Alternatives {
			if w.PartAYear(part) != 0 {
				parts = append(parts, part)
				break
			}
		}
	}
	t.Head = append(append(t.Head, parts...), "together")
	for _, w := range v.Result.Alternatives {
		if w.CostAYear == nil {
			continue
		}
		row := []string{w.Name}
		if !w.Found {
			row[0] += " (not enough)"
		}
		for _, part := range parts {
			row = append(row, measure.Digits(w.PartAYear(part), 3))
		}
		t.Rows = append(t.Rows, append(row, measure.Digits(*w.CostAYear, 3)))
	}
	return t
}

func years(y float64) string {
	if y <= 0 {
		return ""
	}
	return measure.Digits(y, 2)
}

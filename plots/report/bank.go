package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/sizing"
)

// Bank is what the section on the size of the bank is made from.
type Bank struct {
	Result *sizing.Result
	Grid   *sizing.Grid // nil: panels were not varied
	South  bool         // the site lies south of the equator
	PanelW float64      // rated power of the present panels
	Doubts Doubts       // what the draws of Result.Sure are drawn of
}

// Section returns the chapter.
func (v Bank) Section() Section {
	r := v.Result
	sec := Section{
		ID:     "bank-size",
		Title:  "How big a bank",
		Tables: []Table{v.SizeTable()},
	}
	sec.Text = v.Verdict().Sentences
	if slices.ContainsFunc(r.Curve, func(p sizing.Point) bool { return p.UnmetWorst > 0 }) {
		sec.Figures = append(sec.Figures, Figure{plots.BankSizes(v.curve()), "bank.csv"})
	}
	if r.LongSpells > 0 {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.SpellDepths(v.field())})
		sec.Tables = append(sec.Tables, v.SpellTable())
	}
	if c := v.curve(); c.UseMatters() {
		sec.Figures = append(sec.Figures, Figure{plots.BankLife(c), "bank.csv"})
	}
	if v.Grid != nil {
		sec.Figures = append(sec.Figures, Figure{plots.PanelsAndBank(v.panels()), "arrays.csv"})
	}
	return sec
}

// Verdict says in paragraphs what the study found, the answer first, and
// whether it is bad news.
func (v Bank) Verdict() Verdict {
	text := append([]string{bankVerdict(v.Result)}, v.sure()...)
	return Verdict{append(text, v.text()...), v.Result.Present.UnmetP80 > v.Result.TargetHours}
}

// sure says how sure the size is.
func (v Bank) sure() []string {
	r, s := v.Result, v.Result.Sure
	if s == nil {
		return nil
	}
	keeps := func(hours float64) bool { return hours <= r.TargetHours }
	often := "in four years of five"
	if r.Years == 1 {
		often = "in that year"
	}
	mid, from, to := ranged(s.SizeWh.Times(1e-3))
	size := fmt.Sprintf("How sure: over %d draws of %s the smallest bank that keeps it to %s %s has %s kWh (8 in 10: %s to %s)", len(s.SizeWh.Draws), v.Doubts.What(), measure.Hours(r.TargetHours), often, mid, from, to)
	none, of := s.SizeWh.Count(func(wh float64) bool { return math.IsInf(wh, 1) })
	switch {
	case none == of:
		size = fmt.Sprintf("How sure: in none of %d draws of %s any bank up to %s keeps it to %s %s", of, v.Doubts.What(), measure.Energy(s.MaxWh), measure.Hours(r.TargetHours), often)
	case none > 0:
		if math.IsInf(s.SizeWh.Median(), 1) {
			size = fmt.Sprintf("How sure: over %d draws of %s", of, v.Doubts.What())
		}
		size += fmt.Sprintf("; in %d no bank up to %s does", none, measure.Energy(s.MaxWh))
	}
	text := size + "."
	if r.PresentWh > 0 {
		n, of := s.Present.Count(keeps)
		text += fmt.Sprintf(" That your %s kWh keep it: %s", short(r.PresentWh), Odds(n, of))
		if len(s.AtSize.Draws) > 0 && *r.SizeWh > r.PresentWh {
			n, of := s.AtSize.Count(keeps)
			text += fmt.Sprintf("; that %s kWh do: %s", short(*r.SizeWh), Odds(n, of))
		}
		text += "."
	}
	if s.LikelyWh != nil && *s.LikelyWh > r.PresentWh {
		text += fmt.Sprintf(" %s kWh or more make it likely.", short(*s.LikelyWh))
	}
	out := append([]string{text}, v.Doubts.blame("the deficits that a bank must carry", func(b *sim.Blames) sim.Blame { return b.Bank })...)
	if v.Doubts.Unknown {
		out = append(out, unknownCreek)
	}
	return out
}

// odds says in one sentence how sure the size is.
func (v Bank) odds() string {
	s := v.Result.Sure
	if s == nil || math.IsInf(s.SizeWh.Median(), 1) {
		return ""
	}
	_, from, to := ranged(s.SizeWh.Times(1e-3))
	return fmt.Sprintf("8 in 10 draws ask for %s to %s kWh.", from, to)
}

// ranged writes the middle and the range of an answer.
func ranged(d sim.Doubt) (mid, from, to string) {
	low, high := d.Range()
	return measure.Ranged(d.Median(), low, high)
}

func (v Bank) text() []string {
	r := v.Result
	var text []string
	if r.PresentWh > 0 {
		s := fmt.Sprintf("Full, your bank carries the house for %s days without any source, at %s a day in the month that uses most.",
			measure.Digits(r.AutonomyDays, 2), measure.Energy(r.DailyWh))
		switch {
		case r.LongSpells > 1:
			s += fmt.Sprintf(" It rides through %s of the %s deficit spells that last more than a day.", measure.Percent(r.LongRiddenFraction), measure.Count(r.LongSpells))
		case r.LongSpells == 1 && r.LongRiddenFraction == 1:
			s += " It rides through the one deficit spell that lasts more than a day."
		case r.LongSpells == 1:
			s += " It does not ride through the one deficit spell that lasts more than a day."
		}
		text = append(text, s)
	}
	if r.SequentPeakWh > 0 {
		s := fmt.Sprintf("The deepest deficit of the record, in the year from %d, takes %s from store.", r.SequentPeakYear, measure.Energy(r.SequentPeakWh))
		if r.NoUnmetWh != nil {
			s += fmt.Sprintf(" Run through every year without a generator, a bank of %s leaves no hour unmet.", measure.Energy(*r.NoUnmetWh))
		} else {
			s += " Run through every year without a generator, even a bank of twice that leaves hours unmet: it cannot take or give the power, or the sources give too little over the year."
		}
		if r.OpenYears > 0 && r.NoUnmetWh != nil {
			s += fmt.Sprintf(" But in %d of %s such a bank would not be full again at the end: it would live off what was in it at the start, so count on more power rather than on that size.",
				r.OpenYears, measure.Plural(r.Years, "year", "years"))
		}
		text = append(text, s)
	}
	text = append(text, fmt.Sprintf("With pencil and paper: %.0f days of autonomy, with an end of life at 80 %% and a margin of a tenth, make %s. The pencil knows neither dull spells nor what the sources give.",
		r.RuleOfThumbDays, measure.Energy(r.RuleOfThumbWh)))
	if r.Present.LifeYears > 0 {
		s := fmt.Sprintf("Used as in these years, your bank lasts some %s to %s years", measure.Digits(r.Present.LifeYears/2, 2), measure.Digits(r.Present.LifeYears, 2))
		if r.Present.UseYears > r.Present.LifeYears {
			s += "; age ends it, not use"
			if !v.curve().UseMatters() {
				s += ", and so it would any bank of at least half its size"
			}
		}
		text = append(text, s+".")
	}
	if r.Years > 1 && r.Present.UnmetWorst > 0 {
		text = append(text, inBrackets+fewYears(r.Years))
	}
	if r.Years == 1 {
		text = append(text, "One year cannot tell how bad a bad year is: what is called 1 in 5 here is that one year. More years of rain say more.")
	}
	return text
}

func (v Bank) curve() plots.BankCurve {
	r := v.Result
	c := plots.BankCurve{Years: r.Years, PresentKWh: r.PresentWh / 1000, AgeYears: r.AgeYears, TargetHours: r.TargetHours, SizeKWh: math.NaN()}
	if r.SizeWh != nil {
		c.SizeKWh = *r.SizeWh / 1000
	}
	for _, p := range r.Curve {
		c.CapacityKWh = append(c.CapacityKWh, p.CapacityWh/1000)
		c.Mean, c.P80, c.Worst = append(c.Mean, p.UnmetMean), append(c.P80, p.UnmetP80), append(c.Worst, p.UnmetWorst)
		c.UseYears = append(c.UseYears, p.UseYears)
	}
	return c
}

// shown returns the sizes that lines and tables name: some round ones about
// the present, the present itself and the target's.
func (v Bank) shown() (sizesWh []float64, present int) {
	r := v.Result
	base := cmp.Or(r.PresentWh, r.NothingGainedWh/4)
	sizesWh = []float64{base / 2, base, 2 * base, 4 * base}
	if r.SizeWh != nil && *r.SizeWh > 0 {
		near := slices.ContainsFunc(sizesWh, func(wh float64) bool { return math.Abs(wh/(*r.SizeWh)-1) < 0.1 })
		if !near {
			sizesWh = append(sizesWh, *r.SizeWh)
		}
	}
	slices.Sort(sizesWh)
	if r.PresentWh == 0 {
		return sizesWh, -1
	}
	return sizesWh, slices.Index(sizesWh, r.PresentWh)
}

// at returns the point of the curve at a size, or nearest to it.
func (v Bank) at(wh float64) sizing.Point {
	if s := v.Result.Size; s != nil && s.CapacityWh == wh {
		return *s
	}
	return slices.MinFunc(v.Result.Curve, func(a, b sizing.Point) int {
		return cmp.Compare(math.Abs(a.CapacityWh-wh), math.Abs(b.CapacityWh-wh))
	})
}

// SizeTable lists some sizes.
func (v Bank) SizeTable() Table {
	r := v.Result
	t := Table{
		Caption: "Banks of some sizes over all years",
		Head:    []string{"bank, kWh", "unmet hours, mean", "1 year in 5", "worst year", "in", "rides through", "years of life"},
		Data:    "bank.csv",
		Note:    "Rides through: of the deficit spells that last more than a day. Years of life: half of what the cycle curve and the calendar promise, to all of it. " + inBrackets,
		Minor:   []int{4, 6},
	}
	sizesWh, present := v.shown()
	seen := map[float64]bool{}
	for i, wh := range append([]float64{0}, sizesWh...) {
		p := v.at(wh)
		if seen[p.CapacityWh] || wh > r.Curve[len(r.Curve)-1].CapacityWh*1.05 {
			continue
		}
		seen[p.CapacityWh] = true
		_, long := r.Ridden(p.CapacityWh)
		name := short(p.CapacityWh)
		if i-1 == present && present >= 0 {
			name += " (yours)"
		}
		life := "–"
		if p.LifeYears > 0 {
			life = measure.Digits(p.LifeYears/2, 2) + "–" + measure.Digits(p.LifeYears, 2)
		}
		worst := fmt.Sprint(p.WorstYear)
		if p.UnmetWorst == 0 {
			worst = "–"
		}
		t.Rows = append(t.Rows, []string{name, measure.HoursNumber(p.UnmetMean), measure.HoursNumber(p.UnmetP80) + reach(p.P80Range), measure.HoursNumber(p.UnmetWorst) + reach(p.WorstRange),
			worst, measure.Percent(long), life})
	}
	return t
}

func (v Bank) field() plots.SpellField {
	r := v.Result
	f := plots.SpellField{Years: r.Years, South: v.South, From: livesOn(r.Sources)}
	for _, s := range r.Spells {
		if s.Long() {
			f.Month, f.DepthKWh = append(f.Month, s.Start.Month()), append(f.DepthKWh, s.DepthWh/1000)
		}
	}
	sizesWh, present := v.shown()
	f.Present = present
	for _, wh := range sizesWh {
		f.RatedKWh, f.UsableKWh = append(f.RatedKWh, wh/1000), append(f.UsableKWh, wh/1000*r.UsableFraction)
	}
	return f
}

// spellNote says what a deficit spell is, the same wherever one is shown.
const spellNote = "A deficit spell: how far a bank that is never too small would fall, and how long until it is full again, if no generator ran."

// SpellTable lists the deepest spells of all years.
func (v Bank) SpellTable() Table {
	r := v.Result
	spells := slices.Clone(r.Spells)
	slices.SortStableFunc(spells, func(a, b sizing.Spell) int { return cmp.Compare(b.DepthWh, a.DepthWh) })
	t := Table{
		Caption: "The deepest deficit spells of all years",
		Head:    []string{"from", "days", "depth, kWh"},
		Data:    "spells.csv",
		Note:    spellNote,
	}
	for _, s := range spells[:min(6, len(spells))] {
		t.Rows = append(t.Rows, []string{s.Start.Format("2 Jan 2006"), fmt.Sprintf("%.1f", float64(s.Hours)/24), kWh(s.DepthWh)})
	}
	return t
}

func (v Bank) panels() plots.PanelBankField {
	g := v.Grid
	return plots.PanelBankField{PanelKW: thousands(g.PanelW), CapacityKWh: thousands(g.CapacitiesWh), UnmetHours: g.UnmetP80, PresentKW: v.PanelW / 1000, PresentKWh: v.Result.PresentWh / 1000}
}

// thousands turns W into kW, and Wh into kWh.
func thousands(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v / 1000
	}
	return out
}

package worth

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// TurningPoint is how far one price would have to move, alone, to turn the
// verdict; the sizes of the other ways stay as they were found.
type TurningPoint struct {
	Name    string  `json:"name"`
	Price   float64 `json:"price"`
	TurnsAt float64 `json:"turns_at"`
	Factor  float64 `json:"factor"` // TurnsAt over Price
	Within  bool    `json:"within_20_pct"`
}

// Creek is how little water and how little head would still make hydro the
// cheapest way. A smaller flow is taken as that share of the turbine's watts,
// as with nozzles to match; so is a smaller head.
type Creek struct {
	Month    int      `json:"month"`    // the dark month, to which the flow belongs
	FlowM3S  float64  `json:"flow_m3s"` // mean stream flow of that month
	PaysM3S  *float64 `json:"pays_above_m3s"`
	HeadM    float64  `json:"head_m"`
	PaysHead *float64 `json:"pays_above_head_m"`
}

// Spread is how unmet hours spread over made-up years.
type Spread struct {
	Years         int     `json:"years"`
	WithP50       float64 `json:"with_hydro_p50"`
	WithP80       float64 `json:"with_hydro_p80"`
	WithP95       float64 `json:"with_hydro_p95"`
	WithoutP50    float64 `json:"without_hydro_p50"`
	WithoutP80    float64 `json:"without_hydro_p80"`
	WithoutP95    float64 `json:"without_hydro_p95"`
	HelpedInYears int     `json:"helped_in_years"` // in which hydro cut unmet hours by half or more
}

// rivals are the ways other than hydro that keep to its unmet hours.
func rivals(r *Result) []*Way {
	var ws []*Way
	hydro := r.Way(WithHydro)
	for _, name := range []string{WithoutHydro, MorePanels, BiggerBank, PanelsAndBank, GeneratorInstead} {
		if w := r.Way(name); w != nil && w.Found && w.UnmetMean <= hydro.UnmetMean {
			ws = append(ws, w)
		}
	}
	return ws
}

// cheapest returns the rival that costs least a year, nil if there is none.
func cheapest(ws []*Way) *Way {
	var best *Way
	for _, w := range ws {
		if w.CostAYear != nil && (best == nil || *w.CostAYear < *best.CostAYear) {
			best = w
		}
	}
	return best
}

// turn finds the turning points of the prices: what a way costs is a straight
// line in each of them.
func (p *Plan) turn(r *Result) {
	hydro, others := r.Way(WithHydro), rivals(r)
	best := cheapest(others)
	if p.Prices == nil || hydro.CostAYear == nil || best == nil {
		return
	}
	sum := func(w *Way, price int) float64 {
		s := 0.0
		for _, it := range w.Items {
			if it.price == price {
				s += it.Yearly
			}
		}
		return s
	}
	for price, n := range p.Prices.list() {
		if n.value == nil || *n.value == 0 {
			continue
		}
		// How much hydro costs above its cheapest rival if the price is f times.
		above := func(f float64) float64 {
			least := math.Inf(1)
			for _, w := range others {
				least = math.Min(least, *w.CostAYear+(f-1)*sum(w, price))
			}
			return *hydro.CostAYear + (f-1)*sum(hydro, price) - least
		}
		factor, ok := nearestTurn(above, others, hydro, price, sum)
		if !ok {
			continue
		}
		r.TurningPoints = append(r.TurningPoints, TurningPoint{
			Name: n.name, Price: *n.value, TurnsAt: *n.value * factor, Factor: factor,
			Within: 0.8 <= factor && factor <= 1.2,
		})
	}
	sort.SliceStable(r.TurningPoints, func(i, j int) bool {
		a, b := r.TurningPoints[i].Factor, r.TurningPoints[j].Factor
		return math.Abs(math.Log(a)) < math.Abs(math.Log(b))
	})
}

// nearestTurn returns the factor nearest to 1, in ratio, at which above passes
// through zero.
func nearestTurn(above func(float64) float64, others []*Way, hydro *Way, price int, sum func(*Way, int) float64) (float64, bool) {
	worth := above(1) <= 0
	best, found := 0.0, false
	for _, w := range others {
		gap, slope := *hydro.CostAYear-*w.CostAYear, sum(hydro, price)-sum(w, price)
		if slope == 0 {
			continue
		}
		f := 1 - gap/slope
		if f <= 0 || math.IsInf(f, 0) {
			continue
		}
		beyond := f + math.Copysign(1e-6*math.Max(1, f), f-1)
		if (above(beyond) <= 0) == worth {
			continue // another rival is cheaper there: nothing turns
		}
		if !found || math.Abs(math.Log(f)) < math.Abs(math.Log(best)) {
			best, found = f, true
		}
	}
	return best, found
}

// creek finds the least share of the turbine's watts at which hydro is still
// the cheapest way to the unmet hours that it then leaves.
func (p *Plan) creek(ctx context.Context, r *Result) error {
	dark := time.Month(r.Way(WithHydro).Dark.Month)
	r.Creek = Creek{Month: int(dark), HeadM: p.HeadM}
	days := 0
	for _, in := range p.Years {
		for d := range in.FlowM3S {
			if in.Start.AddDate(0, 0, d).Month() == dark {
				r.Creek.FlowM3S += in.FlowM3S[d]
				days++
			}
		}
	}
	if days > 0 {
		r.Creek.FlowM3S /= float64(days)
	}
	if r.Way(WithHydro).CostAYear == nil {
		return nil
	}
	pays := func(share float64) (bool, error) {
		s := p.withHydro()
		s.waterShare = share
		hydro, err := p.evaluate(WithHydro, s, dark)
		if err != nil {
			return false, err
		}
		least := math.Inf(1)
		for _, find := range []func(setup, float64) (setup, bool){
			func(s setup, target float64) (setup, bool) { return s, p.unmetHours(s) <= target },
			p.panelsFor, p.bankFor, p.bothFor,
		} {
			other, ok := find(p.asItIs(), hydro.UnmetMean)
			if !ok {
				continue
			}
			w, err := p.evaluate("", other, dark)
			if err != nil {
				return false, err
			}
			least = math.Min(least, *w.CostAYear)
		}
		if w := r.Way(GeneratorInstead); w != nil && w.UnmetMean <= hydro.UnmetMean {
			least = math.Min(least, *w.CostAYear)
		}
		return *hydro.CostAYear <= least, ctx.Err()
	}
	// The shares at which it is looked: the least that pays, with every larger
	// one up to the present paying too.
	lo, hi := 0.0, 0.0
	for share := 2.0; share > 0.02; share *= 0.7 {
		ok, err := pays(share)
		if err != nil {
			return err
		}
		if !ok {
			lo = share
			break
		}
		hi = share
	}
	if hi == 0 || lo == 0 {
		return nil // it never pays, or any trickle does
	}
	for hi-lo > 0.02*hi {
		mid := (lo + hi) / 2
		ok, err := pays(mid)
		if err != nil {
			return err
		}
		if ok {
			hi = mid
		} else {
			lo = mid
		}
	}
	if days > 0 {
		flow := hi * r.Creek.FlowM3S
		r.Creek.PaysM3S = &flow
	}
	if p.HeadM > 0 {
		head := hi * p.HeadM
		r.Creek.PaysHead = &head
	}
	return nil
}

// madeUp runs made-up years with and without hydro.
func (p *Plan) madeUp(r *Result, dark time.Month) error {
	if p.MadeUp == nil || p.MadeUpYears <= 0 {
		return nil
	}
	n := p.MadeUpYears
	with, without := make([]float64, n), make([]float64, n)
	helped := make([]bool, n)
	b := p.Bus
	count := func(in *sim.Input, s setup) float64 {
		var t sim.Tally
		b.Span(p.input(in, s), b.Start(), 0, in.Hours(), &t)
		return float64(t.UnmetHours)
	}
	err := p.MadeUp(n, func(i int, in *sim.Input) {
		with[i], without[i] = count(in, p.withHydro()), count(in, p.asItIs())
		helped[i] = without[i] > 0 && with[i] <= without[i]/2
	})
	if err != nil {
		return err
	}
	m := &Spread{Years: n}
	for _, h := range helped {
		if h {
			m.HelpedInYears++
		}
	}
	slices.Sort(with)
	slices.Sort(without)
	at := func(q float64, v []float64) float64 { return stat.Quantile(q, stat.Empirical, v, nil) }
	m.WithP50, m.WithP80, m.WithP95 = at(.5, with), at(.8, with), at(.95, with)
	m.WithoutP50, m.WithoutP80, m.WithoutP95 = at(.5, without), at(.8, without), at(.95, without)
	r.MadeUp = m
	return nil
}

// judge writes the verdict and what it hangs on.
func (p *Plan) judge(r *Result) {
	hydro, now := r.Way(WithHydro), r.Way(WithoutHydro)
	best := cheapest(rivals(r))
	money := func(v float64) string { return measure.Digits(v, 3) + " " + r.Currency }
	hours := func(v float64) string { return measure.Digits(v, 2) }
	light := fmt.Sprintf("it leaves %s unmet hours in a mean year, against %s without it", hours(hydro.UnmetMean), hours(now.UnmetMean))

	switch {
	case hydro.CostAYear == nil:
		r.Worth = len(rivals(r)) == 0
		r.Verdict = "No prices are given, so only the light can be compared: " + light + "; " + p.others(r) + "."
	case best == nil:
		r.Worth = hydro.UnmetMean < now.UnmetMean
		r.Verdict = fmt.Sprintf("Hydro is worth it: %s, at %s a year, and no other way that was tried reaches that.", light, money(*hydro.CostAYear))
	case *hydro.CostAYear <= *best.CostAYear:
		r.Worth = true
		r.Verdict = fmt.Sprintf("Hydro is worth it: %s, at %s a year; the cheapest other way to that, %s, costs %s a year.",
			light, money(*hydro.CostAYear), describe(best), money(*best.CostAYear))
	case best == now:
		r.Verdict = fmt.Sprintf("Hydro is not worth it: %s, for %s a year more.", light, money(*hydro.CostAYear-*now.CostAYear))
	default:
		r.Verdict = fmt.Sprintf("Hydro is not the cheapest way: %s, at %s a year; %s does as well for %s a year.",
			light, money(*hydro.CostAYear), describe(best), money(*best.CostAYear))
	}

	r.Uncertainty = append(r.Uncertainty, fmt.Sprintf("Over %s of record hydro's unmet hours reach %s in the worst, %s without it.",
		measure.Plural(len(p.Years), "year", "years"), hours(hydro.UnmetWorst), hours(now.UnmetWorst)))
	if m := r.MadeUp; m != nil {
		r.Uncertainty = append(r.Uncertainty, fmt.Sprintf("Over %d made-up years hydro halves the unmet hours, or better, in %d; one year in five leaves more than %s unmet hours with it and more than %s without.",
			m.Years, m.HelpedInYears, hours(m.WithP80), hours(m.WithoutP80)))
	}
	if hydro.CostAYear != nil && best != nil {
		var turns []string
		for _, t := range r.TurningPoints {
			if t.Within {
				turns = append(turns, fmt.Sprintf("%s (at %s)", t.Name, money(t.TurnsAt)))
			}
		}
		if turns == nil {
			r.Uncertainty = append(r.Uncertainty, "No single price turns this verdict within 20 % of what you gave.")
		} else {
			r.Uncertainty = append(r.Uncertainty, "Within 20 % of what you gave, one of these prices alone turns the verdict: "+strings.Join(turns, ", ")+".")
		}
	}
	if len(r.Missing) > 0 {
		r.Uncertainty = append(r.Uncertainty, "Not given and so left out of the sums: "+strings.Join(r.Missing, ", ")+".")
	}
}

// others says in words what the other ways would take.
func (p *Plan) others(r *Result) string {
	var say []string
	for _, name := range []string{MorePanels, BiggerBank, PanelsAndBank} {
		if w := r.Way(name); w != nil {
			if w.Found {
				say = append(say, "as good: "+describe(w))
			} else {
				say = append(say, w.Note)
			}
		}
	}
	return strings.Join(say, "; ")
}

// describe names a way with its sizes.
func describe(w *Way) string {
	switch w.Name {
	case MorePanels:
		return fmt.Sprintf("%.1f kW of panels", w.PanelKW)
	case BiggerBank:
		return fmt.Sprintf("a bank of %.1f kWh", w.BankKWh)
	case PanelsAndBank:
		return fmt.Sprintf("%.1f kW of panels with a bank of %.1f kWh", w.PanelKW, w.BankKWh)
	case GeneratorInstead:
		return fmt.Sprintf("a generator running %s hours a year", measure.Digits(w.RunningH, 2))
	}
	return "the house " + w.Name
}

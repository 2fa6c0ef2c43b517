package worth

import (
	"math"
	"sort"

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

// In returns the name of the price, the price, and where it turns the verdict
// in a system of units.
func (t TurningPoint) In(sys measure.System) (name string, price, turnsAt float64) {
	name, per := nameIn(sys, t.Name)
	return name, t.Price / per, t.TurnsAt / per
}

// nameIn returns the name of a price in a system of units, and how many of
// that system's units one unit of the price's own is.
func nameIn(sys measure.System, name string) (string, float64) {
	if sys == measure.US {
		switch name {
		case penstockName:
			return "penstock, per ft", sys.LengthAxis().Factor
		case fuelName:
			return "fuel, per gal", sys.LitreAxis().Factor
		}
	}
	return name, 1
}

func namesIn(sys measure.System, names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i], _ = nameIn(sys, n)
	}
	return out
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
func (c *comparison) turn() error {
	r := c.r
	hydro, others := r.Way(WithHydro), rivals(r)
	best := cheapest(others)
	if c.Prices == nil || hydro.CostAYear == nil || best == nil {
		return nil
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
	for price, n := range c.Prices.list() {
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
	return nil
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

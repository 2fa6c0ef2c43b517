package stream

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"
)

const (
	suspectFrom  = 8    // readings; with fewer none can be told wrong by the others
	suspectApart = 3.0  // standard errors on readings left out
	suspectTimes = 1.6  // and so many times too great or too small
	minStdDev    = 0.1  // of the misses' logarithm: no creek follows a model closer
	usualMisses  = 8    // readings that the usual spread weighs; a judgement
	maxSuspects  = 0.25 // fraction of the readings that may be left out
	strayTimes   = 1.5  // a timing so many times longer or shorter than the middle of its fellows is a stray
	slipApart    = 1.5  // standard errors within which a corrected reading lies
	nearlyAs     = 3    // −2 ln of the odds of a second slip that is told too
	slipSteps    = 4    // of least squares to test a slip
	searches     = 4    // times that a fit without the suspects is searched for more
)

// Slip is a usual mistake with a reading.
type Slip struct {
	What    string // "the decimal point one place off"
	Gauging Gauging
	Apart   float64 // standard errors from the model that is fitted with it
	unlike  float64 // −2 ln of how usual the slip is, against the others
}

// Suspect is a reading that the others contradict.
type Suspect struct {
	Gauging  Gauging
	ModelM3S float64 // by the others
	Apart    float64 // standard errors, positive where more was read
	Slip     *Slip   // the likeliest of the slips that a fit with the corrected reading allows; nil: none
	Or       []Slip  // one or two that are nearly as likely
}

// Compared is a reading beside the fitted model.
type Compared struct {
	Gauging  Gauging
	ModelM3S float64
	Apart    float64  // standard errors of reading and day, positive where more was read
	Suspect  *Suspect // nil for most
}

// suspects returns the readings that are too far from models which had not
// seen them and from the fit itself, the worst first, and the spread of the
// misses of the others. The spread goes by the middle of the misses, which a
// few wrong readings do not move.
func (f *Fitted) suspects() (index []int, spread float64) {
	t := f.t
	n := len(t.day)
	if n < suspectFrom || f.left == nil {
		return nil, 0
	}
	left, seen := make([]float64, n), make([]float64, n)
	t.simulate(f.Model)
	for i := range t.day {
		var m []float64
		for _, q := range f.left {
			m = append(m, math.Abs(t.read[i]-math.Log(q[i]+t.addM3S)))
		}
		slices.Sort(m)
		left[i] = m[len(m)/2]
		seen[i] = math.Abs(t.read[i] - math.Log(t.flow[i]+t.addM3S))
	}
	middle := func(misses []float64) float64 {
		sorted := slices.Clone(misses)
		slices.Sort(sorted)
		return math.Max(minStdDev, quantile(sorted, 0.5)/quartileSD)
	}
	// A fit bends to its readings, the more the fewer there are for a parameter.
	free := float64(n) / math.Max(float64(n-len(t.space.dims)), float64(n)/3)
	spread = usually(middle(seen)*math.Sqrt(free), n)
	unseen := usually(middle(left), n)
	for i := range t.day {
		own := t.readingVar[i]
		if seen[i] > suspectApart*math.Sqrt(spread*spread+own) && left[i] > suspectApart/3*math.Sqrt(unseen*unseen+own) &&
			math.Min(left[i], seen[i]) > math.Log(suspectTimes) || stray(f.Used[i].Seconds) >= 0 {
			index = append(index, i)
		}
	}
	slices.SortFunc(index, func(a, b int) int { return cmp.Compare(left[b], left[a]) })
	return index, spread
}

// usually moves a spread found from n misses towards what is usual, as if that
// had been found from [usualMisses].
func usually(spread float64, n int) float64 {
	return math.Exp((float64(n)*math.Log(spread) + usualMisses*math.Log(usualSD)) / (float64(n) + usualMisses))
}

// quartileSD is the middle of the absolute values of a standard normal.
const quartileSD = 0.6744897501960817

// slips returns the usual mistakes that may have made a reading what it is,
// corrected.
func slips(g Gauging) []Slip {
	var all []Slip
	flow := func(what string, times, unlike float64) {
		c := g
		c.FlowM3S *= times
		c.ErrorM3S *= times
		all = append(all, Slip{What: what, Gauging: c, unlike: unlike})
	}
	if g.Method == "bucket" {
		flow("a bucket of half the size", 0.5, 0)
		flow("a bucket of twice the size", 2, 0)
	}
	const gallonL = 3.785411784
	flow("gallons written for litres", gallonL, 0)
	flow("litres written for gallons", 1/gallonL, 1)
	flow("minutes written for seconds", 1.0/60, 0)
	flow("seconds taken for minutes", 60, 1)
	flow("the decimal point one place off", 0.1, 0)
	flow("the decimal point one place off", 10, 0)
	flow("the decimal point two places off", 0.01, 2)
	flow("the decimal point two places off", 100, 2)
	if i := stray(g.Seconds); i >= 0 {
		rest := slices.Delete(slices.Clone(g.Seconds), i, i+1)
		if r, err := Bucket(g.VolumeM3, rest); err == nil {
			c := g
			c.FlowM3S, c.ErrorM3S, c.Seconds = r.FlowM3S, r.ErrorM3S, rest
			all = append(all, Slip{What: fmt.Sprintf("a stray timing of %g s", g.Seconds[i]), Gauging: c, unlike: -4})
		}
	}
	date := func(what string, y, m, d int, unlike float64) {
		c := g
		c.Date = time.Date(y, time.Month(m), d, 0, 0, 0, 0, g.Date.Location())
		if c.Date.Day() == d && int(c.Date.Month()) == m {
			all = append(all, Slip{What: what, Gauging: c, unlike: unlike})
		}
	}
	y, month, d := g.Date.Date()
	m := int(month)
	for _, by := range []int{-1, 1} {
		date("the year one off", y+by, m, d, 2)
		if m+by >= 1 && m+by <= 12 {
			date("the month one off", y, m+by, d, 3)
		}
	}
	if d <= 12 && d != m {
		date("day and month exchanged", y, d, m, 2)
	}
	return all
}

// stray returns the timing that is not one of its kind, among three or more of
// which the others agree; -1 where there is none.
func stray(seconds []float64) int {
	if len(seconds) < 3 {
		return -1
	}
	sorted := slices.Clone(seconds)
	slices.Sort(sorted)
	middle := quantile(sorted, 0.5)
	found := -1
	for i, s := range seconds {
		if s > strayTimes*middle || s < middle/strayTimes {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

// explain finds the likeliest slip of a reading, by a fit with it corrected:
// nil where none brings it near the others. others are the readings that are
// not in doubt, and spread the misses' spread.
func (s *space) explain(ctx context.Context, d Data, others []Gauging, g Gauging, spread float64, from []float64) (Suspect, error) {
	found := Suspect{Gauging: g}
	first := dayNumber(d.Start)
	fit := func(gs []Gauging) (*target, []float64, float64, error) {
		slices.SortStableFunc(gs, func(a, b Gauging) int { return dayNumber(a.Date) - dayNumber(b.Date) })
		t := newTargetSD(s, d, gs, spread)
		z, misfit, err := t.settle(ctx, from, slipSteps)
		if err == nil {
			t.simulate(s.model(s.values(z)))
		}
		return t, z, misfit, err
	}
	z, _, err := func() ([]float64, float64, error) {
		_, z, m, err := fit(slices.Clone(others))
		return z, m, err
	}()
	if err != nil {
		return found, err
	}
	alone := newTargetSD(s, d, []Gauging{g}, spread)
	alone.addM3S = nothingM3S(others)
	alone.simulate(s.model(s.values(z)))
	found.ModelM3S = alone.flow[0]
	add := alone.addM3S
	sd := math.Hypot(spread, g.StandardError()/(g.FlowM3S+add))
	found.Apart = (math.Log(g.FlowM3S+add) - math.Log(found.ModelM3S+add)) / sd
	type tested struct {
		Slip
		cost float64
	}
	var allowed []tested
	for _, slip := range slips(g) {
		if k := dayNumber(slip.Gauging.Date) - first; k < 0 || k >= len(d.RainMM) {
			continue
		}
		gs := append(slices.Clone(others), slip.Gauging)
		t, _, misfit, err := fit(gs)
		if err != nil {
			return found, err
		}
		for i, h := range gs {
			if h.Line != slip.Gauging.Line || !h.Date.Equal(slip.Gauging.Date) || h.FlowM3S != slip.Gauging.FlowM3S {
				continue
			}
			slip.Apart = (t.read[i] - math.Log(t.flow[i]+t.addM3S)) / t.sigma[i]
			break
		}
		if math.Abs(slip.Apart) < slipApart {
			allowed = append(allowed, tested{slip, misfit + slip.unlike})
		}
	}
	slices.SortStableFunc(allowed, func(a, b tested) int { return cmp.Compare(a.cost, b.cost) })
	if len(allowed) > 0 {
		found.Slip = &allowed[0].Slip
	}
	for i := 1; i < min(3, len(allowed)); i++ {
		if allowed[i].cost < allowed[0].cost+nearlyAs {
			found.Or = append(found.Or, allowed[i].Slip)
		}
	}
	return found, nil
}

// Unsure returns the readings that are used although the others contradict
// them: no usual slip explains them, so that it may be the model that is wrong.
func (f *Fitted) Unsure() []Suspect { return f.unsure }

// Compared returns all readings of the record's days beside the fitted model, by
// date.
func (f *Fitted) Compared(rainMM, petMM []float64) []Compared {
	flow := f.Model.Flow(nil, rainMM, petMM)
	first := f.t.firstDay
	var all []Compared
	add := func(g Gauging, s *Suspect) {
		c := Compared{Gauging: g, ModelM3S: flow[dayNumber(g.Date)-first], Suspect: s}
		e, addM3S := f.Error, f.t.addM3S
		sd := math.Hypot(e.sdAt(c.ModelM3S), g.StandardError()/(g.FlowM3S+addM3S))
		c.Apart = (math.Log(g.FlowM3S+addM3S) - math.Log(c.ModelM3S+addM3S)) / sd
		all = append(all, c)
	}
	for _, g := range f.Used {
		var doubt *Suspect
		for i := range f.unsure {
			if u := f.unsure[i].Gauging; u.Line == g.Line && u.Date.Equal(g.Date) && u.FlowM3S == g.FlowM3S {
				doubt = &f.unsure[i]
			}
		}
		add(g, doubt)
	}
	for i := range f.Suspects {
		add(f.Suspects[i].Gauging, &f.Suspects[i])
	}
	slices.SortStableFunc(all, func(a, b Compared) int { return dayNumber(a.Gauging.Date) - dayNumber(b.Gauging.Date) })
	return all
}

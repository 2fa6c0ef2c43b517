package stream

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"time"

	"gonum.org/v1/gonum/optimize"
)

// Kind names a model that can be fitted.
type Kind int

// The models that [Fit] fits.
const (
	CurveKind Kind = iota
	CatchmentKind
)

func (k Kind) String() string {
	if k == CatchmentKind {
		return "catchment"
	}
	return "curve"
}

// Data is what a fit goes by.
type Data struct {
	Start         time.Time // first day of the record
	RainMM, PETMM []float64 // a value a day
	Gaugings      []Gauging // readings outside the record are left out
	South         bool      // of the equator: names the seasons in the verdict
}

// FitOptions change how a fit is done. The zero value is ready to use.
type FitOptions struct {
	AreaM2   float64 // of the catchment; 0: not known, fitted too
	Seed     uint64
	Rounds   int                   // of the bootstrap; 0: 200, negative: none
	Progress func(done, total int) // told after each piece of work; may be nil
}

// Parameter is one fitted value with its 80 % range, NaN without a bootstrap.
type Parameter struct {
	Name             string // with its unit, as stream.csv has it
	Label            string // as a person calls it
	Unit             string // "" for a pure number
	Value, Low, High float64
}

// Scores say how well a model follows readings. NaN where there are too few
// to tell.
type Scores struct {
	N                int
	NSE, KGE, NSELog float64
	ErrorM3S         float64 // root of the mean squared difference
}

// Fitted is the outcome of a fit.
type Fitted struct {
	Kind       Kind
	Model      Model // by all readings: a Curve or a Catchment
	Parameters []Parameter
	Fitted     Scores // of a trial fit by three readings in four, on those
	HeldOut    Scores // of the same trial on the fourth, which it did not see
	Used       []Gauging
	Outside    []Gauging // not within the record

	models   []Model // of the bootstrap's rounds
	lowM3S   float64 // fitted flow that is exceeded on 95 % of the record's days
	southern bool
}

// ReadingsError says why readings cannot be fitted, in words for a person.
type ReadingsError struct{ What, Hint string }

func (e *ReadingsError) Error() string { return e.What + ": " + e.Hint }

const (
	fewestReadings = 3
	holdOutFrom    = 8 // with fewer readings none can be spared for a test
	holdOutEvery   = 4
	defaultRounds  = 200

	firstDraws  = 30 // of the prior, from which the starts are picked
	fitStarts   = 3
	fitEvals    = 50 // runs of the model by a start's simplex
	fitSteps    = 12 // of least squares after it
	roundSteps  = 5  // of least squares in a bootstrap round, from the best fit
	rangeLow    = 0.10
	rangeHigh   = 0.90
	modelShare  = 0.3 // error of a right model with the best parameters, as a share of the middle flow
	denseShare  = 8   // with more than a reading in so many days all days are worked out
	simplexSize = 0.4 // in standard deviations of the prior
)

// Fit finds the parameters of a model from readings of the creek. It makes
// least
//
//	Σ (√observed − √simulated)²/σ² + Σ z²
//
// with σ the error of each reading (and of any model) on the root of flow, and
// z each parameter's distance from the middle of its usual range, so that a few
// readings cannot run to absurd values. Nelder and Mead's simplex starts from
// the best of many seeded draws. The ranges come from a bootstrap: each round
// weighs the readings anew by the week and moves the prior's middle by a draw
// of it, so that what the readings do not tell keeps its whole usual range.
//
// The work is shared among the processors; the outcome does not depend on how
// many there are. A ctx that ends gives its error.
func Fit(ctx context.Context, kind Kind, d Data, o FitOptions) (*Fitted, error) {
	checkLengths(nil, d.RainMM, d.PETMM)
	f := &Fitted{Kind: kind}
	first := dayNumber(d.Start)
	for _, g := range d.Gaugings {
		if i := dayNumber(g.Date) - first; i < 0 || i >= len(d.RainMM) {
			f.Outside = append(f.Outside, g)
		} else {
			f.Used = append(f.Used, g)
		}
	}
	slices.SortStableFunc(f.Used, func(a, b Gauging) int { return dayNumber(a.Date) - dayNumber(b.Date) })
	if len(f.Used) < fewestReadings {
		return nil, &ReadingsError{count(len(f.Used), "reading") + " within the rain record",
			fmt.Sprintf("a fit needs at least %d, some from wet weeks and some from dry ones", fewestReadings)}
	}
	if meanFlow(f.Used) <= 0 {
		return nil, &ReadingsError{"every reading is zero", "there is no creek to fit; read it when it runs"}
	}
	rounds := o.Rounds
	if rounds == 0 {
		rounds = defaultRounds
	}
	rounds = max(0, rounds)

	train, test := f.Used, []Gauging(nil)
	if len(f.Used) >= holdOutFrom {
		train = nil
		for i, g := range f.Used {
			if i%holdOutEvery == holdOutEvery/2 {
				test = append(test, g)
			} else {
				train = append(train, g)
			}
		}
	}
	steps := fitStarts
	if test != nil {
		steps *= 2
	}
	work := &progress{total: steps + rounds, tell: o.Progress}

	s := newSpace(kind, d, f.Used, o.AreaM2)
	whole := newTarget(s, d, f.Used)
	best, err := whole.search(ctx, o.Seed, work)
	if err != nil {
		return nil, err
	}
	values := s.values(best)
	f.Model = s.model(values)

	trial := f.Model
	if test != nil {
		z, err := newTarget(s, d, train).search(ctx, o.Seed, work)
		if err != nil {
			return nil, err
		}
		trial = s.model(s.values(z))
	}
	f.Fitted = scores(newTarget(s, d, train), trial)
	f.HeldOut = Scores{NSE: math.NaN(), KGE: math.NaN(), NSELog: math.NaN(), ErrorM3S: math.NaN()}
	if test != nil {
		f.HeldOut = scores(newTarget(s, d, test), trial)
	}

	sets, err := whole.bootstrap(ctx, best, rounds, o.Seed, work)
	if err != nil {
		return nil, err
	}
	for _, v := range sets {
		f.models = append(f.models, s.model(v))
	}
	f.Parameters = s.parameters(values, sets)
	f.lowM3S = NewDuration(f.Model.Flow(nil, d.RainMM, d.PETMM)).FlowM3S(0.95)
	f.southern = d.South
	return f, nil
}

// Better returns the fit that tells more of the readings that it had not seen
// (with too few of them, of those that it had), by the NSE of logarithms.
func Better(a, b *Fitted) *Fitted {
	sa, sb := a.HeldOut.NSELog, b.HeldOut.NSELog
	if math.IsNaN(sa) || math.IsNaN(sb) {
		sa, sb = a.Fitted.NSELog, b.Fitted.NSELog
	}
	if sb > sa {
		return b
	}
	return a
}

// Band returns, for each day of a record, the flows in m³/s that a tenth and
// nine tenths of the bootstrap's rounds stay below; nil without rounds.
func (f *Fitted) Band(rainMM, petMM []float64) (low, high []float64) {
	if len(f.models) == 0 {
		return nil, nil
	}
	flows := make([][]float64, len(f.models))
	parallel(len(flows), func(_, i int) { flows[i] = f.models[i].Flow(nil, rainMM, petMM) })
	low, high = make([]float64, len(rainMM)), make([]float64, len(rainMM))
	day := make([]float64, len(flows))
	for i := range low {
		for j := range flows {
			day[j] = flows[j][i]
		}
		slices.Sort(day)
		low[i], high[i] = quantile(day, rangeLow), quantile(day, rangeHigh)
	}
	return low, high
}

// target is the misfit of a model to readings. It holds scratch memory: each
// worker has its own copy.
type target struct {
	space      *space
	rain, pet  []float64
	warmed     bool  // the days before the first reading serve as warm-up
	day        []int // of each reading, in rain
	week       []int // running number of the calendar week of each reading
	root       []float64
	sigma      []float64 // standard error of root
	weight     []float64
	priorShift []float64
	flow       []float64 // simulated, of each reading
	all        []float64 // simulated, of each day, where most days were read; else nil
	scratch    []float64 // of the residuals
}

func newTarget(s *space, d Data, gs []Gauging) *target {
	first := dayNumber(d.Start)
	from, to := dayNumber(gs[0].Date)-first-warmUpYears*yearDays, dayNumber(gs[len(gs)-1].Date)-first+1
	t := &target{space: s, warmed: from >= 0}
	from = max(0, from)
	t.rain, t.pet = d.RainMM[from:], d.PETMM[from:]
	if t.warmed || to-from >= yearDays { // a warm-up needs the whole first year
		t.rain, t.pet = d.RainMM[from:to], d.PETMM[from:to]
	}
	sorted := make([]float64, len(gs))
	for i, g := range gs {
		sorted[i] = g.FlowM3S
	}
	slices.Sort(sorted)
	model := modelShare / 2 * math.Sqrt(quantile(sorted, 0.5))
	for _, g := range gs {
		day := dayNumber(g.Date)
		t.day = append(t.day, day-first-from)
		t.week = append(t.week, day/7)
		root := math.Sqrt(g.FlowM3S)
		t.root = append(t.root, root)
		t.sigma = append(t.sigma, math.Hypot(math.Sqrt(g.FlowM3S+g.StandardError())-root, model))
		t.weight = append(t.weight, 1)
	}
	t.priorShift = make([]float64, len(s.dims))
	t.flow = make([]float64, len(t.day))
	t.scratch = make([]float64, len(t.day)+len(s.dims))
	if len(t.day)*denseShare > len(t.rain) {
		t.all = make([]float64, len(t.rain))
	}
	return t
}

// clone returns a target with scratch memory of its own.
func (t *target) clone() *target {
	c := *t
	c.weight = slices.Clone(t.weight)
	c.priorShift = slices.Clone(t.priorShift)
	c.flow = make([]float64, len(t.flow))
	c.scratch = make([]float64, len(t.scratch))
	if t.all != nil {
		c.all = make([]float64, len(t.all))
	}
	return &c
}

// simulate fills t.flow by the model. Where readings are few, the model works
// out its flow on their days only.
func (t *target) simulate(m Model) {
	s := m.Empty()
	if !t.warmed {
		s = WarmUp(m, t.rain, t.pet)
	}
	if t.all != nil {
		m.Run(t.all, s, t.rain, t.pet)
		for i, day := range t.day {
			t.flow[i] = t.all[day]
		}
		return
	}
	done := 0
	for i, day := range t.day {
		if day < done { // a second reading of one day
			t.flow[i] = t.flow[i-1]
			continue
		}
		s = m.Run(nil, s, t.rain[done:day], t.pet[done:day])
		s = m.Run(t.flow[i:i+1], s, t.rain[day:day+1], t.pet[day:day+1])
		done = day + 1
	}
}

// misfit is what a fit makes least.
func (t *target) misfit(z []float64) float64 { return t.residuals(t.scratch, z) }

// descend runs a simplex from z, which steps over small hollows, and settles
// where it ends.
func (t *target) descend(ctx context.Context, z []float64) ([]float64, float64, error) {
	problem := optimize.Problem{
		Func: t.misfit,
		Status: func() (optimize.Status, error) {
			if err := ctx.Err(); err != nil {
				return optimize.Failure, err
			}
			return optimize.NotTerminated, nil
		},
	}
	settings := &optimize.Settings{
		FuncEvaluations: fitEvals,
		Converger:       &optimize.FunctionConverge{Absolute: 1e-4, Iterations: 30},
	}
	r, err := optimize.Minimize(problem, z, settings, &optimize.NelderMead{SimplexSize: simplexSize})
	if ctx.Err() != nil {
		return nil, 0, ctx.Err()
	}
	if err != nil {
		return nil, 0, fmt.Errorf("fit: %w", err)
	}
	return t.settle(ctx, r.X, fitSteps)
}

// search returns the best point of several descents.
func (t *target) search(ctx context.Context, seed uint64, work *progress) ([]float64, error) {
	type start struct {
		z []float64
		f float64
	}
	rng := rand.New(rand.NewPCG(seed, 1))
	starts := make([]start, firstDraws)
	for i := range starts {
		starts[i].z = make([]float64, len(t.space.dims))
		if i > 0 { // the first is the middle of the prior
			for j := range starts[i].z {
				starts[i].z[j] = rng.NormFloat64()
			}
		}
	}
	workers := t.workers()
	parallel(len(starts), func(w, i int) { starts[i].f = workers[w].misfit(starts[i].z) })
	slices.SortStableFunc(starts, func(a, b start) int { return compare(a.f, b.f) })
	starts = starts[:fitStarts]
	errs := make([]error, len(starts))
	parallel(len(starts), func(w, i int) {
		s := &starts[i]
		s.z, s.f, errs[i] = workers[w].descend(ctx, s.z)
		work.step()
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	best := slices.MinFunc(starts, func(a, b start) int { return compare(a.f, b.f) })
	return best.z, nil
}

// bootstrap returns the parameters of each round.
func (t *target) bootstrap(ctx context.Context, best []float64, rounds int, seed uint64, work *progress) ([][]float64, error) {
	sets, errs := make([][]float64, rounds), make([]error, rounds)
	workers := t.workers()
	parallel(rounds, func(w, i int) {
		worker, rng := workers[w], rand.New(rand.NewPCG(seed, 2+uint64(i)))
		// Bayesian bootstrap: exponential weights, one for all readings of a
		// week, since they tell nearly the same.
		sum, week, weight := 0.0, math.MinInt, 0.0
		for j := range worker.weight {
			if t.week[j] != week {
				week, weight = t.week[j], rng.ExpFloat64()
			}
			worker.weight[j] = weight
			sum += weight
		}
		for j := range worker.weight {
			worker.weight[j] *= float64(len(worker.weight)) / sum
		}
		for j := range worker.priorShift {
			worker.priorShift[j] = rng.NormFloat64()
		}
		z, _, err := worker.settle(ctx, best, roundSteps)
		if err == nil {
			sets[i] = t.space.values(z)
		}
		errs[i] = err
		work.step()
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return sets, nil
}

func (t *target) workers() []*target {
	ws := make([]*target, runtime.GOMAXPROCS(0))
	for i := range ws {
		ws[i] = t.clone()
	}
	return ws
}

// scores compares a model with the readings of t.
func scores(t *target, m Model) Scores {
	t.simulate(m)
	var o, s []float64
	miss := 0.0
	for i := range t.day {
		o = append(o, t.root[i]*t.root[i])
		s = append(s, t.flow[i])
		miss += (o[i] - s[i]) * (o[i] - s[i])
	}
	return Scores{N: len(o), NSE: NSE(o, s), KGE: KGE(o, s), NSELog: NSELog(o, s), ErrorM3S: math.Sqrt(miss / float64(len(o)))}
}

// parallel calls do(worker, i) for each i below n, on all processors.
func parallel(n int, do func(worker, i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for w := range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				do(w, i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// progress counts pieces of work done by several workers.
type progress struct {
	mu          sync.Mutex
	done, total int
	tell        func(done, total int)
}

func (p *progress) step() {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	p.tell(p.done, p.total)
}

// quantile reads a share of sorted values, on straight lines between them.
func quantile(sorted []float64, share float64) float64 {
	x := share * float64(len(sorted)-1)
	i := min(int(x), len(sorted)-1)
	if i == len(sorted)-1 {
		return sorted[i]
	}
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func meanFlow(gs []Gauging) float64 {
	sum := 0.0
	for _, g := range gs {
		sum += g.FlowM3S
	}
	return sum / float64(len(gs))
}

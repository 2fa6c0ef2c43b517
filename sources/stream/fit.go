package stream

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"
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

	rangeLow  = 0.10
	rangeHigh = 0.90
)

// Fit finds the parameters of a model from readings of the creek. It makes
// least
//
//	Σ w·5·ln(1 + u²/4) + Σ z²        u = (ln(observed + c) − ln(simulated + c))/σ
//
// with σ the error of each reading, and of any model, on the logarithm of flow;
// c a fiftieth of the middle reading; w less for readings close together in
// time; and z each parameter's distance from the middle of its usual range, so
// that a few readings cannot run to absurd values. The logarithm gives the low
// flows, which decide a changeover, the same say as floods; the first term is
// Student's density with 4 degrees of freedom, which one wrong reading does
// not carry away. Nelder and Mead's simplex starts from the best of many seeded
// draws. The ranges come from a bootstrap: each round weighs the readings anew
// by the week and moves the prior's middle by a draw of it, so that what the
// readings do not tell keeps its whole usual range.
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

func meanFlow(gs []Gauging) float64 {
	sum := 0.0
	for _, g := range gs {
		sum += g.FlowM3S
	}
	return sum / float64(len(gs))
}

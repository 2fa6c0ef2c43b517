package stream

import (
	"context"
	"fmt"
	"math/rand/v2"
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
	Rounds   int                   // creeks to draw for the ranges; 0: 200, negative: none
	NoTest   bool                  // leave no readings out in turn
	Progress func(done, total int) // told after each piece of work; may be nil
}

// Parameter is one fitted value with its 80 % range, NaN without draws.
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
	Fitted     Scores     // on the readings that it was fitted to
	HeldOut    Scores     // on the same readings, each by models that had not seen its week; N = 0: too few weeks
	Error      DailyError // the middle of what the readings left out show
	Used       []Gauging
	Suspects   []Suspect // not used: the others contradict them, and a usual slip explains why
	Outside    []Gauging // not within the record
	LowM3S     float64   // fitted flow that is exceeded on 95 % of the record's days

	all      []Gauging        // within the record, by date
	usedAt   map[int]int      // index in Used of each reading of all
	wrong    map[int]*Suspect // of those readings of all that are not used
	unsure   []Suspect        // used: the others contradict them, and no slip explains why
	t        *target
	best     []float64 // point of the search
	seed     uint64
	left     [][]float64 // flows of the readings left out, by split; nil: no test
	draws    []Draw
	sets     [][]float64 // the draws' parameters, in the units of Parameters
	southern bool
}

// ReadingsError says why readings cannot be fitted, in words for a person.
type ReadingsError struct{ What, Hint string }

func (e *ReadingsError) Error() string { return e.What + ": " + e.Hint }

const (
	fewestReadings = 3
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
// draws.
//
// What the fit is worth is told by readings left out in turn, a fifth of their
// weeks at a time, three times over. The ranges come from draws: the readings
// and the prior's middle are moved by what they are unsure of and the
// parameters settle anew, so that what the readings do not tell keeps its whole
// usual range. Each draw has a daily error too, as likely as it makes the misses
// of the readings left out.
//
// A reading that the others contradict, and that one of the usual slips brings
// near them in a fit with it corrected, is not used but named ([Fitted.Suspects]).
//
// The work is shared among the processors; the outcome does not depend on how
// many there are. A ctx that ends gives its error.
func Fit(ctx context.Context, kind Kind, d Data, o FitOptions) (*Fitted, error) {
	work := &progress{total: trialSteps + o.rounds(), tell: o.Progress}
	f, err := try(ctx, kind, d, o, work)
	if err != nil {
		return nil, err
	}
	return f, f.draw(ctx, o.rounds(), work)
}

// rounds returns the number of rounds that the options ask for.
func (o FitOptions) rounds() int {
	if o.Rounds == 0 {
		return defaultRounds
	}
	return max(0, o.Rounds)
}

// trialSteps is how many pieces of work try tells.
const trialSteps = fitStarts + splits*parts

// try fits a model, tests it on readings left out, and fits it anew without
// those that the others contradict and a usual slip explains.
func try(ctx context.Context, kind Kind, d Data, o FitOptions, work *progress) (*Fitted, error) {
	f, err := within(kind, d)
	if err != nil {
		return nil, err
	}
	maximum := int(maxSuspects * float64(len(f.Used)))
	for again := range searches {
		if again > 0 {
			work.add(trialSteps)
		}
		if err := f.once(ctx, d, o, work); err != nil {
			return nil, err
		}
		index, spread := f.suspects()
		if len(index) == 0 || again == searches-1 {
			break
		}
		doubted := map[int]bool{}
		for _, i := range index {
			doubted[i] = true
		}
		var others []Gauging
		for i, g := range f.Used {
			if !doubted[i] {
				others = append(others, g)
			}
		}
		wrong := map[int]bool{}
		f.unsure = nil
		for _, i := range index {
			s, err := f.t.space.explain(ctx, d, others, f.Used[i], spread, f.best)
			if err != nil {
				return nil, err
			}
			if s.Slip != nil && len(f.Suspects) < maximum {
				wrong[i] = true
				f.Suspects = append(f.Suspects, s)
			} else {
				f.unsure = append(f.unsure, s)
			}
		}
		if len(wrong) == 0 {
			break
		}
		var kept []Gauging
		for i, g := range f.Used {
			if !wrong[i] {
				kept = append(kept, g)
			}
		}
		f.Used = kept
	}
	f.index()
	f.t.simulate(f.Model)
	f.Fitted = scoresOf(f.t.observed, f.t.flow)
	f.HeldOut = f.t.leftOutScores(f.left)
	f.Parameters = f.t.space.parameters(f.t.space.values(f.best), nil)
	f.LowM3S = NewDuration(f.Model.Flow(nil, d.RainMM, d.PETMM)).FlowM3S(0.95)
	return f, nil
}

// index finds the readings of all among those used and those that are not.
func (f *Fitted) index() {
	f.usedAt, f.wrong = map[int]int{}, map[int]*Suspect{}
	same := func(a, b Gauging) bool {
		return a.Line == b.Line && a.Date.Equal(b.Date) && a.FlowM3S == b.FlowM3S && a.Method == b.Method
	}
	next, told := 0, make([]bool, len(f.Suspects))
	for i, g := range f.all {
		if next < len(f.Used) && same(f.Used[next], g) {
			f.usedAt[i] = next
			next++
			continue
		}
		for k := range f.Suspects {
			if !told[k] && same(f.Suspects[k].Gauging, g) {
				f.wrong[i], told[k] = &f.Suspects[k], true
				break
			}
		}
	}
}

// once searches for the best fit to the readings in use, and tests it.
func (f *Fitted) once(ctx context.Context, d Data, o FitOptions, work *progress) error {
	f.t = newTarget(newSpace(f.Kind, d, f.Used, o.AreaM2), d, f.Used)
	ends, err := f.t.search(ctx, o.Seed, work)
	if err != nil {
		return err
	}
	f.best = ends[0]
	f.seed = o.Seed
	f.Model = f.t.space.model(f.t.space.values(f.best))
	if o.NoTest {
		work.skip(splits * parts)
		return nil
	}
	f.left, err = f.t.leftOut(ctx, ends, o.Seed, work)
	return err
}

// draw finds the ranges.
func (f *Fitted) draw(ctx context.Context, rounds int, work *progress) error {
	sets, err := f.t.drawSets(ctx, f.best, rounds, f.seed, work)
	if err != nil {
		return err
	}
	grid := f.t.dailyErrors(f.left, f.t.spread(sets))
	f.Error = grid.middle()
	rng := rand.New(rand.NewPCG(f.seed, 1<<33))
	for _, v := range sets {
		f.draws = append(f.draws, Draw{f.t.space.model(v), grid.draw(rng)})
	}
	f.Parameters = f.t.space.parameters(f.t.space.values(f.best), sets)
	f.sets = sets
	return nil
}

// within sorts out the readings of the record's days.
func within(kind Kind, d Data) (*Fitted, error) {
	checkLengths(nil, d.RainMM, d.PETMM)
	f := &Fitted{Kind: kind, southern: d.South}
	first := dayNumber(d.Start)
	for _, g := range d.Gaugings {
		if i := dayNumber(g.Date) - first; i < 0 || i >= len(d.RainMM) {
			f.Outside = append(f.Outside, g)
		} else {
			f.Used = append(f.Used, g)
		}
	}
	slices.SortStableFunc(f.Used, func(a, b Gauging) int { return dayNumber(a.Date) - dayNumber(b.Date) })
	f.all = f.Used
	if len(f.Used) < fewestReadings {
		return nil, &ReadingsError{count(len(f.Used), "reading") + " within the rain record",
			fmt.Sprintf("a fit needs at least %d, some from wet weeks and some from dry ones", fewestReadings)}
	}
	if meanFlow(f.Used) <= 0 {
		return nil, &ReadingsError{"every reading is zero", "there is no creek to fit; read it when it runs"}
	}
	return f, nil
}

func meanFlow(gs []Gauging) float64 {
	sum := 0.0
	for _, g := range gs {
		sum += g.FlowM3S
	}
	return sum / float64(len(gs))
}

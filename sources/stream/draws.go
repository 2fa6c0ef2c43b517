package stream

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// Draw is one creek that the readings allow: parameters that go together, and
// how its days differ from what they give.
type Draw struct {
	Model Model
	Error DailyError
}

// Flow fills dst (or, if nil, a new slice) with the daily flow in m³/s of one
// possible creek: the model's, with one random course of the daily error by
// seed.
func (d Draw) Flow(dst, rainMM, petMM []float64, seed uint64) []float64 {
	dst = d.Model.Flow(dst, rainMM, petMM)
	return d.Error.Apply(dst, dst, rand.New(rand.NewPCG(seed, 1)))
}

// Draws returns the fit's draws, each as likely as any other; nil without
// rounds.
func (f *Fitted) Draws() []Draw { return f.draws }

// DrawValues returns the parameters of each draw, in the order and the units of
// Parameters.
func (f *Fitted) DrawValues() [][]float64 { return f.sets }

// drawSets returns the parameters of each draw, by randomize-then-optimize: the
// readings and the prior's middle are moved at random by what they are unsure
// of, and the parameters settle anew.
func (t *target) drawSets(ctx context.Context, best []float64, rounds int, seed uint64, work *progress) ([][]float64, error) {
	sets, errs := make([][]float64, rounds), make([]error, rounds)
	workers := t.workers()
	parallel(rounds, func(w, i int) {
		worker, rng := workers[w], rand.New(rand.NewPCG(seed, 2+uint64(i)))
		for j := range worker.shift {
			worker.shift[j] = rng.NormFloat64()
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

// Band returns, for each day of a record, the flows in m³/s between which the
// real creek is on 8 days of 10: what the draws spread, and the daily error;
// nil without rounds.
func (f *Fitted) Band(rainMM, petMM []float64) (low, high []float64) {
	if len(f.draws) == 0 {
		return nil, nil
	}
	flows := make([][]float64, len(f.draws))
	parallel(len(flows), func(_, i int) { flows[i] = f.draws[i].Model.Flow(nil, rainMM, petMM) })
	return bandOf(flows, f.draws)
}

// bandOf returns the tenth and the nine tenths of the draws' flows with their
// daily errors, day by day: of a mixture of log-normal spreads, one a draw.
func bandOf(flows [][]float64, draws []Draw) (low, high []float64) {
	low, high = make([]float64, len(flows[0])), make([]float64, len(flows[0]))
	addM3S := draws[0].Error.AddM3S
	spans := make([][2]int, 0)
	for from := 0; from < len(low); from += bandPiece {
		spans = append(spans, [2]int{from, min(from+bandPiece, len(low))})
	}
	parallel(len(spans), func(_, k int) {
		logs, sds := make([]float64, len(flows)), make([]float64, len(flows))
		sorted := make([]float64, len(flows))
		for i := spans[k][0]; i < spans[k][1]; i++ {
			for j := range flows {
				logs[j] = math.Log(flows[j][i] + addM3S)
				sds[j] = draws[j].Error.sdAt(flows[j][i])
			}
			copy(sorted, logs)
			slices.Sort(sorted)
			low[i] = math.Max(0, math.Exp(mixtureQuantile(logs, sds, sorted, rangeLow))-addM3S)
			high[i] = math.Exp(mixtureQuantile(logs, sds, sorted, rangeHigh)) - addM3S
		}
	})
	return low, high
}

const bandPiece = 64 // days that a worker does at once

// mixtureQuantile returns the value below which a fraction of the mixture of
// normals lies, by Newton's steps from the quantile of the means, which are
// sorted too.
func mixtureQuantile(means, sds, sorted []float64, fraction float64) float64 {
	x := quantile(sorted, fraction)
	for range 20 {
		below, density := 0.0, 0.0
		for j, m := range means {
			if sds[j] == 0 {
				if m <= x {
					below++
				}
				continue
			}
			u := (x - m) / sds[j]
			below += 0.5 * math.Erfc(-u/math.Sqrt2)
			density += math.Exp(-u*u/2) / (sds[j] * math.Sqrt(2*math.Pi))
		}
		n := float64(len(means))
		if density == 0 {
			return x
		}
		step := (fraction*n - below) / math.Max(density, 0.05*n)
		step = math.Max(-0.5, math.Min(0.5, step))
		x += step
		if math.Abs(step) < 1e-3 {
			break
		}
	}
	return x
}

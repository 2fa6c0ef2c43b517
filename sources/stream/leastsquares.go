package stream

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"
)

// settle walks from z to the nearest least misfit by the method of Levenberg
// (1944) and Marquardt (1963): Gauss–Newton steps
//
//	(JᵀJ + λI)·δ = −Jᵀr
//
// with λ raised until the misfit falls. It needs far fewer runs of the model
// than a simplex to come as near.
func (t *target) settle(ctx context.Context, z []float64, steps int) ([]float64, float64, error) {
	const (
		probe      = 1e-3 // standard deviations of the prior
		enough     = 1e-4 // of the misfit: a smaller gain ends the walk
		maxDamping = 1e6
	)
	n, m := len(z), len(t.day)+len(z)
	z = append([]float64(nil), z...)
	r, moved, next := make([]float64, m), make([]float64, m), make([]float64, n)
	jacobian := mat.NewDense(m, n, nil)
	var normal mat.SymDense
	var chol mat.Cholesky
	gradient, delta := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)

	damping := 0.1
	best := t.residuals(r, z)
	for range steps {
		if err := ctx.Err(); err != nil {
			return nil, 0, err
		}
		for j := range z {
			was := z[j]
			z[j] += probe
			t.residuals(moved, z)
			z[j] = was
			for i := range moved {
				jacobian.Set(i, j, (moved[i]-r[i])/probe)
			}
		}
		normal.SymOuterK(1, jacobian.T())
		gradient.MulVec(jacobian.T(), mat.NewVecDense(m, r))
		before := best
		for damping < maxDamping {
			damped := mat.NewSymDense(n, nil)
			damped.CopySym(&normal)
			for j := range n {
				damped.SetSym(j, j, damped.At(j, j)+damping)
			}
			if chol.Factorize(damped) && chol.SolveVecTo(delta, gradient) == nil {
				for j := range next {
					next[j] = z[j] - delta.AtVec(j)
				}
				if f := t.residuals(moved, next); f < best {
					best = f
					copy(z, next)
					copy(r, moved)
					damping /= 5
					break
				}
			}
			damping *= 4
		}
		if before-best < enough*(1+before) {
			break
		}
	}
	return z, best, nil
}

// student returns the signed root of −2 ln of Student's density with [tailsNu]
// degrees of freedom at u standard deviations, less its value at 0:
//
//	√((ν+1)·ln(1 + u²/ν))
//
// Beyond two or three deviations it hardly grows, so that one wrong reading
// does not carry the fit with it.
func student(u float64) float64 {
	return math.Copysign(math.Sqrt((tailsNu+1)*math.Log1p(u*u/tailsNu)), u)
}

// residuals fills r with the readings' and the prior's parts of the misfit,
// and returns the sum of their squares.
func (t *target) residuals(r, z []float64) float64 {
	t.simulate(t.space.model(t.space.values(z)))
	sum := 0.0
	for i := range t.day {
		r[i] = math.Sqrt(t.weight[i]) * student((math.Log(t.flow[i]+t.addM3S)-t.read[i])/t.sigma[i])
		if t.weight[i] > 0 {
			r[i] += t.shift[i]
		}
		sum += r[i] * r[i]
	}
	for i, v := range z {
		d := v - t.priorShift[i]
		r[len(t.day)+i] = d
		sum += d * d
	}
	if math.IsNaN(sum) || math.IsInf(sum, 1) {
		return math.MaxFloat64
	}
	return sum
}

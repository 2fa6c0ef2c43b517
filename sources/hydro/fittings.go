package hydro

import "math"

// Fittings are what the water passes on its way, to be counted at the pipe.
type Fittings struct {
	Entrance string // one of [Entrances]
	Bends90  int    // short elbows, glued or threaded
	Bends45  int
	Sweeps   int // long bends, five times the bore in radius or more
	Valves   int // ball or gate valves of full bore, open
}

// Loss coefficients K, on the velocity head of the pipe: middle values of the
// ranges that handbooks print (pe-calc.com and lmnoeng.com tabulate those that
// stand beside each).
const (
	kBend90 = 0.9 // threaded 0.9 to 1.5, flanged 0.3
	kBend45 = 0.3 // 0.2 to 0.4
	kSweep  = 0.3 // long radius, 0.2 to 0.7
	kValve  = 0.2 // gate 0.15 to 0.2, ball of full bore 0.05
)

// entrance is a shape of the pipe's mouth.
type entrance struct {
	name string
	k    float64
}

var entrances = []entrance{
	{"flush", 0.5},      // square edge, level with the wall
	{"rounded", 0.1},    // 0.04 to 0.25
	{"projecting", 0.8}, // the pipe stands out into the water, 0.8 to 1.0
}

// Entrances returns the names of the mouths, the usual one first.
func Entrances() (names []string) {
	for _, e := range entrances {
		names = append(names, e.name)
	}
	return names
}

// K returns the sum of the loss coefficients. An unknown entrance counts as
// flush.
func (f Fittings) K() float64 {
	k := entrances[0].k
	for _, e := range entrances {
		if e.name == f.Entrance {
			k = e.k
		}
	}
	return k + kBend90*float64(f.Bends90) + kBend45*float64(f.Bends45) + kSweep*float64(f.Sweeps) + kValve*float64(f.Valves)
}

// Reach is a stretch of pipe of one bore.
type Reach struct{ LengthM, BoreM float64 }

// InReaches returns the penstock made of reaches, from the intake down: their
// whole length, and as bore the narrowest, where the water is fastest. Minor
// losses count there.
func (p Penstock) InReaches(reaches []Reach) Penstock {
	p.Reaches, p.LengthM, p.BoreM = reaches, 0, math.Inf(1)
	for _, r := range reaches {
		p.LengthM += r.LengthM
		p.BoreM = math.Min(p.BoreM, r.BoreM)
	}
	return p
}

// OfBore returns the penstock with one bore along all of its length.
func (p Penstock) OfBore(boreM float64) Penstock {
	p.BoreM, p.Reaches = boreM, nil
	return p
}

// reachLoss is [Penstock.Loss] of a penstock in reaches: friction of each, and
// at each change of bore what widening or narrowing takes, on the velocity head
// of the narrower pipe,
//
//	K = (1 − d²/D²)²       wider
//	K = 0.42 (1 − d²/D²)   narrower, up to d/D = 0.76, and then as wider
//
// [White] sec. 6.9, sudden expansion and contraction (the formulas from memory).
func (p Penstock) reachLoss(flowM3S float64, w Water) Loss {
	v := flowM3S / circle(p.BoreM)
	l := Loss{VelocityMS: v, Reynolds: Reynolds(v, p.BoreM, w.ViscosityM2S), MinorM: MinorHeadLoss(v, p.MinorLoss)}
	l.FrictionFactor = FrictionFactor(l.Reynolds, p.RoughnessM/p.BoreM)
	for i, r := range p.Reaches {
		re := Reynolds(flowM3S/circle(r.BoreM), r.BoreM, w.ViscosityM2S)
		l.FrictionM += HeadLoss(flowM3S, r.LengthM, r.BoreM, FrictionFactor(re, p.RoughnessM/r.BoreM))
		if i > 0 {
			l.MinorM += stepLoss(p.Reaches[i-1].BoreM, r.BoreM, flowM3S)
		}
	}
	return l
}

// stepLoss returns the head in m that a change of bore takes.
func stepLoss(fromM, toM, flowM3S float64) float64 {
	narrow, wide := math.Min(fromM, toM), math.Max(fromM, toM)
	x := narrow / wide
	k := (1 - x*x) * (1 - x*x)
	if toM < fromM && x <= 0.76 {
		k = 0.42 * (1 - x*x)
	}
	return MinorHeadLoss(flowM3S/circle(narrow), k)
}

package hydro

import "math"

const hourS = 3600.0

// Pond is the state of a forebay between two hours.
type Pond struct {
	StoredM3 float64
	Running  bool // the turbine's valve is open
}

// PondHour is what an hour did.
type PondHour struct {
	TurbineM3  float64
	HouseM3    float64 // drawn by the house from the forebay
	OverflowM3 float64 // back to the creek
	RanS       float64 // seconds in which the turbine ran
	FirstStopS float64 // second of the hour in which it first ran dry; −1: it did not
	Restarted  bool
}

// Hour moves a forebay of a volume above 0 one hour on. inM3S comes from the
// stream, houseM3S is what the house draws from the forebay (it comes first,
// and as a rule is 0, since the house is served from the stream), drawM3S is
// what the turbine takes while it runs.
//
// The turbine runs until the forebay is empty, then stands until it is back at
// the restart level; what does not fit in flows over. Within the hour this is
// exact: flows are constant, so the level moves in straight lines. Water is
// kept: in = turbine + house + overflow + change of store.
func (f Forebay) Hour(p Pond, inM3S, houseM3S, drawM3S float64) (Pond, PondHour) {
	out := PondHour{FirstStopS: -1}
	restartM3 := f.RestartShare * f.VolumeM3
	net := inM3S - houseM3S // without the turbine
	if p.Running {
		// Mostly the turbine runs all the hour, the level meeting no mark.
		if end := p.StoredM3 + (net-drawM3S)*hourS; end > 0 && end < f.VolumeM3 {
			p.StoredM3 = end
			out.TurbineM3, out.HouseM3, out.RanS = drawM3S*hourS, houseM3S*hourS, hourS
			return p, out
		}
	}
	left := hourS
	for left > 0 {
		if !p.Running && drawM3S > 0 && p.StoredM3 >= restartM3 && p.StoredM3 > 0 {
			p.Running, out.Restarted = true, true
		}
		rate := net
		if p.Running {
			rate -= drawM3S
		}
		// How long until the level meets its next mark?
		mark, wait := 0.0, math.Inf(1)
		switch {
		case rate < 0:
			mark, wait = 0, p.StoredM3/-rate
		case rate > 0 && !p.Running && drawM3S > 0 && restartM3 > p.StoredM3:
			mark, wait = restartM3, (restartM3-p.StoredM3)/rate
		case rate > 0:
			mark, wait = f.VolumeM3, (f.VolumeM3-p.StoredM3)/rate
		}
		dt := left
		if wait <= left {
			dt = wait
		}
		out.HouseM3 += houseM3S * dt
		if p.Running {
			out.TurbineM3 += drawM3S * dt
			out.RanS += dt
		}
		left -= dt
		if wait > left+dt {
			p.StoredM3 += rate * dt // left is 0 now
			break
		}
		p.StoredM3 = mark
		switch {
		case rate > 0 && mark == f.VolumeM3 && (p.Running || drawM3S <= 0):
			// Full: the rest of the hour flows over.
			out.OverflowM3 += rate * left
			out.HouseM3 += houseM3S * left
			if p.Running {
				out.TurbineM3 += drawM3S * left
				out.RanS += left
			}
			left = 0
		case rate < 0 && p.Running:
			p.Running = false
			if out.FirstStopS < 0 {
				out.FirstStopS = hourS - left
			}
			if net > 0 && left > 0 {
				// Whole turns of filling and emptying, all alike.
				fill, empty := restartM3/net, restartM3/(drawM3S-net)
				n := math.Floor(left / (fill + empty))
				out.HouseM3 += houseM3S * n * (fill + empty)
				out.TurbineM3 += drawM3S * n * empty
				out.RanS += n * empty
				out.Restarted = out.Restarted || n > 0
				left -= n * (fill + empty)
			}
		case rate < 0:
			// Empty, and the house wants more than comes in: it gets that.
			out.HouseM3 += inM3S * left
			left = 0
		}
	}
	if p.StoredM3 < 0 {
		p.StoredM3 = 0
	} else if p.StoredM3 > f.VolumeM3 {
		p.StoredM3 = f.VolumeM3
	}
	return p, out
}

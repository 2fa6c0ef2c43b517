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
	restartM3 := f.RestartFraction * f.VolumeM3
	net := inM3S - houseM3S // without the turbine
	if p.Running {
		// Mostly the turbine runs all the hour, the level meeting no mark.
		if end := p.StoredM3 + (net-drawM3S)*hourS; end > 0 && end < f.VolumeM3 {
			p.StoredM3 = end
			out.TurbineM3, out.HouseM3, out.RanS = drawM3S*hourS, houseM3S*hourS, hourS
			return p, out
		}
	}
	if net > 0 && drawM3S > net {
		return f.turns(p, net, houseM3S, drawM3S)
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

// turns is Hour where less comes in than the turbine draws, so that the forebay
// fills and empties turn by turn: netM3S is what comes in less what the house
// draws.
func (f Forebay) turns(p Pond, netM3S, houseM3S, drawM3S float64) (Pond, PondHour) {
	out := PondHour{FirstStopS: -1, HouseM3: houseM3S * hourS}
	falls := drawM3S - netM3S
	restartM3 := f.RestartFraction * f.VolumeM3
	fillS, emptyS := restartM3/netM3S, restartM3/falls

	left := hourS
	if !p.Running && p.StoredM3 >= restartM3 {
		p.Running, out.Restarted = true, true
	}
	phaseS := 0.0 // of a turn, which begins empty
	if p.Running {
		if runS := p.StoredM3 / falls; runS < left {
			out.RanS, out.FirstStopS = runS, runS
			left -= runS
		} else {
			p.StoredM3 -= falls * left
			out.RanS = left
			left = 0
		}
	} else {
		phaseS = p.StoredM3 / netM3S
		if stop := fillS - phaseS + emptyS; stop < left {
			out.FirstStopS = stop
		}
	}
	if left > 0 {
		end := phaseS + left
		n := math.Floor(end / (fillS + emptyS))
		rest := end - n*(fillS+emptyS)
		out.RanS += n * emptyS
		out.Restarted = out.Restarted || end >= fillS
		if p.Running = rest >= fillS; p.Running {
			out.RanS += rest - fillS
			p.StoredM3 = restartM3 - falls*(rest-fillS)
		} else {
			p.StoredM3 = netM3S * rest
		}
	}
	p.StoredM3 = min(max(p.StoredM3, 0), f.VolumeM3)
	out.TurbineM3 = drawM3S * out.RanS
	return p, out
}

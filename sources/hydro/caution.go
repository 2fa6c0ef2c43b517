package hydro

import (
	"fmt"
	"math"
	"strings"
)

// Units writes SI numbers as a person reads them, with their unit.
type Units interface {
	Flow(m3S float64) string
	Velocity(mS float64) string
	Pressure(pa float64) string
	Bore(m float64) string
	Wire(sectionM2 float64) string // the thinnest wire that is sold and has at least that section
}

// Limits of good practice.
const (
	plasticMS    = 1.5     // 5 ft/s, above which plastic pipe is usually not run
	penstockMS   = 3.0     // upper design range of penstocks, from memory
	flushMS      = 0.6     // below which a pipe does not carry its air away, from memory
	lossFraction = 1.0 / 3 // of the gross head at which a pipe gives its greatest power
	minGood      = 0.10    // efficiencies outside are rarely true of a small machine
	maxGood      = 0.85
)

// Warning is something odd but valid about a plant.
type Warning struct {
	Key   string // of its kind: "velocity", "loss", "pressure", …
	Text  string // what it is, why it matters, what to do
	Minor bool   // good to know once, not worth saying at every run
}

// Warnings returns what a careful neighbour would say of the plant, the
// dangerous first.
func (m *Machine) Warnings(u Units) []Warning {
	var ws []Warning
	say := func(key, format string, a ...any) {
		ws = append(ws, Warning{Key: key, Text: fmt.Sprintf(format, a...)})
	}
	note := func(key, format string, a ...any) {
		say(key, format, a...)
		ws[len(ws)-1].Minor = true
	}
	p := &m.Plant
	maximum := m.MaxFlow()
	full := m.duty(maximum, 1)

	s := m.Surge()
	rating := p.Penstock.RatingPa
	switch {
	case rating <= 0:
	case s.StaticPa > rating:
		say("pressure", "the water standing in the pipe presses with %s at the turbine, more than the pipe's rating of %s: it can burst without any surge; use a stronger pipe",
			u.Pressure(s.StaticPa), u.Pressure(rating))
	case s.PeakPa() > rating:
		say("surge", "shutting %s off in %s raises the pressure to %s, above the pipe's rating of %s: take at least %s to close the valve, or use a stronger pipe",
			u.Flow(maximum), closing(p.Penstock.CloseTimeS), u.Pressure(s.PeakPa()), u.Pressure(rating), seconds(s.SlowS))
	case s.StaticPa > SurgeAllowance*rating:
		say("pressure", "the standing water takes %.0f %% of the pipe's rating; usual practice keeps it within %.0f %%, so that a surge has room",
			100*s.StaticPa/rating, 100*SurgeAllowance)
	}
	if full.NetHeadM <= 0 {
		say("loss", "the pipe cannot carry %s: all of the head is lost before that; use a wider pipe or less flow", u.Flow(maximum))
	} else if full.LossFraction > lossFraction {
		say("loss", "at %s the pipe takes %.0f %% of the head, more than a third: less flow (about %s) would give more power than this, and a wider pipe more still",
			u.Flow(maximum), 100*full.LossFraction, u.Flow(p.Penstock.BestFlow(m.Water)))
	}
	if worse, best := m.wasteful(); len(worse) > 0 {
		names := make([]string, len(worse))
		for i, s := range worse {
			names[i] = s.Name(u)
		}
		last := worse[len(worse)-1]
		say("nozzle", "%s give less power than %s and take more water (%s: %.0f W; %s: %.0f W): leave them out",
			strings.Join(names, ", "), best.Name(u), last.Name(u), last.UnlimitedW, best.Name(u), best.UnlimitedW)
	}
	switch v := full.Pipe.VelocityMS; {
	case v > penstockMS:
		say("velocity", "the water runs at %s in the pipe; above %s it wears bends and surges hard: use a wider pipe", u.Velocity(v), u.Velocity(penstockMS))
	case v > plasticMS:
		say("velocity", "the water runs at %s in the pipe; above %s plastic pipe is usually not run, because of surge: close the valve slowly, or use a wider pipe", u.Velocity(v), u.Velocity(plasticMS))
	}
	if minimum := m.MinFlow(); minimum > 0 && p.Penstock.LengthM > 0 {
		if v := p.Penstock.Loss(minimum, m.Water).VelocityMS; v < flushMS {
			note("air", "at the turbine's least flow of %s the water moves at %s only, too slow to carry air out of a hump in the pipe: let the pipe fall all the way, or vent its high points", u.Flow(minimum), u.Velocity(v))
		}
	}
	switch d := m.Greatest.CableDrop; {
	case d > dropWhole:
		say("cable", "the cable loses %.1f %% of the voltage at full output, more than the usual %.0f %% for the whole way: use a thicker cable, a higher voltage or both", 100*d, 100*dropWhole)
	case d > dropBranch:
		note("cable", "the cable loses %.1f %% of the voltage at full output; %.0f %% is usual for one circuit", 100*d, 100*dropBranch)
	}
	if c := p.Cable; c.LengthM > 0 && c.VoltageV > 0 {
		if amps, safe := m.Might.UnlimitedW/c.VoltageV, SafeAmps(c.SectionM2); amps > safe {
			say("ampacity", "the cable carries %.0f A at full output, and copper of its size bears about %.0f A all day (NEC table 310.16, copper at 75 °C in 30 °C): it can overheat and start a fire; use %s or thicker, or a higher voltage, with a fuse that suits it. Local code decides",
				amps, safe, u.Wire(SectionFor(amps)))
		}
	}
	if p.Turbine.Overall == 0 {
		best := 0.0
		for _, e := range p.Turbine.Efficiency {
			best = max(best, e.Efficiency)
		}
		if best < minGood || best > maxGood {
			say("efficiency", "a runner efficiency of %.0f %% is rarely true of a small machine; 60 to 80 %% is usual", 100*best)
		}
	}
	if limit := p.Turbine.MaxPowerW; limit > 0 && m.Might.UnlimitedW > limit && m.MaxFlow() > 0 {
		if n := len(m.TooStrong); n > 0 {
			names := make([]string, n)
			for i, s := range m.TooStrong {
				names[i] = s.Name(u)
			}
			say("limit", "%s would give up to %.0f W, more than the limit of %.0f W: jets have no governor, so never open them; the turbine gives %.0f W at most",
				strings.Join(names, ", "), m.Might.UnlimitedW, limit, m.GreatestW)
		} else {
			say("limit", "the turbine would give %.0f W with its valve wide open, more than the limit of %.0f W: open it to %s and no further", m.Might.UnlimitedW, limit, u.Flow(m.MaxFlow()))
		}
	}
	if v := p.Forebay.VolumeM3; v > 0 && maximum > 0 && v/maximum < 60 {
		say("forebay", "a full tank before the pipe (forebay) feeds the turbine for %s only: it will start and stop many times an hour when the creek is short", seconds(v/maximum))
	}
	if why := m.cannotRun(u); why != "" {
		say("never", "%s", why)
	}
	return ws
}

// wasteful returns the sets that give less power than one which takes less
// water, and the best of those.
func (m *Machine) wasteful() (worse []Set, best Set) {
	for _, s := range m.Sets {
		if s.UnlimitedW < best.UnlimitedW {
			worse = append(worse, s)
		} else {
			best = s
		}
	}
	return worse, best
}

// cannotRun says why no creek whatever would run the turbine, "" if one would.
func (m *Machine) cannotRun(u Units) string {
	t, in := m.Plant.Turbine, m.Plant.Intake
	switch {
	case m.Plant.Penstock.GrossHeadM <= 0:
		return "the turbine never runs: it has no head"
	case m.overLimit():
		return fmt.Sprintf("the turbine never runs: its smallest nozzle gives %.0f W, more than the limit of %.0f W", m.TooStrong[0].UnlimitedW, t.MaxPowerW)
	case m.MaxFlow() <= 0:
		return "the turbine never runs: it takes no water"
	case m.Sets == nil && t.CutoffM3S > t.DesignFlowM3S:
		return fmt.Sprintf("the turbine never runs: its cut-off of %s is above its design flow of %s", u.Flow(t.CutoffM3S), u.Flow(t.DesignFlowM3S))
	case m.Sets != nil && !m.runs(m.bestSet[len(m.bestSet)-1]):
		return "the turbine never runs: the pipe takes so much of the head that the jet is below half its speed; use a wider pipe or a smaller nozzle"
	case in.LimitM3S > 0 && in.LimitM3S < m.MinFlow() && m.Plant.Forebay.VolumeM3 == 0:
		return fmt.Sprintf("the turbine never runs: the intake passes %s at most, and the turbine needs %s", u.Flow(in.LimitM3S), u.Flow(m.MinFlow()))
	}
	return ""
}

// overLimit reports whether every set of nozzles would give more than the limit.
func (m *Machine) overLimit() bool { return m.Sets != nil && len(m.Sets) == 0 && len(m.TooStrong) > 0 }

// NeverRuns says in words why the turbine never runs on these stream flows, ""
// if it does on some day, be it a part of the day through the forebay.
func (m *Machine) NeverRuns(streamM3S []float64, u Units) string {
	if why := m.cannotRun(u); why != "" {
		return why
	}
	maximum, left := 0.0, 0.0
	for _, q := range streamM3S {
		maximum, left = max(maximum, q), max(left, m.Plant.Intake.Left(q))
	}
	in, need := m.Plant.Intake, m.MinFlow()
	if m.Plant.Visits.nobody() && m.Sets != nil {
		need = max(need, m.Sets[m.bestSet[len(m.bestSet)-1]].FlowM3S)
	}
	switch {
	case maximum <= 0:
		return "the turbine never runs: the creek is dry all the time"
	case in.ResidualM3S >= maximum:
		return fmt.Sprintf("the turbine never runs: %s must stay in the creek, and it never has more than %s", u.Flow(in.ResidualM3S), u.Flow(maximum))
	case left <= 0:
		return fmt.Sprintf("the turbine never runs: creek (%s) and house (%s) need all of the water, which is never more than %s", u.Flow(in.ResidualM3S), u.Flow(in.HouseWaterM3S), u.Flow(maximum))
	case !sustains(left, need) || left < m.Plant.Turbine.CutoffM3S:
		if m.MeanPower(left) > 0 {
			return ""
		}
		return fmt.Sprintf("the turbine never runs: it needs %s, and there is never more than %s left for it", u.Flow(need), u.Flow(left))
	}
	return ""
}

func seconds(s float64) string {
	switch {
	case math.IsInf(s, 1):
		return "longer than any time"
	case s < 9.5:
		return fmt.Sprintf("%.1f s", math.Ceil(10*s)/10)
	}
	return fmt.Sprintf("%.0f s", math.Ceil(s))
}

func closing(s float64) string {
	if s <= 0 {
		return "an instant"
	}
	return seconds(s)
}

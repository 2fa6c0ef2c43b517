package series

import (
	"math"
	"time"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/site"
	"sunrill/sources/hydro"
	"sunrill/sources/stream"
	"sunrill/weather"
)

// Input returns one water year, hydro gated by the site's dates. The year must
// be one of [Homestead.Years] or [Homestead.Unfinished].
func (h *Homestead) Input(y weather.Year) *sim.Input {
	return new(Maker).Input(h, y)
}

// Openings returns one water year with the valve always open, and beside it what
// becomes of a valve that is opened on any of its days.
func (h *Homestead) Openings(y weather.Year) *sim.Input {
	return new(Maker).Openings(h, y)
}

// Open returns one water year with the valve always open.
func (h *Homestead) Open(y weather.Year) *sim.Input {
	return new(Maker).Open(h, y)
}

// Maker makes inputs one after the other in the same memory: each is good
// until the next is made. The zero value is ready; it serves one goroutine.
type Maker struct {
	in     sim.Input
	sky    *weather.SkyHours
	array  [][]float64 // watts, by array
	change sim.Other
	flow   *hydro.Flow
	pv     []float64
	air    []float64

	demand      loads.Demand // of the year demandYear, times a factor
	demandYear  weather.Year
	demandTimes float64
	dry         []float64 // a turbine that stands
	sources     []sim.Source
}

// Input is [Homestead.Input] in the maker's memory.
func (m *Maker) Input(h *Homestead, y weather.Year) *sim.Input {
	if h.Machine == nil || h.Valve == (Valve{}) {
		return m.Open(h, y)
	}
	if h.Valve.Shut {
		return m.change.Of(m.Open(h, y), sim.Variant{Hydro: sim.HydroOff})
	}
	season := hydro.Season{}
	season.Open, season.Close = h.Valve.days(y)
	in := m.input(h, y, season)
	if in.TurbineM3S != nil {
		open, close := season.Open, season.Close
		if y.Unfinished() {
			if open > close && open >= y.Days {
				open = 0 // it stays open until a day after the end
			}
			open, close = min(open, y.Days), min(close, y.Days)
		}
		in.OpenHour, in.CloseHour = 24*open, 24*close
	}
	return in
}

// creek returns the water of a year of the record.
func (h *Homestead) creek(y weather.Year) hydro.Creek {
	day := h.record.Index(y.Start)
	return hydro.Creek{FlowM3S: h.flowM3S[day : day+y.Days], RainMM: h.record.RainMM[day : day+y.Days], Recession: h.falls}
}

// Openings returns a year as [Maker.Open] does, and beside it what becomes of a
// valve that is opened on any of its days.
func (m *Maker) Openings(h *Homestead, y weather.Year) *sim.Input {
	in := m.Open(h, y)
	if h.Machine == nil || in.FlowM3S == nil {
		return in
	}
	for _, o := range h.Machine.Openings(h.creek(y)) {
		in.Openings = append(in.Openings, sim.Opening(o))
	}
	return in
}

// Open is [Homestead.Open] in the maker's memory.
func (m *Maker) Open(h *Homestead, y weather.Year) *sim.Input { return m.input(h, y, hydro.AllYear) }

// CreekAlone returns what the turbine gives in a year with the valve always
// open, and nothing of sun and house. The site must have a turbine and a creek.
func (m *Maker) CreekAlone(h *Homestead, y weather.Year) *sim.Input {
	m.flow = h.Machine.Series(m.flow, h.creek(y), hydro.AllYear)
	m.dry = resize(m.dry, y.Hours())
	m.sources = append(m.sources[:0], sim.Source{Kind: sim.Creek, W: m.flow.PowerW})
	m.in = sim.Input{Start: y.Start, Sources: m.sources, DemandW: m.dry, CloseHour: y.Hours()}
	return &m.in
}

// input makes a year whose valve is open in a season.
func (m *Maker) input(h *Homestead, y weather.Year, season hydro.Season) *sim.Input {
	g := h.geometry(y)
	day := h.record.Index(y.Start)
	in := &m.in
	*in = sim.Input{Start: y.Start, RainMM: h.record.RainMM[day : day+y.Days], CloseHour: y.Hours()}

	if h.kept != nil {
		return m.openKept(h, g, y, day, season)
	}
	m.sun(h, g, y, day)
	in.SunHours, in.AirC = m.in.SunHours, m.air
	m.pv = resize(m.pv, y.Hours())
	clear(m.pv)
	for len(m.array) < len(g.views) {
		m.array = append(m.array, nil)
	}
	for k, v := range g.views {
		m.array[k] = v.Power(m.array[k], m.sky.GHI, m.sky.DNI, m.sky.DHI, m.air)
		for i, w := range m.array[k] {
			m.pv[i] += w
		}
	}
	if m.demandYear != y || m.demandTimes != h.times.loads {
		h.demand(&m.demand, y)
		m.demandYear, m.demandTimes = y, h.times.loads
	}
	ask(in, &m.demand)
	if h.Site.Bank.FollowsAir {
		in.BankC = m.air
	}

	w := hours{y, m.sky, m.air, m.array[:len(g.views)], m.pv, nil}
	m.water(&w, h, func() *hydro.Flow {
		m.flow = h.Machine.Series(m.flow, h.creek(y), season)
		return m.flow
	})
	return in
}

// hours is the weather of some days, hour by hour, and what is made of it.
type hours struct {
	days    weather.Year // of the record
	sky     *weather.SkyHours
	airC    []float64
	arraysW [][]float64 // by array
	panelsW []float64   // together
	creekW  []float64
}

// sources lists everything that gives power to the bus in these hours. The
// panels' and the creek's series are there; another source makes its own from
// the weather and is appended.
func (h *Homestead) sources(dst []sim.Source, w *hours) []sim.Source {
	dst = append(dst[:0],
		sim.Source{Kind: sim.Panels, W: w.panelsW, PartsW: w.arraysW},
		sim.Source{Kind: sim.Creek, W: w.creekW})
	return dst
}

// water puts the creek, what the machine does and all sources into the input.
func (m *Maker) water(w *hours, h *Homestead, flow func() *hydro.Flow) {
	in := &m.in
	if h.flowM3S != nil {
		day := h.record.Index(w.days.Start)
		in.FlowM3S = h.flowM3S[day : day+w.days.Days]
	}
	if h.Machine == nil || in.FlowM3S == nil {
		m.dry = resize(m.dry, w.days.Hours())
		w.creekW = m.dry
		in.CloseHour = 0
	} else {
		f := flow()
		w.creekW = f.PowerW
		beside(in, h, f)
	}
	m.sources = h.sources(m.sources, w)
	in.Sources = m.sources
}

// beside puts what the machine does beside its watts into an input.
func beside(in *sim.Input, h *Homestead, f *hydro.Flow) {
	in.TurbineM3S, in.DryStopHour, in.VisitDay, in.NozzleSet = f.TurbineM3S, f.DryStopHour, f.VisitDay, f.NozzleSet
	in.CutoffM3S = h.Site.Hydro.Turbine.CutoffM3S
}

// ask puts what the house asks into an input.
func ask(in *sim.Input, d *loads.Demand) {
	in.DemandW, in.OverW = d.BusW, d.OverW
	in.FlexibleW, in.FlexibleWh = d.FlexibleW, d.FlexibleWh
	in.WeeklyW, in.WeeklyWh, in.TogetherW = d.WeeklyW, d.WeeklyWh, d.TogetherW
}

// openKept is [Maker.Open] of a homestead that keeps its parts: each is made
// once, by the same steps.
func (m *Maker) openKept(h *Homestead, g *geometry, y weather.Year, day int, season hydro.Season) *sim.Input {
	in := &m.in
	sky := h.kept.sky.of(keyOf(y), func() skyPart {
		var own Maker
		own.sun(h, g, y, day)
		return skyPart{own.sky, own.air, own.in.SunHours}
	})
	in.SunHours, in.AirC = sky.sunHours, sky.air
	m.pv = resize(m.pv, y.Hours())
	clear(m.pv)
	arrays := make([][]float64, len(g.views))
	for k, v := range g.views {
		arrays[k] = h.kept.arrays[k].of(keyOf(y), func() []float64 {
			return v.Power(nil, sky.hours.GHI, sky.hours.DNI, sky.hours.DHI, sky.air)
		})
		for i, w := range arrays[k] {
			m.pv[i] += w
		}
	}
	demand := h.kept.demand.of(keyOf(y), func() (d loads.Demand) {
		h.demand(&d, y)
		return d
	})
	ask(in, &demand)
	if h.Site.Bank.FollowsAir {
		in.BankC = sky.air
	}
	w := hours{y, sky.hours, sky.air, arrays, m.pv, nil}
	m.water(&w, h, func() *hydro.Flow {
		return h.kept.water.of(waterKey{keyOf(y), season}, func() *hydro.Flow { return h.Machine.Series(nil, h.creek(y), season) })
	})
	return in
}

// sun makes the year's hourly sky, its sun hours and its air.
func (m *Maker) sun(h *Homestead, g *geometry, y weather.Year, day int) {
	r := h.record
	if r.TMinC != nil {
		m.air = weather.AirTemperature(m.air, r.TMinC[day:day+y.Days], r.TMaxC[day:day+y.Days], g.track)
	} else {
		m.air = weather.AirFromMonths(m.air, h.Site.Sun.TempC, y)
	}
	if h.Site.Sun.Hourly == nil {
		m.sky = h.Sky.Hours(m.sky, g.track, h.factors[day:day+y.Days])
		brighten(m.sky, h.times.sun)
		m.in.SunHours = h.sunHours[day : day+y.Days]
		return
	}
	year := h.Site.Sun.Hourly.Year(y)
	m.sky = weather.Measured(m.sky, g.track, year)
	brighten(m.sky, h.times.sun)
	m.in.SunHours = weather.DayKWh(nil, m.sky.GHI)
	if year.TempC != nil {
		m.air = append(m.air[:0], year.TempC...)
	}
}

// brighten scales every hour of a sky.
func brighten(sky *weather.SkyHours, times float64) {
	if times == 1 {
		return
	}
	for _, s := range [][]float64{sky.GHI, sky.DNI, sky.DHI} {
		for i := range s {
			s[i] *= times
		}
	}
}

// Valve is when the valve is opened and closed: from 00:00 of its date. Nil is
// never: without Open it is open from the year's start, without Close to the
// year's end.
type Valve struct {
	Open, Close *site.Date
	Shut        bool // all the time
}

// days returns the days on which the valve is opened and closed. An opening
// after the closing means that the wet season crosses the year's start: open
// from the start to the closing, and again from the opening on.
func (v Valve) days(y weather.Year) (from, to int) {
	end := int(y.Start.AddDate(1, 0, 0).Sub(y.Start).Hours() / 24) // of the whole year
	to = end
	if v.Open != nil {
		from = dayOf(y, v.Open.Month, v.Open.Day)
	}
	if v.Close != nil {
		to = dayOf(y, v.Close.Month, v.Close.Day)
		if to == 0 && v.Open != nil {
			to = end // closing on the year's first day is closing at its end
		}
	}
	return from, to
}

// dayOf returns the day of y on which a day of the calendar falls; 29
// February is 1 March in a common year.
func dayOf(y weather.Year, month time.Month, day int) int {
	t := time.Date(y.Start.Year(), month, day, 0, 0, 0, 0, y.Start.Location())
	if t.Before(y.Start) {
		t = time.Date(y.Start.Year()+1, month, day, 0, 0, 0, 0, y.Start.Location())
	}
	return int(t.Sub(y.Start).Hours() / 24)
}

// alignFlow returns the own record's flow on each day of the rain record, NaN
// where it has none.
func alignFlow(f *stream.FlowRecord, r weather.Record) []float64 {
	flow := make([]float64, r.Days())
	shift := r.Index(f.Start)
	for d := range flow {
		flow[d] = math.NaN()
		if i := d - shift; 0 <= i && i < len(f.FlowM3S) {
			flow[d] = f.FlowM3S[i]
		}
	}
	return flow
}

func resize(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

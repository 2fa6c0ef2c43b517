package series

import (
	"fmt"
	"slices"
	"sync"
	"time"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/site"
	"sunrill/sources/hydro"
	"sunrill/sources/solar"
	"sunrill/sources/stream"
	"sunrill/weather"
)

// samplesPerHour is how often an hour looks where the sun stands.
const samplesPerHour = 6

// Homestead is a site made ready to be run through any year. It is safe for
// use by several goroutines.
type Homestead struct {
	Site    *site.Site
	Machine *hydro.Machine // nil without hydro
	Sky     *weather.Sky   // nil where the sun was measured hour by hour
	Valve   Valve

	record   weather.Record
	fromDay  int             // from which the sky draws what rain and temperature do not tell
	sunHours []float64       // a value a day of the record; nil where the sun was measured
	factors  []float64       // the same
	meanC    []float64       // a value a day of the record, with a model of the stream
	petMM    []float64       // the same
	flowM3S  []float64       // a value a day of the record; nil without a stream
	falls    hydro.Recession // of the site's own record, as whoever visits the creek knows it
	model    stream.Model    // nil without a stream or with an own record
	years    []weather.Year
	times    factors
	house    func() *loads.House // of the list of appliances, as often as the loads' factor says
	dayError stream.DailyError   // of a drawn creek
	daySeed  uint64
	shared   *shared
	kept     *kept    // nil: each year is made anew
	like     likeness // of the homestead that it is a change of
}

// shared is what homesteads under different weather have in common.
type shared struct {
	mu         sync.Mutex
	geometries map[geometryKey]*geometry
	tracks     *once[*weather.Track] // of the place
	views      []*once[*solar.View]  // by array
	evaporates *weather.Evaporation
	skies      *skies
}

// once makes a thing for each kind of year once.
type once[T any] struct {
	mu   sync.Mutex
	made map[geometryKey]T
}

func (o *once[T]) of(key geometryKey, make func() T) T {
	o.mu.Lock()
	defer o.mu.Unlock()
	v, ok := o.made[key]
	if !ok {
		if o.made == nil {
			o.made = map[geometryKey]T{}
		}
		v = make()
		o.made[key] = v
	}
	return v
}

// factors are on what a draw has otherwise than the site says; the sun's on
// every hour of the sky, the flow's on every day of the creek, the loads' on
// what is asked behind the inverter.
type factors struct{ sun, flow, loads float64 }

// asTold is a site taken by its word.
var asTold = factors{1, 1, 1}

type geometryKey struct {
	month time.Month
	day   int
	days  int
	phase int
}

// geometry is the sun's way through one kind of year, and what each array sees
// of it.
type geometry struct {
	track *weather.Track
	views []*solar.View
}

// New prepares a site. The site's own checks have passed, so what can still
// be wrong is how its records fit together: the error is then [site.Problems].
func New(s *site.Site) (*Homestead, error) {
	h := newShared(s)
	if s.Hydro != nil {
		h.Machine = s.Hydro.Prepare()
	}
	if err := h.calibrate(); err != nil {
		return nil, err
	}
	h.follow()
	h.findRecession()
	if err := h.findYears(); err != nil {
		return nil, err
	}
	return h, nil
}

// newShared begins a homestead with what homesteads under different weather
// have in common.
func newShared(s *site.Site) *Homestead {
	h := &Homestead{Site: s, Valve: Valve{Open: s.Open, Close: s.Close}, record: s.Rain, times: asTold, shared: &shared{geometries: map[geometryKey]*geometry{}, skies: &skies{made: map[int]*drawnSky{}}, tracks: new(once[*weather.Track]), evaporates: weather.NewEvaporation(s.Place.LatDeg)}}
	h.ask()
	for range s.Arrays {
		h.shared.views = append(h.shared.views, new(once[*solar.View]))
	}
	if s.Stream != nil {
		switch {
		case s.Stream.Curve != nil:
			h.model = *s.Stream.Curve
		case s.Stream.Catchment != nil:
			h.model = *s.Stream.Catchment
		}
	}
	return h
}

// calibrate finds the sky of the sun hours.
func (h *Homestead) calibrate() error {
	s := h.Site
	if s.Sun.Hourly != nil {
		return nil
	}
	sky, err := weather.Calibrate(s.Place, s.Rain, weather.SunTable{SunHours: s.Sun.SunHours}, h.skyOptions())
	if err != nil {
		return files.Problems{{File: "sun.csv", What: err.Error(), Hint: "kWh/m² a day, means of the month; are they MJ, or a month's sum, or is a hill in the horizon too high?"}}
	}
	h.Sky = sky
	return nil
}

// findRecession learns how the creek falls between rains, as whoever visits it
// knows it.
func (h *Homestead) findRecession() {
	if h.Machine != nil && h.flowM3S != nil {
		h.falls = hydro.FitRecession(h.flowM3S, h.record.RainMM)
	}
}

// findYears finds the whole water years.
func (h *Homestead) findYears() error {
	h.years = h.wholeYears()
	if len(h.years) == 0 {
		return files.Problems{{What: fmt.Sprintf("the records of rain, sun and flow share no whole water year from %d %s on", h.Site.YearDay, h.Site.YearMonth),
			Hint: "a run needs all of them for every day of a year; [year] start sets another first day"}}
	}
	return nil
}

// Worker returns a function that runs the homestead under one weather after
// another in the same memory, for one goroutine. It is given a record and the
// day from which the sky draws what rain and temperature do not tell (0 for the
// site's own record; synthetic years that share their dates begin on days of their
// own), and returns a function that makes any water year within that record;
// each input is good until the next is made.
//
// The sky keeps its calibration and the creek its parameters; its ground is
// warmed up by the new record's first year. An own record of flow knows no
// other weather and stays as it is.
func (h *Homestead) Worker() func(r weather.Record, fromDay int) func(y weather.Year) *sim.Input {
	o := &Homestead{Site: h.Site, Machine: h.Machine, Sky: h.Sky, Valve: h.Valve, model: h.model, times: h.times, house: h.house, dayError: h.dayError, daySeed: h.daySeed, falls: h.falls, shared: h.shared}
	var m Maker
	return func(r weather.Record, fromDay int) func(y weather.Year) *sim.Input {
		o.record, o.fromDay = r, fromDay
		o.follow()
		return func(y weather.Year) *sim.Input { return m.Input(o, y) }
	}
}

// changed returns a copy to be changed, which keeps no parts.
func (h *Homestead) changed() *Homestead {
	o := *h
	o.kept = nil
	return &o
}

// Over returns the same homestead under the sky of a weather generator's synthetic years; see
// [weather.Sky.Over].
func (h *Homestead) Over(c *weather.Generator) *Homestead {
	o := h.changed()
	if h.Sky != nil {
		o.Sky = h.Sky.Over(c)
	}
	return o
}

// WithValve returns the same homestead with the valve opened and closed on
// other days.
func (h *Homestead) WithValve(v Valve) *Homestead {
	o := h.changed()
	o.Valve = v
	return o
}

// WithWater returns the same homestead with every flow of the creek times a
// factor of 0 or more; what stays in the creek and what the house draws are as
// they were.
func (h *Homestead) WithWater(times float64) *Homestead {
	o := h.changed()
	o.flowM3S = make([]float64, len(h.flowM3S))
	for d, q := range h.flowM3S {
		o.flowM3S[d] = q * times
	}
	if times > 0 {
		o.falls = h.falls.Times(times)
	}
	o.times.flow *= times
	return o
}

// RainMovesStream reports whether other rain gives another flow: not with an
// own record of flow, and not without a stream.
func (h *Homestead) RainMovesStream() bool { return h.model != nil }

// Record returns the daily weather that the homestead stands under.
func (h *Homestead) Record() weather.Record { return h.record }

// FlowM3S returns the stream flow of each day of the record, NaN where an own
// record of flow has none; nil without a stream.
func (h *Homestead) FlowM3S() []float64 { return h.flowM3S }

// PotentialEvaporation returns what could evaporate on each day of the record,
// in mm.
func (h *Homestead) PotentialEvaporation() []float64 {
	if h.petMM != nil {
		return h.petMM
	}
	mean := make([]float64, h.record.Days())
	h.meanTemperature(mean)
	return h.shared.evaporates.Potential(nil, h.record.Start, mean)
}

// Years returns the whole water years that every record covers, in order.
func (h *Homestead) Years() []weather.Year { return h.years }

// Bus returns what stands at the bus.
func (h *Homestead) Bus() sim.Bus {
	return sim.Bus{Bank: h.Site.Bank, DumpW: h.Site.DumpW, Generator: h.Site.Generator}
}

// follow works out what depends on the record alone, in memory that it has
// used before where there is some.
func (h *Homestead) follow() {
	h.followSky()
	h.followCreek()
}

func (h *Homestead) followSky() {
	r := h.record
	if h.Sky != nil {
		h.factors = h.Sky.Factors(h.factors, r, h.fromDay)
		h.sunHours = h.Sky.SunHours(h.sunHours, r.Start, h.factors)
		h.scaleSun()
	}
}

// followCreek works out the stream, and what evaporates.
func (h *Homestead) followCreek() {
	if r := h.record; h.model != nil {
		h.meanC, h.petMM = resize(h.meanC, r.Days()), resize(h.petMM, r.Days())
		h.meanTemperature(h.meanC)
		h.shared.evaporates.Potential(h.petMM, r.Start, h.meanC)
	}
	h.flow()
}

// flow works out the stream from rain and evaporation.
func (h *Homestead) flow() {
	r := h.record
	switch own := h.Site.Stream; {
	case h.model != nil:
		h.flowM3S = resize(h.flowM3S, r.Days())
		stream.Draw{Model: h.model, Error: h.dayError}.Flow(h.flowM3S, r.RainMM, h.petMM, h.daySeed)
	case own != nil && own.Record != nil:
		h.flowM3S = alignFlow(own.Record, r)
	}
	if f := h.times.flow; f != 1 {
		for d := range h.flowM3S {
			h.flowM3S[d] *= f
		}
	}
}

// wholeYears returns the water years that every record covers.
func (h *Homestead) wholeYears() []weather.Year {
	var years []weather.Year
	for _, y := range weather.WaterYears(h.record, h.Site.YearMonth, h.Site.YearDay) {
		if h.covers(y) {
			years = append(years, y)
		}
	}
	return years
}

// minDays is the least that is worth a run: a week.
const minDays = 7

// Unfinished returns the season after the last whole water year, up to the day
// on which the first of the records breaks off, and whether there is one of a
// week at least. It is for a run of its own and belongs to no mean of years.
func (h *Homestead) Unfinished() (weather.Year, bool) {
	last := h.years[len(h.years)-1]
	y := weather.Year{Start: last.Start.AddDate(0, 0, last.Days)}
	y.Days = min(h.record.Days()-h.record.Index(y.Start), 364)
	for y.Days >= minDays && !h.covers(y) {
		y.Days--
	}
	return y, y.Days >= minDays
}

// covers tells whether the site wants year y and every record has it.
func (h *Homestead) covers(y weather.Year) bool {
	s := h.Site
	if n := y.Number(); s.FirstYear != 0 && n < s.FirstYear || s.LastYear != 0 && n > s.LastYear {
		return false
	}
	if s.Sun.Hourly != nil && !s.Sun.Hourly.Covers(y) {
		return false
	}
	if h.flowM3S != nil {
		from := h.record.Index(y.Start)
		for _, q := range h.flowM3S[from : from+y.Days] {
			if q != q { // outside the own record of flow
				return false
			}
		}
	}
	return true
}

// meanTemperature fills dst with the mean air temperature of each day of the
// record, in °C.
func (h *Homestead) meanTemperature(dst []float64) {
	r := h.record
	for d := range dst {
		if r.TMinC != nil {
			dst[d] = (r.TMinC[d] + r.TMaxC[d]) / 2
		} else {
			dst[d] = weather.MonthlyAt(h.Site.Sun.TempC, r.Start.AddDate(0, 0, d))
		}
	}
}

// geometry returns the sun's way through a year, made at most once for each
// first day, length and phase of the leap cycle.
func (h *Homestead) geometry(y weather.Year) *geometry {
	key := geometryKey{y.Start.Month(), y.Start.Day(), y.Days, y.Phase()}
	h.shared.mu.Lock()
	defer h.shared.mu.Unlock()
	g := h.shared.geometries[key]
	if g == nil {
		g = &geometry{track: h.shared.tracks.of(key, func() *weather.Track { return weather.NewTrack(h.Site.Place, y, samplesPerHour) })}
		for i, a := range h.Site.Arrays {
			g.views = append(g.views, h.shared.views[i].of(key, func() *solar.View { return solar.NewView(a, g.track.Path) }))
		}
		h.shared.geometries[key] = g
	}
	return g
}

// skyOptions tell the calibration how the sun hours were observed.
func (h *Homestead) skyOptions() weather.SkyOptions {
	s := h.Site
	o := weather.SkyOptions{WetDayFraction: s.Sun.WetDayFraction, Variability: s.Sun.Variability, Seed: s.Sun.Seed}
	if s.Sun.OnPanel && len(s.Arrays) > 0 {
		o.OnPanel = func(p weather.Path) func(dst, ghi, dni, dhi []float64) []float64 {
			return onPanels(views(s.Arrays, p))
		}
	}
	return o
}

// views returns what each array sees of the sun's way.
func views(arrays []solar.Array, p weather.Path) []*solar.View {
	var vs []*solar.View
	for _, a := range arrays {
		vs = append(vs, solar.NewView(a, p))
	}
	return vs
}

// onPanels returns the function that gives the radiation on the panels, shade
// included: the mean of the arrays by their power.
func onPanels(vs []*solar.View) func(dst, ghi, dni, dhi []float64) []float64 {
	total := 0.0
	for _, v := range vs {
		total += v.Array().PowerW
	}
	var one []float64
	return func(dst, ghi, dni, dhi []float64) []float64 {
		if len(dst) != len(ghi) {
			dst = make([]float64, len(ghi))
		}
		clear(dst)
		for _, v := range vs {
			one = v.Irradiance(one, ghi, dni, dhi)
			fraction := v.Array().PowerW / total
			for h, w := range one {
				dst[h] += fraction * w
			}
		}
		return dst
	}
}

// ask makes the list of appliances ready, once it is wanted.
func (h *Homestead) ask() {
	s, t := h.Site, h.times
	h.house = sync.OnceValue(func() *loads.House { return loads.NewHouse(t.asked(s.Appliances), s.Inverter) })
}

// asked returns appliances as the loads' factor has them.
func (t factors) asked(apps []loads.Appliance) []loads.Appliance {
	if t.loads == 1 {
		return apps
	}
	apps = slices.Clone(apps)
	for i := range apps {
		apps[i].Watts *= t.loads
	}
	return apps
}

// demand puts what the house asks in a year into d, in memory that d has
// already.
func (h *Homestead) demand(d *loads.Demand, y weather.Year) {
	m := h.Site.DemandW
	if m == nil {
		h.house().Demand(d, y.Start, y.Days)
		return
	}
	acW := weather.Aligned(m.Start, m.Values, y)
	if f := h.times.loads; f != 1 {
		acW = slices.Clone(acW)
		for i := range acW {
			acW[i] *= f
		}
	}
	*d = loads.Metered(y.Start, acW, h.Site.Inverter)
}

// UseADay returns what the house asks of the bus on a mean day of the last
// year, in Wh, flexible loads apart.
func (h *Homestead) UseADay() float64 {
	y := h.years[len(h.years)-1]
	sum := 0.0
	var d loads.Demand
	h.demand(&d, y)
	for _, w := range d.BusW {
		sum += w
	}
	return sum / float64(y.Days)
}

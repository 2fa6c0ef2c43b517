package series

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sources/hydro"
	"sunrill/sources/solar"
	"sunrill/sources/stream"
	"sunrill/weather"
)

// Past is a homestead's record as the stuff that outlooks are made of: for
// every draw its sky and its creek, day by day through the record. It does not
// change and may be shared by goroutines.
type Past struct {
	h     *Homestead
	draws []drawn
	petMM []float64 // a value a day of the record
}

// drawn is one sky and one creek over the whole record.
type drawn struct {
	sky     *weather.Sky // nil where the sun was measured
	factors []float64    // a value a day; nil where the sun was measured
	model   stream.Model // nil without a stream or with an own record of flow
	states  []stream.State
	fullest stream.State
	err     stream.DailyError // of its days; none of the site's own creek
	seed    uint64
	course  func() []float64 // its days with the error, through the record; nil without one

	sunTimes float64        // on every hour of the sky
	machine  *hydro.Machine // nil without a turbine
	house    *Homestead     // what is asked
}

// Past prepares a number of draws, at least one; draw 0 is the site as it is
// told. The others have skies of their own, and creek, sun hours, head, efficiency
// and loads as [Homestead.Draw] makes them by seed; what the flow was misread by is
// left to the reading of [Today]. With a seed of 0 the draws are of skies alone.
func (h *Homestead) Past(draws int, seed uint64) *Past {
	p := &Past{h: h, draws: make([]drawn, max(draws, 1)), petMM: h.PotentialEvaporation()}
	for i := range p.draws {
		d := &p.draws[i]
		d.sunTimes, d.machine, d.house = h.times.sun, h.Machine, h
		if i > 0 && seed != 0 {
			u := h.Site.Uncertainty
			z := func(c sim.Cause) float64 { return sim.Z(seed, c, 0, i) }
			d.sunTimes *= sim.Factor(u.Sun, z(sim.TheSunHours))
			d.machine = h.drawnMachine(z)
			d.house = h.drawnHouse(z)
		}
		if h.Sky != nil {
			d.sky = h.Sky
			if i > 0 {
				d.sky = h.Sky.Draw(i)
			}
			d.factors = d.sky.Factors(nil, h.record, h.fromDay)
		}
		if h.model != nil {
			d.model = h.model
			if i > 0 && seed == 0 { // one creek for all skies
				d.states, d.fullest = p.draws[0].states, p.draws[0].fullest
				continue
			}
			if i > 0 {
				o := h.changed()
				o.drawCreek(func(c sim.Cause, part int) float64 { return sim.Z(seed, c, part, i) }, weather.DrawSeed(seed, i))
				d.model, d.err, d.seed = o.model, o.dayError, weather.DrawSeed(seed, i)
				if d.err.SD > 0 {
					d.course = sync.OnceValue(func() []float64 {
						return stream.Draw{Model: d.model, Error: d.err}.Flow(nil, h.record.RainMM, p.petMM, d.seed)
					})
				}
			}
			d.states = stream.Follow(d.model, h.record.RainMM, p.petMM)
			d.fullest = stream.Fullest(d.states)
		}
	}
	return p
}

// Some returns the past under some of its draws, in that order.
func (p *Past) Some(draws ...int) *Past {
	o := &Past{h: p.h, petMM: p.petMM}
	for _, i := range draws {
		o.draws = append(o.draws, p.draws[i])
	}
	return o
}

// Today is what is known when an outlook is made.
type Today struct {
	At       time.Time // full hour, standard time
	FlowM3S  float64   // read at the creek; NaN: not read
	ErrorM3S float64   // one standard error of the reading
}

// Forecast is the weather told for the first days, each entry a day from
// the day of [Today]; NaN where it tells nothing.
type Forecast struct {
	RainMM       []float64
	TMinC, TMaxC []float64 // nil: not told
	SunFraction  []float64 // of a clear sky's, 0 to 1; nil: not told
}

// pastWeather is the part of the record that stands for the days ahead.
type pastWeather struct {
	day  int // of the record, that stands for the first day ahead
	year int // in which that day lies
}

// Futures are the days ahead of one moment, once under each past year's
// weather and each draw. Prepared once, they are read by any number of workers.
type Futures struct {
	At    time.Time
	Hours int
	Creek stream.Today
	Years []int // that the past weathers begin in, each once

	p        *Past
	days     int // touched, from the midnight before At
	skip     int // hours before At on the first day
	midnight time.Time
	weathers []pastWeather
	forecast *Forecast
	states   []stream.State // of each draw
	read     bool           // a reading moved the states
	came     []float64      // what the creek gave, where that is known; nil: not
	ownTimes float64        // the reading over an own record's usual flow; 1 without
	memory   float64        // of that, a day
	track    *weather.Track
	views    []*solar.View
	demands  []loads.Demand // of each draw
}

const (
	enoughWeathers = 30  // below it, neighbouring days stand in too
	neighbourDays  = 7   // between them
	neighbourSteps = 2   // to either side
	apartDays      = 183 // a record's day as near as that is not the past but the same season
)

// Futures prepares the outlook over a number of days. Weather within half a
// year of the day itself is left out, so that an outlook made for a day of the
// record knows nothing of what came.
func (p *Past) Futures(now Today, days int, fc *Forecast) *Futures {
	h := p.h
	at := now.At.In(h.record.Start.Location())
	f := &Futures{At: at, Hours: 24 * days, p: p, forecast: fc, ownTimes: 1}
	f.midnight = time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, at.Location())
	f.skip = int(at.Sub(f.midnight).Hours())
	f.days = days
	if f.skip > 0 {
		f.days++
	}
	today := h.record.Index(f.midnight)
	f.weathers = p.weathers(f.midnight, today, f.days)
	for _, w := range f.weathers {
		if n := len(f.Years); n == 0 || f.Years[n-1] != w.year {
			f.Years = append(f.Years, w.year)
		}
	}
	y := weather.Year{Start: f.midnight, Days: f.days}
	f.track = weather.NewTrack(h.Site.Place, y, samplesPerHour)
	f.views = views(h.Site.Arrays, f.track.Path)
	f.demands = make([]loads.Demand, len(p.draws))
	for i := range p.draws {
		if house := p.draws[i].house; i == 0 || house != p.draws[0].house {
			house.demand(&f.demands[i], y)
		} else {
			f.demands[i] = f.demands[0]
		}
	}
	f.agree(now, today)
	return f
}

// weathers lists the past days that may stand for a day, by year: those of the
// same date and, if they are few, of dates some days apart.
func (p *Past) weathers(midnight time.Time, today, days int) []pastWeather {
	r := p.h.record
	byShift := func(shift int) (ws []pastWeather) {
		for year := r.Start.Year() - 1; ; year++ {
			d := r.Index(time.Date(year, midnight.Month(), midnight.Day(), 0, 0, 0, 0, r.Start.Location())) + shift
			if d+days > r.Days() {
				return ws
			}
			if d < 0 || abs(d-today) < apartDays || !p.measured(d, days) {
				continue
			}
			ws = append(ws, pastWeather{day: d, year: year})
		}
	}
	all := byShift(0)
	for step := 1; step <= neighbourSteps && len(all) < enoughWeathers; step++ {
		all = append(all, byShift(-step*neighbourDays)...)
		all = append(all, byShift(step*neighbourDays)...)
	}
	slices.SortFunc(all, func(a, b pastWeather) int { return a.day - b.day })
	return all
}

// measured tells whether hourly sun and an own record of flow, where they
// stand, cover days of the record.
func (p *Past) measured(day, days int) bool {
	h := p.h
	if s := h.Site.Sun.Hourly; s != nil && !s.Covers(weather.Year{Start: h.record.Start.AddDate(0, 0, day), Days: days}) {
		return false
	}
	if h.model == nil && h.flowM3S != nil {
		for _, q := range h.flowM3S[day : day+days] {
			if math.IsNaN(q) {
				return false
			}
		}
	}
	return true
}

// agree finds the creek's state of every draw, moved to the reading. The
// reading's own error is drawn for all draws but the first.
func (f *Futures) agree(now Today, today int) {
	p, h := f.p, f.p.h
	f.Creek = stream.Today{ModelM3S: math.NaN(), GivesM3S: math.NaN()}
	if h.flowM3S == nil {
		return
	}
	if h.model == nil {
		f.agreeWithRecord(now.FlowM3S)
		return
	}
	pet := p.petOn(f.midnight)
	rng := rand.New(rand.NewPCG(h.Site.Sun.Seed, 0x6f75746c6f6f6b)) // "outlook"
	for i := range p.draws {
		d := &p.draws[i]
		s, from := p.stateOn(d, f.midnight, today)
		noise := rng.NormFloat64()
		var gives [1]float64
		d.model.Run(gives[:], s, []float64{0}, []float64{pet})
		moved, q := stream.MovedNothing, gives[0]
		if f.read = !math.IsNaN(now.FlowM3S); f.read {
			want := now.FlowM3S
			if i > 0 {
				want = max(0, want+noise*now.ErrorM3S)
			}
			s, moved, q = stream.Agree(d.model, s, d.fullest, pet, want)
		}
		f.states = append(f.states, s)
		if i == 0 {
			f.Creek = stream.Today{From: from, ModelM3S: gives[0], Moved: moved, GivesM3S: q}
		}
	}
}

// stateOn returns a draw's state at the beginning of a day.
func (p *Past) stateOn(d *drawn, midnight time.Time, today int) (stream.State, stream.StateFrom) {
	r := p.h.record
	end := r.Days()
	if today < 0 {
		return p.seasonState(d, midnight), stream.FromSeasons
	}
	if today <= end {
		return d.states[today], stream.FromRecord
	}
	gap := today - end
	if gap > yearLong {
		return p.seasonState(d, midnight), stream.FromSeasons
	}
	var all []stream.State
	first := r.Start.AddDate(0, 0, end)
	for year := r.Start.Year() - 1; ; year++ {
		from := r.Index(time.Date(year, first.Month(), first.Day(), 0, 0, 0, 0, r.Start.Location()))
		if from+gap > end {
			break
		}
		if from >= 0 {
			all = append(all, d.model.Run(nil, d.states[end], r.RainMM[from:from+gap], p.petMM[from:from+gap]))
		}
	}
	if len(all) == 0 {
		return p.seasonState(d, midnight), stream.FromSeasons
	}
	return stream.MeanState(all), stream.FromGap
}

const yearLong = 365

// seasonState is the mean of the record's years on a day of the calendar.
func (p *Past) seasonState(d *drawn, midnight time.Time) stream.State {
	r := p.h.record
	var all []stream.State
	for year := r.Start.Year() - 1; ; year++ {
		at := r.Index(time.Date(year, midnight.Month(), midnight.Day(), 0, 0, 0, 0, r.Start.Location()))
		if at > r.Days() {
			break
		}
		if at >= 0 {
			all = append(all, d.states[at])
		}
	}
	return stream.MeanState(all)
}

// petOn is the mean potential evaporation of a day of the calendar, in mm.
func (p *Past) petOn(midnight time.Time) float64 {
	sum, n := 0.0, 0
	r := p.h.record
	for year := r.Start.Year() - 1; ; year++ {
		at := r.Index(time.Date(year, midnight.Month(), midnight.Day(), 0, 0, 0, 0, r.Start.Location()))
		if at >= r.Days() {
			break
		}
		if at >= 0 {
			sum, n = sum+p.petMM[at], n+1
		}
	}
	return sum / float64(max(n, 1))
}

// agreeWithRecord sets an own record of flow to the reading: a creek that runs
// at so many times its usual flow of the season comes back to it as its own
// days of the past did, by the lag-one correlation of the logarithms.
func (f *Futures) agreeWithRecord(reading float64) {
	p, h := f.p, f.p.h
	usual, n := 0.0, 0
	for _, w := range f.weathers {
		if q := h.flowM3S[w.day]; q > 0 {
			usual, n = usual+math.Log(q), n+1
		}
	}
	if n == 0 {
		return
	}
	usual = math.Exp(usual / float64(n))
	f.Creek.ModelM3S, f.Creek.GivesM3S = usual, usual
	f.memory = p.flowMemory()
	if reading > 0 {
		f.ownTimes = reading
		f.Creek.GivesM3S, f.Creek.Moved = reading, stream.MovedSlow
	} else {
		f.ownTimes = math.NaN()
	}
}

// flowMemory is the lag-one correlation of the logarithm of an own record of
// flow about its mean of the season.
func (p *Past) flowMemory() float64 {
	q := p.h.flowM3S
	var mean [13]float64
	var n [13]int
	r := p.h.record
	for d, v := range q {
		if v > 0 {
			m := r.Start.AddDate(0, 0, d).Month()
			mean[m], n[m] = mean[m]+math.Log(v), n[m]+1
		}
	}
	var top, bottom, last float64
	known := false
	for d, v := range q {
		if !(v > 0) {
			known = false
			continue
		}
		m := r.Start.AddDate(0, 0, d).Month()
		x := math.Log(v) - mean[m]/float64(n[m])
		if known {
			top += x * last
			bottom += x * x
		}
		last, known = x, true
	}
	if bottom == 0 {
		return 0
	}
	return min(max(top/bottom, 0), 0.999)
}

// Tells reports whether the record holds what came in the days after a
// midnight, and past weather that may stand for it.
func (p *Past) Tells(midnight time.Time, days int) bool {
	today := p.h.record.Index(midnight)
	return today >= 0 && today+days <= p.h.record.Days() && p.measured(today, days) && len(p.weathers(midnight, today, days)) > 0
}

// Actual returns, as the one future, the days ahead as the record has them under
// the first draw: what an outlook made for a day of the record is judged by.
// [Past.Tells] must hold.
func (p *Past) Actual(midnight time.Time, days int) *Futures {
	f := p.Some(0).Futures(Today{At: midnight, FlowM3S: math.NaN()}, days, nil)
	f.weathers = []pastWeather{{day: p.h.record.Index(midnight), year: midnight.Year()}}
	f.ownTimes = math.NaN() // an own record is what it is
	if course := p.draws[0].course; course != nil {
		f.came = course()[f.weathers[0].day:][:days]
	}
	return f
}

// Reading returns what a bucket would read on the morning of a day of the
// record, if the creek is that of the first draw: what it gives without that day's
// rain. NaN where nothing tells.
func (p *Past) Reading(midnight time.Time) float64 {
	today := p.h.record.Index(midnight)
	switch d := &p.draws[0]; {
	case p.h.flowM3S == nil || today < 0 || today > p.h.record.Days():
		return math.NaN()
	case d.model != nil:
		var gives [1]float64
		s, _ := p.stateOn(d, midnight, today)
		d.model.Run(gives[:], s, []float64{0}, []float64{p.petOn(midnight)})
		if d.course != nil && today < p.h.record.Days() { // with the day's error
			var model [1]float64
			d.model.Run(model[:], s, p.h.record.RainMM[today:today+1], p.petMM[today:today+1])
			add := d.err.AddM3S
			return math.Max(0, (gives[0]+add)*(d.course()[today]+add)/(model[0]+add)-add)
		}
		return gives[0]
	case today == 0:
		return math.NaN()
	}
	return p.h.flowM3S[today-1]
}

// N returns the number of futures: past weathers times draws. Future i has
// draw i mod draws, so that all draws meet all weathers.
func (f *Futures) N() int { return len(f.weathers) * len(f.p.draws) }

// Weathers returns the number of past weathers.
func (f *Futures) Weathers() int { return len(f.weathers) }

// DemandW returns what the house asks of the bus with the given appliances in
// future i, as hourly series from At on. It may be called from several goroutines.
func (f *Futures) DemandW(apps []loads.Appliance) func(i int) sim.Input {
	draws := len(f.p.draws)
	made := make([]func() sim.Input, draws)
	for i := range made {
		made[i] = sync.OnceValue(func() sim.Input {
			house := f.p.draws[i].house
			d := loads.Build(f.midnight, f.days, house.times.asked(apps), house.Site.Inverter)
			return f.withDemand(sim.Input{}, &d)
		})
		if i > 0 && f.p.draws[i].house == f.p.draws[0].house {
			made[i] = made[0]
		}
	}
	return func(i int) sim.Input { return made[i%draws]() }
}

func (f *Futures) withDemand(in sim.Input, d *loads.Demand) sim.Input {
	in.DemandW, in.OverW = f.cut(d.BusW), f.cut(d.OverW)
	in.FlexibleW, in.FlexibleWh = f.cut(d.FlexibleW), f.whole(d.FlexibleWh, f.Hours/24)
	in.WeeklyW, in.WeeklyWh, in.TogetherW = f.cut(d.WeeklyW), f.whole(d.WeeklyWh, (f.Hours/24+6)/7), f.cut(d.TogetherW)
	return in
}

// cut takes the hours before At away.
func (f *Futures) cut(hours []float64) []float64 {
	if hours == nil {
		return nil
	}
	return hours[f.skip : f.skip+f.Hours]
}

func (f *Futures) whole(days []float64, n int) []float64 {
	if days == nil {
		return nil
	}
	return days[:n]
}

// Future is one course of the days ahead; it is good until its worker makes
// the next.
type Future struct {
	In      *sim.Input // without hydro
	FlowM3S []float64  // stream flow of each day from the day of At on
	LeftM3S []float64  // of it for the turbine

	f      *Futures
	d      *drawn
	flow   *hydro.Flow
	rainMM []float64 // a value a day
}

// Worker returns a function that makes futures one after another in the same
// memory, for one goroutine.
func (f *Futures) Worker() func(i int) *Future {
	h := f.p.h
	fu := &Future{f: f}
	var sky *weather.SkyHours
	var pv, air, factors, rain, tmin, tmax, pet, flow, left, sunHours []float64
	arrays := make([][]float64, len(f.views))
	var sources []sim.Source
	var meanC []float64
	var in sim.Input
	none := make([]float64, 24*f.days)
	return func(i int) *Future {
		draw := i % len(f.p.draws)
		d := &f.p.draws[draw]
		fu.d = d
		w := f.weathers[i/len(f.p.draws)]
		r := h.record.Slice(w.day, w.day+f.days)
		rain = append(rain[:0], r.RainMM...)
		pet = append(pet[:0], f.p.petMM[w.day:w.day+f.days]...)
		if d.factors != nil {
			factors = append(factors[:0], d.factors[w.day:w.day+f.days]...)
		}
		if r.TMinC != nil {
			tmin, tmax = append(tmin[:0], r.TMinC...), append(tmax[:0], r.TMaxC...)
		}
		if fc := f.forecast; fc != nil {
			replace(rain, fc.RainMM)
			replace(factors, fc.SunFraction)
			replace(tmin, fc.TMinC)
			replace(tmax, fc.TMaxC)
			if tmin != nil && fc.TMinC != nil {
				meanC = resize(meanC, f.days)
				for k := range meanC {
					meanC[k] = (tmin[k] + tmax[k]) / 2
				}
				pet = h.shared.evaporates.Potential(pet, f.midnight, meanC)
			}
		}
		in = sim.Input{Start: f.At, RainMM: rain[:f.Hours/24]}
		fu.rainMM = rain[:f.days]
		if tmin != nil {
			air = weather.AirTemperature(air, tmin, tmax, f.track)
		} else {
			air = weather.AirFromMonths(air, h.Site.Sun.TempC, weather.Year{Start: f.midnight, Days: f.days})
		}
		if d.sky != nil {
			sky = d.sky.Hours(sky, f.track, factors)
			sunHours = d.sky.SunHours(sunHours, f.midnight, factors)
		} else {
			year := h.Site.Sun.Hourly.Year(weather.Year{Start: r.Start, Days: f.days})
			sky = weather.Measured(sky, f.track, year)
			sunHours = weather.DayKWh(sunHours, sky.GHI)
			if year.TempC != nil {
				air = append(air[:0], year.TempC...)
			}
		}
		if t := d.sunTimes; t != 1 {
			brighten(sky, t)
			for k := range sunHours {
				sunHours[k] *= t
			}
		}
		in.SunHours = sunHours[:f.Hours/24]
		pv = resize(pv, 24*f.days)
		clear(pv)
		for i, v := range f.views {
			arrays[i] = v.Power(arrays[i], sky.GHI, sky.DNI, sky.DHI, air)
			for k, watts := range arrays[i] {
				pv[k] += watts
			}
		}
		sources = h.sources(sources, &hours{weather.Year{Start: r.Start, Days: f.days}, sky, air, nil, pv, none})
		for i := range sources {
			sources[i].W = f.cut(sources[i].W)
		}
		in.Sources, in.AirC = sources, f.cut(air)
		if h.Site.Bank.FollowsAir {
			in.BankC = in.AirC
		}
		in = f.withDemand(in, &f.demands[draw])
		if h.flowM3S != nil {
			flow, left = resize(flow, f.days), resize(left, f.days)
			f.creek(flow, d, draw, w, rain, pet)
			for k, q := range flow {
				left[k] = 0
				if h.Machine != nil {
					left[k] = h.Site.Hydro.Intake.Left(q)
				}
			}
			in.FlowM3S, fu.FlowM3S, fu.LeftM3S = flow[:f.Hours/24], flow, left
		}
		fu.In = &in
		return fu
	}
}

// creek fills the days' stream flow.
func (f *Futures) creek(flow []float64, d *drawn, draw int, w pastWeather, rain, pet []float64) {
	if d.model != nil {
		if f.came != nil {
			copy(flow, f.came)
			return
		}
		d.model.Run(flow, f.states[draw], rain, pet)
		if d.err.SD > 0 {
			rng := rand.New(rand.NewPCG(d.seed, uint64(w.day)))
			x := rng.NormFloat64()
			if f.read { // the creek is what the reading says
				x = 0
			}
			d.err.ApplyFrom(flow, flow, x, rng)
		}
		return
	}
	own := f.p.h.flowM3S[w.day : w.day+f.days]
	copy(flow, own)
	if math.IsNaN(f.ownTimes) || !(own[0] > 0) {
		return
	}
	off := math.Log(f.ownTimes / own[0])
	for k := range flow {
		flow[k] *= math.Exp(off)
		off *= f.memory
	}
}

// Hydro returns the watts of the turbine, a value an hour from At on, where
// the valve is open on the days that open tells, counted from the day of At; and
// the number of dry-pipe stops. The watts are good until the next call. The
// day on which it is opened is a visit.
func (fu *Future) Hydro(dst []float64, open func(day int) bool) (watts []float64, stops int) {
	f := fu.f
	m := fu.d.machine
	all := resize(dst, 24*f.days)
	clear(all)
	if m == nil || fu.FlowM3S == nil {
		return all[f.skip : f.skip+f.Hours], 0
	}
	for from := 0; from < f.days; {
		if !open(from) {
			from++
			continue
		}
		to := from
		for to < f.days && open(to) {
			to++
		}
		creek := hydro.Creek{FlowM3S: fu.FlowM3S[from:to], RainMM: fu.rainMM[from:to], Recession: f.p.h.falls}
		fu.flow = m.Series(fu.flow, creek, hydro.AllYear)
		copy(all[24*from:], fu.flow.PowerW)
		for _, h := range fu.flow.DryStopHour {
			if at := 24*from + h; at >= f.skip && at < f.skip+f.Hours {
				stops++
			}
		}
		from = to
	}
	return all[f.skip : f.skip+f.Hours], stops
}

// OpenOn tells whether the valve is open on a day by the site's dates, in water
// years that begin on the given day of the calendar.
func (v Valve) OpenOn(t time.Time, yearMonth time.Month, yearDay int) bool {
	const yearEnd = 12 * 32 // of days told as 32 a month
	at := func(m time.Month, d int) int { return (32*int(m-yearMonth) + d - yearDay + yearEnd) % yearEnd }
	now, from, to := at(t.Month(), t.Day()), 0, yearEnd
	if v.Open != nil {
		from = at(v.Open.Month, v.Open.Day)
	}
	if v.Close != nil {
		if to = at(v.Close.Month, v.Close.Day); to == 0 && v.Open != nil {
			to = yearEnd
		}
	}
	if from <= to {
		return from <= now && now < to
	}
	return now >= from || now < to
}

func replace(dst, by []float64) {
	for i, v := range by {
		if i < len(dst) && !math.IsNaN(v) {
			dst[i] = v
		}
	}
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

package main

import (
	"math"
	"math/rand/v2"
	"time"

	"pgregory.net/rapid"

	"sunrill/storage"

	"sunrill/weather"
)

// drawnSite is a homestead drawn at random, in SI units and degrees. It can be
// written as a folder in either system of units, and moved to the other
// hemisphere.
type drawnSite struct {
	latDeg, lonDeg, utcH, elevationM float64

	start          time.Time
	rainMM         []float64
	tMinC, tMaxC   []float64 // nil: none
	sunHours, tC   [12]float64
	onPanel        bool
	wetDayShare    float64
	variability    float64
	seed           int
	horizon        [][2]float64 // bearing, height
	arrays         []drawnArray
	water          *drawnWater // nil: none
	bank           drawnBank
	inverterW      float64 // 0: not told
	idleW          float64
	inverterShare  float64
	appliances     []drawnAppliance
	demandW        []float64 // nil: the appliances
	dumpW, heatWh  float64
	generatorW     float64 // 0: none
	generatorStart float64
	generatorStop  float64
	generatorRunH  int
	costs          bool
}

type drawnArray struct {
	powerW, tiltDeg, facingDeg, losses, noctC, coefPerK float64
	limitW                                              float64 // 0: none
}

type drawnWater struct {
	model                          string
	soilMM, quickShare, quickDays  float64
	recessionDays, floorM3S        float64
	gainM3S, exponent              float64
	areaM2                         float64
	x1MM, x2MMD, x3MM, x4Days      float64
	flowM3S                        []float64 // own record
	residualM3S, houseM3S, limit   float64
	forebayM3, restart             float64 // no forebay: 0
	headM, lengthM, boreM, minor   float64
	ratingPa, waterC               float64
	kind                           string
	nozzlesM                       []float64 // nil: designM3S
	designM3S, cutoffM3S           float64
	maxW                           float64 // 0: none
	overall                        float64 // 0: runner, alternator and cable
	every                          string  // rounds
	afterStop                      bool
	open, close                    *time.Time // a day of a common year
	cableM, sectionM2, cableVoltsV float64
}

type drawnBank struct {
	chemistry, model, place               string
	capacityWh, voltageV, reconnect, soc  float64
	chargeW, leakPerMonth, indoorC, start float64
}

type drawnAppliance struct {
	watts, count    float64
	hours, days     string
	fromM, toM      int // months; 0: all
	dc, isFlexible  bool
	nameIsQuotation bool // a name that CSV has to quote
}

// drawSite draws one. With moveable, nothing in it hangs on the lengths of
// months, so that it can be moved by half a year.
func drawSite(t *rapid.T, moveable bool) *drawnSite {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	maybe := func(name string) bool { return rapid.Bool().Draw(t, name) }
	one := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }

	d := &drawnSite{
		latDeg: number("latitude", 20, 55), utcH: float64(rapid.IntRange(-10, 10).Draw(t, "utc offset")), elevationM: number("elevation", 0, 2500),
		onPanel: maybe("on the panels"), wetDayShare: number("wet day share", 0.4, 0.8), variability: rapid.SampledFrom([]float64{0, 1}).Draw(t, "variability"),
		seed: rapid.IntRange(0, 1000).Draw(t, "seed"),
	}
	d.lonDeg = 15*d.utcH + number("longitude off the clock", -10, 10)
	d.start = time.Date(2012, 10, 1, 0, 0, 0, 0, time.UTC)
	days, least := 730, 730
	if !moveable {
		skipped := rapid.IntRange(0, 365).Draw(t, "first day")
		d.start = d.start.AddDate(0, 0, skipped)
		least = 730 - skipped // up to the end of the second water year
		days = least + rapid.IntRange(0, 400).Draw(t, "days more")
	}
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "weather"), 1))
	d.drawWeather(r, days, maybe("temperatures"), number("rain on a wet day", 2, 20), number("brightness", 0.25, 0.5))
	if !d.onPanel && maybe("hills") {
		for b := 0.0; b < 360; b += 45 {
			d.horizon = append(d.horizon, [2]float64{b, number("height", 0, 25)})
		}
	}
	if maybe("creek") {
		d.water = drawWater(t, r, days)
		if !moveable && d.water.model == "record" { // it may be shorter than the rain's
			d.water.flowM3S = d.water.flowM3S[:rapid.IntRange(least, days).Draw(t, "days of flow")]
		}
	}
	arrays := rapid.IntRange(0, 3).Draw(t, "arrays")
	if d.water == nil {
		arrays = max(arrays, 1)
	}
	for range arrays {
		a := drawnArray{
			powerW: number("array", 100, 5000), tiltDeg: number("tilt", 0, 90), facingDeg: number("facing", 0, 360),
			losses: number("losses", 0, 0.3), noctC: number("noct", 40, 50), coefPerK: number("coefficient", -0.005, -0.002),
		}
		if d.onPanel { // so that the sun hours are not more than such panels can see
			a.tiltDeg, a.facingDeg = a.tiltDeg/2, 90+a.facingDeg/2
		}
		if maybe("controller limit") {
			a.limitW = a.powerW * number("limit", 0.5, 1)
		}
		d.arrays = append(d.arrays, a)
	}
	d.bank = drawnBank{
		chemistry: one("chemistry", storage.Chemistries()...), model: one("model", "bucket", "two-well"), place: one("place", "indoors", "shed"),
		capacityWh: rapid.SampledFrom([]float64{0, 1500, 8000, 30000}).Draw(t, "capacity"), voltageV: rapid.SampledFrom([]float64{12, 24, 48}).Draw(t, "volts"),
		soc: number("comfort", 0.6, 1), start: number("start", 0.55, 1), leakPerMonth: number("leak", 0, 0.1), indoorC: number("indoor", 5, 30),
	}
	if maybe("disconnect") {
		d.bank.reconnect = number("reconnect", 0.55, 0.9)
	}
	if maybe("charge limit") {
		d.bank.chargeW = number("charge", 100, 3000)
	}
	if maybe("inverter rating") {
		d.inverterW = number("inverter", 300, 4000)
	}
	d.idleW, d.inverterShare = number("idle", 0, 60), number("inverter efficiency", 0.75, 0.97)
	if rapid.IntRange(0, 4).Draw(t, "own meter") == 0 {
		d.demandW = make([]float64, 24*min(days, 400))
		for h := range d.demandW {
			d.demandW[h] = math.Round(r.ExpFloat64() * 300)
		}
	}
	for range rapid.IntRange(1, 6).Draw(t, "appliances") {
		a := drawnAppliance{
			watts: math.Round(number("watts", 0, 1500)), count: float64(rapid.IntRange(0, 4).Draw(t, "count")),
			hours: one("hours", "all", "2.5/day", "6/week", "06-08 18-23", "22-05", "12:15-13"), days: one("days", "all", "mon wed", "sat-sun", "weekdays"),
			dc: maybe("dc"), isFlexible: rapid.IntRange(0, 4).Draw(t, "flexible") == 0, nameIsQuotation: maybe("quoted"),
		}
		if !moveable && maybe("seasonal") {
			a.fromM, a.toM = rapid.IntRange(1, 12).Draw(t, "from"), rapid.IntRange(1, 12).Draw(t, "to")
		}
		d.appliances = append(d.appliances, a)
	}
	if maybe("dump") {
		d.dumpW = number("dump", 100, 2000)
	}
	d.heatWh = math.Round(number("useful heat", 0, 8000))
	if maybe("generator") {
		d.generatorW, d.generatorStart, d.generatorStop = number("generator", 200, 4000), number("start", 0.3, 0.6), number("stop", 0.7, 1)
		d.generatorRunH = rapid.IntRange(0, 4).Draw(t, "min run")
	}
	d.costs = maybe("costs")
	return d
}

// drawWeather makes up wet winters and dry summers.
func (d *drawnSite) drawWeather(r *rand.Rand, days int, temperatures bool, wetMM, brightness float64) {
	wet := false
	for i := range days {
		day := d.start.AddDate(0, 0, i)
		winter := (1 + math.Cos(2*math.Pi*float64(day.YearDay()-10)/365)) / 2
		chance := 0.05 + 0.4*winter
		if wet {
			chance += 0.3
		}
		wet = r.Float64() < chance
		mm := 0.0
		if wet {
			mm = math.Round(10*r.ExpFloat64()*wetMM)/10 + 0.03 // none just at 1 mm, from which a day counts as wet
		}
		d.rainMM = append(d.rainMM, mm)
		low := 12 - 12*winter + 4*r.NormFloat64()
		d.tMinC = append(d.tMinC, low)
		d.tMaxC = append(d.tMaxC, low+2+10*r.Float64())
	}
	if !temperatures {
		d.tMinC, d.tMaxC = nil, nil
	}
	if d.onPanel {
		brightness /= 2
	}
	for m := range 12 {
		middle := 30*m + 15
		d.sunHours[m] = brightness * weather.ExtraterrestrialDay(d.latDeg, middle) / 3.6
		d.tC[m] = 12 - 8*math.Cos(2*math.Pi*float64(middle-20)/365)
	}
}

func drawWater(t *rapid.T, r *rand.Rand, days int) *drawnWater {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	maybe := func(name string) bool { return rapid.Bool().Draw(t, name) }
	one := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	w := &drawnWater{
		model:  one("model of the creek", "curve", "catchment", "record"),
		soilMM: number("soil", 20, 300), quickShare: number("quick share", 0, 0.5), quickDays: number("quick days", 0.3, 5),
		recessionDays: number("recession", 5, 90), floorM3S: number("floor", 0, 1e-3), gainM3S: number("gain", 1e-4, 2e-3), exponent: number("exponent", 0.5, 2),
		areaM2: number("area", 1e4, 5e5), x1MM: number("x1", 100, 1200), x2MMD: number("x2", -3, 3), x3MM: number("x3", 20, 300), x4Days: number("x4", 0.6, 3),
		residualM3S: number("residual", 0, 1e-3), houseM3S: number("house water", 0, 2e-5),
		headM: number("head", 3, 120), minor: number("minor", 0, 10), ratingPa: 1e6, waterC: number("water", 2, 15),
		kind: one("kind", "pelton", "turgo"), every: one("rounds", "1 day", "7 days", "never"), afterStop: maybe("after a stop"),
	}
	w.lengthM = w.headM * number("length over head", 1.2, 8)
	w.boreM = number("bore", 0.03, 0.12)
	if maybe("intake limit") {
		w.limit = number("limit", 5e-4, 5e-3)
	}
	if maybe("forebay") {
		w.forebayM3, w.restart = number("forebay", 0, 4), number("restart", 0.1, 1)
	}
	if maybe("nozzles") {
		for range rapid.IntRange(1, 4).Draw(t, "count of nozzles") {
			w.nozzlesM = append(w.nozzlesM, number("nozzle", 0.004, 0.02))
		}
	} else {
		w.designM3S = number("design flow", 5e-4, 6e-3)
	}
	if maybe("cut-off") {
		w.cutoffM3S = number("cut-off flow", 0, 5e-4)
	}
	if maybe("power limit") {
		w.maxW = number("greatest power", 100, 1500)
		// The smallest jet alone must stay below: all that its water can have.
		least := 0.0
		for _, d := range w.nozzlesM {
			jet := math.Pi / 4 * d * d * math.Sqrt(2*9.80665*w.headM) * 9806.65 * w.headM
			if least == 0 || jet < least {
				least = jet
			}
		}
		w.maxW = math.Max(w.maxW, least)
	}
	if maybe("overall") {
		w.overall = number("overall share", 0.3, 0.7)
	} else {
		w.cableM, w.sectionM2, w.cableVoltsV = number("cable", 0, 200), number("section", 4e-6, 7e-5), 48
	}
	if maybe("dates") {
		open := time.Date(2013, 10, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 120).Draw(t, "open"))
		close := open.AddDate(0, 0, rapid.IntRange(1, 240).Draw(t, "open for"))
		w.open, w.close = &open, &close
	}
	if w.model == "record" {
		q := 2e-3
		for range days {
			q = math.Max(1e-5, q*math.Exp(0.2*r.NormFloat64()-0.05*math.Log(q/1.5e-3)))
			w.flowM3S = append(w.flowM3S, q)
		}
	}
	return w
}

// halfYear is 26 weeks: moved by it, from 1 October to 1 April, a day keeps
// its place in the week.
const halfYear = 182

// moved returns the site moved by half a year and to the other hemisphere:
// latitude, bearings and calendar are mirrored, everything else stays.
func (d *drawnSite) moved() *drawnSite {
	m := *d
	mirror := func(bearing float64) float64 { return math.Mod(540-bearing, 360) }
	m.latDeg = -d.latDeg
	m.start = d.start.AddDate(0, 0, halfYear)
	for i := range 12 {
		m.sunHours[(i+6)%12], m.tC[(i+6)%12] = d.sunHours[i], d.tC[i]
	}
	m.arrays = nil
	for _, a := range d.arrays {
		a.facingDeg = mirror(a.facingDeg)
		m.arrays = append(m.arrays, a)
	}
	m.horizon = nil
	for _, p := range d.horizon {
		m.horizon = append(m.horizon, [2]float64{mirror(p[0]), p[1]})
	}
	if d.water != nil {
		w := *d.water
		if w.open != nil {
			open, close := w.open.AddDate(0, 0, halfYear), w.close.AddDate(0, 0, halfYear)
			w.open, w.close = &open, &close
		}
		m.water = &w
	}
	return &m
}

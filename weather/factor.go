package weather

import "math"

// reading is how the days of a record are read: what makes a day brighter or
// duller than its month, in z, which over the days of each month of the record
// that the sky was calibrated on is standard normal:
//
//	z = rain (mm^0.3 − mean) + range (ΔT − mean)/sd + spell + left e
//
// with spell of a small variance that changes over weeks and e a first-order
// autoregression of unit variance. What the others leave of the variance is e's,
// and its memory makes up the month's lag-one correlation, so that the days are
// as spread and as lasting whatever the record tells of them.
type reading struct {
	rain      float64
	meanRain  [12]float64 // of mm^0.3
	rangeZ    [12]float64 // zeros where the range is not read
	rangeK    [12]float64 // mean range of the month
	rangeSD   [12]float64
	spell     float64       // standard deviation of what changes over weeks
	left      [12]float64   // of what is left from day to day
	memory    [12]float64   // of e
	clearness [12]Clearness // of the month's days
}

// minLeft is the part of z that no record tells.
const minLeft = 0.3

// readRain fits what goes with the rain alone: its weight is the one at which wet
// days have the wanted share of the dry days' sun.
func (s *Sky) readRain(fraction float64) reading {
	var g reading
	g.meanRain = s.monthly(func(i int) float64 { return rainTerm(s.of.record.RainMM[i]) })
	g.rain = s.rainForFraction(&g, fraction)
	s.settle(&g)
	return g
}

// readRange fits those of rain and range together.
func (s *Sky) readRange() reading {
	r := s.of.record
	g := reading{rain: s.of.law.rain}
	g.meanRain = s.monthly(func(i int) float64 { return rainTerm(r.RainMM[i]) })
	g.rangeK = s.monthly(func(i int) float64 { return dayRange(r, i) })
	square := s.monthly(func(i int) float64 { k := dayRange(r, i); return k * k })
	for m := range g.rangeK {
		g.rangeSD[m] = math.Sqrt(math.Max(0, square[m]-g.rangeK[m]*g.rangeK[m]))
		if g.rangeSD[m] > 0.01 {
			g.rangeZ[m] = s.of.law.rangeWeight(s.of.extraterrestrialKWh[m])
		}
	}
	s.settle(&g)
	return g
}

// monthly returns the mean of a day's quantity in each month of the record; for
// a month that the record lacks, the mean of the others.
func (s *Sky) monthly(of func(i int) float64) [12]float64 {
	var mean [12]float64
	all, months := 0.0, 0.0
	for m, refs := range s.of.months {
		for _, d := range refs {
			mean[m] += of(d.index) / float64(len(refs))
		}
		if len(refs) > 0 {
			all += mean[m]
			months++
		}
	}
	for m, refs := range s.of.months {
		if len(refs) == 0 && months > 0 {
			mean[m] = all / months
		}
	}
	return mean
}

// settle finds what rain and range leave of each month's variance, and its
// memory, over the record.
func (s *Sky) settle(g *reading) {
	told := make([]float64, s.of.record.Days())
	g.told(told, s.of.record)
	s.settleOn(g, told, s.monthly)
}

// settleOn does so over what the days told; monthly takes their months' means.
func (s *Sky) settleOn(g *reading, told []float64, monthly func(of func(i int) float64) [12]float64) {
	variance := monthly(func(i int) float64 { return told[i] * told[i] })
	lagged := monthly(func(i int) float64 { return told[i] * told[max(i-1, 0)] })
	spell := math.Max(0, spellVariance-lasting(told)/spellLasts)
	g.spell = math.Sqrt(spell)
	for m := range g.left {
		v := math.Max(1-spell-variance[m], minLeft*minLeft)
		g.left[m] = math.Sqrt(v)
		lag := math.Max(minMemory, s.of.law.lagOne(s.of.clearness[m])) - spell - lagged[m]
		g.memory[m] = math.Max(0, math.Min(maxMemory, lag/v))
	}
}

// settledYears is the number of synthetic years that a sky is settled on.
const settledYears = 20

// Over returns the sky of c's synthetic years: that of the record, but with what
// rain and range leave open reckoned over years of c, so that they too have days
// as spread and dull spells as long as the law asks for, whatever the chain
// keeps of the record's own.
func (s *Sky) Over(c *Generator) *Sky {
	o := *s
	g := &o.byRain
	if s.of.hasRange && c.Temps != nil {
		g = &o.byRange
	}
	year := Record{Start: c.start, RainMM: make([]float64, len(c.days))}
	if c.Temps != nil {
		year.TMinC, year.TMaxC = make([]float64, len(c.days)), make([]float64, len(c.days))
	}
	told := make([]float64, settledYears*len(c.days))
	for n := range settledYears {
		c.Fill(year, n)
		g.told(told[n*len(c.days):(n+1)*len(c.days)], year)
	}
	o.settleOn(g, told, func(of func(i int) float64) (mean [12]float64) {
		var days [12]float64
		for i := range told {
			m := c.days[i%len(c.days)].month
			mean[m] += of(i)
			days[m]++
		}
		for m := range mean {
			mean[m] /= days[m]
		}
		return mean
	})
	// Over all of its years, the months have the table's sun.
	g.clearness = o.slopes(evenRanks(s.of.months))
	return &o
}

// lasting returns the mean product of z with z one to three weeks before.
func lasting(z []float64) float64 {
	const from, to = 8, 20
	sum, n := 0.0, 0
	for i := to; i < len(z); i++ {
		for _, before := range z[i-to : i-from+1] {
			sum += z[i] * before
		}
		n += to - from + 1
	}
	return ratio(sum, n)
}

// told fills dst with what rain and range tell of each day's z.
func (g *reading) told(dst []float64, r Record) {
	day := newCalendar(r.Start)
	for i, mm := range r.RainMM {
		m := day.month - 1
		z := g.rain * (rainTerm(mm) - g.meanRain[m])
		if w := g.rangeZ[m]; w != 0 {
			z += w * (dayRange(r, i) - g.rangeK[m]) / g.rangeSD[m]
		}
		dst[i] = z
		day.next()
	}
}

// ranks fills dst with the fraction of the month's days that are darker than each
// day of r: Φ(z). fromDay moves the days whose residuals are drawn.
func (s *Sky) ranks(dst []float64, g *reading, r Record, fromDay int) []float64 {
	dst = sized(dst, r.Days())
	g.told(dst, r)
	s.addLeft(dst, g, r, fromDay)
	for i, z := range dst {
		dst[i] = math.Erfc(-z/math.Sqrt2) / 2
	}
	return dst
}

const (
	// What changes over weeks is drawn every spellDays. spellVariance is what it
	// has of z's variance where the record tells nothing, so that the dark seasons
	// of the stations differ from year to year as measured; of it, spellLasts is
	// left in lasting.
	spellDays     = 20
	spellVariance = 0.05
	spellLasts    = 0.55

	maxMemory    = 0.6
	residualDays = 16 // days that a residual remembers: 0.45^16 is 3e-6
)

// addLeft adds to z what rain and range leave open, times the variability. It is
// summed up from the last days' draws, which depend on nothing but the seed and
// the day, so that a day has the same residual whichever year is run.
func (s *Sky) addLeft(z []float64, g *reading, r Record, fromDay int) {
	if s.opt.Variability == 0 {
		return
	}
	n := r.Days()
	first := int64(math.Floor(float64(r.Start.Unix()+zoneSeconds(r))/86400)) + int64(fromDay)
	draws := make([]float64, n+residualDays)
	for i := range draws {
		draws[i] = dayDraw(s.opt.Seed, first+int64(i-residualDays))
	}
	var scale [12]float64
	for m, memory := range g.memory {
		squares := 0.0 // of the weights of the days summed up
		for range residualDays + 1 {
			squares = 1 + memory*memory*squares
		}
		scale[m] = s.opt.Variability * g.left[m] / math.Sqrt(squares)
	}
	day := newCalendar(r.Start)
	for i := range z {
		m := day.month - 1
		memory, e := g.memory[m], 0.0
		for _, x := range draws[i : i+residualDays+1] {
			e = memory*e + x
		}
		z[i] += scale[m] * e
		day.next()
	}
	s.addSpells(z, g.spell, first)
}

// addSpells adds what lasts for weeks: between draws spellDays apart, on a
// straight line that is kept at one variance.
func (s *Sky) addSpells(z []float64, size float64, first int64) {
	size *= s.opt.Variability
	seed := mix(s.opt.Seed ^ spellSeed)
	last := int64(math.MinInt64)
	var from, to float64
	for i := range z {
		day := first + int64(i)
		block := day / spellDays
		if block != last {
			last, from, to = block, dayDraw(seed, block), dayDraw(seed, block+1)
		}
		x := float64(day-block*spellDays) / spellDays
		z[i] += size * (from + x*(to-from)) / math.Sqrt(1-2*x*(1-x))
	}
}

const spellSeed = 0x5be11 // gives the spells draws of their own

func zoneSeconds(r Record) int64 {
	_, s := r.Start.Zone()
	return int64(s)
}

// dayDraw returns a standard normal number that depends on the seed and the
// day alone: a mixed counter (the finalizer of the splitmix64 generator)
// through the inverse normal distribution.
func dayDraw(seed uint64, day int64) float64 {
	x := mix(mix(seed) + uint64(day))
	u := (float64(x>>11) + 0.5) / (1 << 53)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

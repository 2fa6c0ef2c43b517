package weather

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"gonum.org/v1/gonum/stat"
)

// WetDayMM is the least rain in mm that makes a day a wet one: the step of an
// ordinary gauge. Less than that is kept out of the fit and is never made up.
const WetDayMM = 0.1

// GeneratorOptions change how years are made up. The zero value is ready to use.
type GeneratorOptions struct {
	YearMonth time.Month // the water year begins here; 0: October
	YearDay   int        // 0: the first of the month
	Seed      uint64
	Plain     bool // leave the spread between years as the bare chain has it
}

// Generator is a weather generator: it makes up daily weather that behaves as a
// record does. Each month has a wet–dry chain of first order whose long dry
// spells last ([MonthRain]) and gamma amounts. Temperatures, if the record has
// them, follow the wet and the dry days ([Temps]). A bare
// chain makes years that are too much alike, as Katz and Parlange (1998) show,
// so each month draws a wetness of its own ([Wetness]), which the months of a
// half-year share in part ([Season]), and which carries over to the next year
// where the record's does.
//
// Not modelled: single days of rain beyond what a gamma distribution knows
// ([Furrer]). That needs longer records than a household has.
//
// Year n depends on the seed and on n alone: any year can be made by itself, in
// any order and on any processor.
//
// # Sources
//
//   - [Richardson] C. W. Richardson, Stochastic simulation of daily
//     precipitation, temperature, and solar radiation, Water Resources
//     Research 17(1), 1981, 182–190.
//   - [WGEN] C. W. Richardson and D. A. Wright, WGEN: a model for generating
//     daily weather variables, USDA ARS-8, 1984.
//   - [Katz] R. W. Katz and M. B. Parlange, Overdispersion phenomenon in
//     stochastic modeling of precipitation, Journal of Climate 11(4), 1998,
//     591–601.
//   - [Furrer] E. M. Furrer and R. W. Katz, Improving the simulation of extreme
//     precipitation events by stochastic weather generators, Water Resources
//     Research 44, 2008, W12439.
type Generator struct {
	Seed    uint64
	Months  [12]MonthRain // January first
	Seasons [2]Season     // the wet half-year and the rest
	Temps   *Temps        // nil: the record has none
	// YearMemory is the correlation of a season's own wetness with the year
	// before's: dry years that follow each other more often than chance has it, as
	// far as the record shows them. 0 where it is short or does not.
	YearMemory float64
	Notes      []string // what the record is too short to tell

	start  time.Time     // of the year that is made up; no leap day from a year before to a year after
	days   []calendarDay // of that year
	before spellState    // of the day before the year
	record Record
	years  []Year
}

// FitGenerator fits a generator to a record, which must hold each month of the
// calendar at least once.
func FitGenerator(r Record, o GeneratorOptions) (*Generator, error) {
	if o.YearMonth == 0 {
		o.YearMonth = time.October
	}
	if o.YearDay == 0 {
		o.YearDay = 1
	}
	if r.Days() < 365 {
		return nil, fmt.Errorf("the record has %d days; years can be made up from at least one whole year of rain", r.Days())
	}
	for _, mm := range r.RainMM {
		if !(mm >= 0) {
			return nil, errors.New("the record has a day without a rain of 0 mm or more")
		}
	}
	c := &Generator{Seed: o.Seed, record: r, years: WaterYears(r, o.YearMonth, o.YearDay)}
	c.start = commonYear(r, o)
	c.days = calendarDays(c.start, 365)
	c.Months = fitMonths(r)
	before := int(c.start.AddDate(0, 0, -1).Month()) - 1
	c.before = c.Months[before].before(c.Months[before].RecordFraction())
	c.Seasons = c.splitSeasons()
	c.settle(o.Plain)
	if !o.Plain {
		c.remember()
	}
	if r.TMinC != nil && r.TMaxC != nil {
		c.Temps = fitTemps(r)
	}
	c.Notes = c.notes()
	return c, nil
}

// commonYear returns the start of a water year near the end of the record
// that has no leap day from one year before it to its end.
func commonYear(r Record, o GeneratorOptions) time.Time {
	for n := r.Start.AddDate(0, 0, r.Days()).Year() - 1; ; n-- {
		lead := time.Date(n-1, o.YearMonth, o.YearDay, 0, 0, 0, 0, r.Start.Location())
		end := time.Date(n+1, o.YearMonth, o.YearDay, 0, 0, 0, 0, r.Start.Location())
		if daysBetween(lead, end) == 730 {
			return lead.AddDate(1, 0, 0)
		}
	}
}

// Synthesize makes up year n, which may be negative, behind its lead-in, year n−1,
// so that the ground is as wet at its start as the year before left it. It
// fills dst, whose memory it uses again, and returns the days of year n.
func (c *Generator) Synthesize(dst *Record, n int) Year {
	y := Year{Start: c.start, Days: len(c.days)}
	days := 2 * y.Days
	if len(dst.RainMM) != days || (dst.TMinC != nil) != (c.Temps != nil) {
		*dst = Record{RainMM: make([]float64, days)}
		if c.Temps != nil {
			dst.TMinC, dst.TMaxC = make([]float64, days), make([]float64, days)
		}
	}
	dst.Start = y.Start.AddDate(0, 0, -y.Days)
	c.Fill(dst.Slice(0, y.Days), n-1)
	c.Fill(dst.Slice(y.Days, days), n)
	return y
}

// Fill makes up year n alone into dst, which has 365 days and temperatures if
// the chain has.
func (c *Generator) Fill(dst Record, n int) {
	if dst.Days() != len(c.days) {
		panic("weather: a made-up year has 365 days")
	}
	rng := rand.New(yearSource(c.Seed, n))
	c.fillRain(dst.RainMM, n, rng)
	if c.Temps != nil {
		c.Temps.fill(dst.TMinC, dst.TMaxC, dst.RainMM, c.days, rng)
	}
}

// yearSource returns the random stream of year n. Neighbouring sums of seed
// and year are scattered by the finaliser of SplitMix64, so that their streams
// have nothing in common.
func yearSource(seed uint64, n int) *rand.PCG {
	x := seed + uint64(n)
	mix := func() uint64 {
		x += 0x9e3779b97f4a7c15
		z := x
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return z ^ z>>31
	}
	return rand.NewPCG(mix(), mix())
}

// common returns what the months of season k of year n share, standard normal: it
// is summed up from the draws of the last years, so that any year stands alone.
func (c *Generator) common(k, n int) float64 {
	if c.YearMemory == 0 {
		return dayDraw(c.Seed^seasonSeed, int64(2*n+k))
	}
	const years = 12
	z, squares := 0.0, 0.0
	for y := n - years; y <= n; y++ {
		z = c.YearMemory*z + dayDraw(c.Seed^seasonSeed, int64(2*y+k))
		squares = c.YearMemory*c.YearMemory*squares + 1
	}
	return z / math.Sqrt(squares)
}

const (
	seasonSeed = 0x5ea50 // gives the seasons draws of their own

	minYearsForMemory = 10
	maxYearMemory     = 0.8
)

// remember sets the memory from year to year so that the totals of water years
// have the record's lag-one correlation, if it is above what chance alone gives
// one record in six: a standard error of 1/√n.
func (c *Generator) remember() {
	n := len(c.years)
	if n < minYearsForMemory {
		return
	}
	totals := make([]float64, n)
	for i, y := range c.years {
		from := c.record.Index(y.Start)
		for _, mm := range c.record.RainMM[from : from+y.Days] {
			totals[i] += mm
		}
	}
	lag := stat.Correlation(totals[1:], totals[:n-1], nil)
	if !(lag > 1/math.Sqrt(float64(n))) {
		return
	}
	whole, common := 0.0, 0.0
	for _, s := range c.Seasons {
		whole += sq(s.Used.StdDevMM)
		sum := 0.0
		for i, m := range c.Months {
			if s.Months[i] {
				sum += m.leans[0]
			}
		}
		common += math.Max(0, s.Shared) * sum * sum
	}
	if common > 0 {
		c.YearMemory = math.Min(maxYearMemory, lag*whole/common)
	}
}

func (c *Generator) notes() []string {
	var notes []string
	switch n := len(c.years); {
	case n < 2:
		notes = append(notes, "the record holds no two whole water years: how much one winter differs from the next cannot be known from it, and made-up years are too much alike")
	case n < minYearsForStdDev:
		notes = append(notes, fmt.Sprintf("the record holds %d whole water years: too few to know how much winters differ, so made-up years are too much alike", n))
	case n < 10:
		notes = append(notes, fmt.Sprintf("the record holds %d whole water years: the spread between winters is a rough guess from so few", n))
	}
	return notes
}

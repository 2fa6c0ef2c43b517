package weather

import "time"

// FitReport lays synthetic years beside the record they were fitted to, so that
// a reader can judge how far to trust them.
type FitReport struct {
	Years   int // made up for this report
	Months  [12]MonthFit
	Seasons [2]SeasonFit
	Notes   []string
}

// Compared is one figure of the record, of years made up by the bare chain and
// of years made up with the spread corrected.
type Compared struct {
	Record    float64
	Bare      float64
	Synthetic float64
}

// MonthFit compares a calendar month. Spells belong to the month they begin in.
type MonthFit struct {
	Month       time.Month
	WetFraction Compared
	WetSpellD   Compared
	RainMM      Compared // mean of the month's total
	StdDevMM    Compared // its standard deviation between years
	TempC       Compared // mean of highs and lows; zeros without temperatures
}

// SeasonFit compares the totals of a half of the water year.
type SeasonFit struct {
	First, Last time.Month
	Wet         bool
	RainMM      Compared
	StdDevMM    Compared
	WetDays     Compared
	WetDaySD    Compared
}

// Report makes up the given number of years twice, with and without the
// correction of the spread, and compares both with the record.
func (c *Generator) Report(years int) (*FitReport, error) {
	f := &FitReport{Years: years, Notes: c.Notes}
	first := c.start
	bare, err := FitGenerator(c.record, GeneratorOptions{YearMonth: first.Month(), YearDay: first.Day(), Seed: c.Seed, Plain: true})
	if err != nil {
		return nil, err
	}
	var months [3][12]monthCount
	count(&months[0], c.record, calendarDays(c.record.Start, c.record.Days()))
	year := Record{Start: c.start, RainMM: make([]float64, len(c.days))}
	if c.Temps != nil {
		year.TMinC, year.TMaxC = make([]float64, len(c.days)), make([]float64, len(c.days))
	}
	var totals, wetDays [3][2][]float64
	for s, season := range c.Seasons {
		totals[0][s], wetDays[0][s] = season.totals(c)
	}
	for i, generator := range []*Generator{bare, c} {
		k := i + 1
		for n := range years {
			generator.Fill(year, n)
			count(&months[k], year, c.days)
			for s, season := range c.Seasons {
				mm, w := season.sum(year.RainMM, c.days)
				totals[k][s], wetDays[k][s] = append(totals[k][s], mm), append(wetDays[k][s], w)
			}
		}
	}
	for i := range f.Months {
		of := func(figure func(monthCount) float64) Compared {
			return Compared{figure(months[0][i]), figure(months[1][i]), figure(months[2][i])}
		}
		f.Months[i] = MonthFit{
			Month:       time.Month(i + 1),
			WetFraction: of(monthCount.wetFraction),
			WetSpellD:   of(monthCount.wetSpell),
			RainMM:      of(monthCount.meanMM),
			StdDevMM:    of(monthCount.stdDevMM),
			TempC:       of(monthCount.meanC),
		}
	}
	for s := range f.Seasons {
		var m [3]Moments
		for k := range m {
			m[k] = momentsOf(totals[k][s], wetDays[k][s])
		}
		f.Seasons[s] = SeasonFit{
			Wet:      s == 0,
			RainMM:   Compared{m[0].MeanMM, m[1].MeanMM, m[2].MeanMM},
			StdDevMM: Compared{m[0].StdDevMM, m[1].StdDevMM, m[2].StdDevMM},
			WetDays:  Compared{m[0].MeanWetDays, m[1].MeanWetDays, m[2].MeanWetDays},
			WetDaySD: Compared{m[0].StdDevWetDays, m[1].StdDevWetDays, m[2].StdDevWetDays},
		}
		f.Seasons[s].First, f.Seasons[s].Last = c.Seasons[s].span()
	}
	return f, nil
}

// span returns the first and the last month of the season's run.
func (s Season) span() (first, last time.Month) {
	for i := range 12 {
		if s.Months[i] && !s.Months[(i+11)%12] {
			first = time.Month(i + 1)
		}
		if s.Months[i] && !s.Months[(i+1)%12] {
			last = time.Month(i + 1)
		}
	}
	return first, last
}

package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"sunrill/loads"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

func outlookCommand() command {
	return command{
		name:  "outlook",
		args:  "[SITE] [flags]",
		brief: "from today's charge and today's creek, the weeks ahead",
		long: `Takes how full the bank is and what the creek gives today, and runs the weeks
ahead under the weather of every past year from this day of the year on. Prints
the chance of a dark hour, whether to open the valve now, wait or close it, when
the creek carries each set of nozzles, and what to put off. With --judge it makes
the same outlook on every seventh day of the record and holds it against what
came. Writes outlook.csv, outlook.json, charts and report.html.`,
		example: `sunrill outlook --charge "62 %" --bucket "20 L in 19, 20, 21 s" --date 2026-11-25`,
		groups:  withSite | withFiles | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.String("charge", "", `how full the bank is, such as "62 %" (default the last soc_pct of meter.csv)`)
			fs.String("bucket", "", `what the creek gives, by bucket: "20 L in 19, 20, 21 s"`)
			fs.String("flow", "", `what the creek gives, such as "1.0 L/s", in place of --bucket`)
			fs.String("date", "", `day from whose beginning to look ahead, such as 2026-11-25, or hour, "2026-11-25 18:00" (default now)`)
			fs.Int("days", 60, "days to look ahead, 1 to 120")
			fs.String("forecast", "", "CSV file of the first days' weather: date, rain_mm or rain_in, and if known tmin_c, tmax_c, sun_pct (of a clear day's)")
			fs.Int("draws", 20, "draws of sky, creek and what you are unsure of under each past year's weather, 1 to 200")
			fs.Int("wait", 7, "days to wait in the plan that waits, 1 to 60")
			fs.String("bear", "10 %", "chance of a dark hour that you bear")
			fs.String("keep", "", `what you decided, such as "opened the valve": keeps the outlook in the site's log.csv, and the next one tells how it turned out`)
			fs.Bool("judge", false, "make outlooks for the dates of the record and hold them against what came")
		},
		run: runOutlook,
	}
}

func runOutlook(c *call) error {
	q, err := c.outlookFlags()
	if err != nil {
		return err
	}
	h, err := c.homestead()
	if err != nil {
		return err
	}
	if c.flags.Changed("keep") && h.Site.Folder == "" {
		return usageError{"--keep needs a site folder, in whose log.csv it keeps the outlook"}
	}
	if !math.IsNaN(q.flowM3S) && h.FlowM3S() == nil {
		return usageError{"--bucket and --flow need a site with a creek; this one describes none"}
	}
	q.at = time.Date(q.at.Year(), q.at.Month(), q.at.Day(), q.at.Hour(), 0, 0, 0, h.Site.Place.Zone())
	if math.IsNaN(q.soc) {
		q.soc, q.told = c.lastCharge(h.Site, q.at)
	}
	if err := c.outlookForecast(&q); err != nil {
		return err
	}
	step, done := c.progress("futures")
	v, err := lookAhead(c, h, q, step)
	done()
	if err != nil {
		return err
	}
	if q.judge {
		step, done := c.progress("dates judged")
		v.Judged, err = judgeOutlooks(c, h, q, step)
		done()
		if err != nil {
			return err
		}
	}
	if h.Site.Folder != "" {
		if v.Before, err = lastOutlook(c, h, q); err != nil {
			return err
		}
	}
	page := c.studyPage(h, "The days ahead, from "+q.at.Format("2 January 2006"), v.Verdict(), v.Sections())
	object := record.OutlookObject(h.Site.Name, v.Result, v.Judged, v.Uses, v.Creek, q.flowM3S)
	files := func(f *record.Folder) error { return record.Outlook(f, v.Result, object) }
	var below []string
	if v.Judged != nil {
		below = v.JudgedText()
	}
	if err := c.publish(h.Site, page, files, object, below...); err != nil || !c.flags.Changed("keep") {
		return err
	}
	decided, _ := c.flags.GetString("keep")
	e := site.LogEntry{At: q.at, SoC: q.soc, FlowM3S: q.flowM3S, Decided: decided}
	if err := site.AppendLog(h.Site.Folder, e); err != nil {
		return fmt.Errorf("keep the outlook: %w", err)
	}
	c.say("Kept in log.csv of %s.", h.Site.Folder)
	return nil
}

// outlookForecast reads the forecast, if one is given.
func (c *call) outlookForecast(q *question) error {
	path, err := c.flags.GetString("forecast")
	if err != nil || path == "" {
		return err
	}
	f, err := site.ReadForecast(path)
	if err != nil {
		return err
	}
	if f, err = f.From(q.at); err != nil {
		return usageError{fmt.Sprintf("--forecast %s: %v", path, err)}
	}
	q.forecast = &series.Forecast{RainMM: f.RainMM, TMinC: f.TMinC, TMaxC: f.TMaxC, SunFraction: f.SunFraction}
	return nil
}

// lastOutlook says how the last outlook of the log turned out: it is made once
// more, up to today, by the site's dates.
func lastOutlook(c *call, h *series.Homestead, q question) (string, error) {
	log, err := site.Log(h.Site.Folder)
	if err != nil {
		return "", err
	}
	for i := len(log) - 1; i >= 0; i-- {
		e := log[i]
		at := time.Date(e.At.Year(), e.At.Month(), e.At.Day(), e.At.Hour(), 0, 0, 0, q.at.Location())
		days := int(q.at.Sub(at).Hours()+12) / 24
		if days < 1 {
			continue
		}
		if days > 120 {
			return "", nil
		}
		old := q
		old.at, old.soc, old.flowM3S, old.days, old.forecast = at, e.SoC, e.FlowM3S, days, nil
		old.errM3S = stream.UsualRelativeError("bucket") * e.FlowM3S
		if math.IsNaN(e.FlowM3S) || h.FlowM3S() == nil {
			old.flowM3S, old.errM3S = math.NaN(), 0
		}
		v, err := lookAhead(c, h, old, nil)
		if err != nil {
			return "", err
		}
		return v.TurnedOut(e.Decided, q.at, q.soc, q.flowM3S), nil
	}
	return "", nil
}

// question is what an outlook is asked.
type question struct {
	at              time.Time
	soc             float64
	told            string // where the charge comes from, "" as given
	flowM3S, errM3S float64
	days, draws     int
	wait            int
	bear            float64
	judge           bool
	forecast        *series.Forecast
}

// outlookFlags reads what the flags ask; a charge or a flow that is not given
// is NaN.
func (c *call) outlookFlags() (question, error) {
	q := question{soc: math.NaN(), flowM3S: math.NaN()}
	var err error
	if q.at, err = c.outlookDate(); err != nil {
		return q, err
	}
	if c.flags.Changed("charge") {
		if q.soc, err = c.quantity("charge", measure.Fractions, 0, 1, "0 % to 100 %"); err != nil {
			return q, err
		}
	}
	if q.flowM3S, q.errM3S, err = c.outlookFlow(); err != nil {
		return q, err
	}
	for _, n := range []struct {
		name     string
		to       *int
		low, top int
	}{{"days", &q.days, 1, 120}, {"draws", &q.draws, 1, 200}, {"wait", &q.wait, 1, 60}} {
		if *n.to, err = c.flags.GetInt(n.name); err != nil {
			return q, err
		}
		if *n.to < n.low || *n.to > n.top {
			return q, usageError{fmt.Sprintf("--%s: %d is outside %d to %d", n.name, *n.to, n.low, n.top)}
		}
	}
	if q.bear, err = c.quantity("bear", measure.Fractions, 0, 1, "0 % to 100 %"); err != nil {
		return q, err
	}
	q.judge, err = c.flags.GetBool("judge")
	return q, err
}

// outlookDate returns the moment on the site's clock, whatever its zone.
func (c *call) outlookDate() (time.Time, error) {
	text, err := c.flags.GetString("date")
	if err != nil {
		return time.Time{}, err
	}
	if text == "" {
		return time.Now(), nil
	}
	t, err := parseMoment(text)
	if err != nil {
		return t, usageError{fmt.Sprintf("--date: %v", err)}
	}
	return t, nil
}

// parseMoment reads a day, or a day and an hour.
func parseMoment(text string) (time.Time, error) {
	for _, layout := range []string{"2006-01-02", "2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			if t.Year() < 1950 || t.Year() > 2100 {
				return t, fmt.Errorf("%q is outside the years 1950 to 2100", text)
			}
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf(`%q is no day; write year-month-day, such as 2026-11-25, or with an hour, "2026-11-25 18:00"`, text)
}

// parseShare reads a share of 0 to 100 %.
func parseShare(text string) (float64, error) {
	v, err := measure.Fractions.Parse(text)
	if err == nil && !(v >= 0 && v <= 1) {
		err = fmt.Errorf("%q is outside 0 %% to 100 %%", text)
	}
	return v, err
}

// parseReading reads a flow, "1.0 L/s", or a bucket, "20 L in 19, 20, 21 s".
func parseReading(text string) (m3s, errM3S float64, err error) {
	if strings.Contains(text, " in ") {
		r, err := bucketReading(text)
		return r.FlowM3S, r.ErrorM3S, err
	}
	q, err := measure.Flows.Parse(text)
	if err == nil && !(q >= 0 && q <= 100) {
		err = fmt.Errorf("%q is outside 0 to 100 m3/s", text)
	}
	return q, stream.UsualRelativeError("bucket") * q, err
}

// lastCharge returns the charge of the bank where none was given.
func (c *call) lastCharge(s *site.Site, at time.Time) (float64, string) {
	if m := s.Meter; m != nil {
		for i := len(m.SoC) - 1; i >= 0; i-- {
			if !math.IsNaN(m.SoC[i]) && !m.Time[i].After(at) {
				if age := at.Sub(m.Time[i]); age > 48*time.Hour {
					c.warn(fmt.Sprintf("the last charge in meter.csv is of %s; give today's with --charge", m.Time[i].Format("2 January 2006, 15:04")))
				}
				return m.SoC[i], fmt.Sprintf(" by meter.csv on %s", m.Time[i].Format("2 January, 15:04"))
			}
		}
	}
	c.warn(`no --charge was given and there is no meter.csv: the bank is taken as full as a year begins; give today's, such as --charge "62 %"`)
	return s.Bank.StartSoC, ", as a year begins"
}

// outlookFlow returns what was read at the creek, NaN without a reading.
func (c *call) outlookFlow() (m3s, errM3S float64, err error) {
	bucket, _ := c.flags.GetString("bucket")
	flow, _ := c.flags.GetString("flow")
	switch {
	case bucket != "" && flow != "":
		return 0, 0, usageError{"--bucket and --flow both tell what the creek gives; give one"}
	case bucket != "":
		r, err := bucketReading(bucket)
		return r.FlowM3S, r.ErrorM3S, err
	case flow != "":
		q, err := c.quantity("flow", measure.Flows, 0, 100, "0 to 100 m3/s")
		return q, stream.UsualRelativeError("bucket") * q, err
	}
	return math.NaN(), 0, nil
}

// bucketReading reads "20 L in 19, 20, 21 s".
func bucketReading(text string) (stream.Reading, error) {
	wrong := usageError{fmt.Sprintf(`--bucket: %q is no reading; write its volume and the seconds in which it filled, such as "20 L in 19, 20, 21 s"`, text)}
	volume, times, ok := strings.Cut(text, " in ")
	if !ok {
		return stream.Reading{}, wrong
	}
	m3, err := measure.Volumes.Parse(volume)
	if err != nil {
		return stream.Reading{}, usageError{fmt.Sprintf("--bucket: %v", err)}
	}
	var seconds []float64
	times = strings.TrimSuffix(strings.TrimSpace(times), "s")
	for _, word := range listed(times) {
		s, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return stream.Reading{}, wrong
		}
		seconds = append(seconds, s)
	}
	r, err := stream.Bucket(m3, seconds)
	if err != nil {
		return r, usageError{fmt.Sprintf("--bucket: %v", err)}
	}
	return r, nil
}

// lookAhead makes the outlook.
func lookAhead(c *call, h *series.Homestead, q question, step func(done, total int)) (report.Outlook, error) {
	futures := h.Past(q.draws, outlookSeed).Futures(series.Today{At: q.at, FlowM3S: q.flowM3S, ErrorM3S: q.errM3S}, q.days, q.forecast)
	v := report.Outlook{Creek: futures.Creek, Reading: q.flowM3S, Years: len(futures.Years), Draws: q.draws, Drawn: slices.DeleteFunc(h.Causes(), func(c sim.Cause) bool { return c == sim.TheFlow }), Told: q.told, System: units(h.Site)}
	if q.forecast != nil {
		v.Forecast = len(q.forecast.RainMM)
	}
	if futures.N() == 0 {
		return v, files.Problems{{File: "rain.csv", What: fmt.Sprintf("no past year tells of the %d days from %s on", q.days, q.at.Format("2 January")), Hint: "an outlook needs a record of two years or more, or fewer --days"}}
	}
	a := ahead(h, futures, q)
	for _, use := range h.Site.Appliances {
		v.Uses = append(v.Uses, use.Name)
	}
	if h.Machine != nil {
		v.OverM3S = h.Site.Hydro.Intake.ResidualM3S + h.Site.Hydro.Intake.HouseWaterM3S
		_, v.Sets = setNeeds(h)
	}
	var err error
	v.Result, err = scenario.LookAhead(c.ctx, a, q.bear, step)
	return v, err
}

// ahead puts the courses, the plans for the valve and the uses together.
func ahead(h *series.Homestead, futures *series.Futures, q question) scenario.Ahead {
	s := h.Site
	bus := h.Bus()
	bus.Bank.StartSoC = q.soc
	a := scenario.Ahead{
		Start: futures.At, Hours: futures.Hours, Futures: futures.N(), Bus: bus,
		Worker: courses(futures), Plans: valvePlans(h, q),
	}
	if s.DemandW == nil {
		for _, use := range s.Appliances {
			a.Uses = append(a.Uses, use.Name)
		}
		a.Demand = func(without []int) func(int) sim.Input {
			kept := make([]loads.Appliance, 0, len(s.Appliances))
			for i, use := range s.Appliances {
				if !slices.Contains(without, i) {
					kept = append(kept, use)
				}
			}
			return futures.DemandW(kept)
		}
	}
	a.Sets, _ = setNeeds(h)
	return a
}

// courses returns what makes futures into courses.
func courses(f *series.Futures) func() func(int) scenario.Course {
	return func() func(int) scenario.Course {
		next := f.Worker()
		return func(i int) scenario.Course { return courseOf(next(i)) }
	}
}

func courseOf(f *series.Future) scenario.Course {
	return scenario.Course{In: f.In, FlowM3S: f.FlowM3S, LeftM3S: f.LeftM3S, Hydro: f.Hydro}
}

// setNeeds lists what each set of nozzles needs and its bores, or the spear
// valve at its least; nothing without hydro.
func setNeeds(h *series.Homestead) (needs []scenario.SetNeed, bores [][]float64) {
	if h.Machine == nil || h.FlowM3S() == nil {
		return nil, nil
	}
	if h.Machine.Sets == nil {
		q := h.Machine.MinFlow()
		return []scenario.SetNeed{{FlowM3S: q, PowerW: h.Machine.At(q).PowerW}}, nil
	}
	for _, s := range h.Machine.Sets {
		if s.FlowM3S >= h.Site.Hydro.Turbine.CutoffM3S {
			needs = append(needs, scenario.SetNeed{FlowM3S: s.FlowM3S, PowerW: s.PowerW})
			bores = append(bores, s.BoresM)
		}
	}
	return needs, bores
}

// valvePlans lists what may be done with the valve: what the site's dates have
// first, unless that is the same as leaving it open or closed.
func valvePlans(h *series.Homestead, q question) []scenario.ValvePlan {
	if h.Machine == nil || h.FlowM3S() == nil {
		return []scenario.ValvePlan{{Kind: scenario.WithoutIt, Open: func(int) bool { return false }}}
	}
	s := h.Site
	byDates := func(day int) bool { return h.Valve.OpenOn(q.at.AddDate(0, 0, day), s.YearMonth, s.YearDay) }
	always, never := true, true
	for d := 0; d <= q.days; d++ {
		if byDates(d) {
			never = false
		} else {
			always = false
		}
	}
	walks := func(open bool) int {
		if open == byDates(0) {
			return 0
		}
		return 1
	}
	open := scenario.ValvePlan{Kind: scenario.OpenNow, OpenNow: true, Open: func(int) bool { return true }, Walks: walks(true)}
	closed := scenario.ValvePlan{Kind: scenario.CloseNow, Open: func(int) bool { return false }, Walks: walks(false)}
	wait := scenario.ValvePlan{Kind: scenario.Wait, WaitDays: q.wait, Open: func(day int) bool { return day >= q.wait }, Walks: walks(false)}
	dates := scenario.ValvePlan{Kind: scenario.ByDates, OpenNow: byDates(0), Open: byDates}
	switch {
	case always:
		return []scenario.ValvePlan{open, wait, closed}
	case never:
		return []scenario.ValvePlan{closed, open, wait}
	}
	return []scenario.ValvePlan{dates, open, wait, closed}
}

// judgeOutlooks goes through the record and holds outlooks against what came. What
// came in a water year is told by one draw of sky, creek, head, efficiency, sun hours
// and loads; the outlooks of its dates know that year's weather as little as that
// draw, but for a bucket's reading on the morning of each: they have others.
func judgeOutlooks(c *call, h *series.Homestead, q question, step func(done, total int)) (*scenario.Judged, error) {
	each := min(q.draws, judgeDraws)
	n := min(max(len(h.Years()), each+1), mostTruths)
	past := h.Past(1+n, outlookSeed)
	truths, known := make([]*series.Past, n), make([]*series.Past, n)
	for i := range truths {
		truths[i] = past.Some(1 + i)
		var others []int
		for k := range each {
			others = append(others, 1+(i+1+k)%n)
		}
		known[i] = past.Some(others...)
	}
	s := h.Site
	of := func(at time.Time) int { // the draw of the water year
		y := at.Year()
		if at.Before(time.Date(y, s.YearMonth, s.YearDay, 0, 0, 0, 0, at.Location())) {
			y--
		}
		return y % n
	}
	return hindcast(c, h, q, func(at time.Time) (came, others *series.Past) { return truths[of(at)], known[of(at)] }, step)
}

// hindcast makes an outlook from each date of the record by what is known and
// holds it against what came. Both are pasts of the same days; what came is told by
// the first draw of its own, and so is what the bucket reads.
func hindcast(c *call, h *series.Homestead, q question, pasts func(at time.Time) (came, known *series.Past), step func(done, total int)) (*scenario.Judged, error) {
	days := max(q.days, scenario.HindcastStep)
	hind := scenario.Hind{Days: days, Bus: h.Bus()}
	hind.Sets, _ = setNeeds(h)
	r := h.Record()
	for d := scenario.HindcastStep; d+days <= r.Days(); d += scenario.HindcastStep {
		at := r.Start.AddDate(0, 0, d)
		if came, known := pasts(at); came.Tells(at, days) && known.Tells(at, days) {
			hind.Dates = append(hind.Dates, at)
		}
	}
	hind.Plan = func(k int) scenario.ValvePlan {
		o := q
		o.at, o.days = hind.Dates[k], days
		return valvePlans(h, o)[0]
	}
	hind.Courses = func(k int) (int, func() func(int) scenario.Course) {
		came, known := pasts(hind.Dates[k])
		read := came.Reading(hind.Dates[k])
		f := known.Futures(series.Today{At: hind.Dates[k], FlowM3S: read, ErrorM3S: stream.UsualRelativeError("bucket") * read}, days, nil)
		return f.N(), courses(f)
	}
	hind.Actual = func(k int) scenario.Course {
		came, _ := pasts(hind.Dates[k])
		return courseOf(came.Actual(hind.Dates[k], days).Worker()(0))
	}
	return scenario.Hindcast(c.ctx, hind, step)
}

// outlookSeed is of what is drawn besides skies and the reading's error, which go
// by [sun] seed.
const outlookSeed = 1

const (
	judgeDraws = 4  // are enough for a hindcast: every date has its past years
	mostTruths = 12 // draws that tell what came
)

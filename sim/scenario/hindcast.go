package scenario

import (
	"context"
	"math"
	"runtime"
	"sync/atomic"
	"time"

	"golang.org/x/sync/errgroup"

	"sunrill/sim"
)

// HindcastStep is the days between the dates of a hindcast.
const HindcastStep = 7

// Hind is a homestead whose record is gone through to judge outlooks by.
type Hind struct {
	Dates []time.Time // HindcastStep days apart, rising
	Days  int         // ahead of each, 7 or more
	Bus   sim.Bus     // as full as it is on the first date
	// Plan is what is done with the valve from a date on without a thought: the
	// one plan that is judged.
	Plan func(k int) ValvePlan
	Sets []SetNeed
	// Courses returns the futures of a date of the record, made without what
	// came after.
	Courses func(k int) (n int, worker func() func(i int) Course)
	// Actual returns what came.
	Actual func(k int) Course
}

// Judged is how outlooks of the past came out.
type Judged struct {
	Dates int
	From  time.Time
	To    time.Time
	Leads []LeadScore
	Rise  RiseScore
}

// LeadScore judges the chance of a dark hour within so many days.
type LeadScore struct {
	Days  int
	Dates int
	Came  float64 // share of dates after which a dark hour came
	// Brier scores: the mean squared difference of chance and outcome, 0 at
	// best.
	Brier, BrierClimate, BrierRepeat float64
	Bins                             []ReliabilityBin
}

// ReliabilityBin holds the dates whose chance lay between two bounds.
type ReliabilityBin struct {
	Low, High float64
	Dates     int
	Told      float64 // mean chance told
	Came      float64 // share of them after which it came dark
}

// RiseScore judges the day on which the creek first carries the smallest set,
// told on dates on which it did not.
type RiseScore struct {
	Dates     int     // on which it was told and came
	ErrorDays float64 // mean absolute difference of the middling day
	BiasDays  float64 // mean difference, told less came
	Missed    int     // came within the days, told as not within them
	False     int     // told within the days, did not come
}

// binEdges bound the chances of a reliability table.
var binEdges = []float64{0, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 1}

// hindDate is what was told on a date and what came after it.
type hindDate struct {
	charge   float64 // 0 to 1
	darkDay  float64 // +Inf: none
	riseDay  float64
	repeated [4]bool // dark within each lead, had the last week gone on
	hasWeek  bool
	chance   []float64 // told, within each lead
	riseTold float64
	lowNow   bool // the creek does not carry the smallest set today
}

// Hindcast makes an outlook on every date, without the knowledge of what came,
// and holds it against what came. Dates on which the record ends within the
// days ahead must not be among them.
//
// The charge of each date is that of a run which began full on the first date.
// An outlook is held against two that cost nothing: the share of dates of the
// same season (15 days to either side, in other years) after which a dark hour
// came, and the last seven days going on for ever.
//
// Brier score and reliability: G. W. Brier, Monthly Weather Review 78 (1950) 1–3.
func Hindcast(ctx context.Context, h Hind, progress func(done, total int)) (*Judged, error) {
	dates := make([]hindDate, len(h.Dates))
	total := len(dates)
	bus := h.Bus
	w := &aheadWorker{year: &sim.Year{}}
	var week week
	for k := range dates {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		came, plan := h.Actual(k), h.Plan(k)
		d := &dates[k]
		d.charge = bus.Bank.StartSoC
		var r run
		if k > 0 && h.Dates[k-1].AddDate(0, 0, HindcastStep).Equal(h.Dates[k]) {
			d.hasWeek = true
			var repeated run
			if err := w.run(&repeated, week.goesOn(came), ValvePlan{Kind: WithoutIt}, bus, h.Days); err != nil {
				return nil, err
			}
			for l, lead := range Leads {
				d.repeated[l] = repeated.dark >= 0 && repeated.dark < 24*lead
			}
		}
		if err := w.run(&r, came, plan, bus, h.Days); err != nil {
			return nil, err
		}
		week.keep(w.year.In)
		bus.Bank.StartSoC = w.year.SoC[weekHours-1]
		d.darkDay, d.riseDay = dayOf(r.dark), math.Inf(1)
		if len(h.Sets) > 0 {
			d.lowNow = firstDay(came.LeftM3S[:1], h.Sets[0].FlowM3S) < 0
			if day := firstDay(came.LeftM3S, h.Sets[0].FlowM3S); day >= 0 {
				d.riseDay = float64(day)
			}
		}
	}
	g, ctx := errgroup.WithContext(ctx)
	var next, done atomic.Int64
	for range runtime.GOMAXPROCS(0) {
		g.Go(func() error {
			w := &aheadWorker{year: &sim.Year{}}
			for {
				k := int(next.Add(1)) - 1
				if k >= total {
					return nil
				}
				if err := ctx.Err(); err != nil {
					return err
				}
				if err := w.forecast(&dates[k], &h, k); err != nil {
					return err
				}
				if n := done.Add(1); progress != nil {
					progress(int(n), total)
				}
			}
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	return judge(h, dates), nil
}

func dayOf(hour int) float64 {
	if hour < 0 {
		return math.Inf(1)
	}
	return float64(hour / 24)
}

// week is what each of the sources gave in the first seven days from a date.
type week [][]float64

func (w *week) keep(in *sim.Input) {
	for len(*w) < len(in.Sources) {
		*w = append(*w, nil)
	}
	for i := range in.Sources {
		(*w)[i] = append((*w)[i][:0], in.Sources[i].W[:weekHours]...)
	}
}

// goesOn returns days whose demand comes, under sources that repeat the week.
func (w week) goesOn(came Course) Course {
	in := *came.In
	for i, s := range came.In.Sources {
		again := make([]float64, in.Hours())
		for h := range again {
			again[h] = w[i][h%weekHours]
		}
		in.Set(s.Kind, again)
	}
	return Course{In: &in}
}

// forecast makes the outlook of one date.
func (w *aheadWorker) forecast(d *hindDate, h *Hind, k int) error {
	bus, plan := h.Bus, h.Plan(k)
	bus.Bank.StartSoC = d.charge
	n, worker := h.Courses(k)
	course := worker()
	d.chance = make([]float64, len(Leads))
	runs := make([]run, n)
	for i := range runs {
		c := course(i)
		r := &runs[i]
		if err := w.run(r, c, plan, bus, h.Days); err != nil {
			return err
		}
		for l, lead := range Leads {
			if r.dark >= 0 && r.dark < 24*lead {
				d.chance[l]++
			}
		}
		if len(h.Sets) > 0 {
			r.setOnDay = []int16{firstDay(c.LeftM3S, h.Sets[0].FlowM3S)}
		}
	}
	for l := range d.chance {
		d.chance[l] /= float64(n)
	}
	d.riseTold = math.Inf(1)
	if len(h.Sets) > 0 {
		d.riseTold = setOutlook(h.Sets[0], 0, runs).Median
	}
	return nil
}

// judge scores all dates.
func judge(h Hind, dates []hindDate) *Judged {
	j := &Judged{Dates: len(dates)}
	if len(dates) == 0 {
		return j
	}
	j.From, j.To = h.Dates[0], h.Dates[len(dates)-1]
	for l, lead := range Leads {
		if lead > h.Days {
			break
		}
		j.Leads = append(j.Leads, scoreLead(h.Dates, dates, l, lead))
	}
	r := &j.Rise
	for i := range dates {
		d := &dates[i]
		if !d.lowNow {
			continue
		}
		told, came := !math.IsInf(d.riseTold, 1), !math.IsInf(d.riseDay, 1)
		switch {
		case told && came:
			r.Dates++
			r.ErrorDays += math.Abs(d.riseTold - d.riseDay)
			r.BiasDays += d.riseTold - d.riseDay
		case came:
			r.Missed++
		case told:
			r.False++
		}
	}
	if r.Dates > 0 {
		r.ErrorDays /= float64(r.Dates)
		r.BiasDays /= float64(r.Dates)
	}
	return j
}

// scoreLead scores the chances of one lead on the dates for which all three
// ways of telling it are known.
func scoreLead(when []time.Time, dates []hindDate, l, lead int) LeadScore {
	s := LeadScore{Days: lead}
	came := func(d *hindDate) float64 {
		if d.darkDay < float64(lead) {
			return 1
		}
		return 0
	}
	for b := 0; b+1 < len(binEdges); b++ {
		s.Bins = append(s.Bins, ReliabilityBin{Low: binEdges[b], High: binEdges[b+1]})
	}
	for i := range dates {
		d := &dates[i]
		climate, known := climateChance(when, dates, i, came)
		if !known || !d.hasWeek {
			continue
		}
		y, p := came(d), d.chance[l]
		s.Dates++
		s.Came += y
		s.Brier += (p - y) * (p - y)
		s.BrierClimate += (climate - y) * (climate - y)
		repeat := 0.0
		if d.repeated[l] {
			repeat = 1
		}
		s.BrierRepeat += (repeat - y) * (repeat - y)
		b := 0
		for b < len(s.Bins)-1 && p >= s.Bins[b].High {
			b++
		}
		s.Bins[b].Dates++
		s.Bins[b].Told += p
		s.Bins[b].Came += y
	}
	n := float64(max(s.Dates, 1))
	s.Came /= n
	s.Brier /= n
	s.BrierClimate /= n
	s.BrierRepeat /= n
	for b := range s.Bins {
		if n := float64(s.Bins[b].Dates); n > 0 {
			s.Bins[b].Told /= n
			s.Bins[b].Came /= n
		}
	}
	return s
}

// climateChance is the share of dates of the season in other years after which
// it came.
func climateChance(when []time.Time, dates []hindDate, i int, came func(*hindDate) float64) (float64, bool) {
	const near, apart = 15, 183
	sum, n := 0.0, 0
	for k := range dates {
		days := int(math.Abs(when[k].Sub(when[i]).Hours() / 24))
		if days < apart {
			continue
		}
		off := days % 365
		if off > 182 {
			off = 365 - off
		}
		if off <= near+days/365/4 { // leap days move the calendar
			sum += came(&dates[k])
			n++
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

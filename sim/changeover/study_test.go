package changeover_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/storage"
)

// oneYear studies a single input.
func oneYear(t *testing.T, in *sim.Input, bus sim.Bus) *changeover.Result {
	t.Helper()
	return study(t, bus, in)
}

func study(t *testing.T, bus sim.Bus, ins ...*sim.Input) *changeover.Result {
	t.Helper()
	south := ins[0].Start.Month() < time.June
	r, err := changeover.Study{
		Bus: bus, Years: sim.Held(ins), South: south,
	}.Run(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// dates writes the dates of a choice, "11-05", or in a word why it has none.
func dates(r *changeover.Result, c changeover.Choice) (open, close string) {
	switch c.Valve {
	case changeover.Shut:
		return "never", "never"
	case changeover.Running:
		return "always", "always"
	}
	return r.Date(c.Pair.Open).Format("01-02"), r.Date(c.Pair.Close).Format("01-02")
}

// said is what a reader is told first.
func said(r *changeover.Result) string {
	return report.Changeover{Result: r}.Verdict().Sentences[0]
}

// known is a homestead whose answer is known: the panels carry the house
// except from day dark to day light, the creek gives 100 W from day wet to day
// dry, the house asks for 80 W, and the bank holds a few minutes.
func known(start time.Time, wet, dry, dark, light int) (*sim.Input, sim.Bus) {
	days := int(start.AddDate(1, 0, 0).Sub(start).Hours()/24 + 0.5)
	in := &sim.Input{Start: start, Sources: sim.PanelsAndCreek(make([]float64, 24*days), make([]float64, 24*days)), DemandW: make([]float64, 24*days),
		FlowM3S: make([]float64, days), RainMM: make([]float64, days), SunHours: make([]float64, days)}
	for d := range days {
		if d%7 == 0 {
			in.VisitDay = append(in.VisitDay, d)
		}
		in.FlowM3S[d], in.SunHours[d] = 0.0005, 5
		for h := 24 * d; h < 24*d+24; h++ {
			in.DemandW[h] = 80
			if d < dark || d >= light {
				in.W(sim.Panels)[h] = 90
			}
			if wet <= d && d < dry {
				in.W(sim.Creek)[h] = 100
				in.FlowM3S[d] = 0.003
			}
		}
	}
	return in, sim.Bus{DumpW: 200, Bank: storage.Bank{
		CapacityWh: 4, FloorSoC: 0.2, ComfortSoC: 0.4, StartSoC: 1, ChargeEfficiency: 0.9, DischargeEfficiency: 0.9,
		MaxChargeW: 4, MaxDischargeW: 4, IndoorC: 20, ChargeAboveC: -273.15,
	}}
}

var north = time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)

func TestKnownCreekGivesDatesToTheDay(t *testing.T) {
	south := time.Date(2015, 4, 1, 0, 0, 0, 0, time.UTC) // through 29 February 2016
	for _, c := range []struct {
		name                  string
		start                 time.Time
		wet, dry, dark, light int
		open, close           string
		unmet, days           float64
	}{
		{"creek longer than the dark", north, 30, 200, 45, 160, "11-15", "03-10", 0, 115},
		{"creek shorter than the dark", north, 60, 150, 45, 160, "11-30", "02-28", 25 * 24, 90},
		{"through 29 February", time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC), 30, 200, 45, 160, "11-15", "03-09", 0, 115},
		{"southern", south, 20, 120, 30, 110, "05-01", "07-20", 0, 80},
		{"southern, after 29 February", south, 300, 350, 310, 340, "02-05", "03-06", 0, 30},
	} {
		in, bus := known(c.start, c.wet, c.dry, c.dark, c.light)
		r := oneYear(t, in, bus)
		b := r.Best
		if open, close := dates(r, b); open != c.open || close != c.close {
			t.Errorf("%s: open %s, close %s; want %s and %s", c.name, open, close, c.open, c.close)
		}
		// A bank of a few minutes softens no whole hour but the first of a spell.
		if math.Abs(b.UnmetHours-c.unmet) > 1 || b.HydroDays != c.days || b.DryPipeStops != 0 {
			t.Errorf("%s: %+v, want %g unmet hours and %g days run", c.name, b.Outcome, c.unmet, c.days)
		}
		if never := float64(24 * (c.light - c.dark)); math.Abs(r.Never.UnmetHours-never) > 1 {
			t.Errorf("%s: %g hours unmet with the valve closed, want %g", c.name, r.Never.UnmetHours, never)
		}
	}
}

func TestWindowAndCostsOfAKnownCreek(t *testing.T) {
	in, bus := known(north, 30, 200, 45, 160)
	r := oneYear(t, in, bus)
	// Opening earlier, as soon as there is water, and closing later is harmless;
	// a day too late or too early costs 24 hours.
	if w := *r.Window; w.Open != (changeover.Span{From: 30, To: 45}) || w.Close != (changeover.Span{From: 160, To: 365}) {
		t.Errorf("window %+v", w)
	}
	got := map[bool]map[int]float64{false: {}, true: {}} // closing or not, by weeks
	for _, c := range r.Costs {
		got[c.Closing][c.Weeks] = c.UnmetHours
		if wh := c.UnmetHours * 80; math.Abs(c.UnmetWh-wh) > 100 {
			t.Errorf("closing %v, %d weeks off: %g Wh for %g hours of 80 W", c.Closing, c.Weeks, c.UnmetWh, c.UnmetHours)
		}
	}
	for weeks, want := range map[int]float64{-4: 0, -1: 0, 1: 168, 2: 336, 4: 672} {
		if math.Abs(got[false][weeks]-want) > 1 || math.Abs(got[true][-weeks]-want) > 1 {
			t.Errorf("%d weeks late to open costs %g hours, as early to close %g; want %g", weeks, got[false][weeks], got[true][-weeks], want)
		}
	}
}

func TestWordsWhereNoDateHelps(t *testing.T) {
	in, bus := known(north, 0, 366, 0, 366) // no panels, an unfailing creek
	r := oneYear(t, in, bus)
	if r.Best.Valve != changeover.Running || r.Window != nil || !strings.Contains(said(r), "all year") {
		t.Errorf("unfailing creek: %+v, %s", r.Best, said(r))
	}

	// Days on which the panels would do: nobody walks up the hill twice for
	// few of them; a month saves more walks than it costs.
	for _, c := range []struct {
		light int
		open  string
	}{{103, "always"}, {106, "always"}, {130, "02-08"}} {
		in, bus = known(north, 0, 366, 0, 100)
		for h := 24 * c.light; h < len(in.W(sim.Panels)); h++ {
			in.W(sim.Panels)[h] = 0
		}
		r = study(t, bus, in, in)
		best, _ := dates(r, r.Best)
		steady, _ := dates(r, r.Steady.Choice)
		if best != c.open || steady != c.open || c.open == "always" && (!r.Rule.AllYear || !strings.HasPrefix(report.Changeover{Result: r}.Rule(), "Leave the valve open all year")) {
			t.Errorf("panels carry the house from day 100 to %d: best %+v, steady %+v, rule %+v", c.light, r.Best, r.Steady, r.Rule)
		}
	}

	// A creek that only the bank gains from.
	in, bus = known(north, 30, 200, 45, 160)
	bus.Bank.CapacityWh, bus.Bank.MaxChargeW, bus.Bank.MaxDischargeW = 400_000, 4000, 4000
	if r = oneYear(t, in, bus); r.Never.UnmetHours != 0 || r.Best.Valve != changeover.Shut || !strings.Contains(said(r), "What hydro would spare is the bank") {
		t.Errorf("a bank for the whole winter: %s", said(r))
	}

	in, bus = known(north, 30, 200, 400, 400) // panels alone suffice
	r = oneYear(t, in, bus)
	if r.Best.Valve != changeover.Shut || r.Rule != nil || !strings.Contains(said(r), "closed") {
		t.Errorf("panels suffice: %+v, %s", r.Best, said(r))
	}

	in, bus = known(north, 0, 0, 45, 160) // a dry creek
	r = oneYear(t, in, bus)
	if r.Best.Valve != changeover.Shut || !strings.Contains(said(r), "never helps") {
		t.Errorf("dry creek: %+v, %s", r.Best, said(r))
	}
}

// crossing is a calendar year whose northern winter lies at both ends: the
// panels fail before day light and from day dark on, the creek runs before day
// dry and from day wet on.
func crossing(year, light, dry, wet, dark int) (*sim.Input, sim.Bus) {
	in, bus := known(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC), 0, 0, 0, 0)
	for h := range in.W(sim.Panels) {
		d := h / 24
		if light <= d && d < dark {
			in.W(sim.Panels)[h] = 90
		} else {
			in.W(sim.Panels)[h] = 0
		}
		if d < dry || d >= wet {
			in.W(sim.Creek)[h], in.FlowM3S[d] = 100, 0.003
		} else {
			in.FlowM3S[d] = 0.0004
		}
	}
	return in, bus
}

func TestWetSeasonAcrossTheYearsStart(t *testing.T) {
	in, bus := crossing(2017, 80, 120, 300, 320)
	r := oneYear(t, in, bus)
	if open, close := dates(r, r.Best); open != "11-17" || close != "03-22" || r.Best.UnmetHours != 0 {
		t.Errorf("best %+v, want open from 17 November to 22 March", r.Best)
	}
	if !strings.Contains(said(r), "when it ends") {
		t.Error(said(r))
	}
	if w := *r.Window; w.Open.From > 320 || w.Open.To != 320 || w.Close.From != 80 || w.Close.To < 80 { // 17 November and 22 March
		t.Errorf("window %+v", w)
	}
}

// There the rule carries the valve over from one year to the next.
func TestRuleAcrossTheYearsStart(t *testing.T) {
	var ins []*sim.Input
	var bus sim.Bus
	for y := range 6 {
		var in *sim.Input
		wet := 290 + 9*(y*5%6)
		in, bus = crossing(2011+y, 80, 90+4*y, wet, wet+3)
		ins = append(ins, in)
	}
	r := study(t, bus, ins...)
	if r.Rule == nil || r.Rule.UnmetHours != 0 || r.Rule.OpenFlowM3S <= 0.4e-3 {
		t.Fatalf("%+v", r.Rule)
	}
	for y, p := range r.Rule.Played {
		o := runPair(t, ins[y], bus, p.Pair)
		if p.Pair.Close > p.Pair.Open || o.UnmetHours != 0 {
			t.Errorf("year %d: %+v, %g hours unmet", y, p.Pair, o.UnmetHours)
		}
	}
}

// More days of hydro can hurt only by what a switch does: without disconnect
// and generator they never do.
func TestMoreHydroNeverHurts(t *testing.T) {
	for _, i := range []int{0, 1, 3, 7} {
		in, bus := homestead(kinds[i], 40+uint64(i))
		table := changeover.NewSearch(bus).Pairs(in)
		for open := 1; open < table.Days; open++ {
			for close := open + 1; close < table.Days; close++ {
				o := table.Of(changeover.Pair{Open: open, Close: close}).UnmetHours
				earlier := table.Of(changeover.Pair{Open: open - 1, Close: close}).UnmetHours
				later := table.Of(changeover.Pair{Open: open, Close: close + 1}).UnmetHours
				if earlier > o || later > o {
					t.Fatalf("%s, open days %d to %d: %g hours unmet; a day earlier %g, a day later %g", kinds[i].name, open, close, o, earlier, later)
				}
			}
		}
	}
}

// shifting makes water years whose creek swells on another day each, two days
// before the dark, and falls a day after it. Whoever opens in the ten days
// before the creek swells, or earlier, runs the intake dry.
func shifting(r *rand.Rand, years int) ([]*sim.Input, sim.Bus) {
	var ins []*sim.Input
	var bus sim.Bus
	for y := range years {
		wet := 20 + r.IntN(60)
		dry := 150 + r.IntN(80)
		var in *sim.Input
		in, bus = known(time.Date(2001+y, 10, 1, 0, 0, 0, 0, time.UTC), wet, dry, wet+2, dry-1)
		for d := wet - 10; d < wet; d++ {
			in.DryStopHour = append(in.DryStopHour, 24*d+3)
		}
		ins = append(ins, in)
	}
	return ins, bus
}

func TestRuleFindsTheFlowThatTells(t *testing.T) {
	ins, bus := shifting(rand.New(rand.NewPCG(3, 3)), 8)
	r := study(t, bus, ins...)
	rule := r.Rule
	if rule == nil {
		t.Fatal("no rule")
	}
	// The creek runs at 0.5 L/s or at 3 L/s: opening when it runs at more
	// than 0.5 and closing when it falls back costs nothing in any year.
	if rule.UnmetHours != 0 || rule.Regret != 0 || rule.LeftOutUnmet != 0 {
		t.Errorf("%+v\ncosts %g hours, regret %g, on years left out %g; want none", rule, rule.UnmetHours, rule.Regret, rule.LeftOutUnmet)
	}
	if !(rule.OpenFlowM3S > 0.5e-3 && rule.OpenFlowM3S <= 3.001e-3) || rule.OpenRun < 1 || rule.OpenRun > 2 {
		t.Errorf("opens at %g m³/s on %d days running: %+v", rule.OpenFlowM3S, rule.OpenRun, rule)
	}
	// Fixed dates that leave nobody short must open before the first of the
	// years swells, and run the intake dry in the others.
	if rule.DryPipeStops != 0 || r.Best.DryPipeStops < 5 {
		t.Errorf("the rule stops %g times, fixed dates %+v %g times", rule.DryPipeStops, r.Best.Pair, r.Best.DryPipeStops)
	}
}

func TestRuleTallyEqualsRunning(t *testing.T) {
	var ins []*sim.Input
	var bus sim.Bus
	k := kinds[0]
	k.capWh, k.hydroW = 3500, 75
	for y := range 6 {
		var in *sim.Input
		in, bus = homestead(k, uint64(100+y))
		for h := range in.W(sim.Panels) {
			in.W(sim.Panels)[h] *= 2 // enough for the summer
		}
		in.Start = in.Start.AddDate(4*y, 0, 0) // leap years all, as kinds are
		ins = append(ins, in)
	}
	r := study(t, bus, ins...)
	sum, sumWh, foresight := 0.0, 0.0, 0.0
	for y, p := range r.Rule.Played {
		o := runPair(t, ins[y], bus, p.Pair)
		sumWh += o.UnmetWh / 6
		if o.UnmetHours != p.UnmetHours {
			t.Errorf("year %d, %+v: the rule counts %g hours, the run gives %g", y, p.Pair, p.UnmetHours, o.UnmetHours)
		}
		if p.UnmetHours < p.Foresight-1 { // an hour is no difference
			t.Errorf("year %d: the rule's %g hours beat foresight's %g", y, p.UnmetHours, p.Foresight)
		}
		sum += o.UnmetHours / 6
		foresight += p.Foresight / 6
	}
	if math.Abs(sum-r.Rule.UnmetHours) > 1e-9 || math.Abs(foresight-r.Rule.Foresight) > 1e-9 {
		t.Errorf("means %g and %g, want %g and %g", r.Rule.UnmetHours, r.Rule.Foresight, sum, foresight)
	}
	ofRule := r.Alternatives[len(r.Alternatives)-1]
	for _, o := range []changeover.Outcome{r.Rule.Outcome, ofRule.Outcome} {
		if math.Abs(o.UnmetWh-sumWh) > 1e-6*(1+sumWh) || o.UnmetWh == 0 != (o.UnmetHours == 0) {
			t.Errorf("%g Wh short for %g hours by the rule, want %g", o.UnmetWh, o.UnmetHours, sumWh)
		}
	}
	t.Log(*r.Rule, r.Rule.UnmetHours, r.Rule.Foresight, r.Rule.LeftOutUnmet, r.Best, r.Steady)
}

// What happens later must not change when a rule acts.
func TestRuleKnowsOnlyThePast(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	ins, bus := shifting(r, 4)
	before := study(t, bus, ins...).Rule
	for y, p := range before.Played {
		changed := *ins[y]
		changed.FlowM3S, changed.RainMM, changed.SunHours = slices.Clone(changed.FlowM3S), slices.Clone(changed.RainMM), slices.Clone(changed.SunHours)
		for d := p.Pair.Open; d < len(changed.FlowM3S); d++ {
			changed.FlowM3S[d], changed.RainMM[d], changed.SunHours[d] = changed.FlowM3S[d]*r.Float64(), 30*r.Float64(), 8*r.Float64()
		}
		if got := changeover.OpeningDay(before, &changed, false); got != p.Pair.Open {
			t.Errorf("year %d: other weather from day %d on moves the opening to day %d", y, p.Pair.Open, got)
		}
	}
}

func TestMeanAndSteadyOverYears(t *testing.T) {
	k := kinds[0]
	var ins []*sim.Input
	var bus sim.Bus
	for y := range 5 {
		k.south = y%2 == 1 // 365 days
		var in *sim.Input
		in, bus = homestead(k, uint64(60+y))
		in.Start = time.Date(2015+y, 10, 1, 0, 0, 0, 0, time.UTC)
		if y%2 == 0 {
			in.Start = time.Date(2015+4*y, 10, 1, 0, 0, 0, 0, time.UTC)
		}
		ins = append(ins, in)
	}
	r := study(t, bus, ins...)
	if r.Days() != 365 {
		t.Fatalf("%d dates shared, want 365", r.Days())
	}
	// A date after February is a day later in a leap year.
	p := changeover.Pair{Open: 40, Close: 200}
	want := 0.0
	var hours []float64
	for _, in := range ins {
		q := p
		if in.Hours() == 366*24 {
			q.Close++
		}
		o := runPair(t, in, bus, q)
		want += o.UnmetHours / 5
		hours = append(hours, o.UnmetHours)
	}
	if got := r.Of(p).UnmetHours; math.Abs(got-want) > 1e-9 {
		t.Errorf("10 November to 19 April: %g hours on average, want %g", got, want)
	}
	// In four of five years the steady pair stays at or below what it says,
	// and no pair says less.
	slices.Sort(hours)
	if r.Steady.HoldsYears != 4 || r.Steady.HoldsHours > hours[3] {
		t.Errorf("steady: %+v; another pair holds %g in four years", r.Steady, hours[3])
	}
	var shut []float64
	for _, in := range ins {
		shut = append(shut, runPair(t, in, bus, changeover.Never).UnmetHours)
	}
	i := slices.IndexFunc(r.Alternatives, func(w changeover.Alternative) bool { return w.Practice == changeover.ClosedAll })
	if want := sim.NewSpread(shut).AtRange(0.8, 5, sim.Middle); i < 0 || r.Alternatives[i].FiveRange != want || want.Low == want.High {
		t.Errorf("ways %+v; closed all year, one in five reaches %+v", r.Alternatives, want)
	}
	held := 0
	var its []float64
	for _, in := range ins {
		q := r.Steady.Pair
		if in.Hours() == 366*24 {
			q.Open, q.Close = later(q.Open), later(q.Close)
		}
		its = append(its, runPair(t, in, bus, q).UnmetHours)
		if its[len(its)-1] <= r.Steady.HoldsHours {
			held++
		}
	}
	if want := sim.NewSpread(its).AtRange(0.8, 5, sim.Middle); r.Steady.HoldsRange != want {
		t.Errorf("the steady pair's hours %v reach %+v, want %+v", its, r.Steady.HoldsRange, want)
	}
	if held < 4 {
		t.Errorf("the steady pair holds in %d years", held)
	}
}

// later moves a day after 28 February (day 150 from 1 October) on by one.
func later(day int) int {
	if day > 150 {
		return day + 1
	}
	return day
}

func TestStudyStopsWhenAsked(t *testing.T) {
	in, bus := known(north, 30, 200, 45, 160)
	ctx, cancel := context.WithCancel(t.Context())
	var seen atomic.Int64
	_, err := changeover.Study{
		Bus: bus, Years: sim.Held(slices.Repeat([]*sim.Input{in}, 50)), Measures: changeover.Measures{RainMM: 25.4},
		Progress: func(done, total int) {
			seen.Store(int64(total))
			cancel()
		},
	}.Run(ctx)
	if !errors.Is(err, context.Canceled) || seen.Load() != 50 {
		t.Errorf("error %v after progress of %d", err, seen.Load())
	}
}

// Under draws that change nothing every draw has the dates of the middle values;
// under one with a creek that comes a month later the valve is opened later.
func TestDrawsOfTheDates(t *testing.T) {
	in, bus := known(north, 31, 212, 45, 160)
	late, _ := known(north, 61, 212, 75, 160)
	ins := []*sim.Input{in, in, late}
	s := changeover.Study{Bus: bus, Years: sim.Held([]*sim.Input{in}), DatesOnly: true}
	s.Draws = sim.Years{N: 1, Draws: len(ins), Maker: func() func(int, int) *sim.Input {
		return func(d, _ int) *sim.Input { return ins[d] }
	}}
	r, err := s.Run(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	u, best := r.Sure, r.Best
	if u.Draws != 3 || u.Dated != 3 || u.Never != 0 {
		t.Fatalf("%+v", u)
	}
	for d := range 2 {
		if u.Open.Draws[d] != float64(best.Pair.Open) || u.Close.Draws[d] != float64(best.Pair.Close) || u.AtBest.Draws[d] != best.UnmetHours || u.Closed.Draws[d] != r.Never.UnmetHours || u.Regret.Draws[d] != 0 {
			t.Errorf("draw %d: open %g, close %g, %g h, closed %g h, regret %g h; the middle values %+v", d, u.Open.Draws[d], u.Close.Draws[d], u.AtBest.Draws[d], u.Closed.Draws[d], u.Regret.Draws[d], best)
		}
	}
	if u.Open.Draws[2] <= u.Open.Draws[0] || u.Regret.Draws[2] < 0 {
		t.Errorf("with a later creek: open on day %g, regret %g h", u.Open.Draws[2], u.Regret.Draws[2])
	}
}

package plans

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/site"
	"sunrill/sim/sizing"
	"sunrill/sim/worth"
)

// Effort is how much a change asks of a homesteader, money apart. The classes
// are judgement.
type Effort int

// The efforts, from the least.
const (
	Habit Effort = iota // nothing to buy or build: another date, another hour, a walk
	Hour                // an hour or two with hand tools
	Day                 // a day's work, something to buy
	Weeks               // a building site
)

// Kind is what a change is tried for.
type Kind int

// The kinds of changes.
const (
	Better  Kind = iota // what may help
	Without             // what a use costs in dark hours: doing without it
	Less                // what could be saved on: a smaller bank
	Engine              // a generator: it ends the dark for as long as there is fuel
)

// Change is one thing that could be done.
type Change struct {
	Name    string // "a nozzle of 4 mm as well"
	Kind    Kind
	Set     []files.Setting
	Effort  Effort
	Capital *float64 // what it costs to buy; nil: not priced in the site's costs
	LifeY   float64  // of what is bought; 0: that of the bank, as it wears
}

// nozzleSizesMM are bores that nozzle inserts are sold in (common practice).
var nozzleSizesMM = []float64{3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 25, 28, 32}

// cableSectionsMM2 are the usual sections of copper cable (IEC 60228).
var cableSectionsMM2 = []float64{2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120}

// sparing is what an efficient appliance asks of what an old one does: a round
// figure to see what it would do, not what is sold.
const sparing = 2.0 / 3

// maxUses is how many of the largest uses are tried to be spared or moved.
const maxUses = 4

// list gathers changes.
type list struct {
	s       *site.Site
	u       measure.System
	p       worth.Prices
	changes []Change
}

func set(key, format string, args ...any) files.Setting {
	value := fmt.Sprintf(format, args...)
	return files.Setting{Key: key, Value: value, From: key + "=" + value}
}

func (l *list) add(effort Effort, name string, settings ...files.Setting) *Change {
	if len(settings) == 0 {
		panic("plans: a change that sets nothing: " + name)
	}
	l.changes = append(l.changes, Change{Name: name, Set: settings, Effort: effort})
	return &l.changes[len(l.changes)-1]
}

// price has a change cost an amount at a price, if that was given.
func (c *Change) price(price *float64, amount, lifeY float64) {
	if price != nil {
		v := *price * amount
		c.Capital, c.LifeY = &v, lifeY
	}
}

// Catalogue lists the single changes that fit a site: not each of them can be
// made, and [Improve] leaves out what the site's checks refuse. A peak of the
// house's demand sizes the generator.
func Catalogue(s *site.Site, peakW float64) []Change {
	l := &list{s: s, u: measure.Of(s.US)}
	if s.Prices != nil {
		l.p = *s.Prices
	}
	l.water()
	l.valve()
	l.panels()
	l.bank()
	l.house()
	l.generator(peakW)
	return l.changes
}

// water lists what the creek's side could have otherwise.
func (l *list) water() {
	h := l.s.Hydro
	if h == nil {
		return
	}
	t := h.Turbine
	if len(t.NozzlesM) > 0 {
		l.nozzles()
	}
	sizes := sizing.PipeSizes(h.Penstock.Material, l.s.US)
	wider := 0
	for _, size := range sizes {
		if size.BoreM > 1.02*h.Penstock.BoreM && wider < 2 {
			wider++
			c := l.add(Weeks, fmt.Sprintf("the pipe in %s (bore %s)", size.Name, l.u.Bore(size.BoreM)), set("penstock.bore", "%g mm", round(1000*size.BoreM, 4)))
			c.price(l.p.PenstockPerM, h.Penstock.LengthM*math.Pow(size.BoreM/h.Penstock.BoreM, l.p.PenstockExponent), l.p.LifePenstockY)
		}
	}
	for _, m3 := range tanks(h.Forebay.VolumeM3) {
		l.add(Weeks, "a tank of "+l.u.Volume(m3)+" at the intake", set("forebay.volume", "%g L", 1000*m3))
	}
	if w := h.Intake.HouseWaterM3S; w > 0 {
		l.add(Day, "half the house water wasted or drawn from the creek", set("intake.house_water", "%g L/day", round(w/2*86400*1000, 3)))
	}
	if c := t.CutoffM3S; c > 0 {
		l.add(Hour, "the turbine shut at half the flow that shuts it now", set("turbine.cutoff_flow", "%g L/s", round(1000*c/2, 4)))
	}
	if !l.given("turbine.overall") {
		for _, mm2 := range cableSectionsMM2 {
			if mm2 > 1.05e6*h.Cable.SectionM2 && h.Cable.LengthM > 0 {
				l.add(Day, "the turbine's cable in "+l.u.Wire(mm2/1e6), set("cable.section", "%g mm2", mm2))
				break
			}
		}
	}
	for _, days := range []int{1, 3, 7} {
		if v := h.Visits; v.EveryDays == 0 || days < v.EveryDays {
			name := fmt.Sprintf("a round to the intake every %d days", days)
			if days == 1 {
				name = "a round to the intake every day"
			}
			l.add(Habit, name, set("visits.every", "%d days", days))
		}
	}
	if !h.Visits.AfterStop {
		l.add(Habit, "a walk to the turbine on the day after it stopped", set("visits.after_stop", "true"))
	}
	if mm := h.Visits.AfterRainMM; mm == 0 || mm > 10 {
		l.add(Habit, "a walk to the turbine after every day with "+l.u.Rain(10)+" of rain", set("visits.after_rain", "10 mm"))
	}
}

// given tells whether the site gives a value that has a default.
func (l *list) given(key string) bool {
	return !slices.ContainsFunc(l.s.Defaults, func(d files.Default) bool { return d.Key == key })
}

// nozzles lists one nozzle more of each size sold near those that are there.
func (l *list) nozzles() {
	have := slices.Sorted(slices.Values(l.s.Hydro.Turbine.NozzlesM))
	minimum, maximum := 1000*have[0], 1000*have[len(have)-1]
	texts := make([]string, len(have))
	for i, m := range have {
		texts[i] = strconv.Quote(fmt.Sprintf("%g mm", round(1000*m, 4)))
	}
	for _, mm := range nozzleSizesMM {
		if mm < 0.55*minimum || mm > 1.65*maximum || slices.ContainsFunc(have, func(m float64) bool { return math.Abs(1000*m-mm) < 0.3 }) {
			continue
		}
		more := append(slices.Clone(texts), strconv.Quote(fmt.Sprintf("%g mm", mm)))
		l.add(Hour, "a nozzle of "+l.u.Bore(mm/1000)+" as well", set("turbine.nozzles", "[%s]", strings.Join(more, ", ")))
	}
}

// tanks are volumes to try, in m³.
func tanks(have float64) []float64 {
	if have <= 0 {
		return []float64{1, 5, 20}
	}
	return []float64{round(2*have, 2), round(5*have, 2)}
}

// valve lists other days to open and close.
func (l *list) valve() {
	s := l.s
	if s.Hydro == nil || s.Open == nil || s.Close == nil {
		return
	}
	l.add(Habit, "the valve open whenever the flow allows, instead of by dates", set("turbine.open", ""), set("turbine.close", ""))
	for _, move := range []struct {
		key, name string
		d         site.Date
		days      int
	}{
		{"turbine.open", "the valve opened two weeks earlier", *s.Open, -14}, {"turbine.open", "the valve opened two weeks later", *s.Open, 14},
		{"turbine.close", "the valve closed two weeks earlier", *s.Close, -14}, {"turbine.close", "the valve closed two weeks later", *s.Close, 14},
	} {
		l.add(Habit, move.name, set(move.key, "%s", shift(move.d, move.days)))
	}
}

// panels lists more panels, and the same ones stood otherwise.
func (l *list) panels() {
	s := l.s
	// Towards the low sun: 15° steeper than the latitude, a rule of thumb.
	lat := math.Abs(s.Place.LatDeg)
	steep := math.Min(90, math.Round((lat+15)/5)*5)
	toward := 180.0
	if s.Place.LatDeg < 0 {
		toward = 0
	}
	name := func(i int) (key, words string) {
		key = "array." + strconv.Itoa(i+1)
		if len(s.Arrays) == 1 {
			return key, "the panels"
		}
		return key, "the panels " + strconv.Quote(s.Arrays[i].Name)
	}
	compass := "south"
	if toward == 0 {
		compass = "north"
	}
	largest := -1
	var turned, stood []files.Setting // all of the arrays that are off
	for i, a := range s.Arrays {
		if largest < 0 || a.PowerW > s.Arrays[largest].PowerW {
			largest = i
		}
		key, words := name(i)
		face, tilt := set(key+".facing", "%g deg", toward), set(key+".tilt", "%g deg", steep)
		off := math.Abs(math.Remainder(a.AzimuthDeg-toward, 360)) > 15
		flat := math.Abs(a.TiltDeg-steep) >= 7
		if off {
			turned = append(turned, face)
			l.add(Day, fmt.Sprintf("%s turned to the %s", words, compass), face)
		}
		if flat {
			stood = append(stood, tilt)
			l.add(Day, fmt.Sprintf("%s tilted to %.0f°, for the dark months", words, steep), tilt)
		}
	}
	if len(turned) > 1 {
		l.add(Day, "all panels turned to the "+compass, turned...)
	}
	if len(turned) > 0 && len(stood) > 0 {
		l.add(Day, fmt.Sprintf("all panels turned to the %s and tilted to %.0f°", compass, steep), slices.Concat(turned, stood)...)
	}
	if largest < 0 {
		return
	}
	key, words := name(largest)
	const moreW = 1000
	w := s.Arrays[largest].PowerW + moreW
	c := l.add(Day, fmt.Sprintf("%s more panels, beside %s", measure.Power(moreW), words), set(key+".power", "%g W", round(w, 6)))
	c.price(l.p.PanelPerKW, moreW/1000, l.p.LifePanelsY)
}

// bank lists a bigger and a smaller bank.
func (l *list) bank() {
	wh := l.s.Bank.CapacityWh
	if wh <= 0 {
		return
	}
	for _, more := range []float64{1.25, 1.5} {
		c := l.add(Day, fmt.Sprintf("a bank of %s", measure.Energy(more*wh)), set("bank.capacity", "%g Wh", round(more*wh, 6)))
		c.price(l.p.BankPerKWh, (more-1)*wh/1000, 0)
	}
	l.add(Day, fmt.Sprintf("a bank of %s only", measure.Energy(0.75*wh)), set("bank.capacity", "%g Wh", round(0.75*wh, 6))).Kind = Less
}

// house lists what the household could have otherwise.
func (l *list) house() {
	s := l.s
	if s.Inverter.IdleW > 0 && !s.Inverter.Standby && s.DemandW == nil {
		l.add(Hour, "an inverter that sleeps when nothing is asked of it", set("inverter.standby", "true"))
	}
	type use struct {
		a  *loads.Appliance
		wh float64
	}
	var uses []use
	count := map[string]int{}
	for i := range s.Appliances {
		a := &s.Appliances[i]
		count[strings.ToLower(a.Name)]++
		if wh := a.Watts * a.Count * hours(a); wh > 0 && !a.Flexible {
			uses = append(uses, use{a, wh})
		}
	}
	sort.SliceStable(uses, func(i, j int) bool { return uses[i].wh > uses[j].wh })
	spared, moved := 0, 0
	for _, u := range uses {
		a := u.a
		if count[strings.ToLower(a.Name)] > 1 || strings.Contains(a.Name, `"`) {
			continue // which of them is meant cannot be told
		}
		key := "loads." + strconv.Quote(a.Name) + "."
		l.add(Habit, "without: "+a.Name, set(key+"count", "0")).Kind = Without
		if spared < maxUses {
			spared++
			l.add(Day, fmt.Sprintf("%s that asks for two thirds of the power", a.Name), set(key+"watts", "%g", round(sparing*a.Watts, 4)))
		}
		if text := noon(a); text != "" && moved < maxUses {
			moved++
			l.add(Habit, fmt.Sprintf("%s around noon (%s)", a.Name, text), set(key+"hours", "%s", text))
		}
	}
}

// hours is how long an appliance runs on a day of its use.
func hours(a *loads.Appliance) float64 {
	sum := 0.0
	for _, fraction := range a.HourFraction {
		sum += fraction
	}
	return sum
}

// noon returns a window of as many hours around noon, "" where that is the
// time already or where the use can hardly be moved: light, and what runs for
// long.
func noon(a *loads.Appliance) string {
	name := strings.ToLower(a.Name)
	if strings.Contains(name, "light") || strings.Contains(name, "lamp") || a.Weekly {
		return ""
	}
	total := hours(a)
	if total <= 0 || total > 5 {
		return ""
	}
	by := 0.0
	for h := 9; h < 16; h++ {
		by += a.HourFraction[h]
	}
	if by > 0.8*total {
		return ""
	}
	quarters := int(math.Round(4 * total))
	if math.Abs(float64(quarters)/4-total) > 0.01 {
		return ""
	}
	from := 4*12 + 2 - quarters/2
	clock := func(q int) string { return fmt.Sprintf("%02d:%02d", q/4, q%4*15) }
	return clock(from) + "-" + clock(from+quarters)
}

// generator lists an engine where there is none.
func (l *list) generator(peakW float64) {
	if l.s.Generator != nil {
		return
	}
	g := worth.DefaultGenerator(peakW, l.s.Bank.FloorSoC)
	c := l.add(Day, "a generator of "+measure.Power(g.RatedW), set("generator.rated", "%g W", g.RatedW))
	c.Kind = Engine
	c.price(l.p.Generator, 1, worth.GeneratorMaxY)
}

// round keeps so many digits, so that a setting reads well.
func round(v float64, digits int) float64 {
	f, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		return v
	}
	return f
}

// shift moves a day of the calendar; a leap day counts as the day before.
func shift(d site.Date, days int) string {
	start := [...]int{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}
	day := d.Day
	if d.Month == 2 && day == 29 {
		day = 28
	}
	n := (start[d.Month-1] + day - 1 + days + 365) % 365
	for m := 11; ; m-- {
		if n >= start[m] {
			return fmt.Sprintf("%02d-%02d", m+1, n-start[m]+1)
		}
	}
}

// peak is the greatest demand of the years.
func (b *Base) peak() float64 { return sim.PeakDemand([]*sim.Input{b.Home.Input(b.Years[0])}) }

// String names an effort.
func (e Effort) String() string {
	return [...]string{"a habit", "an hour or two", "a day's work", "a building site"}[e]
}

// String names a kind, as the files have it.
func (k Kind) String() string { return [...]string{"better", "without", "less", "engine"}[k] }

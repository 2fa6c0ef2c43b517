package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// Year is what the sections of one simulated year are made from. Only Year and
// Summary are required.
type Year struct {
	Year    *sim.Year
	Summary sim.Summary
	System  measure.System

	Skylines  []Skyline        // the hills, once or for each array with its own
	Household *plots.Household // the average day; nil: not known by use
	Uses      []plots.Use      // who uses what; nil: the same
	Meters    []plots.Metered  // the owner's records
	OnPanel   bool             // sun hours were observed on the panels
}

// Skyline is the hills as seen from an array.
type Skyline struct {
	Of string // the array's name; "" for the whole site
	plots.Skyline
}

const dateLayout = "2 January 2006"

// hasWater reports whether the site has a creek that the run knows of.
func (v Year) hasWater() bool { return v.Year.In.FlowM3S != nil }

// day returns the date on which hour h falls.
func (v Year) day(h int) string { return v.at(h).Format(dateLayout) }

func (v Year) at(h int) time.Time {
	return v.Year.In.Start.Add(time.Duration(h) * time.Hour)
}

// Name writes the days that the year covers.
func (v Year) Name() string {
	in := v.Year.In
	return in.Start.Format(dateLayout) + " to " + v.day(in.Hours()-1)
}

// Sections returns the chapters of the year.
func (v Year) Sections() []Section {
	ss := []Section{v.energy(), v.bank()}
	if v.hasWater() {
		ss = append(ss, v.water())
	}
	ss = append(ss, v.hours())
	if v.Household != nil || v.Uses != nil {
		ss = append(ss, v.household())
	}
	if len(v.Skylines) > 0 {
		ss = append(ss, v.hills())
	}
	if len(v.Meters) > 0 {
		ss = append(ss, v.meter())
	}
	return ss
}

// Charts returns the year's charts, without their sections.
func (v Year) Charts() []plots.Chart { return Charts(v.Sections()) }

func (v Year) energy() Section {
	months := v.Year.Months()
	var m plots.MonthlyEnergy
	generator := 0.0
	for _, p := range months {
		m.Months = append(m.Months, p.Start)
		m.PanelsWh = append(m.PanelsWh, p.PVWh)
		m.HydroWh = append(m.HydroWh, p.HydroWh)
		m.GeneratorWh = append(m.GeneratorWh, p.GeneratorWh)
		m.DemandWh = append(m.DemandWh, p.DemandWh)
		m.UnmetWh = append(m.UnmetWh, p.UnmetWh)
		m.UnmetHours = append(m.UnmetHours, p.UnmetHours)
		generator += p.GeneratorWh
	}
	return Section{
		ID:      "energy",
		Title:   "Energy through the year",
		Text:    v.energyText(),
		Figures: []Figure{{plots.EnergyByMonth(m), "months.csv"}},
		Tables:  []Table{v.monthTable(months, generator > 0)},
	}
}

func (v Year) energyText() []string {
	t := v.Summary.Tally
	given := t.PVWh + t.HydroWh + t.GeneratorWh
	s := fmt.Sprintf("The panels could give %s, the creek %s", measure.Energy(t.PVWh), measure.Energy(t.HydroWh))
	if !v.hasWater() {
		s = fmt.Sprintf("The panels could give %s", measure.Energy(t.PVWh))
	}
	if t.GeneratorWh > 0 {
		s += fmt.Sprintf(", and the generator gave %s in %s with %s L of fuel", measure.Energy(t.GeneratorWh),
			measure.Plural(v.Summary.GeneratorHours, "hour", "hours"), measure.Digits(t.FuelL, 3))
	}
	s += fmt.Sprintf(". The house asked for %s and got %s.", measure.Energy(t.DemandWh), measure.Energy(t.ServedWh))
	over := t.DumpWh + t.OverDumpWh + t.CurtailedWh
	if given > 0 && over > 0 {
		s += fmt.Sprintf(" %s (%s of what the sources could give) found no use", measure.Energy(over), measure.Percent(over/given))
		switch dump := t.DumpWh + t.OverDumpWh; {
		case dump <= 0:
			s += ": the panels were held back."
		case t.CurtailedWh <= 0:
			s += " and went to the dump load."
		default:
			s += fmt.Sprintf(": %s of the creek’s went to the dump load, %s of the panels’ was held back.", measure.Energy(dump), measure.Energy(t.CurtailedWh))
		}
	}
	text := []string{s}
	if v.Summary.FlexibleNeedWh > 0 {
		text = append(text, fmt.Sprintf("The flexible uses got %s, %s of what they could take.",
			measure.Energy(t.FlexibleWh), measure.Percent(v.Summary.FlexibleShare())))
	}
	return text
}

// monthTable is months.csv as a person reads it.
func (v Year) monthTable(months []sim.Period, generator bool) Table {
	flow, rain := v.System.FlowAxis(), v.System.RainAxis()
	sun := "sun h a day"
	if v.OnPanel {
		sun = "sun h a day on the panels"
	}
	t := Table{
		Caption: "The months, energies in kWh",
		Head:    []string{"month", "rain, " + rain.Unit, sun},
		Data:    "months.csv",
		Note:    "Sun h: equivalent hours of full sun, 1 kW on each square metre. Panels and creek: what they could give. Left over: dumped or held back.",
	}
	t.Minor = []int{1, 2}
	if v.hasWater() {
		t.Head = append(t.Head, "creek, "+flow.Unit)
		t.Minor = append(t.Minor, 3)
	}
	t.Head = append(t.Head, "panels")
	if v.hasWater() {
		t.Head = append(t.Head, "creek")
	}
	if generator {
		t.Head = append(t.Head, "generator")
	}
	t.Head = append(t.Head, "asked for", "unmet", "unmet hours", "left over", "lowest charge")
	for _, p := range months {
		rainPlaces := 0
		if v.System == measure.US {
			rainPlaces = 1
		}
		row := []string{p.Start.Format("Jan 2006"), fmt.Sprintf("%.*f", rainPlaces, rain.Of(p.RainMM)), fmt.Sprintf("%.1f", p.SunHours)}
		if v.hasWater() {
			row = append(row, measure.Digits(flow.Of(p.FlowM3S), 2))
		}
		row = append(row, kWh(p.PVWh))
		if v.hasWater() {
			row = append(row, kWh(p.HydroWh))
		}
		if generator {
			row = append(row, kWh(p.GeneratorWh))
		}
		t.Rows = append(t.Rows, append(row, kWh(p.DemandWh), kWh(p.UnmetWh), measure.Count(p.UnmetHours),
			kWh(p.DumpWh+p.OverDumpWh+p.CurtailedWh), fmt.Sprintf("%.0f %%", 100*p.MinSoC)))
	}
	return t
}

// kWh writes an energy for a table whose unit stands in its head: whole
// numbers, tenths below ten.
func kWh(wh float64) string {
	v := wh / 1000
	switch {
	case v == 0:
		return "0"
	case v < 9.95:
		return fmt.Sprintf("%.1f", v)
	}
	return measure.Count(int(v + 0.5))
}

func (v Year) bank() Section {
	y, s := v.Year, v.Summary
	bank := y.Bus.Bank
	charge := plots.ChargeThroughYear(plots.Charge{
		Start: y.In.Start, SoC: y.SoC, UnmetW: y.UnmetW, UnmetThresholdW: sim.UnmetThresholdW,
		FloorSoC: bank.FloorSoC, ComfortSoC: bank.ComfortSoC,
	})
	spells := sim.Spells(y)
	drawn := plots.Spells{
		Start: y.In.Start, Days: y.In.Hours() / 24,
		UsableWh: (1 - bank.FloorSoC) * bank.CapacityWh,
	}
	for _, d := range spells {
		drawn.Spells = append(drawn.Spells, plots.Spell{StartHour: d.Start, Hours: d.Hours, DepthWh: d.DepthWh, UnmetWh: d.UnmetWh})
	}
	sec := Section{
		ID:    "bank",
		Title: "The bank",
		Figures: []Figure{
			{charge, "hours.csv"},
			{plots.DeficitSpells(drawn), "deficits.csv"},
		},
	}
	if bank.CapacityWh <= 0 {
		return Section{ID: "bank", Title: "The bank", Text: []string{"The site has no bank: every hour stands on its own sources."}}
	}
	sec.Text = append(sec.Text, fmt.Sprintf("The bank holds %s between full and its floor at %s. Its lowest charge was %s; it was below the comfort charge of %s for %s.",
		measure.Energy(drawn.UsableWh), measure.Percent(bank.FloorSoC), measure.Percent(s.MinSoC), measure.Percent(bank.ComfortSoC),
		measure.Plural(s.LowHours, "hour", "hours")))
	if w := s.Wear; w.LifeUsed > 0 {
		text := fmt.Sprintf("The year took as much out of it as %s full cycles and used %s of its cycle life", measure.Digits(w.FullCycles, 3), measure.Percent(w.LifeUsed))
		if w.LifeYearsHigh > 0 {
			text += fmt.Sprintf("; at this pace it lasts some %s to %s years", measure.Digits(w.LifeYearsLow, 2), measure.Digits(w.LifeYearsHigh, 2))
		}
		text += "."
		if w.WeeksNotFull > 0 {
			text += fmt.Sprintf(" In %s it was never full.", measure.Plural(w.WeeksNotFull, "week", "weeks"))
		}
		sec.Text = append(sec.Text, text)
	}
	if len(spells) > 0 {
		sec.Tables = []Table{v.spellTable(spells)}
	}
	return sec
}

// spellTable lists the deepest deficit spells.
func (v Year) spellTable(spells []sim.Spell) Table {
	t := Table{
		Caption: "The deepest deficit spells",
		Head:    []string{"from", "days", "depth, kWh", "unmet, kWh", "unmet hours"},
		Note: fmt.Sprintf("%s in the year, most of them ordinary nights. Depth: how much a bank would have had to give to carry the spell.",
			measure.Plural(len(spells), "spell", "spells")),
		Data: "deficits.csv",
	}
	for _, d := range deepest(spells, 6) {
		t.Rows = append(t.Rows, []string{v.at(d.Start).Format("2 Jan 2006"), fmt.Sprintf("%.1f", float64(d.Hours)/24),
			kWh(d.DepthWh), kWh(d.UnmetWh), measure.Count(d.UnmetHours)})
	}
	return t
}

func (v Year) water() Section {
	y, s := v.Year, v.Summary
	in := y.In
	sec := Section{
		ID:    "water",
		Title: "Rain, creek and turbine",
		Figures: []Figure{{plots.RainAndCreek(plots.Water{
			Start: in.Start, RainMM: in.RainMM, FlowM3S: in.FlowM3S, TurbineM3S: in.TurbineM3S, CutoffM3S: in.CutoffM3S,
			OpenHour: in.OpenHour, CloseHour: in.CloseHour, DryStopHour: in.DryStopHour,
			FlowScale: plots.Scale(v.System.FlowAxis()), RainScale: plots.Scale(v.System.RainAxis()),
		}), "days.csv"}},
	}
	if in.TurbineM3S == nil {
		sec.Text = []string{"The creek is known, but the site has no turbine."}
		return sec
	}
	text := fmt.Sprintf("The turbine gave power on %s.", measure.Plural(s.HydroDays, "day", "days"))
	if in.OpenHour > 0 || in.CloseHour < in.Hours() {
		if in.CloseHour > in.OpenHour {
			text += fmt.Sprintf(" The valve is open from %s to %s.", v.day(in.OpenHour), v.day(in.CloseHour-1))
		} else {
			text += " The valve stays shut all year."
		}
	}
	if in.CutoffM3S > 0 {
		text += fmt.Sprintf(" The turbine stands still when less than %s is left for it (%s).", v.System.Flow(in.CutoffM3S), v.System.BucketFills(in.CutoffM3S))
	}
	sec.Text = append(sec.Text, text)
	if n := len(in.DryStopHour); n > 0 {
		text := fmt.Sprintf("%s: the water could not keep the pipe full, on ", measure.Plural(n, "dry-pipe stop", "dry-pipe stops"))
		for i, h := range in.DryStopHour {
			if i == 8 {
				text += fmt.Sprintf(" and %d more times", n-i)
				break
			}
			if i > 0 {
				text += ", "
			}
			text += v.at(h).Format("2 Jan")
		}
		sec.Text = append(sec.Text, text+".")
	}
	return sec
}

func (v Year) hours() Section {
	y := v.Year
	surplus := make([]float64, y.In.Hours())
	for h := range surplus {
		surplus[h] = y.DumpW[h] + y.OverDumpW[h] + y.CurtailedW[h]
	}
	sec := Section{
		ID:    "hours",
		Title: "Hour by hour",
		Figures: []Figure{{plots.HourMap(plots.Hours{
			Start: y.In.Start, UnmetW: y.UnmetW, SurplusW: surplus, UnmetThresholdW: sim.UnmetThresholdW}), "hours.csv"}},
	}
	if t := darkTable(v); len(t.Rows) > 0 {
		sec.Tables = []Table{t}
	}
	return sec
}

func (v Year) household() Section {
	sec := Section{ID: "household", Title: "The household"}
	if v.Household != nil {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.DayBySeason(*v.Household)})
	}
	if v.Uses != nil {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.WhoUsesWhat(v.Uses)})
		sec.Tables = append(sec.Tables, v.useTable())
	}
	return sec
}

// useTable tells who uses what, the largest first, flexible uses last.
func (v Year) useTable() Table {
	t := Table{
		Caption: "Who uses what",
		Head:    []string{"use", "kWh a year", "Wh a day", "share"},
		Note:    "At the plug or wire: what the inverter takes for itself comes on top.",
	}
	us := slices.Clone(v.Uses)
	total := 0.0
	for _, u := range us {
		if !u.Flexible {
			total += u.Wh
		}
	}
	slices.SortStableFunc(us, func(a, b plots.Use) int {
		if a.Flexible != b.Flexible {
			if a.Flexible {
				return 1
			}
			return -1
		}
		return cmp.Compare(b.Wh, a.Wh)
	})
	days := float64(v.Year.In.Hours()) / 24
	for _, u := range us {
		share := "flexible, at most"
		if !u.Flexible && total > 0 {
			share = measure.Percent(u.Wh / total)
		}
		t.Rows = append(t.Rows, []string{u.Name, kWh(u.Wh), measure.Count(int(u.Wh/days + 0.5)), share})
	}
	return t
}

func (v Year) hills() Section {
	sec := Section{ID: "hills", Title: "Sun and hills"}
	for i, s := range v.Skylines {
		c := plots.HorizonAndSun(s.Skyline)
		if i > 0 {
			c.Name = fmt.Sprintf("%s-%d", c.Name, i+1)
		}
		if s.Of != "" {
			c.Title += ", seen from " + s.Of
		}
		sec.Figures = append(sec.Figures, Figure{Chart: c})
	}
	return sec
}

func (v Year) meter() Section {
	sec := Section{ID: "meter", Title: "The meter beside the run"}
	for _, m := range v.Meters {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.MeterBeside(m)})
	}
	return sec
}

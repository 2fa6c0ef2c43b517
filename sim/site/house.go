package site

import (
	"fmt"
	"math"
	"strings"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
)

// house reads what the household has at the bus: [inverter], [loads], [dump]
// and [generator].
func (l *loader) house() {
	l.inverter()
	l.loads()
	d := orEmpty(l, l.Table("dump"), "dump")
	l.site.DumpW = d.Quantity("rated", measure.Powers, 0, 1e6, files.Or("0 W", "none given"))
	l.site.UsefulHeatWhDay = d.Quantity("useful_heat", measure.DailyEnergies, 0, 1e6, files.Optional)
	d.Done()
	if l.site.Hydro != nil && l.site.DumpW == 0 {
		l.warn("there is a turbine and no dump load: with a full bank it would run away; give [dump] rated, at least the machine's greatest output")
	}
	l.generator()
}

func (l *loader) inverter() {
	t := orEmpty(l, l.Table("inverter"), "inverter")
	inv := loads.Inverter{
		RatedW:  t.Quantity("rated", measure.Powers, 10, 1e6, files.Optional),
		IdleW:   t.Quantity("idle", measure.Powers, 0, 2000, files.Or("20 W", "measured at one off-grid house (Murphy 2012); data sheets tell 6 to 50 W")),
		Standby: t.Flag("standby"),
	}
	const example = `[["10 %", "88 %"], ["50 %", "94 %"], ["100 %", "91 %"]]: the share of the rating, and the efficiency there`
	inv.Efficiency = 0.885
	if raw, given := t.Look("efficiency"); given {
		if _, isList := raw.([]any); isList {
			xs, ys := t.Curve("efficiency", measure.Factors, measure.Fractions, [2]float64{0.001, 1}, [2]float64{0.05, 1}, example)
			for i := range xs {
				inv.Points = append(inv.Points, loads.EfficiencyPoint{Fraction: xs[i], Efficiency: ys[i]})
				inv.Efficiency = ys[i]
			}
			if inv.RatedW == 0 {
				t.Wrong("efficiency", "give rated = \"3 kW\" as well", "points of the rating need the rating")
			}
		} else {
			inv.Efficiency = t.Quantity("efficiency", measure.Fractions, 0.05, 1, files.Optional, "what comes out of what goes in: never more than 100 %")
		}
	} else {
		inv.Efficiency = t.Quantity("efficiency", measure.Fractions, 0.05, 1, files.Or("88.5 %", "beside the idle draw, measured at one off-grid house (Murphy 2012)"))
	}
	l.site.Inverter = inv
	t.Done()
}

func (l *loader) loads() {
	t := l.tableOf("loads", loadsFile)
	if t == nil {
		if !l.Given("loads") {
			l.MissingTable("loads", "write [loads] and below it file = \"loads.csv\", a row an appliance")
		}
		return
	}
	hasFile, hasHourly := t.Has("file"), t.Has("hourly")
	switch {
	case hasFile && hasHourly:
		t.Wrong("hourly", "keep file for a list of appliances or hourly for an own meter's record", "there are two sources of demand")
	case hasHourly:
		if file := t.File("hourly", files.Optional); file != "" {
			l.site.DemandW = l.demand(file)
		}
	default:
		if file := t.File("file", files.Or("loads.csv", "its usual name")); file != "" {
			l.site.Appliances = l.appliances(file)
		}
	}
	t.Done()
}

type applianceRow struct {
	Name     string       `csv:"name"`
	Watts    files.Number `csv:"watts"`
	Count    files.Number `csv:"count"`
	Hours    string       `csv:"hours"`
	Days     string       `csv:"days"`
	Months   string       `csv:"months"`
	Supply   string       `csv:"supply"`
	Flexible string       `csv:"flexible"`
}

const loadsFile = "loads.csv"

var applianceColumns = files.Columns{}.Must("name", "watts").May("count").Must("hours").May("days", "months", "supply", "flexible").Most(20_000, "a household has fewer; put like ones into one row and tell their count")

// appliances reads the household's list.
func (l *loader) appliances(file string) []loads.Appliance {
	rows, s, ok := files.Rows[applianceRow](l.Folder, file, "it holds a row an appliance: name, watts, count, hours, days, months, supply, flexible", applianceColumns)
	if s == nil {
		return nil
	}
	list := make([]loads.Appliance, len(rows))
	for i, r := range rows {
		a := loads.Appliance{Name: r.Name, Watts: float64(r.Watts), Count: 1}
		if s.Has["count"] {
			a.Count = float64(r.Count)
		}
		if strings.TrimSpace(a.Name) == "" {
			s.Wrong(i, "name", "", "the name is empty")
		}
		if a.Watts < 0 || a.Watts > 1e5 {
			s.Wrong(i, "watts", "what it draws while it runs, 0 or more", "%s is outside 0 to 100000 W", measure.Trim(a.Watts))
		}
		if a.Count < 0 || a.Count > 1e4 {
			s.Wrong(i, "count", "how many there are", "%s is outside 0 to 10000", measure.Trim(a.Count))
		}
		var err error
		var amount float64
		if a.HourFraction, amount, a.Weekly, err = parseHours(s.Decimals(r.Hours)); err != nil {
			s.Fault(i, "hours", err)
		}
		a.HoursPerDay = amount
		if a.Days, err = parseDays(r.Days); err != nil {
			s.Fault(i, "days", err)
		} else if a.Weekly && !overDays(&a, amount) {
			s.Wrong(i, "hours", "name more days, or fewer hours", "%s hours a week do not fit into its days", measure.Trim(amount))
		}
		if a.Months, err = parseMonths(r.Months); err != nil {
			s.Fault(i, "months", err)
		}
		switch strings.ToLower(r.Supply) {
		case "ac", "":
		case "dc":
			a.DC = true
		default:
			s.Wrong(i, "supply", "write ac (through the inverter) or dc (straight from the bus)", "%q is not known", files.Short(r.Supply))
		}
		switch strings.ToLower(r.Flexible) {
		case "no", "":
		case "yes":
			a.Flexible = true
		default:
			s.Wrong(i, "flexible", "write yes (it takes only what would be thrown away) or no", "%q is not known", files.Short(r.Flexible))
		}
		list[i] = a
	}
	if !ok {
		return nil
	}
	return list
}

func (l *loader) generator() {
	t := l.Table("generator")
	if t == nil {
		return
	}
	g := &sim.Generator{
		RatedW:      t.Quantity("rated", measure.Powers, 10, 1e6, files.Need("what it gives at the bus: rated = \"2 kW\"")),
		FuelLPerKWh: t.Quantity("fuel_per_kwh", measure.FuelPerEnergy, 0, 10, files.Or("0.48 L/kWh", "a measured 1.2 kW petrol set, beside what it burns at idle")),
		FuelIdleLH:  t.Quantity("fuel_idle", measure.FuelRates, 0, 50, files.Or("0.28 L/h", "a measured 1.2 kW petrol set")),
	}
	l.generatorCharge(t, g)
	minRun := t.Quantity("min_run", measure.HourCounts, 0, 24, files.Or("1 h", "an engine that never gets warm wears out"))
	if !math.IsNaN(minRun) {
		g.MinRunH = int(math.Ceil(minRun))
	}
	g.ServiceHours = t.Quantity("service_hours", measure.HourCounts, 1, 1e5, files.Optional)
	if t.Has("quiet_hours") {
		text := t.Text("quiet_hours", files.Optional)
		a, b, cut := strings.Cut(text, "-")
		from, ok1 := clockTime(strings.TrimSpace(a))
		to, ok2 := clockTime(strings.TrimSpace(b))
		if text != "" && (!cut || !ok1 || !ok2 || from != math.Trunc(from) || to != math.Trunc(to) || from == to) {
			t.Wrong("quiet_hours", "write whole hours from and to: quiet_hours = \"22-07\"", "%q is no span of hours", files.Short(text))
		} else {
			g.QuietFromH, g.QuietToH = int(from)%24, int(to)%24
		}
	}
	l.site.Generator = g
	t.Done()
}

func percentText(v float64) string { return fmt.Sprintf("%s %%", measure.Trim(100*v)) }

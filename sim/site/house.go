package site

import (
	"fmt"
	"math"
	"strings"

	"sunrill/loads"
	"sunrill/sim"
)

// house reads what the household has at the bus: [inverter], [loads], [dump]
// and [generator].
func (l *loader) house() {
	l.inverter()
	l.loads()
	d := orEmpty(l, l.table("dump"), "dump")
	l.site.DumpW = d.quantity("rated", Power, 0, 1e6, or("0 W", "none given"))
	l.site.UsefulHeatWhDay = d.quantity("useful_heat", EnergyPerDay, 0, 1e6, optional)
	d.done()
	if l.site.Hydro != nil && l.site.DumpW == 0 {
		l.warn("there is a turbine and no dump load: with a full bank it would run away; give [dump] rated, at least the machine's greatest output")
	}
	l.generator()
}

func (l *loader) inverter() {
	t := orEmpty(l, l.table("inverter"), "inverter")
	inv := loads.Inverter{
		RatedW:  t.quantity("rated", Power, 10, 1e6, optional),
		IdleW:   t.quantity("idle", Power, 0, 2000, or("20 W", "measured at one off-grid house (Murphy 2012); data sheets tell 6 to 50 W")),
		Standby: t.flag("standby"),
	}
	const example = `[["10 %", "88 %"], ["50 %", "94 %"], ["100 %", "91 %"]]: the share of the rating, and the efficiency there`
	inv.Efficiency = 0.885
	if raw, given := t.look("efficiency"); given {
		if _, isList := raw.([]any); isList {
			xs, ys := t.curve("efficiency", Factor, Share, [2]float64{0.001, 1}, [2]float64{0.05, 1}, example)
			for i := range xs {
				inv.Points = append(inv.Points, loads.EfficiencyPoint{Share: xs[i], Efficiency: ys[i]})
				inv.Efficiency = ys[i]
			}
			if inv.RatedW == 0 {
				t.wrong("efficiency", "give rated = \"3 kW\" as well", "points of the rating need the rating")
			}
		} else {
			inv.Efficiency = t.quantity("efficiency", Share, 0.05, 1, optional, "what comes out of what goes in: never more than 100 %")
		}
	} else {
		inv.Efficiency = t.quantity("efficiency", Share, 0.05, 1, or("88.5 %", "beside the idle draw, measured at one off-grid house (Murphy 2012)"))
	}
	l.site.Inverter = inv
	t.done()
}

func (l *loader) loads() {
	t := l.table("loads")
	if t == nil {
		if _, there := l.tree["loads"]; !there {
			l.missingTable("loads", "write [loads] and below it file = \"loads.csv\", a row an appliance")
		}
		return
	}
	hasFile, hasHourly := t.has("file"), t.has("hourly")
	switch {
	case hasFile && hasHourly:
		t.wrong("hourly", "keep file for a list of appliances or hourly for an own meter's record", "there are two sources of demand")
	case hasHourly:
		if file := t.file("hourly", optional); file != "" {
			l.site.DemandW = l.demand(file)
		}
	default:
		if file := t.file("file", or("loads.csv", "its usual name")); file != "" {
			l.site.Appliances = l.appliances(file)
		}
	}
	t.done()
}

type applianceRow struct {
	Name     string `csv:"name"`
	Watts    number `csv:"watts"`
	Count    number `csv:"count"`
	Hours    string `csv:"hours"`
	Days     string `csv:"days"`
	Months   string `csv:"months"`
	Supply   string `csv:"supply"`
	Flexible string `csv:"flexible"`
}

const loadsFile = "loads.csv"

var applianceColumns = []column{{"name", "", true}, {"watts", "", true}, {"count", "", false}, {"hours", "", true}, {"days", "", false}, {"months", "", false}, {"supply", "", false}, {"flexible", "", false}}

// appliances reads the household's list.
func (l *loader) appliances(file string) []loads.Appliance {
	rows, s, ok := readTable[applianceRow](l, file, "it holds a row an appliance: name, watts, count, hours, days, months, supply, flexible", applianceColumns)
	if s == nil {
		return nil
	}
	list := make([]loads.Appliance, len(rows))
	for i, r := range rows {
		a := loads.Appliance{Name: r.Name, Watts: float64(r.Watts), Count: 1}
		if s.has["count"] {
			a.Count = float64(r.Count)
		}
		if strings.TrimSpace(a.Name) == "" {
			s.wrong(i, "name", "", "the name is empty")
		}
		if a.Watts < 0 || a.Watts > 1e5 {
			s.wrong(i, "watts", "what it draws while it runs, 0 or more", "%s is outside 0 to 100000 W", trimNumber(a.Watts))
		}
		if a.Count < 0 || a.Count > 1e4 {
			s.wrong(i, "count", "how many there are", "%s is outside 0 to 10000", trimNumber(a.Count))
		}
		var err error
		var amount float64
		if a.HourShare, amount, a.Weekly, err = parseHours(r.Hours); err != nil {
			s.fault(i, "hours", err)
		}
		a.HoursPerDay = amount
		if a.Days, err = parseDays(r.Days); err != nil {
			s.fault(i, "days", err)
		} else if a.Weekly && !overDays(&a, amount) {
			s.wrong(i, "hours", "name more days, or fewer hours", "%s hours a week do not fit into its days", trimNumber(amount))
		}
		if a.Months, err = parseMonths(r.Months); err != nil {
			s.fault(i, "months", err)
		}
		switch strings.ToLower(r.Supply) {
		case "ac", "":
		case "dc":
			a.DC = true
		default:
			s.wrong(i, "supply", "write ac (through the inverter) or dc (straight from the bus)", "%q is not known", short(r.Supply))
		}
		switch strings.ToLower(r.Flexible) {
		case "no", "":
		case "yes":
			a.Flexible = true
		default:
			s.wrong(i, "flexible", "write yes (it takes only what would be thrown away) or no", "%q is not known", short(r.Flexible))
		}
		list[i] = a
	}
	if !ok {
		return nil
	}
	return list
}

func (l *loader) generator() {
	t := l.table("generator")
	if t == nil {
		return
	}
	g := &sim.Generator{
		RatedW:      t.quantity("rated", Power, 10, 1e6, need("what it gives at the bus: rated = \"2 kW\"")),
		FuelLPerKWh: t.quantity("fuel_per_kwh", FuelPerEnergy, 0, 10, or("0.48 L/kWh", "a measured 1.2 kW petrol set, beside what it burns at idle")),
		FuelIdleLH:  t.quantity("fuel_idle", FuelRate, 0, 50, or("0.28 L/h", "a measured 1.2 kW petrol set")),
	}
	l.generatorCharge(t, g)
	minRun := t.quantity("min_run", Hours, 0, 24, or("1 h", "an engine that never gets warm wears out"))
	if !math.IsNaN(minRun) {
		g.MinRunH = int(math.Ceil(minRun))
	}
	g.ServiceHours = t.quantity("service_hours", Hours, 1, 1e5, optional)
	if t.has("quiet_hours") {
		text := t.text("quiet_hours", optional)
		a, b, cut := strings.Cut(text, "-")
		from, ok1 := clockTime(strings.TrimSpace(a))
		to, ok2 := clockTime(strings.TrimSpace(b))
		if text != "" && (!cut || !ok1 || !ok2 || from != math.Trunc(from) || to != math.Trunc(to) || from == to) {
			t.wrong("quiet_hours", "write whole hours from and to: quiet_hours = \"22-07\"", "%q is no span of hours", short(text))
		} else {
			g.QuietFromH, g.QuietToH = int(from)%24, int(to)%24
		}
	}
	l.site.Generator = g
	t.done()
}

func percentText(v float64) string { return fmt.Sprintf("%s %%", trimNumber(100*v)) }

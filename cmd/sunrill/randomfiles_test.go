package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// unit is a way to write a quantity: SI = written × factor + offset.
type unit struct {
	name           string
	factor, offset float64
}

// twoUnits are the units of a quantity in the two systems. The factors are the
// definitions of 1959 (inch, foot, pound) and of the US gallon, 231 cubic
// inches.
type twoUnits struct{ metric, us unit }

var (
	inMetres   = twoUnits{unit{"m", 1, 0}, unit{"ft", 0.3048, 0}}
	inBores    = twoUnits{unit{"mm", 1e-3, 0}, unit{"in", 0.0254, 0}}
	inDepths   = twoUnits{unit{"mm", 1, 0}, unit{"in", 25.4, 0}}
	inRates    = twoUnits{unit{"mm/day", 1, 0}, unit{"in/day", 25.4, 0}}
	inFlows    = twoUnits{unit{"L/s", 1e-3, 0}, unit{"gal/min", 231 * 0.0254 * 0.0254 * 0.0254 / 60, 0}}
	inHouseUse = twoUnits{unit{"L/day", 1e-3 / 86400, 0}, unit{"gal/day", 231 * 0.0254 * 0.0254 * 0.0254 / 86400, 0}}
	inVolumes  = twoUnits{unit{"L", 1e-3, 0}, unit{"gal", 231 * 0.0254 * 0.0254 * 0.0254, 0}}
	inAreas    = twoUnits{unit{"ha", 1e4, 0}, unit{"acre", 43560 * 0.3048 * 0.3048, 0}}
	inDegrees  = twoUnits{unit{"C", 1, 0}, unit{"F", 1 / 1.8, -32 / 1.8}}
	inPressure = twoUnits{unit{"bar", 1e5, 0}, unit{"psi", 0.45359237 * 9.80665 / (0.0254 * 0.0254), 0}}
	inPerK     = twoUnits{unit{"%/K", 1e-2, 0}, unit{"%/F", 1.8e-2, 0}}
	inWatts    = twoUnits{unit{"W", 1, 0}, unit{"kW", 1000, 0}}
	inWh       = twoUnits{unit{"kWh", 1000, 0}, unit{"Wh", 1, 0}}
	inPercent  = twoUnits{unit{"%", 1e-2, 0}, unit{"%", 1e-2, 0}}
	inAngles   = twoUnits{unit{"deg", 1, 0}, unit{"deg", 1, 0}}
	inVolts    = twoUnits{unit{"V", 1, 0}, unit{"V", 1, 0}}
)

func (b twoUnits) of(us bool) unit {
	if us {
		return b.us
	}
	return b.metric
}

func (u unit) number(si float64) string {
	return strconv.FormatFloat((si-u.offset)/u.factor, 'g', -1, 64)
}

// description writes site.toml.
func (d *drawnSite) description(us bool) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	q := func(key string, si float64, in twoUnits) {
		line("%s = %q", key, in.of(us).number(si)+" "+in.of(us).name)
	}
	maybe := func(key string, si float64, in twoUnits) {
		if si != 0 {
			q(key, si, in)
		}
	}
	line("name = \"Drawn at random\"\nlatitude = %v\nlongitude = %v\nutc_offset = %v", d.latDeg, d.lonDeg, d.utcH)
	q("elevation", d.elevationM, inMetres)
	if us {
		line("units = \"us\"")
	}
	line("[sun]\nwet_day_share = %v\nvariability = %v\nseed = %d", d.wetDayShare, d.variability, d.seed)
	if d.onPanel && len(d.arrays) > 0 {
		line("surface = \"panel\"")
	}
	if d.horizon != nil {
		line("horizon = \"horizon.csv\"")
	}
	line("[rain]")
	for _, a := range d.arrays {
		line("[[array]]")
		q("power", a.powerW, inWatts)
		q("tilt", a.tiltDeg, inAngles)
		q("facing", a.facingDeg, inAngles)
		q("losses", a.losses, inPercent)
		q("noct", a.noctC, inDegrees)
		q("temp_coefficient", a.coefPerK, inPerK)
		maybe("controller_limit", a.limitW, inWatts)
	}
	if w := d.water; w != nil {
		line("[stream]\nmodel = %q", w.model)
		switch w.model {
		case "curve":
			q("soil_depth", w.soilMM, inDepths)
			line("quick_share = %v\nquick_days = %v\nrecession_days = %v\nexponent = %v", w.quickShare, w.quickDays, w.recessionDays, w.exponent)
			q("floor", w.floorM3S, inFlows)
			q("gain", w.gainM3S, inFlows)
			q("area", w.areaM2, inAreas)
		case "catchment":
			q("area", w.areaM2, inAreas)
			q("x1", w.x1MM, inDepths)
			q("x2", w.x2MMD, inRates)
			q("x3", w.x3MM, inDepths)
			line("x4 = %v", w.x4Days)
		}
		line("[intake]")
		q("residual_flow", w.residualM3S, inFlows)
		q("house_water", w.houseM3S, inHouseUse)
		maybe("limit", w.limit, inFlows)
		if w.forebayM3 > 0 {
			line("[forebay]\nrestart = %v", w.restart)
			q("volume", w.forebayM3, inVolumes)
		}
		line("[penstock]\nminor_loss = %v", w.minor)
		q("gross_head", w.headM, inMetres)
		q("length", w.lengthM, inMetres)
		q("bore", w.boreM, inBores)
		q("pressure_rating", w.ratingPa, inPressure)
		q("water_temp", w.waterC, inDegrees)
		line("[turbine]\nkind = %q", w.kind)
		if w.nozzlesM != nil {
			var list []string
			for _, n := range w.nozzlesM {
				list = append(list, strconv.Quote(inBores.of(us).number(n)+" "+inBores.of(us).name))
			}
			line("nozzles = [%s]", strings.Join(list, ", "))
		}
		maybe("design_flow", w.designM3S, inFlows)
		maybe("cutoff_flow", w.cutoffM3S, inFlows)
		maybe("max_power", w.maxW, inWatts)
		maybe("overall", w.overall, inPercent)
		if w.open != nil {
			line("open = %q\nclose = %q", w.open.Format("01-02"), w.close.Format("01-02"))
		}
		line("[visits]\nevery = %q\nafter_stop = %v", w.every, w.afterStop)
		if w.cableM > 0 {
			line("[cable]\nsection = \"%v mm2\"", w.sectionM2*1e6)
			q("length", w.cableM, inMetres)
			q("voltage", w.cableVoltsV, inVolts)
		}
	}
	k := d.bank
	line("[bank]\nchemistry = %q\nmodel = %q\nplace = %q\nself_discharge = \"%v %%/month\"", k.chemistry, k.model, k.place, 100*k.leakPerMonth)
	q("capacity", k.capacityWh, inWh)
	q("voltage", k.voltageV, inVolts)
	q("comfort_soc", k.soc, inPercent)
	q("start_soc", k.start, inPercent)
	maybe("reconnect", k.reconnect, inPercent)
	maybe("max_charge", k.chargeW, inWatts)
	if k.place == "indoors" {
		q("indoor_temp", k.indoorC, inDegrees)
	}
	line("[inverter]")
	maybe("rated", d.inverterW, inWatts)
	q("idle", d.idleW, inWatts)
	q("efficiency", d.inverterShare, inPercent)
	line("[loads]")
	if d.demandW != nil {
		line("hourly = \"demand.csv\"")
	}
	line("[dump]\nuseful_heat = \"%v Wh/day\"", d.heatWh)
	q("rated", d.dumpW, inWatts)
	if d.generatorW > 0 {
		line("[generator]\nmin_run = \"%d h\"", d.generatorRunH)
		q("rated", d.generatorW, inWatts)
		q("start_soc", d.generatorStart, inPercent)
		q("stop_soc", d.generatorStop, inPercent)
	}
	if d.costs {
		pipe, fuel := "penstock_per_m = 9", "fuel_per_l = 1.8"
		if us {
			pipe, fuel = fmt.Sprintf("penstock_per_ft = %v", 9*0.3048), fmt.Sprintf("fuel_per_gal = %v", 1.8*231*0.254*0.254*0.254)
		}
		line("[costs]\ncurrency = \"EUR\"\npanel_per_kw = 900\nbank_per_kwh = 400\n%s\nturbine = 2600\nworks = 1800\ninverter = 1100\ngenerator = 900\n%s", pipe, fuel)
	}
	return b.String()
}

// write lays the folder out.
func (d *drawnSite) write(dir string, us bool) error {
	files := map[string]string{"site.toml": d.description(us)}
	var b strings.Builder
	end := func(name string) {
		files[name] = b.String()
		b.Reset()
	}
	temp, rain, flow := inDegrees.of(us), inDepths.of(us), inFlows.of(us)
	suffix := map[string]string{"C": "c", "F": "f", "mm": "mm", "in": "in", "L/s": "lps", "gal/min": "gpm"}
	b.WriteString("month,sun_hours,temp_" + suffix[temp.name] + "\n")
	for m := range 12 {
		fmt.Fprintf(&b, "%d,%v,%s\n", m+1, d.sunHours[m], temp.number(d.tC[m]))
	}
	end("sun.csv")
	b.WriteString("date,rain_" + suffix[rain.name])
	if d.tMinC != nil {
		b.WriteString(",tmin_" + suffix[temp.name] + ",tmax_" + suffix[temp.name])
	}
	b.WriteString("\n")
	for i, mm := range d.rainMM {
		b.WriteString(d.start.AddDate(0, 0, i).Format("2006-01-02") + "," + rain.number(mm))
		if d.tMinC != nil {
			b.WriteString("," + temp.number(d.tMinC[i]) + "," + temp.number(d.tMaxC[i]))
		}
		b.WriteString("\n")
	}
	end("rain.csv")
	if d.horizon != nil {
		b.WriteString("bearing_deg;height_deg\n")
		for _, p := range d.horizon {
			fmt.Fprintf(&b, "%v;%s\n", p[0], strings.Replace(strconv.FormatFloat(p[1], 'f', -1, 64), ".", ",", 1))
		}
		end("horizon.csv")
	}
	if w := d.water; w != nil && w.flowM3S != nil {
		b.WriteString("date,flow_" + suffix[flow.name] + "\n")
		for i, q := range w.flowM3S {
			b.WriteString(d.start.AddDate(0, 0, i).Format("2006-01-02") + "," + flow.number(q) + "\n")
		}
		end("flow.csv")
	}
	if d.demandW != nil {
		b.WriteString("time,demand_w\n")
		for h, w := range d.demandW {
			fmt.Fprintf(&b, "%s,%v\n", d.start.Add(time.Duration(h)*time.Hour).Format("2006-01-02 15:04"), w)
		}
		end("demand.csv")
	}
	b.WriteString("name,watts,count,hours,days,months,supply,flexible\n")
	for i, a := range d.appliances {
		name, months, supply, flexible := fmt.Sprintf("appliance %d", i+1), "all", "ac", "no"
		if a.nameIsQuotation {
			name = fmt.Sprintf("\"the \"\"new\"\" one, %d\"", i+1)
		}
		if a.fromM > 0 {
			months = fmt.Sprintf("%02d-%02d", a.fromM, a.toM)
		}
		if a.dc {
			supply = "dc"
		}
		if a.isFlexible {
			flexible = "yes"
		}
		fmt.Fprintf(&b, "%s,%v,%v,%s,%s,%s,%s,%s\n", name, a.watts, a.count, a.hours, a.days, months, supply, flexible)
	}
	end("loads.csv")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			return err
		}
	}
	return nil
}

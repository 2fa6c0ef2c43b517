package site

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sunrill/sources/hydro"
)

const (
	nothing  = 0
	anything = 1e12
)

// water reads the creek and what is built along it, from [stream] to [cable].
func (l *loader) water() {
	stream := l.table("stream")
	intake, forebay := l.table("intake"), l.table("forebay")
	penstock, turbine, cable := l.table("penstock"), l.table("turbine"), l.table("cable")
	_, thereStream := l.tree["stream"]
	_, therePenstock := l.tree["penstock"]
	_, thereTurbine := l.tree["turbine"]
	if stream != nil {
		l.stream(stream)
	}
	if penstock == nil && turbine == nil && intake == nil && forebay == nil && cable == nil {
		return
	}
	if !thereStream {
		l.missingTable("stream", "the turbine needs a creek: [stream] with model = \"curve\", \"catchment\" or \"record\"")
	}
	if !therePenstock {
		l.missingTable("penstock", "the turbine needs its pipe: gross_head, length and bore")
	}
	if !thereTurbine {
		l.missingTable("turbine", "the pipe needs its turbine: nozzles = [\"8 mm\"] or design_flow = \"4 L/s\"")
	}
	faults := len(l.problems)
	p := &hydro.Plant{}
	p.Intake = l.intake(intake)
	p.Forebay = l.forebay(forebay)
	if penstock != nil {
		p.Penstock = l.penstock(penstock)
	}
	if turbine != nil {
		p.Turbine = l.turbine(turbine, p.Penstock)
	}
	p.Cable = l.cable(cable, turbine)
	if len(l.problems) == faults && p.Turbine.MaxPowerW > 0 && len(p.Turbine.NozzlesM) > 0 {
		if m := p.Prepare(); len(m.Sets) == 0 {
			turbine.wrong("max_power", "jets have no governor: use a smaller nozzle, or a machine that bears more and a max_power that says so",
				"the smallest nozzle alone gives %.0f W", m.TooStrong[0].UnlimitedW)
		}
	}
	l.site.HouseWaterAsM3S = p.Intake.HouseWaterM3S
	if thereStream && therePenstock && thereTurbine {
		l.site.Hydro = p
	}
}

func orEmpty(l *loader, t *table, path string) *table {
	if t == nil {
		return &table{l: l, path: path}
	}
	return t
}

func (l *loader) intake(t *table) hydro.Intake {
	t = orEmpty(l, t, "intake")
	in := hydro.Intake{
		ResidualM3S:   t.quantity("residual_flow", Flow, nothing, 100, or("0 L/s", "none given; the licence or the creek's life may ask for one")),
		HouseWaterM3S: t.quantity("house_water", Flow, nothing, 1, or("0 L/s", "none given: the house has other water")),
		LimitM3S:      t.quantity("limit", Flow, 1e-6, 100, optional),
	}
	t.done()
	return in
}

func (l *loader) forebay(t *table) hydro.Forebay {
	given := t != nil
	t = orEmpty(l, t, "forebay")
	f := hydro.Forebay{}
	if given {
		f.VolumeM3 = t.quantity("volume", Volume, nothing, 1e5, need("the live volume, between overflow and outlet: volume = \"800 L\""))
		f.RestartShare = t.quantity("restart", Factor, 0, 1, or(trimNumber(100*hydro.DefaultRestartShare)+" %", "of the volume: judgement"))
	} else {
		t.has("volume")
		t.has("restart")
		l.byDefault("forebay.volume", "0 L", "none given: the pipe starts in the creek")
		f.RestartShare = hydro.DefaultRestartShare
	}
	t.done()
	return f
}

// materialNames are the names that a pipe's material may have.
func materialNames() (names []string) {
	for _, m := range hydro.Materials() {
		names = append(names, m.Name)
	}
	return append(names, "hdpe", "galvanized")
}

func (l *loader) penstock(t *table) hydro.Penstock {
	p := hydro.Penstock{
		GrossHeadM: t.quantity("gross_head", Length, 0.3, 2000, need("from the water at the intake down to the nozzle: gross_head = \"42 m\""), "the height is measured downwards from the intake and is above 0"),
		LengthM:    t.quantity("length", Length, 0.5, 5e4, need("of the pipe along the ground: length = \"180 m\"")),
		BoreM:      t.quantity("bore", Length, 4e-3, 3, need("the inside diameter: bore = \"75 mm\""), "the inside diameter of the pipe"),
	}
	name := t.choice("material", materialNames(), or("pe", "the usual pipe at a homestead"))
	material, _ := hydro.MaterialOf(name)
	p.Material = material.Name
	if t.has("roughness") {
		p.RoughnessM = t.quantity("roughness", Length, 0, 0.02, optional)
		if p.RoughnessM > hydro.MostRoughness*p.BoreM {
			t.wrong("roughness", "the height of the bumps on the wall: plastic 0.0015 mm, steel 0.05 mm, wood 0.2 to 0.9 mm", "is more than a twentieth of the bore, beyond what the friction formula knows")
		}
	} else if material.Name != "" {
		p.RoughnessM = material.RoughnessM
		l.byDefault(t.key("roughness"), trimNumber(material.RoughnessM*1e3)+" mm", "new pipe of "+material.Name+", handbooks of fluid mechanics")
	}
	p.MinorLoss = t.number("minor_loss", 0, 1000, or(trimNumber(hydro.DefaultMinorLoss), "flush entrance, a full-bore valve, some bends: the sum of their K"))
	p.RatingPa = t.quantity("pressure_rating", Pressure, 1e4, 1e8, optional)
	p.CloseTimeS = t.quantity("close_time", Duration, 0, 3600, or("10 s", "a valve turned slowly by hand"))
	p.WaterC = t.quantity("water_temp", Temperature, 0, 40, or(trimNumber(hydro.DefaultWaterC)+" C", "a creek in the wet season"))
	p.WallM = t.quantity("wall", Length, 2e-4, 0.5, optional)
	if p.LengthM < p.GrossHeadM {
		t.wrong("length", "the pipe is measured along the ground", "the pipe is shorter than the head is high")
	}
	if p.WallM > p.BoreM {
		t.wrong("wall", "", "the wall is thicker than the bore is wide")
	}
	t.done()
	return p
}

func (l *loader) turbine(t *table, pipe hydro.Penstock) hydro.Turbine {
	var kinds []string
	for _, k := range hydro.Kinds() {
		kinds = append(kinds, k.Name)
	}
	m := hydro.Turbine{Kind: t.choice("kind", kinds, or("pelton", "the usual machine for a head above 20 m"))}
	kind, _ := hydro.KindOf(m.Kind)
	l.nozzles(t, &m, pipe)
	m.NozzleCoefficient = t.quantity("nozzle_coefficient", Factor, 0.4, 1, or(trimNumber(hydro.DefaultNozzleCoefficient), "a round converging nozzle, on the area of its opening; from memory"))
	cutoff := or("0 L/s", "the smallest nozzle decides")
	if m.DesignFlowM3S > 0 {
		cutoff = or(trimNumber(kind.LeastShare*m.DesignFlowM3S*1e3)+" L/s", trimNumber(100*kind.LeastShare)+" % of the design flow: the least that the kind runs on for long")
	}
	m.CutoffM3S = t.quantity("cutoff_flow", Flow, nothing, 100, cutoff)
	m.MaxPowerW = t.quantity("max_power", Power, 1, 1e6, optional)
	switch t.choice("adjust", []string{"daily", "weekly", "never"}, or("weekly", "somebody walks up once a week")) {
	case "daily":
		m.Adjust = hydro.Daily
	case "never":
		m.Adjust = hydro.Never
	default:
		m.Adjust = hydro.Weekly
	}
	if t.has("overall") {
		m.Overall = t.quantity("overall", Share, 0.01, 1, optional)
		for _, key := range []string{"efficiency", "alternator_efficiency"} {
			if t.has(key) {
				t.wrong(key, "overall stands for runner, alternator and cable together: keep one way to say it", "is given beside overall")
			}
		}
		if m.Overall < 0.1 || m.Overall > 0.85 {
			l.warn("turbine.overall of %s is unusual: household sets turn 40 to 75 %% of the water's power into electricity", Share.units[0].format(m.Overall))
		}
	} else {
		if t.has("efficiency") {
			xs, ys := t.curve("efficiency", Factor, Share, [2]float64{0, 1}, [2]float64{0, 1}, `[["20 %", "55 %"], ["100 %", "70 %"]]: the share of full jet flow, and the runner's efficiency there`)
			for i := range xs {
				m.Efficiency = append(m.Efficiency, hydro.Point{Share: xs[i], Efficiency: ys[i]})
			}
		} else if m.Kind != "" {
			l.byDefault(t.key("efficiency"), fmt.Sprintf("table of the kind, %.0f %% at best", 100*kind.Peak), kind.PeakSource)
		}
		m.AlternatorShare = t.quantity("alternator_efficiency", Share, 0.2, 1, or(trimNumber(100*hydro.DefaultAlternatorShare)+" %", "a small permanent-magnet alternator and its rectifier at full load; from memory"))
	}
	if d, ok := t.day("open", optional); ok {
		l.site.Open = &d
	}
	if d, ok := t.day("close", optional); ok {
		l.site.Close = &d
	}
	if (l.site.Open == nil) != (l.site.Close == nil) && t.has("open") != t.has("close") {
		given, lacks := "open", "close"
		if t.has("close") {
			given, lacks = lacks, given
		}
		t.wrong(given, "give both dates, or neither: then it runs whenever the flow allows", "stands there without %s", lacks)
	}
	if l.site.Open != nil && l.site.Close != nil && *l.site.Open == *l.site.Close {
		t.wrong("close", "give another day, or leave both out: then it runs whenever the flow allows", "is the day of opening")
	}
	t.done()
	return m
}

// nozzles reads the set of nozzles, or the design flow of a spear valve.
func (l *loader) nozzles(t *table, m *hydro.Turbine, pipe hydro.Penstock) {
	hasNozzles, hasFlow := t.has("nozzles"), t.has("design_flow")
	switch {
	case hasNozzles && hasFlow:
		t.wrong("design_flow", "nozzles = [...] for fixed ones, design_flow for a spear valve", "is given beside nozzles")
	case hasFlow:
		m.DesignFlowM3S = t.quantity("design_flow", Flow, 1e-6, 100, optional)
	case !hasNozzles:
		t.missing("nozzles", need("the bores of the fixed nozzles, nozzles = [\"7 mm\", \"9 mm\"], or design_flow = \"4 L/s\" for a spear valve"))
	}
	items := t.list("nozzles", "write the bores, [\"7 mm\", \"9 mm\"]")
	if len(items) > 12 {
		t.wrong("nozzles", "a runner has six at the most", "has %d nozzles", len(items))
		return
	}
	for i, item := range items {
		path := joinPath(t.key("nozzles"), strconv.Itoa(i))
		d, _ := l.quantityAt(path, item, Length, 1e-3, 0.5)
		if d >= pipe.BoreM && pipe.BoreM > 0 {
			l.wrong(path, "the jet is far narrower than the pipe that feeds it", "the nozzle is as wide as the pipe or wider")
		}
		m.NozzlesM = append(m.NozzlesM, d)
	}
}

func (l *loader) cable(t *table, turbine *table) hydro.Cable {
	given := t != nil
	t = orEmpty(l, t, "cable")
	c := hydro.Cable{}
	if !given {
		overall := turbine != nil && turbine.has("overall")
		for _, key := range []string{"length", "section", "gauge", "voltage"} {
			t.has(key)
		}
		if !overall {
			l.byDefault("cable.length", "0 m", "none given: no loss between turbine and bus")
		}
		t.done()
		return c
	}
	c.LengthM = t.quantity("length", Length, 0, 2e4, need("one way, from the turbine to the bus: length = \"60 m\""))
	c.VoltageV = t.quantity("voltage", Voltage, 6, 2000, optional)
	hasSection, hasGauge := t.has("section"), t.has("gauge")
	switch {
	case hasSection && hasGauge:
		t.wrong("gauge", "keep one of them", "is given beside section")
	case hasSection:
		c.SectionM2 = t.quantity("section", Section, 0.2e-6, 2e-3, optional)
	case hasGauge:
		c.SectionM2 = t.gauge("gauge")
	case !(c.LengthM == 0):
		t.missing("section", need("of one wire: section = \"25 mm2\" or gauge = \"2 AWG\""))
	}
	t.done()
	return c
}

// gauge reads a wire size, "2 AWG", "2/0 AWG" or "2".
func (t *table) gauge(key string) float64 {
	raw, _ := t.look(key)
	if s, isText := raw.(string); isText && !strings.ContainsAny(strings.ToLower(s), "gm") {
		raw = s + " AWG"
	} else if n, isInt := raw.(int64); isInt {
		raw = strconv.FormatInt(n, 10) + " AWG"
	}
	if s, isText := raw.(string); isText {
		if a, ok := gauge(s); ok {
			return a
		}
	}
	t.wrong(key, "from 40 to 0, then 1/0 to 4/0: gauge = \"2 AWG\", or section = \"35 mm2\"", "is no wire gauge")
	return math.NaN()
}

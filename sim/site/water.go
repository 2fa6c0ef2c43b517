package site

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

const (
	nothing  = 0
	anything = 1e12
)

// water reads the creek and what is built along it, from [stream] to [cable],
// and who looks after it.
func (l *loader) water() {
	stream := l.Table("stream")
	intake, forebay := l.Table("intake"), l.Table("forebay")
	penstock, turbine, cable := l.Table("penstock"), l.Table("turbine"), l.Table("cable")
	thereStream := l.Given("stream")
	therePenstock := l.Given("penstock")
	thereTurbine := l.Given("turbine")
	if stream != nil {
		l.stream(stream)
	} else if l.Broken {
		l.gaugings()
	}
	visits := l.Table("visits")
	if penstock == nil && turbine == nil && intake == nil && forebay == nil && cable == nil && visits == nil {
		return
	}
	if !thereStream {
		l.MissingTable("stream", "the turbine needs a creek: [stream] with model = \"curve\", \"catchment\" or \"record\"")
	}
	if !therePenstock {
		l.MissingTable("penstock", "the turbine needs its pipe: gross_head, length and bore")
	}
	if !thereTurbine {
		l.MissingTable("turbine", "the pipe needs its turbine: nozzles = [\"8 mm\"] or design_flow = \"4 L/s\"")
	}
	faults := l.Told()
	p := &hydro.Plant{}
	p.Intake = l.intake(intake)
	if full := l.feeder(intake); full > 0 && (p.Intake.LimitM3S == 0 || full < p.Intake.LimitM3S) {
		p.Intake.LimitM3S = full
	}
	p.Forebay = l.forebay(forebay)
	if penstock != nil {
		p.Penstock = l.penstock(penstock)
	}
	p.Visits = l.visits(visits, turbine)
	if turbine != nil {
		p.Turbine = l.turbine(turbine, p.Penstock)
	}
	p.Cable = l.cable(cable, turbine)
	if l.Told() == faults && p.Turbine.MaxPowerW > 0 && len(p.Turbine.NozzlesM) > 0 {
		if m := p.Prepare(); len(m.Sets) == 0 {
			turbine.Wrong("max_power", "jets have no governor: use a smaller nozzle, or a machine that bears more and a max_power that says so",
				"the smallest nozzle alone gives %.0f W", m.TooStrong[0].UnlimitedW)
		}
	}
	l.site.HouseWaterAsM3S = p.Intake.HouseWaterM3S
	if thereStream && therePenstock && thereTurbine {
		l.site.Hydro = p
	}
}

func orEmpty(l *loader, t *files.Table, path string) *files.Table {
	if t == nil {
		return l.NoTable(path)
	}
	return t
}

func (l *loader) intake(t *files.Table) hydro.Intake {
	t = orEmpty(l, t, "intake")
	in := hydro.Intake{
		ResidualM3S:   t.Quantity("residual_flow", measure.Flows, nothing, 100, files.Or("0 L/s", "none given; the licence or the creek's life may ask for one")),
		HouseWaterM3S: t.Quantity("house_water", measure.Flows, nothing, 1, files.Or("0 L/s", "none given: the house has other water")),
		LimitM3S:      t.Quantity("limit", measure.Flows, 1e-6, 100, files.Optional),
	}
	t.Done()
	return in
}

func (l *loader) forebay(t *files.Table) hydro.Forebay {
	given := t != nil
	t = orEmpty(l, t, "forebay")
	f := hydro.Forebay{}
	if given {
		f.VolumeM3 = t.Quantity("volume", measure.Volumes, nothing, 1e5, files.Need("the live volume, between overflow and outlet: volume = \"800 L\""))
		f.RestartFraction = t.Quantity("restart", measure.Factors, 0, 1, files.Or(measure.Trim(100*hydro.DefaultRestartFraction)+" %", "of the volume: judgement"))
	} else {
		t.Has("volume")
		t.Has("restart")
		l.ByDefaultOf("forebay.volume", measure.Volumes, "0 L", "none given: the pipe starts in the creek")
		f.RestartFraction = hydro.DefaultRestartFraction
	}
	t.Done()
	return f
}

// materialNames are the names that a pipe's material may have.
func materialNames() (names []string) {
	for _, m := range hydro.Materials() {
		names = append(names, m.Name)
	}
	return append(names, "hdpe", "galvanized")
}

func (l *loader) penstock(t *files.Table) hydro.Penstock {
	p := hydro.Penstock{
		GrossHeadM: t.Quantity("gross_head", measure.Heads, 0.3, 2000, files.Need("from the water at the intake down to the nozzle: gross_head = \"42 m\", or what a gauge at the foot of the full pipe reads with the valve shut: \"60 psi\", \"4.1 bar\""), "the height is measured downwards from the intake and is above 0"),
	}
	if reaches := l.reaches(t); reaches != nil {
		p = p.InReaches(reaches)
	} else if !t.Has("reaches") {
		p.LengthM = t.Quantity("length", measure.Lengths, 0.5, 5e4, files.Need("of the pipe along the ground: length = \"180 m\""))
		p.BoreM = t.Quantity("bore", measure.Lengths, 4e-3, 3, files.Need("the inside diameter: bore = \"75 mm\""), "the inside diameter of the pipe")
	}
	name := t.Choice("material", materialNames(), files.Or("pe", "the usual pipe at a homestead"))
	material, _ := hydro.MaterialOf(name)
	p.Material = material.Name
	if t.Has("roughness") {
		p.RoughnessM = t.Quantity("roughness", measure.Lengths, 0, 0.02, files.Optional)
		if p.RoughnessM > hydro.MaxRoughness*p.BoreM {
			t.Wrong("roughness", "the height of the bumps on the wall: plastic 0.0015 mm, steel 0.05 mm, wood 0.2 to 0.9 mm", "is more than a twentieth of the bore, beyond what the friction formula knows")
		}
	} else if material.Name != "" {
		p.RoughnessM = material.RoughnessM
		l.ByDefaultOf(t.Key("roughness"), measure.Lengths, measure.Trim(material.RoughnessM*1e3)+" mm", "new pipe of "+material.Name+", handbooks of fluid mechanics")
	}
	p.MinorLoss = l.minorLoss(t)
	p.RatingPa = t.Quantity("pressure_rating", measure.Pressures, 1e4, 1e8, files.Optional)
	p.CloseTimeS = t.Quantity("close_time", measure.Durations, 0, 3600, files.Or("10 s", "a valve turned slowly by hand"))
	p.WaterC = t.Quantity("water_temp", measure.Temperatures, 0, 40, files.Or(measure.Trim(hydro.DefaultWaterC)+" C", "a creek in the wet season"))
	p.WallM = t.Quantity("wall", measure.Lengths, 2e-4, 0.5, files.Optional)
	if key := map[bool]string{true: "reaches", false: "length"}[p.Reaches != nil]; p.LengthM < p.GrossHeadM {
		t.Wrong(key, "the pipe is measured along the ground", "the pipe is shorter than the head is high")
	}
	if p.WallM > p.BoreM {
		t.Wrong("wall", "", "the wall is thicker than the bore is wide")
	}
	t.Done()
	return p
}

func (l *loader) turbine(t *files.Table, pipe hydro.Penstock) hydro.Turbine {
	var kinds []string
	for _, k := range hydro.Kinds() {
		kinds = append(kinds, k.Name)
	}
	m := hydro.Turbine{Kind: t.Choice("kind", kinds, files.Or("pelton", "the usual machine for a head above {20 m}"))}
	kind, _ := hydro.KindOf(m.Kind)
	l.nozzles(t, &m, pipe)
	m.NozzleCoefficient = t.Quantity("nozzle_coefficient", measure.Factors, 0.4, 1, files.Or(measure.Trim(hydro.DefaultNozzleCoefficient), "a round converging nozzle, on the area of its opening; from memory"))
	cutoff := files.Or("0 L/s", "the smallest nozzle decides")
	if m.DesignFlowM3S > 0 {
		cutoff = files.Or(measure.Trim(kind.MinFraction*m.DesignFlowM3S*1e3)+" L/s", measure.Trim(100*kind.MinFraction)+" % of the design flow: the least that the kind runs on for long")
	}
	m.CutoffM3S = t.Quantity("cutoff_flow", measure.Flows, nothing, 100, cutoff)
	m.MaxPowerW = t.Quantity("max_power", measure.Powers, 1, 1e6, files.Optional)
	if t.Has("overall") {
		m.Overall = t.Quantity("overall", measure.Fractions, 0.01, 1, files.Optional)
		for _, key := range []string{"efficiency", "alternator_efficiency"} {
			if t.Has(key) {
				t.Wrong(key, "overall stands for runner, alternator and cable together: keep one way to say it", "is given beside overall")
			}
		}
		if m.Overall < 0.1 || m.Overall > 0.85 {
			l.warn("turbine.overall of %s is unusual: household sets turn 40 to 75 %% of the water's power into electricity", percentText(m.Overall))
		}
	} else {
		if t.Has("efficiency") {
			xs, ys := t.Curve("efficiency", measure.Factors, measure.Fractions, [2]float64{0, 1}, [2]float64{0, 1}, `[["20 %", "55 %"], ["100 %", "70 %"]]: the share of full jet flow, and the runner's efficiency there`)
			for i := range xs {
				m.Efficiency = append(m.Efficiency, hydro.Point{Fraction: xs[i], Efficiency: ys[i]})
			}
		} else if m.Kind != "" {
			l.ByDefault(t.Key("efficiency"), fmt.Sprintf("table of the kind, %.0f %% at best", 100*kind.Peak), kind.PeakSource)
		}
		m.AlternatorEfficiency = t.Quantity("alternator_efficiency", measure.Fractions, 0.2, 1, files.Or(measure.Trim(100*hydro.DefaultAlternatorEfficiency)+" %", "a small permanent-magnet alternator and its rectifier at full load; from memory"))
	}
	if month, day, ok := t.Day("open", files.Optional); ok {
		l.site.Open = &Date{month, day}
	}
	if month, day, ok := t.Day("close", files.Optional); ok {
		l.site.Close = &Date{month, day}
	}
	if (l.site.Open == nil) != (l.site.Close == nil) && t.Has("open") != t.Has("close") {
		given, lacks := "open", "close"
		if t.Has("close") {
			given, lacks = lacks, given
		}
		t.Wrong(given, "give both dates, or neither: then it runs whenever the flow allows", "stands there without %s", lacks)
	}
	if l.site.Open != nil && l.site.Close != nil && *l.site.Open == *l.site.Close {
		t.Wrong("close", "give another day, or leave both out: then it runs whenever the flow allows", "is the day of opening")
	}
	t.Done()
	return m
}

// nozzles reads the set of nozzles, or the design flow of a spear valve.
func (l *loader) nozzles(t *files.Table, m *hydro.Turbine, pipe hydro.Penstock) {
	hasNozzles, hasFlow := t.Has("nozzles"), t.Has("design_flow")
	switch {
	case hasNozzles && hasFlow:
		t.Wrong("design_flow", "nozzles = [...] for fixed ones, design_flow for a spear valve", "is given beside nozzles")
	case hasFlow:
		m.DesignFlowM3S = t.Quantity("design_flow", measure.Flows, 1e-6, 100, files.Optional)
	case !hasNozzles:
		t.Missing("nozzles", files.Need("the bores of the fixed nozzles, nozzles = [\"7 mm\", \"9 mm\"], or design_flow = \"4 L/s\" for a spear valve"))
	}
	items := t.List("nozzles", "write the bores, [\"7 mm\", \"9 mm\"]")
	if len(items) > 12 {
		t.Wrong("nozzles", "a runner has six at the most", "has %d nozzles", len(items))
		return
	}
	for i, item := range items {
		path := files.JoinPath(t.Key("nozzles"), strconv.Itoa(i))
		d, _ := l.QuantityAt(path, item, measure.Lengths, 1e-3, 0.5)
		if d >= pipe.BoreM && pipe.BoreM > 0 {
			l.Wrong(path, "the jet is far narrower than the pipe that feeds it", "the nozzle is as wide as the pipe or wider")
		}
		m.NozzlesM = append(m.NozzlesM, d)
	}
}

func (l *loader) cable(t *files.Table, turbine *files.Table) hydro.Cable {
	given := t != nil
	t = orEmpty(l, t, "cable")
	c := hydro.Cable{}
	if !given {
		overall := turbine != nil && turbine.Has("overall")
		for _, key := range []string{"length", "section", "gauge", "voltage"} {
			t.Has(key)
		}
		if !overall {
			l.ByDefaultOf("cable.length", measure.Lengths, "0 m", "none given: no loss between turbine and bus")
		}
		t.Done()
		return c
	}
	c.LengthM = t.Quantity("length", measure.Lengths, 0, 2e4, files.Need("one way, from the turbine to the bus: length = \"60 m\""))
	c.VoltageV = t.Quantity("voltage", measure.Voltages, 6, 2000, files.Optional)
	hasSection, hasGauge := t.Has("section"), t.Has("gauge")
	switch {
	case hasSection && hasGauge:
		t.Wrong("gauge", "keep one of them", "is given beside section")
	case hasSection:
		c.SectionM2 = t.Quantity("section", measure.Sections, 0.2e-6, 2e-3, files.Optional)
	case hasGauge:
		c.SectionM2 = gauge(t, "gauge")
	case !(c.LengthM == 0):
		t.Missing("section", files.Need("of one wire: section = \"25 mm2\" or gauge = \"2 AWG\""))
	}
	t.Done()
	return c
}

// gauge reads a wire size, "2 AWG", "2/0 AWG" or "2".
func gauge(t *files.Table, key string) float64 {
	raw, _ := t.Look(key)
	if s, isText := raw.(string); isText && !strings.ContainsAny(strings.ToLower(s), "gm") {
		raw = s + " AWG"
	} else if n, isInt := raw.(int64); isInt {
		raw = strconv.FormatInt(n, 10) + " AWG"
	}
	if s, isText := raw.(string); isText {
		if a, ok := measure.ParseGauge(s); ok {
			return a
		}
	}
	t.Wrong(key, "from 40 to 0, then 1/0 to 4/0: gauge = \"2 AWG\", or section = \"35 mm2\"", "is no wire gauge")
	return math.NaN()
}

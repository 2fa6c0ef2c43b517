package site

import (
	"fmt"
	"strconv"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

// reaches reads pipes of several bores in a row, each a length and a bore, from
// the intake down; nil if the pipe has one bore.
func (l *loader) reaches(t *files.Table) (reaches []hydro.Reach) {
	const example = `from the intake down, a length and a bore for each: reaches = [["120 m", "100 mm"], ["60 m", "75 mm"]]`
	if !t.Has("reaches") {
		return nil
	}
	for _, key := range []string{"length", "bore"} {
		if t.Has(key) {
			t.Wrong(key, "reaches stands for the whole pipe: keep one way to say it", "is given beside reaches")
		}
	}
	for i, item := range t.List("reaches", example) {
		path := files.JoinPath(t.Key("reaches"), strconv.Itoa(i))
		pair, ok := item.([]any)
		if !ok || len(pair) != 2 {
			l.Wrong(path, example, "is no pair of length and bore")
			continue
		}
		length, _ := l.QuantityAt(files.JoinPath(path, "0"), pair[0], measure.Lengths, 0.1, 5e4, "the length of pipe of this bore")
		bore, _ := l.QuantityAt(files.JoinPath(path, "1"), pair[1], measure.Lengths, 4e-3, 3, "the inside diameter of the pipe")
		reaches = append(reaches, hydro.Reach{LengthM: length, BoreM: bore})
	}
	return reaches
}

// minorLoss reads the sum of the K of entrance, bends and valves, or counts
// them.
func (l *loader) minorLoss(t *files.Table) float64 {
	counted := ""
	for _, key := range []string{"entrance", "bends_90", "bends_45", "long_bends", "valves"} {
		if t.Has(key) && counted == "" {
			counted = key
		}
	}
	if counted == "" {
		return t.Number("minor_loss", 0, 1000, files.Or(measure.Trim(hydro.DefaultMinorLoss), "flush entrance, a full-bore valve, some bends: the sum of their K; bends_90, bends_45, long_bends, valves and entrance count them"))
	}
	if t.Has("minor_loss") {
		t.Wrong("minor_loss", "it is the sum of the K of what is counted: keep one way to say it", "is given beside %s", counted)
	}
	count := func(key string) int { return int(t.Whole(key, 0, 200, files.Or("0", "not counted"))) }
	f := hydro.Fittings{
		Entrance: t.Choice("entrance", hydro.Entrances(), files.Or("flush", "a square edge, level with the wall")),
		Bends90:  count("bends_90"),
		Bends45:  count("bends_45"),
		Sweeps:   count("long_bends"),
		Valves:   count("valves"),
	}
	l.ByDefault(t.Key("minor_loss"), measure.Trim(f.K()), "the sum of the K of what is counted, by handbooks of fluid mechanics")
	return f.K()
}

// feeder reads [feeder], the pipe that runs from the dam to the tank, and
// returns the flow that it carries when it runs full; 0 without one.
func (l *loader) feeder(intake *files.Table) float64 {
	t := l.Table("feeder")
	if t == nil {
		return 0
	}
	p := hydro.Penstock{
		GrossHeadM: t.Quantity("drop", measure.Lengths, 0.01, 500, files.Need("from the water behind the dam down to the water in the tank, or to the pipe's end if it pours in: drop = \"1.5 m\"")),
		LengthM:    t.Quantity("length", measure.Lengths, 0.1, 5e4, files.Need("of the pipe along the ground: length = \"40 m\"")),
		BoreM:      t.Quantity("bore", measure.Lengths, 4e-3, 3, files.Need("the inside diameter: bore = \"100 mm\""), "the inside diameter of the pipe"),
	}
	material, _ := hydro.MaterialOf(t.Choice("material", materialNames(), files.Or("pe", "the usual pipe at a homestead")))
	p.RoughnessM = material.RoughnessM
	p.MinorLoss = l.minorLoss(t) + 1 // what is left of its speed is lost in the tank
	t.Done()
	if !(p.GrossHeadM > 0 && p.LengthM > 0 && p.BoreM > 0) {
		return 0
	}
	full := p.FullFlow(hydro.WaterAt(hydro.DefaultWaterC))
	if intake == nil || !intake.Has("limit") {
		l.ByDefaultOf("intake.limit", measure.Flows, fmt.Sprintf("%.3g L/s", 1e3*full), "what the feeder carries when it runs full: its drop is lost in it")
	}
	return full
}

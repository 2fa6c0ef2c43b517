package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

func fitCommand() command {
	return command{
		name:  "fit",
		args:  "[SITE] [flags]",
		brief: "find the creek's parameters from your readings in gaugings.csv",
		long: `Fits a model of the creek to the readings in gaugings.csv: what it finds, how
sure it is, and what the fit is worth on readings that it had not seen. Where
the catchment's area is known both models are tried: it takes the catchment
model unless the curve is clearly better on the readings left out. Writes
stream.csv, which [stream] parameters = "stream.csv" reads, stream-draws.csv with
the creeks that the readings allow, readings.csv with each reading beside the
model, and charts. A reading that the others contradict and a usual slip
explains (another bucket, gallons for litres, a decimal point, a date) is named
and left out. site.toml itself is never written; parameters that stand there are
not asked.`,
		example: "sunrill fit --model curve",
		groups:  withSite | withFiles | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.String("model", "", "curve, catchment or both (default both where the area is known, else the site's)")
			fs.Int("rounds", 200, "creeks to draw of those that the readings allow, for the ranges; 0: none")
		},
		run: runFit,
	}
}

func runFit(c *call) error {
	name, _ := c.flags.GetString("model")
	rounds, _ := c.flags.GetInt("rounds")
	if rounds < 0 || rounds > 10000 {
		return usageError{fmt.Sprintf("--rounds: %d is outside 0 to 10000", rounds)}
	}
	if rounds == 0 {
		rounds = -1
	}
	switch name {
	case "", "curve", "catchment", "both":
	default:
		return usageError{fmt.Sprintf("--model: %q is none of curve, catchment, both", name)}
	}
	s, err := c.siteWith(site.Options{FillGaps: c.opts.fillGaps, Unfitted: true})
	if err != nil {
		return err
	}
	if s.Stream == nil {
		return files.Problems{{File: "site.toml", What: "the table [stream] is missing", Hint: "begin it with model = \"curve\""}}
	}
	if len(s.Gaugings) == 0 {
		return files.Problems{{File: "gaugings.csv", What: "there is no reading to fit to", Hint: "\"sunrill gauge bucket … --save SITE\" keeps one"}}
	}
	h, err := series.New(s)
	if err != nil {
		return err
	}
	f := fitting{call: c, h: h, rounds: rounds}
	choice, err := f.fit(name)
	if err != nil {
		return err
	}
	return f.tell(choice)
}

// fitting is one run of the command.
type fitting struct {
	*call
	h      *series.Homestead
	rounds int
}

func (f fitting) areaM2() float64 {
	switch s := f.h.Site.Stream; {
	case s.Curve != nil:
		return s.Curve.AreaM2
	case s.Catchment != nil:
		return s.Catchment.AreaM2
	}
	return 0
}

// fit fits the model that is named; by default both where the area is known,
// else the site's.
func (f fitting) fit(name string) (*stream.Choice, error) {
	d := f.data()
	step, done := f.progress("fitting the creek")
	defer done()
	o := stream.FitOptions{AreaM2: f.areaM2(), Seed: f.opts.seed, Rounds: f.rounds, Progress: step}
	var c *stream.Choice
	var err error
	if name == "both" || name == "" && o.AreaM2 > 0 {
		c, err = stream.Choose(f.ctx, d, o)
	} else {
		kind := stream.CurveKind
		if name == "catchment" || name == "" && f.h.Site.Stream.Catchment != nil {
			kind = stream.CatchmentKind
		}
		c = &stream.Choice{}
		c.Best, err = stream.Fit(f.ctx, kind, d, o)
	}
	var readings *stream.ReadingsError
	if errors.As(err, &readings) {
		return nil, files.Problems{{File: "gaugings.csv", What: readings.What, Hint: readings.Hint}}
	}
	return c, err
}

// data is what the fit goes by.
func (f fitting) data() stream.Data {
	r := f.h.Record()
	return stream.Data{Start: r.Start, RainMM: r.RainMM, PETMM: f.h.PotentialEvaporation(),
		Gaugings: f.h.Site.Gaugings, South: f.h.Site.Place.LatDeg < 0}
}

// tell writes and prints the fit.
func (f fitting) tell(c *stream.Choice) error {
	u := units(f.h.Site)
	names, fitted, err := f.write(c.Best)
	if err != nil {
		return err
	}
	result := record.SummarizeFit(c.Best, report.FitVerdict(c.Best, u))
	if c.Other != nil {
		o := record.SummarizeFit(c.Other, report.FitVerdict(c.Other, u))
		result.Other, result.Choice = &o, report.FitChoice(c)
	}
	r := f.h.Record()
	runoff, ok, err := c.Best.Runoff(f.ctx, f.data())
	if err != nil {
		return err
	}
	var says []string
	if ok {
		result.RunoffFraction, result.RunoffSlips = &runoff.Fraction, runoff.Slips
		says = []string{report.RunoffText(runoff, f.areaM2(), u)}
	}
	seasons, need := f.seasons(c.Best)
	result.Seasons = record.Seasons(seasons, r.Start)
	result.MeasureNext = f.next(c.Best, u)
	if runoff.Impossible() { // bad news first
		f.sayAll(says)
		says = nil
	}
	f.print(c, says, u)
	if result.MeasureNext != "" {
		f.sayAll([]string{result.MeasureNext})
	}
	if len(seasons) > 0 {
		f.say("%s", tableText(f.seasonTable(seasons, need, u)))
	}
	f.printFlows(fitted, u)
	drawn := ""
	if c.Best.Draws() != nil {
		drawn = " and stream-draws.csv"
	}
	f.say("%s\n", wrap(fmt.Sprintf("To use the %s, copy %s/stream.csv%s into the site's folder and have in site.toml, under [stream], model = %q and parameters = \"stream.csv\"; take out the parameters that stand there now, but leave the area if it does.",
		c.Best.Kind, strings.TrimSuffix(f.opts.out, "/"), drawn, c.Best.Kind.String())))
	f.printFiles(names)
	return f.emit(result)
}

// write writes stream.csv and the charts, and returns the homestead with the
// fitted creek.
func (f fitting) write(fit *stream.Fitted) (names []string, fitted *series.Homestead, err error) {
	s := *f.h.Site
	s.Stream = &site.Stream{}
	switch m := fit.Model.(type) {
	case stream.Curve:
		s.Stream.Curve = &m
	case stream.Catchment:
		s.Stream.Catchment = &m
	}
	if fitted, err = series.New(&s); err != nil {
		return nil, nil, err
	}
	folder, err := f.folder(f.h.Site)
	if err != nil {
		return nil, nil, err
	}
	defer folder.Discard()
	tables := fitTables(fit)
	write := func(name string) error {
		return folder.Write(name, func(w io.Writer) error {
			_, err := w.Write(tables[name])
			return err
		})
	}
	if err := write(parametersFile); err != nil {
		return nil, nil, err
	}
	r := f.h.Record()
	if err := folder.Write("readings.csv", func(w io.Writer) error {
		return record.WriteReadings(w, fit.Compared(r.RainMM, f.h.PotentialEvaporation()))
	}); err != nil {
		return nil, nil, err
	}
	if name := site.DrawFile(parametersFile); tables[name] != nil {
		if err := write(name); err != nil {
			return nil, nil, err
		}
	}
	if err := f.writeCharts(folder, []plots.Chart{f.chart(fit), report.FlowDuration(fitted.KnownFlow(), fitted.Machine, units(fitted.Site))}); err != nil {
		return nil, nil, err
	}
	if err := f.ctx.Err(); err != nil {
		return nil, nil, err
	}
	return folder.Names(), fitted, f.commit(folder, f.h.Site)
}

const parametersFile = "stream.csv"

// fitTables are the files of a fit that a site reads: the parameters, and the
// creeks that the readings allow where they were drawn.
func fitTables(fit *stream.Fitted) map[string][]byte {
	var ps []site.Parameter
	var names []string
	for _, p := range fit.Parameters {
		ps = append(ps, site.Parameter{Name: p.Name, Value: p.Value, Low: p.Low, High: p.High})
		names = append(names, p.Name)
	}
	tables := map[string][]byte{parametersFile: site.ParameterCSV(fit.Kind.String(), ps)}
	if draws := fit.Draws(); draws != nil {
		tables[site.DrawFile(parametersFile)] = site.DrawCSV(fit.Kind.String(), names, fit.DrawValues(), draws)
	}
	return tables
}

// chart draws the fit from a month before the first reading to a month after
// the last, and a year at least.
func (f fitting) chart(fit *stream.Fitted) plots.Chart {
	r := f.h.Record()
	pet := f.h.PotentialEvaporation()
	flow := fit.Model.Flow(nil, r.RainMM, pet)
	low, high := fit.Band(r.RainMM, pet)
	first := r.Index(fit.Used[0].Date)
	last := r.Index(fit.Used[len(fit.Used)-1].Date)
	to := min(r.Days(), max(last+31, first-31+365))
	from := max(0, min(first-31, to-365))
	start := r.Start.AddDate(0, 0, from)
	u := units(f.h.Site)
	v := plots.Fitted{Start: start, RainMM: r.RainMM[from:to], FlowM3S: flow[from:to], Model: fit.Kind.String(),
		FlowScale: u.FlowAxis(), RainScale: u.RainAxis()}
	if low != nil {
		v.LowM3S, v.HighM3S = low[from:to], high[from:to]
	}
	for _, g := range fit.Used {
		v.ReadingDay = append(v.ReadingDay, float64(r.Index(g.Date)-from)+0.5)
		v.ReadingM3S = append(v.ReadingM3S, g.FlowM3S)
		v.ErrorM3S = append(v.ErrorM3S, g.StandardError())
	}
	return plots.FitToReadings(v)
}

func (f fitting) print(c *stream.Choice, runoff []string, u measure.System) {
	fit := c.Best
	day := func(t time.Time) string { return t.Format("2 January 2006") }
	n := len(fit.Used)
	by := measure.Plural(n, "reading", "readings")
	if left := len(fit.Suspects); left > 0 {
		by = fmt.Sprintf("%d of %d readings", n, n+left)
	}
	f.say("The %s model by %s, %s to %s.\n", fit.Kind, by, day(fit.Used[0].Date), day(fit.Used[n-1].Date))
	f.sayAll(report.FitVerdict(fit, u))
	f.sayAll(runoff)
	if c.Other != nil {
		f.sayAll([]string{report.FitChoice(c)})
	}
	f.sayAll(f.around(fit, u))

	t := report.Table{Head: []string{"parameter", "value", "from", "to"}}
	for _, p := range fit.Parameters {
		value := func(v float64) string {
			switch {
			case v != v:
				return "-"
			case p.Unit == "L/s":
				return u.Flow(v / 1000)
			case p.Unit == "mm":
				return measure.Digits(u.RainAxis().Of(v), 3) + " " + u.RainAxis().Unit
			case p.Unit == "km2":
				return u.Land(1e6 * v)
			case p.Unit == "mm/day":
				return measure.Digits(u.RainAxis().Of(v), 2) + " " + u.RainAxis().Unit + "/day"
			}
			return measure.Digits(v, 2) + " " + p.Unit
		}
		t.Rows = append(t.Rows, []string{p.Label, value(p.Value), value(p.Low), value(p.High)})
	}
	if f.rounds > 0 {
		t.Note = fmt.Sprintf("from - to: where 8 in 10 of %d creeks lie that the readings allow; stream-draws.csv has them all.", f.rounds)
	}
	f.say("%s", tableText(t))

	f.say("%s", tableText(f.readings(fit, u)))

	scores := report.Table{Head: []string{"readings", "number", "fit (NSE)", "fit (KGE)", "low flows (NSE of logarithms)"}}
	for _, row := range []struct {
		name string
		s    stream.Scores
	}{{"fitted to", fit.Fitted}, {"left out in turn", fit.HeldOut}} {
		score := func(v float64) string {
			if v != v {
				return "-"
			}
			return fmt.Sprintf("%.2f", v)
		}
		scores.Rows = append(scores.Rows, []string{row.name, measure.Count(row.s.N), score(row.s.NSE), score(row.s.KGE), score(row.s.NSELog)})
	}
	scores.Note = "1 is perfect, 0 (NSE) no better than the mean flow every day. Low flows decide when the turbine runs. The parameters above are those of all readings together."
	f.say("%s", tableText(scores))
}

// readings lays every reading beside the model.
func (f fitting) readings(fit *stream.Fitted, u measure.System) report.Table {
	t := report.Table{
		Caption: "Every reading beside the fitted model:",
		Head:    []string{"date", "measured", "model", "errors apart", ""},
		Note:    "errors apart: how far the reading is from the model, against what reading and model are usually off together; beyond 3 look again.",
	}
	for _, c := range fit.Compared(f.h.Record().RainMM, f.h.PotentialEvaporation()) {
		remark := ""
		switch {
		case c.Suspect != nil && c.Suspect.Slip != nil:
			remark = "left out: " + c.Suspect.Slip.What + "?"
		case c.Suspect != nil || math.Abs(c.Apart) > 3:
			remark = "look again"
		}
		t.Rows = append(t.Rows, []string{c.Gauging.Date.Format("2006-01-02"), u.Flow(c.Gauging.FlowM3S), u.Flow(c.ModelM3S), fmt.Sprintf("%+.1f", c.Apart), remark})
	}
	return t
}

// around says how far the creek may be from the model at the flows that
// decide: where the turbine starts, and where all of it runs.
func (f fitting) around(fit *stream.Fitted, u measure.System) []string {
	least, most, ok := f.h.NeededFlow()
	if !ok {
		return nil
	}
	say := func(flow float64, what string) string {
		low, high, n := fit.Around(flow)
		told := fmt.Sprintf("%s between half and twice that tell so", measure.Plural(n, "reading", "readings"))
		switch n {
		case 0:
			told = "no reading between half and twice that: this is judged by the others"
		case 1:
			told = "one reading between half and twice that tells so"
		}
		a := u.FlowAxis()
		return fmt.Sprintf("When the model says %s, %s, the creek has %s to %s %s on 8 days of 10 (%s).", u.Flow(flow), what,
			measure.Digits(a.Of(low), 2), measure.Digits(a.Of(high), 2), a.Unit, told)
	}
	words := []string{say(least, "from which the turbine can run")}
	if most > least {
		words = append(words, say(most, "from which it runs full"))
	}
	return words
}

// printFlows prints the flow-duration table in the homesteader's own measure.
func (f fitting) printFlows(h *series.Homestead, u measure.System) {
	t := report.Table{
		Caption: "How often the fitted creek gives how much, over the whole rain record:",
		Head:    []string{"share of days with more", "creek", u.Bucket() + " fills in"},
	}
	if h.Machine != nil {
		t.Head = append(t.Head, "turbine")
	}
	for _, s := range h.FlowFractions([]float64{0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95}) {
		row := []string{fmt.Sprintf("%.0f %%", 100*s.Exceeded), u.Flow(s.FlowM3S), bucket(u, s.FlowM3S)}
		if h.Machine != nil {
			row = append(row, measure.Power(s.PowerW))
		}
		t.Rows = append(t.Rows, row)
	}
	f.say("%s", tableText(t))
}

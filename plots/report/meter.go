package report

import (
	"fmt"
	"math"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// Meter is an owner's record laid beside the run.
type Meter struct {
	plots.Metered
	sim.Comparison
}

// Log is what an owner's meters recorded; a quantity that they did not is nil.
type Log struct {
	Time             []time.Time
	SoC, HydroW, PVW []float64 // a value for each time
}

// Meters lays a log beside the run; what it has in no hour of the year is left
// out. What a meter sees of the panels is what the controller took, not what
// they could have given.
func Meters(y *sim.Year, l Log) []Meter {
	taken := make([]float64, len(y.In.DemandW))
	for h, w := range y.In.W(sim.Panels) {
		taken[h] = w - y.CurtailedW[h]
	}
	var all []Meter
	for _, one := range []struct {
		what           plots.Quantity
		run, meterSays []float64
	}{{plots.Bank, y.SoC, l.SoC}, {plots.Hydro, y.In.W(sim.Creek), l.HydroW}, {plots.Panels, taken, l.PVW}} {
		if one.meterSays == nil {
			continue
		}
		c := sim.CompareMeter(y.In.Start, one.run, sim.Reading{Time: l.Time, Values: one.meterSays})
		if len(c.Hours) == 0 {
			continue
		}
		beside := plots.Metered{Start: y.In.Start, What: one.what, Simulated: one.run, Measured: c.Spread(len(one.run))}
		all = append(all, Meter{Metered: beside, Comparison: c})
	}
	return all
}

// meter is the chapter on the owner's records beside the run.
func (v Year) meter() Section {
	sec := Section{ID: "meter", Title: "The meter beside the run"}
	t := Table{
		Caption: "How far the run is from the meter, hour by hour",
		Head:    []string{"", "hours", "meter, mean", "run, mean", "bias", "mean error", "root mean square", "correlation"},
		Note:    "Bias: the run less the meter, above 0 if the run promises too much. Errors: how far an hour is off, either way. Correlation: 1 where both rise and fall together.",
	}
	for _, m := range v.Meters {
		sec.Text = append(sec.Text, m.words())
		sec.Figures = append(sec.Figures, Figure{Chart: plots.MeterBeside(m.Metered)})
		row := []string{m.name(), measure.Count(len(m.Hours)), m.value(m.MeterMean), m.value(m.ModelMean)}
		bias := m.difference(m.Bias)
		if m.Bias > 0 {
			bias = "+" + bias
		}
		correlation := "none"
		if !math.IsNaN(m.Correlation) {
			correlation = fmt.Sprintf("%.2f", m.Correlation)
		}
		t.Rows = append(t.Rows, append(row, bias, m.difference(m.MeanError), m.difference(m.RMSError), correlation))
	}
	sec.Tables = []Table{t}
	return sec
}

func (m Meter) name() string {
	switch m.What {
	case plots.Hydro:
		return "turbine"
	case plots.Panels:
		return "panels"
	}
	return "charge"
}

// value writes a figure of the comparison with its unit.
func (m Meter) value(x float64) string {
	switch m.What {
	case plots.Hydro, plots.Panels:
		return fmt.Sprintf("%.0f W", x)
	}
	return fmt.Sprintf("%.1f %%", 100*x)
}

// difference writes how far two figures are apart.
func (m Meter) difference(x float64) string {
	if m.What == plots.Bank {
		return fmt.Sprintf("%.1f points", 100*x)
	}
	return m.value(x)
}

// oneSided is the share of the mean error from which a bias is more than the
// play of the weather: a judgement.
const oneSided = 0.5

// words tells bias and error, and what to do about them.
func (m Meter) words() string {
	of, figures := "charge of the bank", "the appliances’ watts and hours, the bank’s capacity and efficiencies, or the meter’s own idea of full"
	switch m.What {
	case plots.Hydro:
		of, figures = "turbine’s power", "head, bore, nozzles and efficiency, which overall can replace"
	case plots.Panels:
		of, figures = "power taken from the panels", "the losses, tilt and facing, or a shadow that the horizon lacks"
	}
	lean := "neither too high nor too low on average"
	if off := m.difference(math.Abs(m.Bias)); off != m.difference(0) {
		lean = off + " too high on average"
		if m.Bias < 0 {
			lean = off + " too low on average"
		}
		if m.What != plots.Bank && m.MeterMean > 0 {
			lean += fmt.Sprintf(" (%s of what the meter saw)", measure.Percent(math.Abs(m.Bias)/m.MeterMean))
		}
	}
	text := fmt.Sprintf("Over %s of the meter, the %s is simulated %s, and an ordinary hour is off by %s.", measure.Plural(len(m.Hours), "hour", "hours"), of, lean, m.difference(m.MeanError))
	if m.MeanError > 0 && math.Abs(m.Bias) > oneSided*m.MeanError {
		return text + " Most of the error goes one way, so look for a wrong figure: " + figures + "."
	}
	return text + " The errors go both ways, as weather does that a model cannot know."
}

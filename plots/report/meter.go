package report

import (
	"fmt"
	"math"
	"strings"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// Meter is an owner's record laid beside the run.
type Meter struct {
	plots.Metered
	sim.Comparison
	Source sim.Kind // what it is of; unused with [plots.Bank]
}

// meterNames are what charts of meters are called, where not by the source's key.
var meterNames = map[string]string{sim.Panels.Key: "panels"}

// Meters lays a log beside the run; what it has in no hour of the year is left
// out. What a meter sees of a source that can be throttled is what the controller
// took, not what it could have given.
func Meters(y *sim.Year, l sim.Log) []Meter {
	var all []Meter
	add := func(m Meter, run, meterSays []float64) {
		if meterSays == nil {
			return
		}
		m.Comparison = sim.CompareMeter(y.In.Start, run, sim.Reading{Time: l.Time, Values: meterSays})
		if len(m.Hours) == 0 {
			return
		}
		m.Start, m.Simulated, m.Measured = y.In.Start, run, m.Comparison.Spread(len(run))
		all = append(all, m)
	}
	add(Meter{Metered: plots.Metered{What: plots.Bank}}, y.SoC, l.SoC)
	given := y.In.Given()
	for _, i := range stacked(given) {
		k := given[i].Kind
		name := k.Key
		if n := meterNames[k.Key]; n != "" {
			name = n
		}
		add(Meter{Metered: plots.Metered{What: lookOf(k), Of: strings.ReplaceAll(owner(machineOf(k)), "’", "'"), Name: name}, Source: k}, taken(y, i), l.W[k.Key])
	}
	return all
}

// taken is what is used of a source: what it could give less its part of what is
// held back.
func taken(y *sim.Year, source int) []float64 {
	s := y.In.Sources[source]
	if !s.Throttled {
		return s.W
	}
	all := make([]float64, len(s.W))
	for _, o := range y.In.Sources {
		for h, w := range o.W {
			if o.Throttled {
				all[h] += w
			}
		}
	}
	for h, w := range s.W {
		switch held := y.CurtailedW[h]; {
		case w == all[h]:
			all[h] = w - held
		default:
			all[h] = w - held*w/all[h]
		}
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
	if m.What == plots.Bank {
		return "charge"
	}
	return machineOf(m.Source)
}

// value writes a figure of the comparison with its unit.
func (m Meter) value(x float64) string {
	if m.What == plots.Bank {
		return fmt.Sprintf("%.1f %%", 100*x)
	}
	return fmt.Sprintf("%.0f W", x)
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
	switch {
	case m.What == plots.Bank:
	case m.Source == sim.Creek:
		of, figures = "turbine’s power", "head, bore, nozzles and efficiency, which overall can replace"
	case m.Source == sim.Panels:
		of, figures = "power taken from the panels", "the losses, tilt and facing, or a shadow that the horizon lacks"
	default:
		of, figures = "power taken from the "+m.Source.Name, "those that describe it"
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

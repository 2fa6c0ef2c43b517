package report

import (
	"fmt"
	"strings"

	"sunrill/plots"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

// water is the chapter on rain, creek and turbine.
func (v Year) water() Section {
	y, s := v.Year, v.Summary
	in := y.In
	sec := Section{
		ID:    "water",
		Title: "Rain, creek and turbine",
		Figures: []Figure{{plots.RainAndCreek(plots.Water{
			Start: in.Start, RainMM: in.RainMM, FlowM3S: in.FlowM3S, TurbineM3S: in.TurbineM3S, CutoffM3S: in.CutoffM3S,
			OpenHour: in.OpenHour, CloseHour: in.CloseHour, DryStopHour: in.DryStopHour,
			VisitDay: in.VisitDay, NozzleSet: in.NozzleSet, SetNames: v.setNames(), SetUnit: boreUnit(v.System),
			FlowScale: v.System.FlowAxis(), RainScale: v.System.RainAxis(),
		}), "days.csv"}},
	}
	sec.Figures = append(sec.Figures, Figure{Chart: v.duration()})
	if v.Machine != nil {
		sec.Figures = append(sec.Figures, Figure{Chart: v.flowToWatts()})
	}
	if in.TurbineM3S == nil {
		sec.Text = []string{"The creek is known, but the site has no turbine."}
		return sec
	}
	text := fmt.Sprintf("The turbine gave power on %s.", measure.Plural(s.HydroDays, "day", "days"))
	if in.OpenHour > 0 || in.CloseHour < in.Hours() {
		switch {
		case in.CloseHour > in.OpenHour:
			text += fmt.Sprintf(" The valve is open from %s to %s.", v.day(in.OpenHour), v.day(in.CloseHour-1))
		case in.CloseHour > 0 && in.OpenHour > in.CloseHour: // the season crosses the year's start
			text += fmt.Sprintf(" The valve is open up to %s, and again from %s on.", v.day(in.CloseHour-1), v.day(in.OpenHour))
		default:
			text += " The valve stays shut through the " + v.span() + "."
		}
	}
	if in.CutoffM3S > 0 {
		text += fmt.Sprintf(" The turbine stands still when less than %s is left for it (%s).", v.System.Flow(in.CutoffM3S), v.System.BucketFills(in.CutoffM3S))
	}
	if s.Visits > 0 {
		text += fmt.Sprintf(" Somebody walks up to it %s in the %s.", measure.Plural(s.Visits, "time", "times"), v.span())
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

// setNames returns the bores of each set of nozzles that is fitted.
func (v Year) setNames() (names []string) {
	if v.Machine != nil {
		for _, s := range v.Machine.Sets {
			names = append(names, strings.ReplaceAll(strings.ReplaceAll(s.Name(v.System), " "+boreUnit(v.System), ""), " ", ""))
		}
	}
	return names
}

// boreUnit is the unit in which bores are written.
func boreUnit(u measure.System) string {
	_, unit, _ := strings.Cut(u.Bore(1), " ")
	return unit
}

// duration is the flow-duration curve of the record or, without one, the year.
func (v Year) duration() plots.Chart {
	flow := v.FlowRecordM3S
	if flow == nil {
		flow = v.Year.In.FlowM3S
	}
	return FlowDuration(flow, v.Machine, v.System)
}

// FlowDuration draws the flow-duration curve of daily flows in m³/s with what a
// machine, if there is one, needs of it.
func FlowDuration(flowM3S []float64, m *hydro.Machine, u measure.System) plots.Chart {
	d := plots.Duration{FlowM3S: flowM3S, FlowScale: u.FlowAxis()}
	if m != nil {
		first := m.Plant.Intake.ResidualM3S + m.Plant.Intake.HouseWaterM3S // has its water before the turbine
		d.NeedM3S = first + max(m.MinFlow(), m.Plant.Turbine.CutoffM3S)
		d.FullM3S = first + m.MaxFlow()
	}
	return plots.FlowDuration(d)
}

// flowToWatts is what the plant makes of the water.
func (v Year) flowToWatts() plots.Chart {
	m := v.Machine
	p := plots.Power{CutoffM3S: m.Plant.Turbine.CutoffM3S, FlowScale: v.System.FlowAxis()}
	for _, d := range m.Curve(60) {
		p.FlowM3S, p.PowerW = append(p.FlowM3S, d.FlowM3S), append(p.PowerW, d.PowerW)
	}
	for _, s := range m.Sets {
		p.Sets = append(p.Sets, plots.PowerSet{Name: s.Name(v.System), FlowM3S: s.FlowM3S, PowerW: s.PowerW})
	}
	if m.Sets == nil {
		p.DesignM3S = m.Plant.Turbine.DesignFlowM3S
	}
	return plots.FlowToWatts(p)
}

package report

import (
	"fmt"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

// Year is what the sections of one simulated year are made from. Only Year and
// Summary are required.
type Year struct {
	Year    *sim.Year
	Summary sim.Summary
	System  measure.System

	HorizonLines []HorizonLine    // the hills, once or for each array with its own
	Household    *plots.Household // the average day; nil: not known by use
	Uses         []plots.Use      // who uses what; nil: the same
	Meters       []Meter          // the owner's records
	OnPanel      bool             // sun hours were observed on the panels

	Why *sim.Diagnosis // of its unmet hours; nil: not tried

	UsefulHeatWhDay float64 // what a water tank can take of the dump load's heat in a day; 0: not told

	Machine       *hydro.Machine // nil: no turbine
	FlowRecordM3S []float64      // the creek over the whole record; nil: the year's own
}

// HorizonLine is the hills as seen from an array.
type HorizonLine struct {
	Of string // the array's name; "" for the whole site
	plots.HorizonLine
}

const dateLayout = "2 January 2006"

// hasWater reports whether the site has a creek that the run knows of.
func (v Year) hasWater() bool { return v.Year.In.FlowM3S != nil }

// day returns the date on which hour h falls.
func (v Year) day(h int) string { return v.at(h).Format(dateLayout) }

func (v Year) at(h int) time.Time {
	return v.Year.In.Start.Add(time.Duration(h) * time.Hour)
}

// Name writes the days that the year covers.
func (v Year) Name() string {
	in := v.Year.In
	return in.Start.Format(dateLayout) + " to " + v.day(in.Hours()-1)
}

// Sections returns the chapters of the year.
func (v Year) Sections() []Section {
	ss := []Section{v.energy(), v.bank()}
	if v.hasWater() {
		ss = append(ss, v.water())
	}
	ss = append(ss, v.hours())
	if (v.Household != nil || v.Uses != nil) && !v.Unfinished() { // they are of a year
		ss = append(ss, v.household())
	}
	if len(v.HorizonLines) > 0 {
		ss = append(ss, v.horizon())
	}
	if len(v.Meters) > 0 {
		ss = append(ss, v.meter())
	}
	for _, s := range ss {
		for i := range s.Figures {
			s.Figures[i].Title += ", " + v.short()
		}
	}
	return ss
}

// line is the year as one of several, its summary left out.
func (v Year) line() YearLine {
	return YearLine{Start: v.Year.In.Start, Summary: sim.Summary{Tally: sim.Tally{Hours: v.Year.In.Hours()}}}
}

// short names the year by the calendar years that it touches: "2016–17".
func (v Year) short() string { return v.line().Name() }

// Unfinished reports whether the records broke off before the year was over.
func (v Year) Unfinished() bool { return v.line().unfinished() }

// span says what the run covers: "year", or "season so far".
func (v Year) span() string {
	if v.Unfinished() {
		return "season so far"
	}
	return "year"
}

// InShort is a chapter of the year's verdict alone, for pages that lead with
// something else.
func (v Year) InShort(title string) Section {
	sec := Section{ID: "year", Title: title + ", " + v.short()}
	sec.Text = v.Verdict().Sentences
	return sec
}

// hours is the chapter on when power is left over and when it is missing.
func (v Year) hours() Section {
	y := v.Year
	surplus := make([]float64, y.In.Hours())
	for h := range surplus {
		surplus[h] = y.DumpW[h] + y.OverDumpW[h] + y.CurtailedW[h]
	}
	sec := Section{
		ID:    "hours",
		Title: "Hour by hour",
		Figures: []Figure{{plots.HourMap(plots.Hours{
			Start: y.In.Start, UnmetW: y.UnmetW, SurplusW: surplus, UnmetThresholdW: sim.UnmetThresholdW}), "hours.csv"}},
	}
	for _, t := range []Table{
		v.dateTable("Hazard hours: "+runaways(v.Summary.Given)+" gave more than house, bank and dump load take", "beyond the dump load, W at most",
			"Each of them can destroy the machine.", y.OverDumpW),
		v.dateTable("Hours in which more was asked than the inverter carries", "beyond its rating, W at most",
			"Means over the hour, before the inverter (at the bus). Shorter peaks can trip an inverter in other hours too.", y.In.OverW),
		v.darkTable(),
	} {
		if len(t.Rows) > 0 {
			sec.Tables = append(sec.Tables, t)
		}
	}
	return sec
}

// household is the chapter on the average day and who uses what.
func (v Year) household() Section {
	sec := Section{ID: "household", Title: "The household"}
	if v.Household != nil {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.DayBySeason(*v.Household)})
	}
	if v.Uses != nil {
		sec.Figures = append(sec.Figures, Figure{Chart: plots.WhoUsesWhat(v.Uses)})
		sec.Tables = append(sec.Tables, UseTable(v.Uses, v.Year.In.Hours()/24, v.Summary.Tally.DemandWh))
	}
	return sec
}

// hills is the chapter on the skyline.
func (v Year) horizon() Section {
	sec := Section{ID: "hills", Title: "Sun and hills"}
	for i, s := range v.HorizonLines {
		c := plots.HorizonAndSun(s.HorizonLine)
		if i > 0 {
			c.Name = fmt.Sprintf("%s-%d", c.Name, i+1)
		}
		if s.Of != "" {
			c.Title += ", seen from " + s.Of
		}
		sec.Figures = append(sec.Figures, Figure{Chart: c})
	}
	return sec
}

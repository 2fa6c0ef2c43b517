package gather

import (
	"fmt"
	"strings"
	"time"

	"sunrill/sim/files"
)

// Problem is one thing that is wrong with a file, and Problems all of them.
type (
	Problem  = files.Problem
	Problems = files.Problems
)

// Kind is a file of a site folder that a record can become.
type Kind string

// The kinds, by the words of --as.
const (
	Rain     Kind = "rain"     // rain.csv: rain and temperature, a row a day
	Sun      Kind = "sun"      // sun.csv, and sun-hourly.csv where the record is hourly
	Demand   Kind = "demand"   // demand.csv: what the house asks, a row an hour
	Flow     Kind = "flow"     // flow.csv: the creek, a row a day
	Meter    Kind = "meter"    // meter.csv: what really happened, a row an hour
	Readings Kind = "readings" // gaugings.csv: readings of the creek
)

// Kinds are all of them.
var Kinds = []Kind{Rain, Sun, Demand, Flow, Meter, Readings}

// Source is a file as it came.
type Source struct {
	Name string
	Data []byte
}

// Options decide what the files do not tell. The zero value leaves all to the
// evidence.
type Options struct {
	As       Kind
	Dates    string            // dmy, mdy or ymd: the order in short dates
	Unit     string            // of the main quantity: mm, in, 0.1mm, kWh/m2 a day and so on
	Decimal  string            // comma or point
	Unlisted string            // what a day without a row was: dry or missing
	Columns  map[string]string // quantity to name of its column: "rain" to "Total"
	Sheet    string            // of a workbook

	LatDeg     float64 // NaN: not known
	UTCOffsetH float64 // of the site, for stamps that tell their own; NaN: not known
}

// Finding is a thing that was understood, and what tells it.
type Finding struct {
	File     string // "" for all files together
	What     string // "the dates are month, day, year"
	Evidence string // "line 17 has 10/13/2016"
}

// Output is a file for the site folder.
type Output struct {
	Name string // rain.csv
	Data []byte
	Rows int
}

// Span is a run of days.
type Span struct {
	From, To time.Time // the last day included
}

// Days is the number of days of a span.
func (s Span) Days() int { return int(s.To.Sub(s.From).Hours()/24) + 1 }

// Total is the sum of a year or a month and the number of days that it is of.
type Total struct {
	Year  int // or 0 to 11 for a month, January first
	Sum   float64
	Days  int
	Wet   int
	Known bool
}

// Gathered is what has been made of the files.
type Gathered struct {
	Kind     Kind
	Outputs  []Output
	Findings []Finding
	Warnings []string
	Set      []string // lines for site.toml that make use of the outputs

	From, To time.Time // first and last row
	Unit     string    // of the totals
	Years    []Total   // of rain: sums; of other records: means, Days of them known
	Months   []Total   // the twelve, the mean of a month
	Largest  float64
	LargeAt  time.Time
	Gaps     []Span
}

// Read makes a site's file of records as they come. All that is wrong comes
// back at once as [Problems]; a question that only the owner can answer is
// one of them, and its hint names the setting that answers it.
func Read(sources []Source, o Options) (*Gathered, error) {
	var ps Problems
	var tables []*table
	for _, s := range sources {
		ts, problems := open(s, o)
		ps = append(ps, problems...)
		tables = append(tables, ts...)
	}
	if len(ps) > 0 {
		return nil, tidy(ps)
	}
	kind, ps := kindOf(tables, o)
	if len(ps) > 0 {
		return nil, ps
	}
	for _, t := range tables {
		ps = append(ps, t.read(kind, o)...)
	}
	if len(ps) > 0 {
		return nil, tidy(ps)
	}
	g := &Gathered{Kind: kind}
	switch kind {
	case Rain:
		ps = g.rain(tables, o)
	case Sun:
		ps = g.sun(tables, o)
	case Demand, Meter:
		ps = g.hourly(tables, o)
	case Flow:
		ps = g.flow(tables, o)
	case Readings:
		ps = g.readings(tables, o)
	}
	if len(ps) > 0 {
		return nil, tidy(ps)
	}
	var found []Finding
	for _, t := range tables {
		found = append(found, t.findings...)
	}
	g.Findings = append(found, g.Findings...)
	return g, nil
}

// tidy cuts the problems of each file short: a thousand of them have one cause.
func tidy(ps Problems) Problems {
	const maximum = 20
	n := map[string]int{}
	var out Problems
	for _, p := range ps {
		n[p.File]++
		if n[p.File] <= maximum {
			out = append(out, p)
		}
	}
	for _, p := range ps {
		if k := n[p.File] - maximum; k > 0 {
			out = append(out, Problem{File: p.File, What: fmt.Sprintf("%d more problems in this file; mend the first ones and look again", k)})
			n[p.File] = 0
		}
	}
	return out
}

// wanted are the quantities that a kind takes.
var wanted = map[Kind][]quantity{
	Rain:     {rain, rainSoFar, severalDaysRain, totalDays, tmin, tmax, wetDays, note},
	Sun:      {ghi, dni, dhi, daySun, tmean},
	Demand:   {demand},
	Flow:     {flow},
	Meter:    {soc, hydroW, pvW},
	Readings: {method, volume, seconds, flow, note},
}

// mainOf are the quantities of which a kind needs one at least.
var mainOf = map[Kind][]quantity{
	Rain: {rain, rainSoFar, severalDaysRain}, Sun: {ghi, daySun}, Demand: {demand}, Flow: {flow}, Meter: {soc, hydroW, pvW}, Readings: {method, volume},
}

func isOf(q quantity, list []quantity) bool {
	for _, w := range list {
		if q == w {
			return true
		}
	}
	return false
}

// kindOf finds what the files hold.
func kindOf(tables []*table, o Options) (Kind, Problems) {
	if o.As != "" {
		return o.As, nil
	}
	var ps Problems
	var kind Kind
	var first *table
	for _, t := range tables {
		has := map[Kind]bool{}
		var found []string
		for _, k := range Kinds {
			for _, c := range t.columns {
				if isOf(c.q, mainOf[k]) && !has[k] {
					has[k] = true
					found = append(found, string(k))
				}
			}
		}
		if has[Readings] {
			delete(has, Flow)
		}
		var k Kind
		switch {
		case len(has) == 1:
			for only := range has {
				k = only
			}
		case has[Rain]: // a weather station's table; its sun is another import
			k = Rain
			var rest []string
			for _, f := range found {
				if f != string(Rain) {
					rest = append(rest, f)
				}
			}
			t.find("taken for a rain record", "it has a column of rain; for its "+strings.Join(rest, " or ")+" say --as "+rest[0])
		case len(has) == 0:
			ps = append(ps, Problem{File: t.name, Line: t.headerLine, What: "no column is known by its name: " + t.columnNames(), Hint: "say what the file holds, such as --as rain; if several columns hold numbers also which, such as --column \"rain=NAME\""})
			continue
		default:
			ps = append(ps, Problem{File: t.name, Line: t.headerLine, What: "holds " + strings.Join(found, " and "), Hint: "say which of them to take, such as --as " + found[0]})
			continue
		}
		if kind != "" && k != kind {
			ps = append(ps, Problem{File: t.name, What: fmt.Sprintf("holds %s, %s holds %s", k, first.name, kind), Hint: "import them one after the other, or say --as"})
			continue
		}
		kind, first = k, t
	}
	return kind, ps
}

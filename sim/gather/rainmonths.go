package gather

import (
	"bytes"
	"fmt"
	"math"
)

// rainMonths makes rain-months.csv of a climate page's table.
func (g *Gathered) rainMonths(tables []*table, o Options) (ps Problems) {
	if len(tables) > 1 {
		return Problems{{File: tables[0].name, What: "is a table of the twelve months, and there are other files", Hint: "import it alone"}}
	}
	t := tables[0]
	c, wet := t.column(rain), t.column(wetDays)
	switch {
	case c == nil:
		return Problems{t.problem(t.headerLine, "the mean sum of each month", "has no column of rain")}
	case wet == nil:
		return Problems{t.problem(t.headerLine, "days can be made up of the months where the wet days are known too: add the column, or name it: --column \"wet-days=NAME\"", "has no column of wet days: %s", t.columnNames())}
	}
	u, why, ok, ps := t.told(c, o, true)
	if len(ps) > 0 {
		return ps
	}
	if !ok {
		return Problems{t.problem(t.headerLine, "say it: --unit mm or --unit in", "nothing tells the unit of %s", nameOf(c))}
	}
	t.find("rain is in "+u.name, why)
	name, factor := "rain_mm", u.factor
	if u.name == "inches" {
		name, factor = "rain_in", 1
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# From %s: the mean sum of each month and its days with rain.\nmonth,%s,wet_days\n", sources(tables), name)
	g.Unit = map[bool]string{true: "in", false: "mm"}[u.name == "inches"]
	g.Months = make([]Total, 12)
	for i, at := range t.times {
		v, w := c.values[i], wet.values[i]
		if v.st != known && v.st != traced || w.st != known {
			ps = append(ps, t.problem(t.lines[i], "all twelve months are needed, with their wet days", "%s has no rain or no wet days", at.Month()))
			continue
		}
		fmt.Fprintf(&b, "%d,%s,%s\n", at.Month(), number(v.v*factor, 3), number(w.v, 2))
		g.Months[at.Month()-1] = Total{Year: int(at.Month()) - 1, Sum: v.v * factor, Wet: int(math.Round(w.v)), Known: true}
	}
	g.Outputs = append(g.Outputs, Output{"rain-months.csv", b.Bytes(), len(t.times)})
	g.Set = append(g.Set, "[rain]", `months = "rain-months.csv"`)
	return ps
}

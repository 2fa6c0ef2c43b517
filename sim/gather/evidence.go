package gather

import (
	"fmt"
	"math"
	"strings"
)

// askedUnit is the unit that --unit names, for a quantity of some kinds.
func (t *table) askedUnit(c *column, o Options) (unit, bool, Problems) {
	if o.Unit == "" {
		return unit{}, false, nil
	}
	u, ok := unitOf(o.Unit)
	if !ok || !oneOf(u.kind, unitKinds[c.q]) {
		return unit{}, false, Problems{{What: fmt.Sprintf("--unit: %q is no unit of %s", o.Unit, quantityNames[c.q]), Hint: "known here: " + strings.Join(namesOfKind(unitKinds[c.q]), ", ")}}
	}
	return u, true, nil
}

func oneOf(s string, list []string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func namesOfKind(kinds []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, spelling := range []string{"mm", "in", "cm", "0.1mm", "0.01in", "c", "f", "w/m2", "kwh/m2/day", "mj/m2/day", "ly/day", "w", "kw", "wh", "kwh", "l/s", "l/min", "gpm", "m3/s", "cfs", "%", "l", "gal", "s"} {
		u := units[spelling]
		if oneOf(u.kind, kinds) && !seen[u.name] {
			seen[u.name] = true
			out = append(out, spelling)
		}
	}
	return out
}

// told finds the unit in --unit, behind the numbers, in the header, or in the
// titles of the table.
func (t *table) told(c *column, o Options, main bool) (u unit, why string, ok bool, ps Problems) {
	if main {
		if u, ok, ps := t.askedUnit(c, o); ok || len(ps) > 0 {
			return u, "as --unit says", ok, ps
		}
	}
	if c.unit.name != "" {
		return c.unit, c.why, true, nil
	}
	if u, ok := inHeader(c.header, unitKinds[c.q]...); ok {
		return u, "the header says so: " + clip(c.header), true, nil
	}
	if u, ok := unitOf(c.header); ok && oneOf(u.kind, unitKinds[c.q]) {
		return u, "the header says so: " + clip(c.header), true, nil
	}
	for _, line := range strings.Split(t.titles, "\n") {
		if u, ok := inHeader(line, unitKinds[c.q]...); ok && quantityOf(line) == c.q {
			return u, "a line beside the table says so: " + clip(trim(line)), true, nil
		}
		low := strings.ToLower(line)
		i := strings.Index(low, "unit")
		if i < 0 {
			continue
		}
		for _, w := range strings.FieldsFunc(line[i:], func(r rune) bool { return strings.ContainsRune(" ,:;=()", r) }) {
			if u, ok := unitOf(w); ok && oneOf(u.kind, unitKinds[c.q]) && len(w) > 1 {
				return u, "a line beside the table says so: " + clip(trim(line)), true, nil
			}
		}
	}
	return unit{}, "", false, nil
}

// rainUnit finds the unit of rain: told, or by the size of a year's sum and of
// a wet day's mean. raw holds the days in the unknown unit, NaN where missing.
//
// A wet day brings 2 to 20 mm in nearly every climate, 0.08 to 0.8 in, and a
// year 200 to 4,000 mm, 8 to 160 in (ranges from memory; the test holds them
// against five measured places). Both have to say the same.
func (t *table) rainUnit(g *Gathered, c *column, raw []float64, o Options) (unit, Problems) {
	u, why, ok, ps := t.told(c, o, true)
	if len(ps) > 0 {
		return unit{}, ps
	}
	sum, wetSum, days, wet, whole := 0.0, 0.0, 0, 0, true
	for _, v := range raw {
		if math.IsNaN(v) {
			continue
		}
		days++
		sum += v
		if v > 0 {
			wet++
			wetSum += v
		}
		whole = whole && v == math.Trunc(v)
	}
	year := sum / float64(max(days, 1)) * 365.25
	wetDay := wetSum / float64(max(wet, 1))
	if !ok && t.attributes() && whole && c.unit.name == "" {
		u, why, ok = unitNamed("tenths of mm"), "whole numbers beside columns of attributes: the layout of GHCN-Daily by station", true
	}
	sums := fmt.Sprintf("%s a year, %s on a wet day", digits3(year), digits3(wetDay))
	if ok {
		t.find("rain is in "+u.name, why)
		return u, nil
	}
	asMM := year >= 150 && year <= 8000 && wetDay >= 1.5 && wetDay <= 40
	asInch := year >= 5 && year <= 300 && wetDay >= 0.05 && wetDay <= 1.2
	switch {
	case days < 60 || wet < 10:
	case asMM && !asInch:
		t.find("rain is in mm", "by its size: "+sums)
		return unitNamed("mm"), nil
	case asInch && !asMM:
		t.find("rain is in inches", "by its size: "+sums)
		return unitNamed("inches"), nil
	}
	hint := "say it: --unit mm or --unit in"
	if whole && year > 2000 {
		hint = "say it: --unit mm, in, 0.1mm (tenths of mm) or 0.01in (hundredths of an inch)"
	}
	return unit{}, Problems{t.problem(t.headerLine, hint, "nothing tells the unit of %s: %s", nameOf(c), sums)}
}

func nameOf(c *column) string {
	if c.header == "" {
		return fmt.Sprintf("column %d", c.at+1)
	}
	return fmt.Sprintf("%q", clip(c.header))
}

func digits3(v float64) string {
	switch {
	case v >= 100:
		return fmt.Sprintf("%.0f", v)
	case v >= 10:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.2f", v)
}

// attributes tells the layout of GHCN-Daily by station: columns of attributes
// beside those of values.
func (t *table) attributes() bool {
	for _, h := range t.header {
		if strings.HasSuffix(strings.ToUpper(h), "_ATTRIBUTES") {
			return true
		}
	}
	return t.tenths
}

// tempUnit finds the unit of temperatures: told, or by their mean.
func (t *table) tempUnit(g *Gathered, c *column) (unit, Problems) {
	u, why, ok, _ := t.told(c, Options{}, false)
	sum, n, whole := 0.0, 0, true
	for _, v := range c.values {
		if v.st == known {
			sum += v.v
			n++
			whole = whole && v.v == math.Trunc(v.v)
		}
	}
	mean := sum / float64(max(n, 1))
	if !ok && t.attributes() && whole && math.Abs(mean) > 20 {
		u, why, ok = unitNamed("tenths of °C"), "whole numbers beside columns of attributes: the layout of GHCN-Daily by station", true
	}
	if !ok && n > 0 {
		// No place on earth has a yearly mean above 36 °C, and hardly a
		// homestead one below 36 °F (2 °C) of its days' highs (from memory).
		switch {
		case mean > 150:
		case mean > 45:
			u, why, ok = unitNamed("°F"), fmt.Sprintf("by its mean, %.1f", mean), true
		case mean < 30:
			u, why, ok = unitNamed("°C"), fmt.Sprintf("by its mean, %.1f", mean), true
		}
		if !ok {
			return unit{}, Problems{t.problem(t.headerLine, "write it into the header: "+clip(c.header)+" (C) or (F)", "nothing tells the unit of %s: its mean is %.1f", nameOf(c), mean)}
		}
	}
	if n == 0 {
		return unitNamed("°C"), nil
	}
	t.find(quantityNames[c.q]+" is in "+u.name, why)
	return u, nil
}

package gather

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sunrill/sim/measure"
)

// number writes a value with at most some decimals and no trailing zeros.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// from names the files, for the comment of an output.
func from(places []daily) string {
	seen := map[string]bool{}
	var names []string
	for _, d := range places {
		for _, p := range d.from {
			if p.file != "" && !seen[p.file] {
				seen[p.file] = true
				names = append(names, strings.Map(printable, p.file))
			}
		}
	}
	slices.Sort(names)
	if len(names) > 6 {
		names = append(names[:6], "…")
	}
	return strings.Join(names, ", ")
}

func printable(r rune) rune {
	if r < ' ' || r == '\ufeff' {
		return ' '
	}
	return r
}

// writeRain lays out rain.csv: days of which nothing is known are left out.
func (g *Gathered) writeRain(grid dayGrid, fall, low, high daily, u, temp unit, hasTemp bool) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# From %s. A day of which nothing is known is left out; a blank cell was not read.\n", from([]daily{fall, low, high}))
	marks := len(fall.why) > 0
	rainName, rainDigits := "rain_mm", 2
	if u.name == "inches" {
		rainName, rainDigits = "rain_in", 4
	}
	suffix, tempUnit := "c", unitNamed("°C")
	if temp.name == "°F" {
		suffix, tempUnit = "f", temp
	}
	b.WriteString("date," + rainName)
	if hasTemp {
		b.WriteString(",tmin_" + suffix + ",tmax_" + suffix)
	}
	if marks {
		b.WriteString(",note")
	}
	b.WriteByte('\n')
	rows, swapped := 0, 0
	for i, mm := range fall.v {
		lo, hi := low.v[i], high.v[i]
		if math.IsNaN(mm) && math.IsNaN(lo) && math.IsNaN(hi) {
			continue
		}
		if lo > hi {
			swapped++
			lo, hi = math.NaN(), math.NaN()
			if math.IsNaN(mm) {
				continue
			}
		}
		rows++
		b.WriteString(iso(grid.day(i)) + ",")
		if !math.IsNaN(mm) {
			b.WriteString(number(mm/u.factor, rainDigits))
		}
		if hasTemp {
			for _, c := range []float64{lo, hi} {
				b.WriteByte(',')
				if !math.IsNaN(c) {
					b.WriteString(number((c-tempUnit.offset)/tempUnit.factor, 1))
				}
			}
		}
		if marks {
			b.WriteString("," + fall.why[i])
		}
		b.WriteByte('\n')
	}
	if swapped > 0 {
		g.Warnings = append(g.Warnings, fmt.Sprintf("%s a lowest temperature above the highest; both are left blank", measure.Plural(swapped, "day has", "days have")))
	}
	g.Outputs = append(g.Outputs, Output{"rain.csv", b.Bytes(), rows})
	g.Set = append(g.Set, "[rain]", `file = "rain.csv"`)
}

package gather

import (
	"bytes"
	"fmt"
	"strings"
	"sunrill/sim/measure"
	"time"
)

// typicalYear is the year that an hourly typical year is written under: its
// months are of different years, and any common year will do.
const typicalYear = 2001

// hoursTable begins a table of hourly sun.
func hoursTable(name string) *table {
	t := &table{name: name, ending: true, clocked: true, typical: true, texts: map[quantity][]string{}}
	for _, c := range []struct {
		q    quantity
		name string
		unit string
	}{{ghi, "global horizontal", "W/m²"}, {dni, "direct normal", "W/m²"}, {dhi, "diffuse horizontal", "W/m²"}, {tmean, "air temperature", "°C"}} {
		t.columns = append(t.columns, &column{q: c.q, header: c.name, quality: -1, unit: unitNamed(c.unit), why: "the layout of the format"})
	}
	return t
}

// hour keeps a row: the month and the day, and the hour that it ends with.
func (t *table) hour(month, day, hour, line int, v [4]value) {
	at := time.Date(typicalYear, time.Month(month), day, 0, 0, 0, 0, time.UTC).Add(time.Duration(hour) * time.Hour)
	t.times, t.lines = append(t.times, at), append(t.lines, line)
	for i, c := range t.columns {
		c.values = append(c.values, v[i])
	}
}

// measured makes a value of a cell that holds a number; what is at or above
// the format's mark is missing.
func measured(cell string, missingFrom float64) (value, bool) {
	v, ok := plainNumber(strings.TrimSpace(cell))
	if !ok {
		return value{}, false
	}
	if v >= missingFrom || v <= -900 {
		return value{st: missing}, true
	}
	return value{v: v, st: known}, true
}

// readEPW reads an EnergyPlus weather file: 8 header lines, then a row an hour,
// stamped 1 to 24 with the hour's end in standard time. Field 7 is the air's
// temperature in °C (99.9 missing), 14 to 16 global horizontal, direct normal
// and diffuse horizontal sun in Wh/m² of the hour (9999 missing) [EPW].
func readEPW(name string, text []byte) (*table, Problems) {
	t := hoursTable(name)
	var ps Problems
	head := ""
	hours := 0
	for line := 1; len(text) > 0; line++ {
		this, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		l := strings.TrimSpace(string(this))
		if line == 1 {
			head = l
		}
		if line <= 8 || l == "" {
			continue
		}
		f := strings.Split(l, ",")
		if len(f) < 16 {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("has %d fields; an hour of an EPW file has 35", len(f))})
			continue
		}
		month, day, hour := num(strings.TrimSpace(f[1])), num(strings.TrimSpace(f[2])), num(strings.TrimSpace(f[3]))
		if !possible(typicalYear, month, day) || hour < 1 || hour > 24 {
			if month == 2 && day == 29 {
				continue // a typical year has none
			}
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("month %s, day %s, hour %s: there is no such hour", f[1], f[2], f[3])})
			continue
		}
		var v [4]value
		good := true
		for i, field := range [4]int{13, 14, 15, 6} {
			limit := 9999.0
			if i == 3 {
				limit = 99.9
			}
			var ok bool
			if v[i], ok = measured(f[field], limit); !ok {
				ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("field %d: %q is no number", field+1, clip(f[field]))})
				good = false
			}
		}
		if good {
			hours++
			t.hour(month, day, hour, line, v)
		}
	}
	if hours == 0 && len(ps) == 0 {
		ps = append(ps, Problem{File: name, What: "holds no hours below its 8 header lines"})
	}
	f := append(strings.Split(head, ","), make([]string, 10)...)
	t.find(fmt.Sprintf("EPW, %s hours of a typical year, stamped with their end; place %s, latitude %s, longitude %s, utc_offset %s", measure.Count(hours), f[1], f[6], f[7], f[8]), "by its first line, LOCATION")
	return t, ps
}

// readTMY3 reads a station file of NREL's typical meteorological years: a line
// with the station, a header, then a row an hour, 01:00 to 24:00, stamped with
// the hour's end in standard time; GHI, DNI and DHI in W/m², dry-bulb in °C
// [TMY3]. The columns are found by the header.
func readTMY3(name string, text []byte) (*table, Problems) {
	t := hoursTable(name)
	var ps Problems
	place := ""
	at := map[string]int{}
	hours := 0
	for line := 1; len(text) > 0; line++ {
		this, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		l := strings.TrimSpace(string(this))
		if l == "" {
			continue
		}
		f := strings.Split(l, ",")
		switch line {
		case 1:
			f = append(f, make([]string, 7)...)
			place = fmt.Sprintf("%s %s, latitude %s, longitude %s, utc_offset %s", f[1], f[2], f[4], f[5], f[3])
			continue
		case 2:
			for i, h := range f {
				at[strings.TrimSpace(h)] = i
			}
			for _, need := range []string{"Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)"} {
				if _, ok := at[need]; !ok {
					ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("the column %q is missing", need)})
				}
			}
			if len(ps) > 0 {
				return nil, ps
			}
			continue
		}
		cell := func(h string) string {
			if i := at[h]; i < len(f) {
				return strings.TrimSpace(f[i])
			}
			return ""
		}
		date, clock := cell("Date (MM/DD/YYYY)"), cell("Time (HH:MM)")
		if len(date) != 10 || len(clock) != 5 || !possible(typicalYear, num(date[:2]), num(date[3:5])) && date[:5] != "02/29" || num(clock[:2]) < 1 || num(clock[:2]) > 24 || clock[3:] != "00" {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("%s %s is no hour", clip(date), clip(clock)), Hint: "month/day/year, and 01:00 to 24:00"})
			continue
		}
		if date[:5] == "02/29" {
			continue
		}
		var v [4]value
		good := true
		for i, h := range [4]string{"GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)"} {
			var ok bool
			if v[i], ok = measured(cell(h), 9900); !ok {
				ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("%s: %q is no number", h, clip(cell(h)))})
				good = false
			}
		}
		if good {
			hours++
			t.hour(num(date[:2]), num(date[3:5]), num(clock[:2]), line, v)
		}
	}
	if hours == 0 && len(ps) == 0 {
		ps = append(ps, Problem{File: name, What: "holds no hours below its two header lines"})
	}
	t.find(fmt.Sprintf("TMY3, %s hours of a typical year, stamped with their end; place %s", measure.Count(hours), strings.ReplaceAll(place, `"`, "")), "by its second line")
	return t, ps
}

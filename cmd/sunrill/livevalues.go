package main

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sunrill/cmd/sunrill/live"
	"sunrill/sim/measure"
	"sunrill/sim/site"
	"sunrill/storage"
)

// Values implements [live.Homestead].
func (p *livePage) Values(shown string) ([]live.Group, string, error) {
	s, _, err := p.load(nil, "")
	if err != nil {
		return nil, "metric", err
	}
	own := map[bool]string{false: "metric", true: "us"}[s.US]
	system := measure.Of(shown == "us" || shown == "" && s.US)
	spell := func(text string) string {
		if shown == "" || shown == own {
			return text // as the file has it
		}
		return system.Respell(text, 4)
	}
	var groups []live.Group
	at := map[string]int{}
	add := func(v live.Value) {
		table, _, ok := strings.Cut(v.Key, ".")
		if !ok {
			table = "place"
		}
		i, known := at[table]
		if !known {
			i = len(groups)
			at[table] = i
			groups = append(groups, live.Group{Name: table})
		}
		groups[i].Values = append(groups[i].Values, v)
	}
	for _, table := range []string{"place", "bank", "array", "stream", "intake", "forebay", "penstock", "turbine", "visits", "cable", "inverter"} {
		at[table] = len(groups)
		groups = append(groups, live.Group{Name: table})
	}
	for _, g := range s.Given {
		if !movable(g.Key) {
			continue
		}
		add(liveValue(g.Key, spell(g.Value)))
	}
	for _, d := range s.Defaults {
		key := listEntry.ReplaceAllString(d.Key, ".$1")
		value, reason := d.In(system)
		if !movable(key) || strings.HasPrefix(value, "table of") {
			continue
		}
		v := liveValue(key, value)
		v.Default, v.Reason = true, reason
		add(v)
	}
	groups = slices.DeleteFunc(groups, func(g live.Group) bool { return len(g.Values) == 0 })
	if t := loadsTable(s); t != nil {
		groups = append(groups, live.Group{Name: "appliances", Table: t})
	}
	today := live.Group{Name: "today, for the days ahead"}
	for _, v := range []live.Value{
		{Key: todayKey + "charge", Label: "charge of the bank", Text: "80 %"},
		{Key: todayKey + "flow", Label: "creek, if you read it"},
		{Key: todayKey + "date", Label: "day (today, if empty)"},
	} {
		if v.Text != "" {
			slide := liveValue(v.Key, v.Text)
			slide.Label = v.Label
			v = slide
		}
		today.Values = append(today.Values, v)
	}
	return append(groups, today), own, nil
}

var (
	listEntry = regexp.MustCompile(`\[(\d+)\]`)
	readable  = strings.NewReplacer("_soc", " charge", "_", " ")
	sliding   = regexp.MustCompile(`^(-?\d+(?:\.\d+)?) ?([^\d\s"\[\]].*)?$`)
)

// movable tells whether a key's value is one to move: not a name of a file.
func movable(key string) bool {
	last := key[strings.LastIndexByte(key, '.')+1:]
	return last != "file" && last != "hourly" && last != "parameters" && last != "horizon" && (last != "name" || key == "name") && key != "units" && last != "seed" && !strings.HasPrefix(key, "year.")
}

// liveValue is a value with its slider, if it is a number with a unit.
func liveValue(key, text string) live.Value {
	parts := strings.Split(readable.Replace(key), ".")
	if len(parts) > 1 {
		parts = parts[1:]
	}
	v := live.Value{Key: key, Label: strings.Join(parts, ": "), Text: text, Choices: liveChoices[key]}
	m := sliding.FindStringSubmatch(text)
	if m == nil || v.Choices != nil {
		return v
	}
	n, err := strconv.ParseFloat(m[1], 64)
	unit := m[2]
	last := parts[len(parts)-1]
	if err != nil || n == 0 && unit == "" || last == "latitude" || last == "longitude" || last == "utc offset" {
		return v
	}
	v.Slides, v.Number, v.Unit = true, n, unit
	switch {
	case unit == "%":
		v.Low, v.High, v.Step = 0, 100, 1
	case unit == "deg" && (strings.Contains(last, "facing")):
		v.Low, v.High, v.Step = 0, 360, 5
	case unit == "deg":
		v.Low, v.High, v.Step = 0, 90, 1
	case n < 0 || unit == "C":
		v.Low, v.High, v.Step = math.Min(2*n, -20), math.Max(2*n, 50), 1
	default:
		v.High = 3 * n
		if n == 0 {
			v.High = 10
		}
		v.Step = math.Pow(10, math.Floor(math.Log10(v.High/60)))
		v.High = math.Ceil(v.High/v.Step) * v.Step
	}
	if math.Abs(math.Mod(n, v.Step)) > 1e-9 && math.Abs(math.Mod(n, v.Step)-v.Step) > 1e-9 {
		v.Step /= 10
	}
	return v
}

// liveChoices are the values of keys that take one of a few words.
var liveChoices = map[string][]string{
	"bank.place":     {"indoors", "shed"},
	"bank.model":     {"bucket", "two-well"},
	"bank.chemistry": storage.Chemistries(),
}

// loadsTable is the list of appliances.
func loadsTable(s *site.Site) *live.Table {
	if s.DemandW != nil || len(s.Appliances) == 0 {
		return nil
	}
	t := &live.Table{Head: []string{"appliance", "watts", "count"}}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	for _, a := range s.Appliances {
		key := func(column string) string {
			if strings.Contains(a.Name, ".") {
				return fmt.Sprintf("loads.%q.%s", a.Name, column)
			}
			return "loads." + a.Name + "." + column
		}
		t.Rows = append(t.Rows, live.Row{Name: a.Name, Cells: []live.Value{
			{Key: key("watts"), Label: a.Name + ", watts", Text: number(a.Watts)},
			{Key: key("count"), Label: a.Name + ", count", Text: number(a.Count)},
		}})
	}
	return t
}

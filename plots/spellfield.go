package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"
)

// SpellField is the deficit spells of all years: when they began and how deep
// they went.
type SpellField struct {
	Month    []time.Month // in which each began
	DepthKWh []float64
	// UsableKWh is what banks of the sizes in RatedKWh give between full and
	// floor, rising.
	RatedKWh, UsableKWh []float64
	Present             int    // which of them is the present bank; −1: none
	From                string // what the sources live on: "sun and creek"
	Years               int
	South               bool // the site lies south of the equator: its winter begins in June
}

// quarters are the seasons by which spells are told apart, from the one with
// least sun.
var quarters = [4]string{"Dec to Feb", "Mar to May", "Jun to Aug", "Sep to Nov"}

// season returns the quarter of a month, 0 for the darkest.
func (v SpellField) season(m time.Month) int {
	q := int(m) % 12 / 3
	if v.South {
		q = (q + 2) % 4
	}
	return q
}

// often counts the spells a year by what carries them and by season: row k is
// those that the k-th bank carries and the one before does not, the last those
// that none carries.
func (v SpellField) often() [][4]float64 {
	rows := make([][4]float64, len(v.UsableKWh)+1)
	for i, kWh := range v.DepthKWh {
		k, _ := slices.BinarySearch(v.UsableKWh, kWh)
		rows[k][v.season(v.Month[i])] += 1 / float64(max(v.Years, 1))
	}
	return rows
}

// rowName says which spells stand in a row of often.
func (v SpellField) rowName(k int) string {
	switch {
	case len(v.RatedKWh) == 0:
		return "all"
	case k == len(v.RatedKWh):
		return fmt.Sprintf("more than %s kWh", short(v.RatedKWh[k-1]))
	case k == v.Present:
		return fmt.Sprintf("your %s kWh", short(v.RatedKWh[k]))
	}
	return short(v.RatedKWh[k]) + " kWh"
}

// SpellDepths draws how many spells a year it takes which bank to carry, by
// season.
func SpellDepths(v SpellField) Chart {
	rows := v.often()
	n := len(rows)
	p := New("spells of more than a day, a year", "")
	names := make(Names, n)
	maximum := 0.0
	var words Labels
	name := func(q int) string {
		if v.South {
			q = (q + 2) % 4
		}
		return quarters[q]
	}
	c := Chart{
		Name:    "bank-spells",
		Title:   "How often it takes which bank",
		Plot:    p,
		Height:  100 + 26*vg.Length(n),
		Numbers: v.numbers(rows),
	}
	level := make([]float64, n)
	for q := range quarters {
		var boxes []Box
		for k, r := range rows {
			at := float64(n - 1 - k)
			if r[q] > 0 {
				boxes = append(boxes, Box{level[k], level[k] + r[q], at - 0.34, at + 0.34})
			}
			level[k] += r[q]
		}
		bars := Bars{Boxes: boxes, Color: seasonShade(q), Hatch: []Hatch{NoHatch, Falling, NoHatch, Rising}[q], Outline: Unmet.Solid(Fine)}
		if len(boxes) > 0 {
			p.Add(bars)
			c.Legend = append(c.Legend, LegendEntry{"from " + name(q), bars})
		}
	}
	total := 0.0
	for k := range rows {
		names[n-1-k] = v.rowName(k)
		maximum, total = max(maximum, level[k]), total+level[k]
		words.X, words.Y, words.Text = append(words.X, level[k]), append(words.Y, float64(n-1-k)), append(words.Text, timesAYear(level[k]))
	}
	p.Add(words)
	if v.Present >= 0 && v.Present < len(v.RatedKWh) {
		r := Rule{At: float64(n-1-v.Present) - 0.5, Style: Bank.Solid(Bold)}
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{"your bank carries those above", r})
	}
	p.X.Min, p.X.Max = 0, max(1.3*maximum, 0.1)
	p.Y.Min, p.Y.Max = -0.6, float64(n)-0.4
	p.Y.Tick.Marker, p.Y.Tick.Length = names, 0
	c.Caption = "A spell is a time in which " + v.From + " fall short of what the house asks for; each bar counts those that a bank of this size carries and the next smaller one does not. A bigger bank is worth what the bars below your line show."
	deep := 0.0
	for k := v.Present + 1; k < n; k++ {
		deep += level[k]
	}
	c.Alt = fmt.Sprintf("%d spells of more than a day in %d years, %s a year", len(v.DepthKWh), v.Years, short(total))
	if v.Present >= 0 {
		c.Alt += fmt.Sprintf("; %s are more than the present bank carries", timesAYear(deep))
	}
	c.Alt += "."
	return c
}

// seasonShade is a scale of the colour of failure, dark for the darkest season.
func seasonShade(q int) color.NRGBA { return Unmet.Shade([4]float64{0.85, 0.45, 0.12, 0.6}[q]) }

// timesAYear says how often something comes.
func timesAYear(perYear float64) string {
	switch {
	case perYear <= 0:
		return "never"
	case perYear < 0.75:
		return fmt.Sprintf("1 in %.0f years", math.Max(2, math.Round(1/perYear)))
	}
	return short(perYear) + " a year"
}

func (v SpellField) numbers(rows [][4]float64) []Column {
	c := []Column{{Name: "bank_kwh"}, {Name: "usable_kwh"}, {Name: "from_months"}, {Name: "spells_a_year"}}
	for k, r := range rows {
		rated, usable := math.NaN(), math.NaN()
		if k < len(v.RatedKWh) {
			rated, usable = v.RatedKWh[k], v.UsableKWh[k]
		}
		for q, often := range r {
			at := q
			if v.South {
				at = (q + 2) % 4
			}
			c[0].Values, c[1].Values = append(c[0].Values, rated), append(c[1].Values, usable)
			c[2].Texts, c[3].Values = append(c[2].Texts, quarters[at]), append(c[3].Values, often)
		}
	}
	return c
}

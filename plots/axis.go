package plots

import (
	"math"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// MonthTicks writes the names of the months at their middles along an axis
// that counts days from Start. It marks no ticks: the faint lines of the plot
// stand where months begin.
type MonthTicks struct {
	Start  time.Time
	Days   int
	Silent bool // no names, for a plot that stands above another
}

// Ticks returns a label for each month of which at least ten days are shown.
func (m MonthTicks) Ticks(lo, hi float64) []plot.Tick {
	var ticks []plot.Tick
	if m.Silent {
		return nil
	}
	starts := append(m.starts(), float64(m.Days))
	first := 0.0
	for _, next := range starts {
		from, to := max(first, lo), min(next, hi)
		if to-from >= 10 {
			mid := (from + to) / 2
			at := m.Start.Add(time.Duration(mid * 24 * float64(time.Hour)))
			ticks = append(ticks, plot.Tick{Value: mid, Label: at.Format("Jan")})
		}
		first = next
	}
	return ticks
}

// starts returns the days on which months begin, after the first day.
func (m MonthTicks) starts() []float64 {
	var days []float64
	t := time.Date(m.Start.Year(), m.Start.Month(), 1, 0, 0, 0, 0, m.Start.Location())
	for {
		t = t.AddDate(0, 1, 0)
		d := math.Round(t.Sub(m.Start).Hours() / 24)
		if d >= float64(m.Days) {
			return days
		}
		days = append(days, d)
	}
}

// YearAxis makes the plot's x axis run over days from start and names the
// months and the years: "month, 2016–17".
func YearAxis(p *plot.Plot, start time.Time, days int) {
	p.X.Min, p.X.Max = 0, float64(days)
	p.X.Tick.Marker = MonthTicks{Start: start, Days: days}
	noTicks(p)
	p.X.Label.Text = "month, " + yearName(start, days)
}

// noTicks leaves out the marks of the x axis and moves its names off the line.
func noTicks(p *plot.Plot) {
	p.X.Tick.Length = 0
	p.X.Tick.Label.YAlign = -1.2
	p.X.Label.Padding = 6
}

// unnamed takes the names off the x axis of a plot that stands above another
// with the same axis.
func unnamed(p *plot.Plot) {
	p.X.Label.Text = ""
	switch m := p.X.Tick.Marker.(type) {
	case MonthTicks:
		m.Silent = true
		p.X.Tick.Marker = m
	case yearTicks:
		m.silent = true
		p.X.Tick.Marker = m
	default:
		p.X.Tick.Marker = plot.ConstantTicks(nil)
	}
}

// MonthsUp does the same for the y axis.
func MonthsUp(p *plot.Plot, start time.Time, days int) {
	p.Y.Min, p.Y.Max = 0, float64(days)
	p.Y.Tick.Marker = MonthTicks{Start: start, Days: days}
	p.Y.Tick.Length = 0
}

// yearName names the calendar years that a run touches: "2016" or "2016–17".
func yearName(start time.Time, days int) string {
	first, last := start.Year(), start.AddDate(0, 0, days-1).Year()
	if first == last {
		return strconv.Itoa(first)
	}
	return strconv.Itoa(first) + "–" + strconv.Itoa(last)[2:]
}

// RoundTicks marks an axis at round numbers (1, 2 or 5 times a power of ten)
// and no more than Most of them; 0 means 6.
type RoundTicks struct{ Most int }

// Ticks returns the marks between lo and hi.
func (r RoundTicks) Ticks(lo, hi float64) []plot.Tick {
	maximum := r.Most
	if maximum == 0 {
		maximum = 6
	}
	step := roundStep((hi - lo) / float64(maximum-1))
	if !(step > 0) || math.IsInf(step, 0) {
		return nil
	}
	places := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+1e-9*step; i++ {
		ticks = append(ticks, plot.Tick{Value: i * step, Label: grouped(i*step, places)})
	}
	return ticks
}

// roundStep returns the smallest of 1, 2, 5 times a power of ten that is not
// below raw.
func roundStep(raw float64) float64 {
	if !(raw > 0) {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range []float64{1, 2, 5, 10} {
		if f*power >= raw*(1-1e-9) {
			return f * power
		}
	}
	return 10 * power
}

// grouped prints v with the given decimal places, with commas between
// thousands and a true minus sign.
func grouped(v float64, places int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', places, 64)
	whole, rest := s, ""
	if places > 0 {
		whole, rest = s[:len(s)-places-1], s[len(s)-places-1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if v < 0 && strings.Trim(s, "0.") != "" {
		return "−" + whole + rest
	}
	return whole + rest
}

// LogTicks marks a logarithmic axis at 1, 2 and 5 times powers of ten, or at
// the powers alone where the axis is long.
type LogTicks struct{}

// Ticks returns the marks between lo and hi, both above 0.
func (LogTicks) Ticks(lo, hi float64) []plot.Tick {
	if !(lo > 0) || !(hi > lo) {
		return nil
	}
	factors := []float64{1, 2, 5}
	if hi/lo > 500 {
		factors = factors[:1]
	}
	var ticks []plot.Tick
	for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
		for _, f := range factors {
			v := f * math.Pow(10, e)
			if v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
				ticks = append(ticks, plot.Tick{Value: v, Label: grouped(v, max(0, -int(e)))})
			}
		}
	}
	return ticks
}

// HourTicks marks the hours of a day: 0:00, 6:00 … 24:00, or the bare numbers
// where there is little room.
type HourTicks struct{ Bare bool }

// Ticks returns the marks between lo and hi.
func (t HourTicks) Ticks(lo, hi float64) []plot.Tick {
	tail := ":00"
	if t.Bare {
		tail = ""
	}
	var ticks []plot.Tick
	for h := 0.0; h <= 24; h += 6 {
		if h >= lo && h <= hi {
			ticks = append(ticks, plot.Tick{Value: h, Label: strconv.Itoa(int(h)) + tail})
		}
	}
	return ticks
}

// Names marks the whole numbers 0, 1, 2 … with words.
type Names []string

// Ticks returns one mark a name.
func (n Names) Ticks(lo, hi float64) []plot.Tick {
	ticks := make([]plot.Tick, len(n))
	for i, s := range n {
		ticks[i] = plot.Tick{Value: float64(i), Label: cut(Letters(), s, nameWidth)}
	}
	return ticks
}

// nameWidth is how wide a name may be beside an axis: longer ones would leave no
// room for what they name.
const nameWidth = 0.62 * Width

// cut shortens a name until it is no wider than width; what a chart cuts, the
// file of its numbers has in full.
func cut(sty text.Style, name string, width vg.Length) string {
	if sty.Width(name) <= width {
		return name
	}
	r := []rune(name)
	for len(r) > 1 && sty.Width(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}

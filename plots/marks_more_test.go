package plots_test

import (
	"bytes"
	"encoding/base64"
	"image/png"
	"math"
	"regexp"
	"testing"

	"sunrill/plots"
)

// The map is a picture of days by hours: each cell is looked up in its pixels, and
// its place by the axes about it.
func TestMarksOfHourMap(t *testing.T) {
	v := plots.Hours{Start: marksStart, UnmetW: make([]float64, 8760), SurplusW: make([]float64, 8760), UnmetThresholdW: 1}
	for d := range 365 {
		v.SurplusW[24*d+12] = 500
	}
	v.UnmetW[24*100+20], v.UnmetW[24*101+20] = 300, 150
	c := plots.HourMap(v)
	svg, err := c.SVG()
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`<image x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"[^>]*base64,([^"]+)"`).FindSubmatch(svg)
	if m == nil {
		t.Fatal("no map in the picture")
	}
	data, err := base64.StdEncoding.DecodeString(string(m[5]))
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	size := img.Bounds()
	at := func(day, hour int) (red, blue uint32) {
		x := (2*day + 1) * size.Dx() / (2 * 365)
		y := size.Dy() - 1 - (2*hour+1)*size.Dy()/(2*24)
		r, _, b, _ := img.At(x, y).RGBA()
		return r >> 8, b >> 8
	}
	for _, c := range []struct {
		day, hour int
		kind      string
	}{{100, 20, "unmet"}, {101, 20, "unmet"}, {102, 20, "none"}, {99, 20, "none"}, {100, 12, "surplus"}, {200, 12, "surplus"}, {200, 11, "none"}, {364, 12, "surplus"}, {0, 12, "surplus"}} {
		r, b := at(c.day, c.hour)
		got := "none"
		switch {
		case r > 200 && b < 200:
			got = "surplus"
		case b < 60 && r < 250:
			got = "unmet"
		}
		if got != c.kind {
			t.Errorf("day %d, hour %d: %s (red %d, blue %d), want %s", c.day, c.hour, got, r, b, c.kind)
		}
	}
	strong, _ := at(100, 20)
	weak, _ := at(101, 20)
	if strong >= weak {
		t.Errorf("300 W missing are no darker than 150: red %d and %d", strong, weak)
	}
	// The picture fills the plot.
	a := look(t, c).panels(t)[0]
	place := func(i int) float64 {
		n := 0.0
		for _, ch := range string(m[i]) {
			if ch == '.' {
				break
			}
			n = 10*n + float64(ch-'0')
		}
		return n
	}
	if math.Abs(place(1)-a.left) > 2 || math.Abs(place(1)+place(3)-a.right) > 3 || math.Abs(place(2)-a.top) > 2 || math.Abs(place(2)+place(4)-a.bottom) > 3 {
		t.Errorf("the map stands at %s %s, %s × %s; the plot from %.0f to %.0f and %.0f to %.0f", m[1], m[2], m[3], m[4], a.left, a.right, a.top, a.bottom)
	}
}

func fanOf(n int, p10, p20, p50, p80, p90 func(d float64) float64) (f plots.DayFan) {
	for d := range n {
		x := float64(d)
		f.P10, f.P20, f.P50, f.P80, f.P90 = append(f.P10, p10(x)), append(f.P20, p20(x)), append(f.P50, p50(x)), append(f.P80, p80(x)), append(f.P90, p90(x))
	}
	return f
}

func TestMarksOfTheDaysAhead(t *testing.T) {
	falls := func(by float64) func(float64) float64 {
		return func(d float64) float64 { return 0.9 - by - 0.005*d }
	}
	grows := func(by float64) func(float64) float64 {
		return func(d float64) float64 { return by * math.Exp(d/40) / 1000 }
	}
	const n = 60
	v := plots.Ahead{Start: marksStart, FloorSoC: 0.2, Charge: fanOf(n, falls(0.3), falls(0.2), falls(0.1), falls(0.05), falls(0)),
		Flow: fanOf(n, grows(1), grows(1.2), grows(2), grows(3), grows(4)), SetM3S: []float64{0.003}}
	chance := plots.ChanceLine{Name: "open now"}
	for d := range n {
		chance.Chance = append(chance.Chance, float64(d+1)/n/2)
	}
	v.Plans = []plots.ChanceLine{chance}

	p := look(t, plots.ChargeAhead(v))
	a := p.panels(t)[0].across(0, n)
	lines := p.lines(a, paint(plots.Bank.Shade(0.85)))
	if len(lines) != 1 {
		t.Fatalf("%d lines of charge", len(lines))
	}
	sameLine(t, "charge", lines[0], func(day float64) float64 { return 80 - 0.5*(day-0.5) }, 0.5)
	for fraction, edge := range map[float64][2]float64{0.3: {90, 60}, 0.6: {85, 70}} {
		seen := 0
		for _, m := range p.marks {
			if m.fill != paint(plots.Bank.Tint(fraction)) || len(m.x) < n || !a.holds(m) {
				continue
			}
			for i := range m.x[:len(m.x)-1] {
				day, got := a.x.read(m.x[i])-0.5, a.y.read(m.y[i])
				want := edge[map[bool]int{true: 0, false: 1}[i < len(m.x)/2]] - 0.5*day
				if seen++; math.Abs(got-want) > 0.7 {
					t.Fatalf("band %g on day %.1f: %.2f %%, want %.2f", fraction, day, got, want)
				}
			}
		}
		if seen < n {
			t.Errorf("band %g is not drawn", fraction)
		}
	}

	p = look(t, plots.CreekAhead(v))
	a = p.panels(t)[0].across(0, n)
	a.y.log = true
	lines = p.lines(a, paint(plots.Creek.Shade(0.85)))
	if len(lines) != 1 {
		t.Fatalf("%d lines of the creek", len(lines))
	}
	for _, at := range lines[0] {
		if want := 2 * math.Exp((at[0]-0.5)/40); math.Abs(at[1]/want-1) > 0.02 {
			t.Fatalf("the creek on day %.1f is %.3f L/s, want %.3f", at[0], at[1], want)
		}
	}
	set := false
	for _, m := range p.marks {
		set = set || m.dashed && len(m.x) == 2 && a.holds(m) && high(m.x)-low(m.x) > 100 && math.Abs(a.y.read(m.y[0])-3) < 0.06
	}
	if !set {
		t.Error("no line at the 3 L/s of the nozzles")
	}

	p = look(t, plots.DarkAhead(v))
	a = p.panels(t)[0].across(0, n)
	sameLine(t, "chance", p.lines(a, paint(plots.Unmet.Color()))[0], func(day float64) float64 { return 100 * day / n / 2 }, 0.5)
}

func TestMarksOfReliability(t *testing.T) {
	v := plots.Reliability{Days: 10, Told: []float64{0.1, 0.5, 0.9}, Came: []float64{0.05, 0.6, 0.8}, Dates: []int{40, 12, 9}}
	p := look(t, plots.ReliabilityOf(v))
	x, y := p.axes(t)
	a := p.panels(t)[0]
	a.x, a.y = x, y
	got := p.dots(a, paint(plots.Unmet.Color()))
	if len(got) != 3 {
		t.Fatalf("%d marks", len(got))
	}
	for i, at := range got {
		if math.Abs(at[0]-100*v.Told[i]) > 1 || math.Abs(at[1]-100*v.Came[i]) > 1 {
			t.Errorf("mark %d stands at %.3v, want %g and %g", i, at, 100*v.Told[i], 100*v.Came[i])
		}
	}
}

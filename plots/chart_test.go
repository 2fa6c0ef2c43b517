package plots_test

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot"

	"sunrill/plots"
)

// words returns the texts of an SVG, and fails the test where it is no XML.
func words(t *testing.T, svg []byte) []string {
	t.Helper()
	var out []string
	in := false
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			in = tok.Name.Local == "text"
		case xml.CharData:
			if in {
				out = append(out, string(tok))
			}
		case xml.EndElement:
			in = false
		}
	}
}

// Every chart says what it shows, in words, with units, and with the months'
// names where its axis is a year.
func TestChartsSayWhatTheyShow(t *testing.T) {
	months := strings.Fields("Oct Nov Dec Jan Feb Mar Apr May Jun Jul Aug Sep")
	for _, want := range []struct {
		name   string
		labels []string
		year   bool
	}{
		{"energy-by-month", []string{"kWh in the month", "month, 2016–17", "creek", "panels"}, true},
		{"charge", []string{"charge of the bank, %", "floor, 20 %", "comfort, 50 %"}, true},
		{"rain-and-creek", []string{"mm/day", "L/s", "cut-off", "open 6 Nov", "shut 29 Apr", "dry-pipe stop"}, true},
		{"hour-map", []string{"hour of the day", "12:00"}, true},
		{"deficit-spells", []string{"below full, kWh", "the bank, full to floor: 7.7 kWh"}, true},
		{"skyline", []string{"height of sun and hills, degrees", "bearing", "SE", "Dec"}, false},
		{"day-by-season", []string{"W", "hour of the day", "Dec–Feb; Mar–May", "Jun–Aug; Sep–Nov", "fridge"}, false},
		{"who-uses-what", []string{"kWh a year", "well pump", "88.4"}, false},
		{"unmet-by-year", []string{"unmet hours", "rain, mm", "2004–05", "year"}, false},
		{"meter-charge", []string{"charge, %, mean of the day", "measured"}, true},
	} {
		i := slices.IndexFunc(allCharts(), func(c plots.Chart) bool { return c.Name == want.name })
		if i < 0 {
			t.Errorf("no chart %q", want.name)
			continue
		}
		c := allCharts()[i]
		if c.Title == "" || c.Caption == "" || c.Alt == "" || len(c.Alt) < 40 {
			t.Errorf("%s: title %q, caption %q, alternative text %q", c.Name, c.Title, c.Caption, c.Alt)
		}
		var file bytes.Buffer
		if err := c.WriteTo(&file, "svg"); err != nil {
			t.Error(err)
			continue
		}
		inside, err := c.SVG()
		if err != nil {
			t.Error(err)
			continue
		}
		got := words(t, file.Bytes())
		if all := strings.Join(got, " "); !strings.Contains(all, c.Title) || !strings.Contains(all, c.Caption) {
			t.Errorf("%s: the file lacks its title or caption", c.Name)
		}
		if all := strings.Join(words(t, inside), " "); strings.Contains(all, c.Title) {
			t.Errorf("%s: the chart inside a page repeats the title that the page writes", c.Name)
		}
		labels := want.labels
		if want.year {
			labels = append(labels, months...)
		}
		for _, l := range labels {
			if !slices.Contains(got, l) {
				t.Errorf("%s: no label %q in %q", c.Name, l, got)
			}
		}
		if len(inside) > 60_000 {
			t.Errorf("%s: %d bytes of SVG", c.Name, len(inside))
		}
	}
}

func TestSaveWritesEveryFormat(t *testing.T) {
	dir := t.TempDir()
	c := allCharts()[3]
	for _, f := range plots.Formats {
		path := filepath.Join(dir, c.Name+"."+f)
		if err := c.Save(path, f); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if magic := map[string]string{"svg": "<svg ", "png": "\x89PNG", "pdf": "%PDF-"}[f]; !bytes.HasPrefix(b, []byte(magic)) {
			t.Errorf("%s begins with %q", f, b[:8])
		}
		if f == "png" {
			img, err := png.Decode(bytes.NewReader(b))
			if err != nil {
				t.Fatal(err)
			}
			if w := img.Bounds().Dx(); w < 900 {
				t.Errorf("the png is %d pixels wide", w)
			}
		}
	}
	if err := c.Save(filepath.Join(dir, "x.bmp"), "bmp"); err == nil || !strings.Contains(err.Error(), "svg, png, pdf") {
		t.Errorf("an unknown format gives %v", err)
	}
	if err := c.Save(filepath.Join(dir, "none", "x.svg"), "svg"); err == nil {
		t.Error("no error from a folder that is not there")
	}
}

// The same numbers give the same bytes.
func TestSVGIsTheSameEachTime(t *testing.T) {
	a, b := allCharts(), allCharts()
	for i := range a {
		x, err := a[i].SVG()
		if err != nil {
			t.Fatal(err)
		}
		y, _ := b[i].SVG()
		if !bytes.Equal(x, y) {
			t.Errorf("%s differs from run to run", a[i].Name)
		}
	}
}

// Charts of nothing, of a single day and of a year without water or sun are
// drawn without a fault.
func TestChartsOfLittle(t *testing.T) {
	start := time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)
	day := make([]float64, 24)
	for _, c := range []plots.Chart{
		plots.EnergyByMonth(plots.MonthlyEnergy{}),
		plots.EnergyByMonth(plots.MonthlyEnergy{Months: []time.Time{start}, Supplies: []plots.Supply{{Name: "panels", Wh: []float64{0}}}, DemandWh: []float64{0}, UnmetWh: []float64{0}, UnmetHours: []int{0}}),
		plots.ChargeThroughYear(plots.Charge{Start: start}),
		plots.ChargeThroughYear(plots.Charge{Start: start, SoC: day, UnmetW: day}),
		plots.RainAndCreek(plots.Water{Start: start}),
		plots.RainAndCreek(plots.Water{Start: start, RainMM: []float64{0}, FlowM3S: []float64{0}, TurbineM3S: day, OpenHour: 3, CloseHour: 9}),
		plots.HourMap(plots.Hours{Start: start}),
		plots.HourMap(plots.Hours{Start: start, UnmetW: day, SurplusW: day}),
		plots.DeficitSpells(plots.Spells{Start: start}),
		plots.DeficitSpells(plots.Spells{Start: start, Days: 1, Spells: []plots.Spell{{}}}),
		plots.HorizonAndSun(plots.HorizonLine{}),
		plots.HorizonAndSun(plots.HorizonLine{South: true, BearingDeg: []float64{90}, HeightDeg: []float64{7}}),
		plots.DayBySeason(plots.Household{}),
		plots.WhoUsesWhat(nil),
		plots.UnmetByYear(plots.Years{}),
		plots.UnmetByYear(plots.Years{Names: []string{"2004"}, UnmetHours: []int{0}}),
		plots.MeterBeside(plots.Metered{Start: start}),
		plots.MeterBeside(plots.Metered{Start: start, What: plots.Hydro, Simulated: day, Measured: []float64{math.NaN()}}),
	} {
		svg, err := c.SVG()
		if err != nil {
			t.Error(err)
		}
		if regexp.MustCompile(`NaN|Inf`).Match(svg) {
			t.Errorf("%s: NaN or Inf in the drawing", c.Name)
		}
	}
}

// A fault of the plot library becomes an error that names the chart.
func TestDrawingNeverPanics(t *testing.T) {
	p := plots.New("x", "y")
	p.Y.Scale = plot.LogScale{}
	p.Add(plots.Line{Y: []float64{0, 1}, Style: plots.Bank.Solid(plots.Fine)})
	if _, err := (plots.Chart{Name: "log-of-zero", Plot: p}).SVG(); err == nil || !strings.Contains(err.Error(), "log-of-zero") {
		t.Errorf("a log axis that touches 0 gives %v", err)
	}
}

func TestMonthTicks(t *testing.T) {
	start := time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC) // a water year with a 29 February
	ticks := plots.MonthTicks{Start: start, Days: 366}.Ticks(0, 366)
	var names []string
	for _, k := range ticks {
		names = append(names, k.Label)
	}
	if got := strings.Join(names, " "); got != "Oct Nov Dec Jan Feb Mar Apr May Jun Jul Aug Sep" {
		t.Errorf("months %q", got)
	}
	if ticks[4].Value != 123+29.0/2 { // October to January have 123 days
		t.Errorf("February's name stands at day %g", ticks[4].Value)
	}
	// A season that begins in the middle of a month names it if ten days show.
	half := plots.MonthTicks{Start: start.AddDate(0, 0, 14), Days: 30}.Ticks(0, 30)
	if len(half) != 2 || half[0].Label != "Oct" || half[1].Label != "Nov" {
		t.Errorf("half of October and half of November: %v", half)
	}
}

func TestRoundTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi  float64
		maximum int
		want    string
	}{
		{0, 100, 0, "0 20 40 60 80 100"},
		{0, 0.7, 0, "0.0 0.2 0.4 0.6"},
		{-3, 3, 4, "−2 0 2"},
		{0, 12000, 0, "0 5,000 10,000"},
		{0, 0, 0, ""},
	} {
		var got []string
		for _, k := range (plots.RoundTicks{Most: c.maximum}).Ticks(c.lo, c.hi) {
			got = append(got, k.Label)
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%g to %g: %q, want %q", c.lo, c.hi, s, c.want)
		}
	}
}

// luminance is the relative luminance of WCAG 2.1 (W3C 2018, "relative
// luminance"), which says how light a colour is in greyscale.
func luminance(q plots.Quantity) float64 {
	c := q.Color()
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// Areas that touch in a chart stay apart in greyscale: by a contrast of at
// least 1.5 (the ratio of WCAG 2.1), or by a hatch.
func TestNeighboursStayApartInGreyscale(t *testing.T) {
	for _, pair := range [][2]plots.Quantity{
		{plots.Hydro, plots.Panels}, {plots.Panels, plots.Generator}, {plots.Hydro, plots.Generator},
		{plots.Served, plots.Unmet}, {plots.Surplus, plots.Unmet}, {plots.Bank, plots.Unmet}, {plots.Hydro, plots.Creek},
	} {
		a, b := luminance(pair[0]), luminance(pair[1])
		contrast := (max(a, b) + 0.05) / (min(a, b) + 0.05)
		if contrast < 1.5 && pair[0].Hatch() == pair[1].Hatch() {
			t.Errorf("quantities %d and %d: contrast %.2f and the same hatch", pair[0], pair[1], contrast)
		}
	}
}

// The colours are those of Okabe and Ito (2008), as their table of red, green
// and blue gives them, beside black and grey.
func TestColoursAreOkabeIto(t *testing.T) {
	published := map[[3]uint8]bool{
		{230, 159, 0}: true, {86, 180, 233}: true, {0, 158, 115}: true, {240, 228, 66}: true,
		{0, 114, 178}: true, {213, 94, 0}: true, {204, 121, 167}: true,
	}
	for q := plots.Panels; q <= plots.Land; q++ {
		c := q.Color()
		grey := c.R == c.G && c.G == c.B
		if !grey && !published[[3]uint8{c.R, c.G, c.B}] {
			t.Errorf("quantity %d has the colour %v", q, c)
		}
	}
}

func TestDailyBand(t *testing.T) {
	hourly := make([]float64, 50) // two days and two hours
	for h := range hourly {
		hourly[h] = float64(h)
	}
	low, mean, high := plots.DailyBand(hourly)
	if len(low) != 2 || low[1] != 24 || mean[1] != 35.5 || high[1] != 47 {
		t.Errorf("low %v, mean %v, high %v", low, mean, high)
	}
}

// A year's charts together, as the report draws them.
func BenchmarkYearCharts(b *testing.B) {
	for b.Loop() {
		for _, c := range allCharts() {
			if _, err := c.SVG(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

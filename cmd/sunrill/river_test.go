package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// A house on a real river, a thousandth of it: the rain and the observed flow of
// the teaching workbook of GR4J's authors (260 km², 1991–1992). Its creek is fitted
// to 25 of the days; sun hours, household and turbine are invented. Outlooks are
// made on every seventh day from the fitted creek, a bucket's reading of that
// morning and the other year's weather, and held against the flow that was
// observed: no model tells what came.
func TestOutlookOnARealRiver(t *testing.T) {
	data, err := os.ReadFile("../../../shared/data/gr4j_published_example.csv")
	if err != nil {
		t.Skip("the river's record is not here")
	}
	dir := t.TempDir()
	river(t, dir, string(data))
	fitted := filepath.Join(t.TempDir(), "fit")
	if _, errOut, code := sunrill(t, "fit", dir, "--model", "catchment", "--rounds", "40", "--quiet", "--out", fitted); code != exitOK {
		t.Fatalf("fit: exit %d: %s", code, errOut)
	}
	for _, name := range []string{"stream.csv", "stream-draws.csv"} {
		put(t, filepath.Join(dir, name), read(t, filepath.Join(fitted, name)))
	}
	home := func() *series.Homestead {
		s, err := site.Load(dir, site.Options{})
		if err != nil {
			t.Fatal(err)
		}
		h, err := series.New(s)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	model := home()
	change(t, dir, "site.toml", "model = \"catchment\"\narea = \"0.26 km2\"\nparameters = \"stream.csv\"", "model = \"record\"\nfile = \"flow.csv\"")
	observed := home()

	known, came := model.Past(1+judgeDraws, outlookSeed), observed.Past(1, 0)
	if !model.Fitted() {
		t.Fatal("the fit left no draws")
	}
	q := question{days: 60, draws: judgeDraws, wait: 7}
	j, err := hindcast(&call{ctx: t.Context()}, model, q, func(time.Time) (a, b *series.Past) { return came, known }, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Leads) != 4 || j.Dates < 90 {
		t.Fatalf("%d dates, %d leads", j.Dates, len(j.Leads))
	}
	dates, told, cameTrue := 0.0, 0.0, 0.0 // of chances of 70 to 90 %
	for _, l := range j.Leads {
		t.Logf("%d days, %d dates: came on %.0f %%; Brier %.3f, season %.3f, last week %.3f", l.Days, l.Dates, 100*l.Came, l.Brier, l.BrierClimate, l.BrierRepeat)
		if l.Brier >= min(l.BrierClimate, l.BrierRepeat) {
			t.Errorf("%d days: Brier %.3f, no better than the season's %.3f and the last week's %.3f", l.Days, l.Brier, l.BrierClimate, l.BrierRepeat)
		}
		for _, b := range l.Bins {
			if b.Dates > 0 {
				t.Logf("    told %.0f to %.0f %%: %d dates, %.0f %% in the mean, came %.0f %%", 100*b.Low, 100*b.High, b.Dates, 100*b.Told, 100*b.Came)
			}
			if b.Low == 0.7 {
				dates, told, cameTrue = dates+float64(b.Dates), told+b.Told*float64(b.Dates), cameTrue+b.Came*float64(b.Dates)
			}
		}
	}
	if told, share := told/dates, cameTrue/dates; dates < 15 || share < 0.7 || share > 0.9 {
		t.Errorf("told %.0f %% on %g dates of all leads, it came on %.0f %%; want 70 to 90 %%", 100*told, dates, 100*share)
	}
	r := j.Rise
	t.Logf("the creek's rise on %d dates: %.1f days off, bias %+.1f, %d missed, %d false", r.Dates, r.ErrorDays, r.BiasDays, r.Missed, r.False)
}

// river writes the site.
func river(t *testing.T, dir, data string) {
	t.Helper()
	const latDeg, thousandthM2 = 48, 0.26e6
	var rain, flow, gaugings strings.Builder
	rain.WriteString("date,rain_mm\n")
	flow.WriteString("date,flow_lps\n")
	gaugings.WriteString("date,method,flow_lps\n")
	var pet [12]float64
	var days [12]float64
	var rows [][3]string
	for _, line := range strings.Split(strings.TrimSpace(data), "\n") {
		cells := strings.Split(strings.TrimSpace(line), ",")
		mm, err := strconv.ParseFloat(cells[3%len(cells)], 64)
		if err != nil {
			continue // a comment or the header
		}
		day, err := time.Parse("2006-01-02", cells[0])
		if err != nil {
			t.Fatal(err)
		}
		evaporates, err := strconv.ParseFloat(cells[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		pet[day.Month()-1] += evaporates
		days[day.Month()-1]++
		rows = append(rows, [3]string{cells[0], cells[1], fmt.Sprintf("%.4f", mm*thousandthM2/86400)})
	}
	read := map[int]bool{}
	for _, k := range rand.New(rand.NewPCG(1, 3)).Perm(len(rows))[:25] {
		read[k] = true
	}
	for k, row := range rows {
		fmt.Fprintf(&rain, "%s,%s\n", row[0], row[1])
		fmt.Fprintf(&flow, "%s,%s\n", row[0], row[2])
		if read[k] {
			fmt.Fprintf(&gaugings, "%s,meter,%s\n", row[0], row[2])
		}
	}
	// The temperature of each month is the one whose evaporation is the workbook's.
	sun := "month,sun_hours,temp_c\n"
	evaporation := weather.NewEvaporation(latDeg)
	for m, hours := range [12]float64{0.9, 1.6, 2.8, 4.1, 5.0, 5.5, 5.4, 4.7, 3.5, 2.0, 1.1, 0.7} {
		low, high := -5.0, 40.0
		for range 40 {
			mid := (low + high) / 2
			if got := evaporation.Potential(make([]float64, 1), time.Date(1991, time.Month(m+1), 15, 0, 0, 0, 0, time.UTC), []float64{mid}); got[0] < pet[m]/days[m] {
				low = mid
			} else {
				high = mid
			}
		}
		sun += fmt.Sprintf("%d,%g,%.2f\n", m+1, hours, math.Round(100*low)/100)
	}
	for name, text := range map[string]string{
		"rain.csv": rain.String(), "flow.csv": flow.String(), "gaugings.csv": gaugings.String(), "sun.csv": sun,
		"loads.csv": "name,watts,count,hours\nfridge,40,1,all\nlights,60,1,17-23\nkitchen,600,1,1.5/day\ntools,300,1,08-11\n",
		"site.toml": `name = "A thousandth of a river"
latitude = 48
longitude = -3
elevation = "100 m"
utc_offset = 0
[year]
start = "10-01"
[sun]
file = "sun.csv"
[rain]
[[array]]
power = "1.5 kW"
tilt = "60 deg"
facing = "180 deg"
[stream]
model = "catchment"
area = "0.26 km2"
parameters = "stream.csv"
[intake]
residual_flow = "0.6 L/s"
[penstock]
gross_head = "30 m"
length = "150 m"
bore = "60 mm"
material = "pe"
[turbine]
kind = "pelton"
nozzles = ["6 mm", "9 mm"]
[bank]
chemistry = "lfp"
capacity = "6 kWh"
voltage = "48 V"
[loads]
[dump]
rated = "1 kW"
`} {
		put(t, filepath.Join(dir, name), text)
	}
}

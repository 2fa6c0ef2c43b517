package series_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// gaugedPlace is a place with a daily record of rain and the sun hours of its
// months.
type gaugedPlace struct {
	name          string
	lat, lon, utc float64
	rain, sun     string // the site's own files
	months        string // the rain's twelve months and wet days
}

// gaugedPlaces are Seattle, and, where they are beside the checkout, four
// stations of crop-model data.
func gaugedPlaces(t *testing.T) []gaugedPlace {
	t.Helper()
	text := func(path ...string) string {
		data, err := os.ReadFile(filepath.Join(path...))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	all := []gaugedPlace{{name: "seattle", lat: 47.45, lon: -122.31, utc: -8, sun: text("..", "..", "testdata", "seattle", "sun.csv")}}
	all[0].rain, all[0].months, _ = daily(text("..", "..", "testdata", "seattle", "rain.csv"))
	for _, p := range []gaugedPlace{{name: "rothamsted", lat: 52.5, lon: -0.5}, {name: "lushnje", lat: 40.94, lon: 19.69, utc: 1}, {name: "pergamino", lat: -33.93, lon: -60.55, utc: -4}, {name: "wageningen", lat: 51.97, lon: 5.67, utc: 0}} {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "data", "daily_sun", p.name+".csv"))
		if err != nil {
			continue
		}
		p.rain, p.months, p.sun = daily(string(data))
		all = append(all, p)
	}
	return all
}

// daily takes rain.csv, rain-months.csv and sun.csv from a table with a row a
// day. A day without rain in the table is dry: there are a handful.
func daily(table string) (rain, months, sun string) {
	var r, m, s strings.Builder
	r.WriteString("date,rain_mm\n")
	m.WriteString("month,rain_mm,wet_days\n")
	s.WriteString("month,sun_hours,temp_c\n")
	at := map[string]int{}
	var mm, wet, days, ghi, suns, temp, temps [12]float64
	for _, l := range strings.Split(table, "\n") {
		f := strings.Split(l, ",")
		if len(f) < 3 || l[0] == '#' {
			continue
		}
		if f[0] == "date" {
			for i, h := range f {
				at[h] = i
			}
			continue
		}
		k, _ := strconv.Atoi(l[5:7])
		v, _ := strconv.ParseFloat(f[at["rain_mm"]], 64)
		fmt.Fprintf(&r, "%s,%.1f\n", l[:10], v)
		mm[k-1], days[k-1] = mm[k-1]+v, days[k-1]+1
		if v >= 0.1 {
			wet[k-1]++
		}
		low, err1 := strconv.ParseFloat(f[at["tmin_c"]], 64)
		high, err2 := strconv.ParseFloat(f[at["tmax_c"]], 64)
		if err1 == nil && err2 == nil {
			temp[k-1], temps[k-1] = temp[k-1]+(low+high)/2, temps[k-1]+1
		}
		if g, ok := at["ghi_kwh_m2"]; ok {
			if v, err := strconv.ParseFloat(f[g], 64); err == nil {
				ghi[k-1], suns[k-1] = ghi[k-1]+v, suns[k-1]+1
			}
		}
	}
	for k, n := range []float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		fmt.Fprintf(&m, "%d,%.1f,%.1f\n", k+1, mm[k]/days[k]*n, wet[k]/days[k]*n)
		fmt.Fprintf(&s, "%d,%.2f,%.1f\n", k+1, ghi[k]/suns[k], temp[k]/temps[k])
	}
	return r.String(), m.String(), s.String()
}

// unmetHours are the hours that a year goes short, the mean over all years, and
// those of the one year in ten that is worse.
func unmetHours(t *testing.T, p gaugedPlace, months bool, home string) (mean, bad float64, years int) {
	t.Helper()
	dir := fstest.MapFS{}
	write := func(name, text string) { dir[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644} }
	write("site.toml", fmt.Sprintf("name = \"%s (invented household)\"\nlatitude = %g\nlongitude = %g\nutc_offset = %g\n[sun]\n[rain]\n[loads]\n", p.name, p.lat, p.lon, p.utc)+home)
	write("sun.csv", p.sun)
	write("loads.csv", "name,watts,hours\nhouse,120,all\n")
	if months {
		write("rain-months.csv", p.months)
	} else {
		write("rain.csv", p.rain)
	}
	s, err := site.LoadFS(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if marked := strings.Contains(strings.Join(s.Warnings, "\n"), "by its months alone"); marked != months || s.RainFromMonths != months {
		t.Errorf("made up of months: %v, and the warnings are %q", months, s.Warnings)
	}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	var hours []float64
	for _, y := range h.Years() {
		year, err := sim.Run(h.Input(y), h.Bus())
		if err != nil {
			t.Fatal(err)
		}
		hours = append(hours, float64(year.Tally.UnmetHours))
		mean += hours[len(hours)-1] / float64(len(h.Years()))
	}
	slices.Sort(hours)
	return mean, hours[int(0.9*float64(len(hours)-1)+0.5)], len(hours)
}

// From the months alone, as climate pages give them, the hours that a house
// goes short agree with those from the daily record within the range that every
// answer of such a site carries: a third (or 30 hours) for the mean of the years,
// half (or 60 hours) for the one year in ten that is worse. The largest
// differences measured are 24 % (a record of three years) and 39 %. A record of a
// few years says nothing of one year in ten.
func TestUnmetHoursFromMonthsAlone(t *testing.T) {
	for name, home := range map[string]string{
		"panels":    "[[array]]\npower = \"1.6 kW\"\ntilt = \"60 deg\"\n[bank]\nchemistry = \"lfp\"\ncapacity = \"10 kWh\"\n",
		"and creek": "[[array]]\npower = \"1.2 kW\"\ntilt = \"60 deg\"\n[bank]\nchemistry = \"lfp\"\ncapacity = \"10 kWh\"\n[stream]\nmodel = \"curve\"\nsoil_depth = \"80 mm\"\nrecession_days = \"20 days\"\ngain = \"0.5 L/s\"\n[penstock]\ngross_head = \"40 m\"\nlength = \"150 m\"\nbore = \"52 mm\"\n[turbine]\nnozzles = [\"4 mm\", \"6 mm\"]\n[dump]\nrated = \"1 kW\"\n",
	} {
		for _, p := range gaugedPlaces(t) {
			mean, bad, years := unmetHours(t, p, false, home)
			meanMonths, badMonths, _ := unmetHours(t, p, true, home)
			t.Logf("%s, %s: %.0f h a year from days, %.0f from months; in one year of ten %.0f and %.0f", p.name, name, mean, meanMonths, bad, badMonths)
			if d := math.Abs(meanMonths - mean); d > 30 && d > mean/3 {
				t.Errorf("%s, %s: %.0f h a year from days, %.0f from months", p.name, name, mean, meanMonths)
			}
			if d := math.Abs(badMonths - bad); years >= 10 && d > 60 && d > bad/2 {
				t.Errorf("%s, %s: in one year of ten %.0f h from days, %.0f from months", p.name, name, bad, badMonths)
			}
		}
	}
}

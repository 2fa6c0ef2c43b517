package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"sunrill/sim/record"
)

// observed is what the published record of Seattle says of each day: rain in
// mm by date (testdata/seattle/README.md names source and licence).
func observed(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/seattle/seattle-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rain := map[string]float64{}
	for _, row := range rows[1:] {
		if rain[row[0]], err = strconv.ParseFloat(row[1], 64); err != nil {
			t.Fatal(err)
		}
	}
	return rain
}

// numbersOf reads a CSV file's columns as numbers; words are left out.
func numbersOf(t *testing.T, path string) (first []string, columns map[string][]float64) {
	t.Helper()
	rows := readCSV(t, path)
	columns = map[string][]float64{}
	for _, row := range rows[1:] {
		first = append(first, row[0])
		for i, name := range rows[0] {
			if v, err := strconv.ParseFloat(row[i], 64); err == nil {
				columns[name] = append(columns[name], v)
			}
		}
	}
	return first, columns
}

// The real rain and temperatures of Seattle, 2012 to 2015, with an invented
// household, from the folder to the files of a year: the rain in the files is
// the observed one, the sun keeps to the station's months and falls on wet
// days as measured places have it, and the books of the year close.
func TestYearOfRealWeather(t *testing.T) {
	out := t.TempDir()
	rain := observed(t)
	var all struct {
		Years []record.Summary
		Worst record.Summary
	}
	if err := json.Unmarshal(runOK(t, "year", "../../testdata/seattle", "--years", "all", "--json", "--out", out), &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Years) != 3 {
		t.Fatalf("%d water years in a record from January 2012 to December 2015, want 3", len(all.Years))
	}
	var sun [12][]float64
	wet, dry := make([]float64, 12), make([]float64, 12)
	wetDays, dryDays := make([]float64, 12), make([]float64, 12)
	for _, from := range []string{"2012", "2013", "2014"} {
		var s record.Summary
		if err := json.Unmarshal(runOK(t, "year", "../../testdata/seattle", "--years", from, "--json", "--out", out), &s); err != nil {
			t.Fatal(err)
		}
		var written record.Summary
		if err := json.Unmarshal([]byte(read(t, filepath.Join(out, "summary.json"))), &written); err != nil || !reflect.DeepEqual(written, s) {
			t.Errorf("%s: summary.json is not what --json prints (%v)", from, err)
		}
		e := s.EnergyKWh
		if in, used := e.PV+e.Hydro+e.Generator+e.BankOut, e.Served+e.Flexible+e.BankIn+e.Dump+e.OverDump+e.Curtailed; math.Abs(in-used) > 0.01 {
			t.Errorf("%s: %.3f kWh go into the bus and %.3f out", from, in, used)
		}
		if math.Abs(e.Served+e.Unmet-e.Demand) > 0.005 || e.Hydro != 0 || e.Generator <= 0 {
			t.Errorf("%s: energies %+v", from, e)
		}
		dates, day := numbersOf(t, filepath.Join(out, "days.csv"))
		for d, date := range dates {
			mm, ok := rain[date]
			if !ok || math.Abs(day["rain_mm"][d]-mm) > 0.006 {
				t.Fatalf("%s: rain of %g mm, observed %g", date, day["rain_mm"][d], mm)
			}
			month, _ := strconv.Atoi(date[5:7])
			sun[month-1] = append(sun[month-1], day["sun_hours"][d])
			if mm >= 1 {
				wet[month-1], wetDays[month-1] = wet[month-1]+day["sun_hours"][d], wetDays[month-1]+1
			} else {
				dry[month-1], dryDays[month-1] = dry[month-1]+day["sun_hours"][d], dryDays[month-1]+1
			}
		}
		if hours := readCSV(t, filepath.Join(out, "hours.csv")); len(hours) != s.Hours+1 || s.Hours != 24*len(dates) {
			t.Errorf("%s: %d hours in the summary, %d rows, %d days", from, s.Hours, len(hours)-1, len(dates))
		}
	}
	_, station := numbersOf(t, noComments(t, "../../testdata/seattle/sun.csv"))
	for m, want := range station["sun_hours"] {
		mean := 0.0
		for _, v := range sun[m] {
			mean += v / float64(len(sun[m]))
		}
		// The mean of all four years is the station's; three of them may differ
		// as single years do.
		if math.Abs(mean-want) > 0.12*want {
			t.Errorf("month %d: %.2f sun hours over three years, the station has %.2f", m+1, mean, want)
		}
	}
	// A month's wet days have 0.5 to 0.65 of the sun of its dry ones at three
	// places with gauges of both; the rainy half of the year is looked at as
	// one, with a margin for another place.
	share := 0.0
	for _, m := range []int{9, 10, 11, 0, 1, 2} {
		share += (wet[m] / wetDays[m]) / (dry[m] / dryDays[m]) / 6
	}
	if share < 0.45 || share > 0.75 {
		t.Errorf("wet days have %.2f of the sun of dry ones", share)
	}
}

// noComments copies a CSV file without its comment lines.
func noComments(t *testing.T, path string) string {
	t.Helper()
	text := read(t, path)
	for len(text) > 0 && text[0] == '#' {
		_, text, _ = strings.Cut(text, "\n")
	}
	to := filepath.Join(t.TempDir(), "plain.csv")
	put(t, to, text)
	return to
}

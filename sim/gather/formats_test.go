package gather_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"sunrill/sim/gather"
)

func read(t *testing.T, o gather.Options, in ...gather.Source) *gather.Gathered {
	t.Helper()
	if o.UTCOffsetH == 0 {
		o.UTCOffsetH = math.NaN()
	}
	g, err := gather.Read(in, o)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// rows returns the rows of an output as maps from column to cell.
func rows(t *testing.T, out gather.Output) []map[string]string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(out.Data))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var maps []map[string]string
	for _, cells := range all[1:] {
		m := map[string]string{}
		for i, c := range cells {
			m[all[0][i]] = c
		}
		maps = append(maps, m)
	}
	return maps
}

func outside(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "data", name))
	if err != nil {
		t.Skip("the data are not beside the checkout")
	}
	return data
}

// A real station's 22 years, against a reckoning of this test that knows the
// layout alone (NOAA, readme.txt of GHCN-Daily, part III): value at 22+8(d-1)
// for five places, quality flag two behind it.
func TestDLYOfARealStation(t *testing.T) {
	data := outside(t, "samples/ghcn_daily.dly")
	sum, days := map[int]int{}, map[int]int{}
	highest := -1 << 30
	for _, l := range strings.Split(string(data), "\n") {
		if len(l) < 269 {
			continue
		}
		year, _ := strconv.Atoi(l[11:15])
		for d := range 31 {
			v, err := strconv.Atoi(strings.TrimSpace(l[21+8*d : 26+8*d]))
			if err != nil || v == -9999 || l[27+8*d] != ' ' {
				continue
			}
			switch l[17:21] {
			case "PRCP":
				sum[year] += v
				days[year]++
			case "TMAX":
				highest = max(highest, v)
			}
		}
	}
	g := read(t, gather.Options{}, gather.Source{Name: "ghcn_daily.dly", Data: data})
	if len(g.Years) != len(sum) || len(sum) != 22 {
		t.Fatalf("%d years, want %d", len(g.Years), len(sum))
	}
	for _, y := range g.Years {
		if math.Abs(y.Sum-float64(sum[y.Year])/10) > 0.01 || y.Days != days[y.Year] {
			t.Errorf("%d: %.1f mm on %d days, want %.1f on %d", y.Year, y.Sum, y.Days, float64(sum[y.Year])/10, days[y.Year])
		}
	}
	hot := math.Inf(-1)
	for _, r := range rows(t, g.Outputs[0]) {
		if v, err := strconv.ParseFloat(r["tmax_c"], 64); err == nil {
			hot = math.Max(hot, v)
		}
	}
	if hot != float64(highest)/10 {
		t.Errorf("the hottest day has %g °C, want %g", hot, float64(highest)/10)
	}
}

// A year in the EPW layout, against a reckoning that knows the field numbers
// alone.
func TestEPWOfAWholeYear(t *testing.T) {
	data := outside(t, "samples/hourly.epw")
	var wh [12]float64
	for _, l := range strings.Split(string(data), "\n")[8:] {
		f := strings.Split(l, ",")
		if len(f) < 35 {
			continue
		}
		m, _ := strconv.Atoi(f[1])
		v, _ := strconv.ParseFloat(f[13], 64)
		wh[m-1] += v
	}
	g := read(t, gather.Options{}, gather.Source{Name: "hourly.epw", Data: data})
	if len(g.Outputs) != 2 || g.Outputs[0].Name != "sun-hourly.csv" || g.Outputs[0].Rows != 8760 {
		t.Fatalf("outputs: %v rows of %s", g.Outputs[0].Rows, g.Outputs[0].Name)
	}
	days := [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	for m, r := range rows(t, g.Outputs[1]) {
		v, _ := strconv.ParseFloat(r["sun_hours"], 64)
		if want := wh[m] / 1000 / days[m]; math.Abs(v-want) > 0.001 {
			t.Errorf("month %d: %.3f sun hours, the fields say %.3f", m+1, v, want)
		}
	}
}

// The station Eugene of the typical years TMY3, written out in the layout of
// the users manual (NREL/TP-581-43156, table 1-2), gives the sun hours and the
// temperatures that were summed from the station file itself.
func TestTMY3OfEugene(t *testing.T) {
	table := outside(t, "tmy3_eugene_hourly.csv")
	monthly := outside(t, "tmy3_monthly.csv")
	var b strings.Builder
	b.WriteString("726930,\"EUGENE MAHLON SWEET ARPT [UO]\",OR,-8.0,44.133,-123.217,109\n")
	b.WriteString("Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),ETRN (W/m^2),GHI (W/m^2),GHI source,GHI uncert (%),DNI (W/m^2),DNI source,DNI uncert (%),DHI (W/m^2),DHI source,DHI uncert (%),Dry-bulb (C)\n")
	for _, l := range strings.Split(string(table), "\n") {
		f := strings.Split(l, ",")
		if len(f) != 7 || f[0] == "month" || l[0] == '#' {
			continue
		}
		n := func(i int) int { v, _ := strconv.Atoi(f[i]); return v }
		fmt.Fprintf(&b, "%02d/%02d/19%02d,%02d:00,0,0,%s,1,5,%s,1,5,%s,1,5,%s\n", n(0), n(1), 90+n(0)%9, n(2), f[4], f[5], f[6], f[3])
	}
	g := read(t, gather.Options{}, gather.Source{Name: "726930TYA.CSV", Data: []byte(b.String())})
	if g.Kind != gather.Sun || g.Outputs[0].Rows != 8760 {
		t.Fatalf("%s, %d hours", g.Kind, g.Outputs[0].Rows)
	}
	sun := rows(t, g.Outputs[1])
	r := csv.NewReader(bytes.NewReader(monthly))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range all[1:] {
		column := map[string]string{"GHI": "sun_hours", "Tmean": "temp_c"}[row[4]]
		if row[0] != "726930" || column == "" {
			continue
		}
		for m := range 12 {
			want, _ := strconv.ParseFloat(row[5+m], 64)
			got, _ := strconv.ParseFloat(sun[m][column], 64)
			if math.Abs(got-want) > 0.006 {
				t.Errorf("month %d: %s %.3f, the table says %.3f", m+1, column, got, want)
			}
			checked++
		}
	}
	if checked != 24 {
		t.Errorf("%d months checked", checked)
	}
}

const epwHead = "LOCATION,Invented,XX,ZZZ,none,000000,44.0,-123.0,-8.0,100.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,invented\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n"

// inventedEPW is a year whose sun shines 100 W/m² times the month from 10 to
// 14 o'clock.
func inventedEPW() string {
	var b strings.Builder
	b.WriteString(epwHead)
	for m, n := range []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		for d := 1; d <= n; d++ {
			for h := 1; h <= 24; h++ {
				sun := 0
				if h > 10 && h <= 14 {
					sun = 50 * (m + 1)
				}
				fmt.Fprintf(&b, "1990,%d,%d,%d,60,?9,%d.5,1,50,100000,0,0,300,%d,%d,%d,0,0,0,0,180,2,5,5,20,77777,9,999999999,10,0.1,0,88,0.2,0,1\n", m+1, d, h, m, sun, 2*sun, sun/5)
			}
		}
	}
	return b.String()
}

func TestEPWHoursAreThoseThatBegin(t *testing.T) {
	g := read(t, gather.Options{}, gather.Source{Name: "a.epw", Data: []byte(inventedEPW())})
	hours := rows(t, g.Outputs[0])
	if len(hours) != 8760 {
		t.Fatalf("%d hours", len(hours))
	}
	for h, r := range hours {
		shines := h%24 >= 10 && h%24 < 14
		if (r["ghi_w_m2"] != "0") != shines {
			t.Fatalf("%s has %s W/m²", r["time"], r["ghi_w_m2"])
		}
	}
	if r := hours[24*31+12]; r["time"] != "2001-02-01 12:00" || r["ghi_w_m2"] != "100" || r["dni_w_m2"] != "200" || r["dhi_w_m2"] != "20" || r["temp_c"] != "1.5" {
		t.Errorf("noon of 1 February: %v", r)
	}
	for m, r := range rows(t, g.Outputs[1]) {
		if v, _ := strconv.ParseFloat(r["sun_hours"], 64); math.Abs(v-0.2*float64(m+1)) > 1e-9 {
			t.Errorf("month %d: %s sun hours, want %.1f", m+1, r["sun_hours"], 0.2*float64(m+1))
		}
	}
	if set := strings.Join(g.Set, "\n"); !strings.Contains(set, "repeat = true") {
		t.Errorf("a typical year is to be repeated: %s", set)
	}
}

// dlyLine writes a month of one element.
func dlyLine(element, month string, cells map[int]string) string {
	l := "USC00350001" + month + element
	for d := 1; d <= 31; d++ {
		c := "-9999   "
		if s, ok := cells[d]; ok {
			c = s
		}
		l += c
	}
	return l + "\n"
}

func TestDLYFlagsAndTotals(t *testing.T) {
	in := dlyLine("TMAX", "201610", map[int]string{1: "  150  0", 2: "  999 X0"}) + dlyLine("TMIN", "201610", map[int]string{1: "   50  0", 2: "   40  0"}) +
		dlyLine("PRCP", "201610", map[int]string{1: "  127  0", 2: "    0T 0"}) + dlyLine("MDPR", "201610", map[int]string{5: "  300  0"}) + dlyLine("DAPR", "201610", map[int]string{5: "    3  0"})
	g := read(t, gather.Options{}, gather.Source{Name: "a.dly", Data: []byte(in)})
	want := "date,rain_mm,tmin_c,tmax_c,note\n2016-10-01,12.7,5,15,\n2016-10-02,0,4,,trace\n2016-10-03,10,,,share of a total of 3 days to 2016-10-05\n2016-10-04,10,,,share of a total of 3 days to 2016-10-05\n2016-10-05,10,,,share of a total of 3 days to 2016-10-05\n"
	if _, got, _ := strings.Cut(string(g.Outputs[0].Data), "\n"); got != want {
		t.Errorf("it is read as\n%s\nwant\n%s", got, want)
	}
}

// A workbook written by a general library, with a date cell, a title, a sheet
// of notes and one of a chart's kind left empty.
func TestWorkbook(t *testing.T) {
	f := excelize.NewFile()
	style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	for cell, v := range map[string]any{"A1": "Our gauge", "A3": "Date", "B3": "Rain (in)", "C3": "Notes", "A4": 42646, "B4": 0.25, "A5": 42647, "B5": "T", "A6": 42648, "B6": 1.5, "C6": "total of 2 days"} {
		if err := f.SetCellValue("Sheet1", cell, v); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SetCellStyle("Sheet1", "A4", "A6", style); err != nil {
		t.Fatal(err)
	}
	if _, err := f.NewSheet("Notes"); err != nil {
		t.Fatal(err)
	}
	f.SetCellValue("Notes", "A1", "nothing here")
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	g := read(t, gather.Options{}, gather.Source{Name: "gauge.xlsx", Data: b.Bytes()})
	want := "date,rain_in,note\n2016-10-03,0.25,\n2016-10-04,0,trace\n2016-10-05,1.5,\n"
	if _, got, _ := strings.Cut(string(g.Outputs[0].Data), "\n"); got != want {
		t.Errorf("it is read as\n%s\nwant\n%s", got, want)
	}
	for _, bad := range [][]byte{b.Bytes()[:len(b.Bytes())/2], []byte("PK\x03\x04 nonsense")} {
		if _, err := gather.Read([]gather.Source{{Name: "gauge.xlsx", Data: bad}}, gather.Options{}); err == nil || !strings.Contains(err.Error(), "workbook") {
			t.Errorf("a broken workbook: %v", err)
		}
	}
}

// The unit by the size of sums, on real records of five climates whose unit is
// known: Seattle (NOAA) and four stations of crop-model data.
func TestUnitBySize(t *testing.T) {
	files := map[string]string{"seattle": filepath.Join("..", "..", "testdata", "seattle", "rain.csv")}
	for _, s := range []string{"rothamsted", "lushnje", "pergamino", "wageningen"} {
		files[s] = filepath.Join("..", "..", "..", "shared", "data", "daily_sun", s+".csv")
	}
	for place, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			continue // not beside the checkout
		}
		r := csv.NewReader(bytes.NewReader(data))
		r.Comment = '#'
		all, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		col := -1
		for i, h := range all[0] {
			if strings.HasPrefix(h, "rain") {
				col = i
			}
		}
		for unit, factor := range map[string]float64{"mm": 1, "in": 1 / 25.4} {
			var b strings.Builder
			b.WriteString("date,rain\n")
			for _, row := range all[1:] {
				if v, err := strconv.ParseFloat(row[col], 64); err == nil {
					fmt.Fprintf(&b, "%s,%.2f\n", row[0], v*factor)
				}
			}
			g, err := gather.Read([]gather.Source{{Name: "a.csv", Data: []byte(b.String())}}, gather.Options{UTCOffsetH: math.NaN()})
			if err != nil {
				t.Errorf("%s in %s: %v", place, unit, err)
			} else if g.Unit != unit {
				t.Errorf("%s in %s is taken for %s", place, unit, g.Unit)
			}
		}
	}
}

func TestKeepNeverLosesAFile(t *testing.T) {
	dir := t.TempDir()
	out := func(s string) []gather.Output { return []gather.Output{{Name: "rain.csv", Data: []byte(s)}} }
	if kept, err := gather.Keep(dir, out("one"), false); err != nil || len(kept) != 0 {
		t.Fatal(kept, err)
	}
	if _, err := gather.Keep(dir, out("two"), false); !errors.Is(err, gather.ErrExists) {
		t.Fatalf("it wrote over a file: %v", err)
	}
	for _, s := range []string{"two", "three"} {
		if _, err := gather.Keep(dir, out(s), true); err != nil {
			t.Fatal(err)
		}
	}
	for name, want := range map[string]string{"rain.csv": "three", "rain.old.csv": "one", "rain.old-2.csv": "two"} {
		if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != want {
			t.Errorf("%s holds %q, want %q (%v)", name, got, want, err)
		}
	}
	// Two files, of which one is there: none is written.
	two := []gather.Output{{Name: "new.csv", Data: []byte("x")}, {Name: "rain.csv", Data: []byte("y")}}
	if _, err := gather.Keep(dir, two, false); err == nil {
		t.Error("it wrote over a file")
	}
	if _, err := os.Stat(filepath.Join(dir, "new.csv")); err == nil {
		t.Error("half of the outputs are written")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".sunrill*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// Whatever the bytes, there is an answer or a problem, and no crash.
func FuzzRead(f *testing.F) {
	for _, s := range shapes {
		f.Add([]byte(s.in), string(s.o.As), s.o.Unlisted == "dry")
	}
	f.Add([]byte(epwHead+"1990,1,1,1,60,?9,1.5,1,50,100000,0,0,300,0,0,0\n"), "", false)
	f.Add([]byte(dlyLine("PRCP", "201610", map[int]string{1: "  127  0"})), "", false)
	f.Add([]byte("1,\"X\",OR,-8.0,44,-123,109\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C)\n01/01/1990,01:00,0,0,0,1\n"), "sun", false)
	f.Fuzz(func(t *testing.T, data []byte, as string, dry bool) {
		if len(data) > 1<<16 || bytes.HasPrefix(data, []byte("PK")) {
			return
		}
		o := gather.Options{As: gather.Kind(as), UTCOffsetH: -8}
		known := as == ""
		for _, k := range gather.Kinds {
			known = known || o.As == k
		}
		if !known {
			return
		}
		if dry {
			o.Unlisted = "dry"
		}
		g, err := gather.Read([]gather.Source{{Name: "a.csv", Data: data}}, o)
		var ps gather.Problems
		switch {
		case err != nil && !errors.As(err, &ps):
			t.Fatalf("no problem of the file: %v", err)
		case err != nil && len(ps) == 0:
			t.Fatal("a problem without words")
		case err == nil && len(g.Outputs) == 0:
			t.Fatal("neither output nor problem")
		}
	})
}

// A table of the north for a site in the south is told.
func TestSunOfTheOtherHemisphere(t *testing.T) {
	in := "month,sun hours (kWh/m2/day)\n1,1\n2,2\n3,3\n4,4\n5,5\n6,6\n7,6.5\n8,5.5\n9,4\n10,2.5\n11,1.5\n12,1\n"
	for lat, want := range map[float64]int{44: 0, -44: 1} {
		g := read(t, gather.Options{LatDeg: lat}, gather.Source{Name: "sun.csv", Data: []byte(in)})
		if len(g.Warnings) != want {
			t.Errorf("latitude %g: warnings %q", lat, g.Warnings)
		}
	}
}

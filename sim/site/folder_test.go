package site_test

import (
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"sunrill/loads"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/site"
	"sunrill/weather"
)

// folder is a small sound site in memory, to be changed.
func folder(changes map[string]string) fstest.MapFS {
	files := map[string]string{
		"site.toml": "name = \"Small (invented)\"\nlatitude = 43\nlongitude = -122\nutc_offset = -8\n[sun]\n[rain]\n[[array]]\npower = \"2 kW\"\n[bank]\nchemistry = \"lfp\"\ncapacity = \"10 kWh\"\n[loads]\n",
		"sun.csv":   "month,sun_hours,temp_c\n1,1.3,4\n2,2.1,6\n3,3.2,8\n4,4.5,10\n5,5.6,14\n6,6.5,17\n7,7,21\n8,6.1,20\n9,4.6,17\n10,2.8,12\n11,1.4,7\n12,1,4\n",
		"rain.csv":  dailyRain(time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC), 731, nil),
		"loads.csv": "name,watts,hours\nlights,40,17-22\n",
	}
	maps.Copy(files, changes)
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return m
}

// dailyRain writes a record whose rain tells the day: 0.1 mm × day of the
// month, without the days that are left out.
func dailyRain(start time.Time, days int, without map[int]bool) string {
	var b strings.Builder
	b.WriteString("date,rain_mm\n")
	for i := range days {
		if d := start.AddDate(0, 0, i); !without[i] {
			fmt.Fprintf(&b, "%s,%.1f\n", d.Format("2006-01-02"), float64(d.Day())/10)
		}
	}
	return b.String()
}

func mustLoad(t *testing.T, fsys fs.FS, o site.Options) *site.Site {
	t.Helper()
	s, err := site.LoadFS(fsys, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustRefuse(t *testing.T, fsys fs.FS, says ...string) {
	t.Helper()
	_, err := site.LoadFS(fsys, site.Options{})
	if err == nil {
		t.Errorf("it is taken; want %q", says)
		return
	}
	for _, want := range says {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("it says\n%v\nwithout %q", err, want)
		}
	}
}

func TestDefaultsAreToldWithReasons(t *testing.T) {
	s := mustLoad(t, folder(nil), site.Options{})
	told := map[string]files.Default{}
	for _, d := range s.Defaults {
		if value, reason := d.In(measure.Metric); d.Key == "" || value == "" || reason == "" || strings.ContainsAny(reason, "{}") {
			t.Errorf("a default without key, value or reason: %+v", d)
		}
		if _, twice := told[d.Key]; twice {
			t.Errorf("%s is told twice", d.Key)
		}
		told[d.Key] = d
	}
	for _, key := range []string{"elevation", "units", "year.start", "sun.file", "rain.file", "array[1].tilt", "array[1].facing", "array[1].losses", "bank.voltage", "bank.floor", "bank.comfort_soc", "bank.charge_efficiency", "inverter.idle", "inverter.efficiency", "loads.file", "dump.rated"} {
		if _, ok := told[key]; !ok {
			t.Errorf("the default of %s is not told", key)
		}
	}
	if s.YearMonth != time.October || s.Arrays[0].TiltDeg != 43 || s.Arrays[0].AzimuthDeg != 180 || math.Abs(s.Bank.ComfortSoC-0.4) > 1e-12 {
		t.Errorf("defaults are not as told: %v, %+v, %+v", s.YearMonth, s.Arrays[0], s.Bank)
	}
}

func TestSouthernSiteStartsInAprilAndFacesNorth(t *testing.T) {
	toml := strings.NewReplacer("latitude = 43", "latitude = -43", "-122", "172", "-8", "12").Replace(string(folder(nil)["site.toml"].Data))
	sun := "month,sun_hours\n1,6\n2,5\n3,4\n4,3\n5,2\n6,1\n7,1\n8,2\n9,3\n10,4\n11,5\n12,6\n"
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "sun.csv": sun}), site.Options{})
	if s.YearMonth != time.April || s.YearDay != 1 || s.Arrays[0].AzimuthDeg != 0 || len(s.Warnings) > 0 {
		t.Errorf("year from %v %d, facing %g°, warnings %q", s.YearMonth, s.YearDay, s.Arrays[0].AzimuthDeg, s.Warnings)
	}
}

func TestShortGapsInRainAreFilledAndTold(t *testing.T) {
	start := time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC)
	rain := dailyRain(start, 731, map[int]bool{10: true, 11: true, 12: true, 100: true})
	s := mustLoad(t, folder(map[string]string{"rain.csv": rain}), site.Options{})
	if s.Rain.Days() != 731 || math.Abs(s.Rain.RainMM[11]-1.2) > 1e-9 {
		t.Errorf("%d days, day 11 has %g mm, want 731 and 1.2", s.Rain.Days(), s.Rain.RainMM[11])
	}
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "2 gaps") || !strings.Contains(s.Warnings[0], "4 days") {
		t.Errorf("warnings %q", s.Warnings)
	}
}

func TestLongGapsNeedTheirFlag(t *testing.T) {
	start := time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC)
	missing := map[int]bool{}
	for i := 40; i < 60; i++ {
		missing[i] = true
	}
	fsys := folder(map[string]string{"rain.csv": dailyRain(start, 731, missing)})
	mustRefuse(t, fsys, "20 days are missing before this row (2014-11-10 to 2014-11-29)", "rain.csv:42:1", "--fill-gaps")
	s := mustLoad(t, fsys, site.Options{FillGaps: true})
	if s.Rain.RainMM[45] != s.Rain.RainMM[45+365] || len(s.Warnings) != 1 {
		t.Errorf("day 45 has %g mm, a year later %g; warnings %q", s.Rain.RainMM[45], s.Rain.RainMM[45+365], s.Warnings)
	}
}

// The same table in every form that spreadsheets write.
func TestFormsOfCSV(t *testing.T) {
	plain := string(folder(nil)["sun.csv"].Data)
	want := mustLoad(t, folder(nil), site.Options{}).Sun
	for name, text := range map[string]string{
		"tab":              strings.ReplaceAll(plain, ",", "\t"),
		"semicolon":        strings.ReplaceAll(plain, ",", ";"),
		"decimal comma":    strings.ReplaceAll(strings.ReplaceAll(plain, ",", ";"), ".", ","),
		"byte order mark":  "\ufeff" + plain,
		"CRLF":             strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":               strings.ReplaceAll(plain, "\n", "\r"),
		"remarks":          "# one, two; three\n\n" + strings.Replace(plain, "\n2,", "\n# between\n2,", 1),
		"capitals, spaces": strings.Replace(strings.ReplaceAll(plain, ",", " , "), "month", " Month", 1),
		"quotes":           strings.Replace(plain, "1,1.3", "\"1\",\"1.3\"", 1),
		"empty columns":    strings.ReplaceAll(plain, "\n", ",,\n") + ",,,\n",
		"no end of line":   strings.TrimSpace(plain),
		"columns turned":   "temp_c,month,sun_hours\n4,1,1.3\n6,2,2.1\n8,3,3.2\n10,4,4.5\n14,5,5.6\n17,6,6.5\n21,7,7\n20,8,6.1\n17,9,4.6\n12,10,2.8\n7,11,1.4\n4,12,1\n",
	} {
		s, err := site.LoadFS(folder(map[string]string{"sun.csv": text}), site.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if s.Sun.SunHours != want.SunHours || s.Sun.TempC != want.TempC {
			t.Errorf("%s reads as %v %v", name, s.Sun.SunHours, s.Sun.TempC)
		}
	}
}

// Lines count as an editor counts them, whatever stands above.
func TestTrueLineNumbers(t *testing.T) {
	text := "# a remark\n\nmonth,sun_hours\n1,1\n\n# another\n2,\"2\"\n3,3\n4,4\n5,x\n6,6\n7,6\n8,5\n9,4\n10,3\n11,2\n12,1\n"
	mustRefuse(t, folder(map[string]string{"sun.csv": text}), `sun.csv:10:3: sun_hours: "x" is no number`)
}

func TestDemandOfAMeter(t *testing.T) {
	toml := strings.Replace(string(folder(nil)["site.toml"].Data), "[loads]", "[loads]\nhourly = \"demand.csv\"", 1)
	var b strings.Builder
	b.WriteString("time;demand_w\n")
	for i := range 8784 {
		fmt.Fprintf(&b, "%s;%d,5\n", time.Date(2014, 10, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02T15:04:05"), 100+i%24)
	}
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "demand.csv": b.String()}), site.Options{})
	if len(s.DemandW.Values) != 8784 || s.DemandW.Values[25] != 101.5 || s.Appliances != nil {
		t.Errorf("%d hours, hour 25 has %g W", len(s.DemandW.Values), s.DemandW.Values[25])
	}
	mustRefuse(t, folder(map[string]string{"site.toml": toml, "demand.csv": strings.Replace(b.String(), ";105,5", ";-5", 1)}), "demand.csv:7:21: demand_w: -5 is outside 0 to 100000")
}

func TestOwnFlowRecordAndMeter(t *testing.T) {
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"record\"\n[penstock]\ngross_head = \"100 ft\"\nlength = \"400 ft\"\nbore = \"2 in\"\n[turbine]\ndesign_flow = \"30 gal/min\"\n"
	flow := strings.Replace(dailyRain(time.Date(2014, 9, 1, 0, 0, 0, 0, time.UTC), 800, map[int]bool{50: true, 51: true}), "rain_mm", "flow_gpm", 1)
	meter := "time,soc_pct,hydro_w\n2015-01-05 10:00,80,\n2015-01-05 10:30,81.5,120\n"
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "flow.csv": flow, "meter.csv": meter}), site.Options{})
	if r := s.Stream.Record; len(r.FlowM3S) != 800 || math.Abs(r.FlowM3S[0]-0.1*6.30901964e-5) > 1e-13 {
		t.Errorf("the flow record has %d days and begins with %g", len(r.FlowM3S), r.FlowM3S[0])
	}
	if len(s.Meter.Time) != 2 || math.Abs(s.Meter.SoC[1]-0.815) > 1e-12 || !math.IsNaN(s.Meter.W["hydro"][0]) || s.Meter.W["pv"] != nil {
		t.Errorf("the meter reads %+v", s.Meter)
	}
	if math.Abs(s.Hydro.Turbine.CutoffM3S-0.1*s.Hydro.Turbine.DesignFlowM3S) > 1e-3*s.Hydro.Turbine.CutoffM3S {
		t.Errorf("the cut-off of a spear valve is %g of %g", s.Hydro.Turbine.CutoffM3S, s.Hydro.Turbine.DesignFlowM3S)
	}
}

// Devices, pipes, links to them and files of absurd size are refused at once.
func TestFilesThatAreNone(t *testing.T) {
	write := func(t *testing.T) string {
		dir := t.TempDir()
		for name, f := range folder(nil) {
			if err := os.WriteFile(filepath.Join(dir, name), f.Data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		return dir
	}
	for name, c := range map[string]struct {
		make func(path string) error
		says string
	}{
		"a link to a device": {func(p string) error { return os.Symlink(os.DevNull, p) }, "is no regular file"},
		"a link to itself":   {func(p string) error { return os.Symlink(p, p) }, "cannot be read"},
		"a link to nothing":  {func(p string) error { return os.Symlink(p+".gone", p) }, "is missing"},
		"a gigabyte": {func(p string) error {
			f, err := os.Create(p)
			if err != nil {
				return err
			}
			defer f.Close()
			return f.Truncate(1 << 30)
		}, "has 1024 MB"},
		"binary": {func(p string) error { return os.WriteFile(p, []byte("date,rain_mm\n2014-10-01,\x001\n"), 0o644) }, "is not text: it has zero bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := write(t)
			path := filepath.Join(dir, "rain.csv")
			os.Remove(path)
			if err := c.make(path); err != nil {
				t.Skip(err)
			}
			began := time.Now()
			_, err := site.Load(dir, site.Options{})
			if err == nil || !strings.Contains(err.Error(), "rain.csv: "+c.says) {
				t.Errorf("it says %v, want %q", err, c.says)
			}
			if took := time.Since(began); took > time.Second {
				t.Errorf("it took %v to refuse", took)
			}
		})
	}
	file := filepath.Join(t.TempDir(), "x")
	os.WriteFile(file, nil, 0o644)
	for dir, says := range map[string]string{file: "is no folder", file + "y": "no such folder"} {
		if _, err := site.Load(dir, site.Options{}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", dir, err, says)
		}
	}
}

// A link to an ordinary file is as good as the file.
func TestLinkToAFile(t *testing.T) {
	dir, other := t.TempDir(), filepath.Join(t.TempDir(), "r.csv")
	for name, f := range folder(nil) {
		if err := os.WriteFile(filepath.Join(dir, name), f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Rename(filepath.Join(dir, "rain.csv"), other); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(other, filepath.Join(dir, "rain.csv")); err != nil {
		t.Skip(err)
	}
	if _, err := site.Load(dir, site.Options{}); err != nil {
		t.Error(err)
	}
}

func TestTenThousandAppliances(t *testing.T) {
	s := mustLoad(t, folder(map[string]string{"loads.csv": "name,watts,hours\n" + strings.Repeat("lamp,1,17-22\n", 10000)}), site.Options{})
	if len(s.Appliances) != 10000 {
		t.Errorf("%d appliances", len(s.Appliances))
	}
}

func TestRecordsThatHoldNoYear(t *testing.T) {
	other := strings.NewReplacer("2014-", "2004-", "2015-", "2005-").Replace(measured(8760, still, nil))
	mustRefuse(t, folder(map[string]string{"site.toml": hourlySite(""), "sun-hourly.csv": other}), "sun-hourly.csv: the measured sun holds no whole water year of rain.csv", "repeat = true")
	mustLoad(t, folder(map[string]string{"site.toml": hourlySite("repeat = true"), "sun-hourly.csv": other}), site.Options{})
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"record\"\n"
	flow := strings.Replace(dailyRain(time.Date(2015, 3, 1, 0, 0, 0, 0, time.UTC), 560, nil), "rain_mm", "flow_lps", 1)
	mustRefuse(t, folder(map[string]string{"site.toml": toml, "flow.csv": flow}), "flow.csv: the flow record holds no whole water year of rain.csv")
}

func TestShedNeedsTemperatures(t *testing.T) {
	toml := strings.Replace(string(folder(nil)["site.toml"].Data), "[bank]", "[bank]\nplace = \"shed\"", 1)
	mustLoad(t, folder(map[string]string{"site.toml": toml}), site.Options{})
	sun := strings.NewReplacer(",temp_c", "", ",4\n", "\n", ",6\n", "\n", ",8\n", "\n", ",10\n", "\n", ",14\n", "\n", ",17\n", "\n", ",21\n", "\n", ",20\n", "\n", ",12\n", "\n", ",7\n", "\n").Replace(string(folder(nil)["sun.csv"].Data))
	mustRefuse(t, folder(map[string]string{"site.toml": toml, "sun.csv": sun}), "bank.place: a bank in a shed follows the air")
}

func TestHundredYearsOfRain(t *testing.T) {
	rain := dailyRain(time.Date(1920, 10, 1, 0, 0, 0, 0, time.UTC), 36524, nil)
	s := mustLoad(t, folder(map[string]string{"rain.csv": rain}), site.Options{})
	if n := len(weather.WaterYears(s.Rain, s.YearMonth, s.YearDay)); n != 99 && n != 100 {
		t.Errorf("%d water years of a hundred", n)
	}
}

// A need by the week: firm uses spread it over their days, flexible ones keep
// it for the whole week.
func TestHoursAWeek(t *testing.T) {
	s := mustLoad(t, folder(map[string]string{"loads.csv": "name,watts,hours,days,flexible\nwasher,500,6/week,mon wed sat,no\nwater heater,1000,14/week,all,yes\n"}), site.Options{})
	washer, heater := s.Appliances[0], s.Appliances[1]
	if washer.HoursPerDay != 2 || washer.HourFraction[5] != 2.0/24 || !washer.Weekly || heater.HoursPerDay != 2 || !heater.Weekly {
		t.Errorf("read as %+v and %+v", washer, heater)
	}
	const days = 9 // from a Saturday: a week and two days
	d := loads.Build(time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), days, s.Appliances, loads.Inverter{Efficiency: 0.5, RatedW: 900})
	firm := 0.0
	for _, w := range d.BusW[:7*24] {
		firm += w
	}
	if math.Abs(firm-6*500/0.5) > 1e-9 {
		t.Errorf("the washer draws %g Wh a week", firm)
	}
	if len(d.WeeklyWh) != 2 || d.WeeklyWh[0] != 14*1000/0.5 || d.WeeklyWh[1] != 4*1000/0.5 || d.FlexibleWh[3] != 0 {
		t.Errorf("flexible needs %v by the day, %v by the week", d.FlexibleWh, d.WeeklyWh)
	}
	if wash := 500 * 2.0 / 24; math.Abs(d.WeeklyW[3]-(900-wash)/0.5) > 1e-9 || d.TogetherW[3] != d.WeeklyW[3] || d.WeeklyW[27] != 900/0.5 {
		t.Errorf("room in the inverter: %g W on a day of washing, %g W on another", d.WeeklyW[3], d.WeeklyW[27])
	}
}

// What a site says of its bank's cold.
func TestChargeByTemperature(t *testing.T) {
	at := func(extra string) *site.Site {
		return mustLoad(t, folder(map[string]string{"site.toml": strings.Replace(string(folder(nil)["site.toml"].Data), "[loads]", "indoor_temp = \"7 C\"\n"+extra+"[loads]", 1)}), site.Options{})
	}
	if s := at(""); s.Bank.ChargeLimitAt(s.Bank.IndoorC) != 2000 {
		t.Errorf("10 kWh at 7 °C take %g W", s.Bank.ChargeLimitAt(s.Bank.IndoorC))
	}
	if s := at("charge_by_temperature = [[\"32 F\", 0.05], [\"8 C\", 0.3]]\n"); s.Bank.ChargeLimitAt(s.Bank.IndoorC) != 500 {
		t.Errorf("10 kWh at 7 °C take %g W", s.Bank.ChargeLimitAt(s.Bank.IndoorC))
	}
}

package site_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// finite walks through a value and tells the first number in it that is none.
func finite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return path
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return finite(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Name != "Meter" {
				if bad := finite(v.Field(i), path+"."+f.Name); bad != "" {
					return bad
				}
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := finite(v.Index(i), path); bad != "" {
				return bad
			}
		}
	}
	return ""
}

// sound loads a folder: it is either refused with problems that say what is
// wrong, or it gives finite numbers and a year whose books close.
func sound(t *testing.T, fsys fstest.MapFS, run bool) {
	s, err := site.LoadFS(fsys, site.Options{})
	if err != nil {
		var ps files.Problems
		if !errors.As(err, &ps) || len(ps) == 0 || s != nil {
			t.Fatalf("refused with %#v", err)
		}
		for _, p := range ps {
			if p.What == "" || strings.Contains(p.What, "%!") || p.Line < 0 || p.Column < 0 {
				t.Fatalf("a problem says %+v", p)
			}
		}
		return
	}
	if bad := finite(reflect.ValueOf(*s), "Site"); bad != "" {
		t.Fatalf("%s is not finite", bad)
	}
	if !run {
		return
	}
	h, err := series.New(s)
	if err != nil {
		return // the records do not fit together
	}
	year, err := sim.Run(h.Input(h.Years()[0]), h.Bus())
	if err != nil {
		t.Fatalf("the books do not close: %v", err)
	}
	for _, v := range [][]float64{year.ServedW, year.SoC, year.StoredWh} {
		for i, x := range v {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("hour %d of the year has %g", i, x)
			}
		}
	}
}

const fuzzBytes = 1 << 16

var oneYear = dailyRain(time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC), 365, nil)

// seeds adds the files of one name that stand in testdata and the demo.
func seeds(f *testing.F, name string) {
	for _, pattern := range []string{"../../testdata/bad/*/", "../../testdata/*/", "demo/"} {
		paths, _ := filepath.Glob(pattern + name)
		for _, p := range paths {
			if data, err := os.ReadFile(p); err == nil && len(data) < fuzzBytes {
				f.Add(data)
			}
		}
	}
}

func FuzzDescription(f *testing.F) {
	seeds(f, "site.toml")
	base := folder(map[string]string{"rain.csv": oneYear})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > fuzzBytes {
			return
		}
		fsys := fstest.MapFS{"horizon.csv": {Data: []byte("bearing_deg,height_deg\n0,4\n180,10\n")}}
		for name, file := range base {
			fsys[name] = file
		}
		fsys["site.toml"] = &fstest.MapFile{Data: data}
		sound(t, fsys, true)
	})
}

func FuzzQuantity(f *testing.F) {
	for _, text := range []string{"48 m", "5/16 in", "1-1/4 in", "2/0 gauge AWG", "-0.35 %/K", "1e999 m", "0,5 m", "50 F", "٣ m", "", "1e-400 kWh", "-5/0 in"} {
		f.Add(text)
	}
	measures := []*measure.Measure{measure.Lengths, measure.Flows, measure.Volumes, measure.Powers, measure.Energies, measure.Pressures, measure.Angles, measure.Fractions, measure.Factors, measure.FractionsPerK, measure.FractionsPerHour, measure.Temperatures, measure.Sections, measure.Durations, measure.Areas, measure.DayCounts, measure.Coordinates}
	f.Fuzz(func(t *testing.T, text string) {
		for _, m := range measures {
			v, err := m.Parse(text)
			if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("%q = %g", text, v)
			}
			if err != nil && err.Error() == "" {
				t.Fatalf("%q is refused without a word", text)
			}
		}
	})
}

// fuzzTable fuzzes one CSV file of a site that uses it: table stands in place
// of the table of the description that it ends with.
func fuzzTable(f *testing.F, name, table string) {
	seeds(f, name)
	head := table[strings.LastIndex(table, "["):]
	head = head[:strings.Index(head, "\n")+1]
	base := folder(map[string]string{"rain.csv": oneYear, "site.toml": strings.Replace(string(folder(nil)["site.toml"].Data), head, table, 1)})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > fuzzBytes {
			return
		}
		fsys := fstest.MapFS{}
		for n, file := range base {
			fsys[n] = file
		}
		fsys[name] = &fstest.MapFile{Data: data}
		sound(t, fsys, false)
	})
}

func FuzzSun(f *testing.F)     { fuzzTable(f, "sun.csv", "[sun]\n") }
func FuzzRain(f *testing.F)    { fuzzTable(f, "rain.csv", "[sun]\n") }
func FuzzLoads(f *testing.F)   { fuzzTable(f, "loads.csv", "[sun]\n") }
func FuzzHorizon(f *testing.F) { fuzzTable(f, "horizon.csv", "[sun]\nhorizon = \"horizon.csv\"\n") }
func FuzzMeter(f *testing.F)   { fuzzTable(f, "meter.csv", "[sun]\n") }

func FuzzSunHourly(f *testing.F) {
	f.Add([]byte("time,ghi_w_m2\n2015-01-01 00:00,0\n2015-01-01 01:00,\n"))
	f.Add([]byte("time;ghi_w_m2;dni_w_m2;temp_c\n1800-01-01 00:00;0;1;2\n2199-01-01T01:00:00;1,5;;\n"))
	fuzzTable(f, "sun-hourly.csv", "[sun]\nhourly = \"sun-hourly.csv\"\nrepeat = true\n")
}

func FuzzDemand(f *testing.F) {
	f.Add([]byte("time,demand_w\n2015-01-01 00:00,0\n2015-01-01 24:00,5\n"))
	fuzzTable(f, "demand.csv", "[loads]\nhourly = \"demand.csv\"\n")
}

const creek = "[stream]\nmodel = \"curve\"\nrecession_days = 20\ngain = \"1 L/s\"\n[sun]\n"

func FuzzGaugings(f *testing.F) { fuzzTable(f, "gaugings.csv", creek) }

func FuzzYield(f *testing.F) {
	fuzzTable(f, "yield.csv", strings.Replace(creek, "gain = \"1 L/s\"", "yield = \"yield.csv\"", 1))
}

func FuzzFlow(f *testing.F) {
	fuzzTable(f, "flow.csv", "[stream]\nmodel = \"record\"\n[sun]\n")
}

func FuzzParameters(f *testing.F) {
	fuzzTable(f, "stream.csv", "[stream]\nmodel = \"curve\"\nparameters = \"stream.csv\"\n[sun]\n")
}

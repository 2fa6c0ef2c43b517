package site_test

import (
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"sunrill/sim/files"
	"sunrill/sim/site"
)

// demoEdited is the built-in homestead with a piece of one of its files replaced.
func demoEdited(t *testing.T, file, old, new string) fstest.MapFS {
	t.Helper()
	m := fstest.MapFS{}
	names, err := fs.Glob(site.DemoFS(), "*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(site.DemoFS(), name)
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		if name == file {
			if strings.Count(text, old) != 1 {
				t.Fatalf("%s holds %q %d times", file, old, strings.Count(text, old))
			}
			text = strings.Replace(text, old, new, 1)
		}
		m[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return m
}

func setting(t *testing.T, text string) files.Setting {
	t.Helper()
	s, err := files.ParseSetting(text, "--set "+text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A value that is set gives the same site as the file that is edited so.
func TestSetIsEditing(t *testing.T) {
	freezer := func(columns ...int) (row string) {
		data, err := fs.ReadFile(site.DemoFS(), "loads.csv")
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			if strings.HasPrefix(line, "freezer,") {
				return line
			}
		}
		t.Fatal("there is no freezer")
		return ""
	}()
	cells := strings.Split(freezer, ",")
	cells[2] = "0"
	for set, edit := range map[string][3]string{
		`bank.capacity=20 kWh`:                   {"site.toml", `capacity = "14 kWh"`, `capacity = "20 kWh"`},
		` bank.capacity = "20 kWh" `:             {"site.toml", `capacity = "14 kWh"`, `capacity = "20 kWh"`},
		`latitude=44`:                            {"site.toml", `latitude = 43.1`, `latitude = 44`},
		`array.roof.tilt=60 deg`:                 {"site.toml", `tilt = "40 deg"`, `tilt = "60 deg"`},
		`array.2.facing=south`:                   {"site.toml", `facing = "200 deg"`, `facing = "180 deg"`},
		`turbine.nozzles=["5 mm","7 mm"]`:        {"site.toml", `"7 mm", "9 mm"]`, `"7 mm"]`},
		`turbine.nozzles=[5 mm, 7 mm]`:           {"site.toml", `"7 mm", "9 mm"]`, `"7 mm"]`},
		`turbine.open=11-20`:                     {"site.toml", `open = "11-05"`, `open = "11-20"`},
		`costs=`:                                 {"site.toml", "[costs]                        # invented, panels with frame, cable and controller\ncurrency = \"EUR\"\npanel_per_kw = 1750\nbank_per_kwh = 420\npenstock_per_m = 9\nturbine = 2400\nworks = 1800\ndigging_per_m = 2\npermits = 250\ninverter = 1100\ngenerator = 900\nfuel_per_l = 2.0\nupkeep_hydro = 90\nupkeep_panels = 30\nupkeep_generator_per_h = 1.2\nlabour_hydro = \"8 h\"\nclean_intake = \"30 min\"\nbuild_hydro = \"60 h\"\nlabour_generator = \"20 h\"\nlabour_per_h = 8\nlife_panels = \"25 years\"\nlife_hydro = \"15 years\"\nlife_penstock = \"40 years\"\nlife_inverter = \"12 years\"\nlife_generator = \"3000 h\"\ndiscount_rate = \"4 %\"\nyears = \"20 years\"", ""},
		`bank.comfort_soc=`:                      {"site.toml", "comfort_soc = \"40 %\"\n", ""},
		`forebay.volume=2 m3`:                    {"site.toml", "[penstock]", "[forebay]\nvolume = \"2 m3\"\n[penstock]"},
		`generator={rated="2 kW",min_run="2 h"}`: {"site.toml", "[costs]", "[generator]\nrated = \"2 kW\"\nmin_run = \"2 h\"\n[costs]"},
		`array.barn={power="1 kW"}`:              {"site.toml", "[stream]", "[[array]]\nname = \"barn\"\npower = \"1 kW\"\n[stream]"},
		`array.woodshed=`:                        {"site.toml", "[[array]]\nname = \"woodshed\"\npower = \"1.2 kW\"\ntilt = \"60 deg\"                # steep, for the low sun\nfacing = \"200 deg\"\nlosses = \"12 %\"\n", ""},
		`loads.freezer.count=0`:                  {"loads.csv", freezer, strings.Join(cells, ",")},
		`loads."FREEZER".count="0"`:              {"loads.csv", freezer, strings.Join(cells, ",")},
		`loads.freez.count=0`:                    {"loads.csv", freezer, strings.Join(cells, ",")},
	} {
		got, err := site.LoadFS(site.DemoFS(), site.Options{Set: []files.Setting{setting(t, set)}})
		if err != nil {
			t.Errorf("%s: %v", set, err)
			continue
		}
		if len(got.Changes) != 1 {
			t.Errorf("%s: it tells the changes %v", set, got.Changes)
		}
		got.Changes, got.Given = nil, nil // they tell who gave a value
		want, err := site.LoadFS(demoEdited(t, edit[0], edit[1], edit[2]), site.Options{})
		if err != nil {
			t.Fatalf("%s: %v", set, err)
		}
		if set == `array.2.facing=south` {
			got.Values, want.Values = nil, nil // written otherwise, and the same
		}
		want.Given = nil
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s gives another site than %q in the place of %q", set, edit[2], edit[1])
		}
		if plain, _ := site.Demo(); reflect.DeepEqual(got, plain) {
			t.Errorf("%s changes nothing", set)
		}
	}
}

// A column that the list of appliances may have is added for all.
func TestSetAddsAColumn(t *testing.T) {
	small := folder(map[string]string{"loads.csv": "name,watts,hours\nlights,40,17-22\nchest freezer,90,all\n"})
	s := mustLoad(t, small, site.Options{Set: []files.Setting{setting(t, "loads.chest freezer.count=2"), setting(t, "loads.lights.flexible=yes")}})
	if a := s.Appliances; a[0].Count != 1 || a[1].Count != 2 || !a[0].Flexible || a[1].Flexible {
		t.Errorf("the appliances are %+v", a)
	}
}

// Of two values for one key the later counts, and the file's own is told.
func TestSetTwice(t *testing.T) {
	s := mustLoad(t, site.DemoFS(), site.Options{Set: []files.Setting{setting(t, "bank.capacity=20 kWh"), setting(t, "bank.capacity=25 kWh")}})
	if s.Bank.CapacityWh != 25000 || len(s.Changes) != 1 || s.Changes[0].String() != `bank.capacity = "25 kWh" (the file has "14 kWh")` {
		t.Errorf("%g Wh, %v", s.Bank.CapacityWh, s.Changes)
	}
}

// What is wrong with a value that is set points to where it was set, says the
// same as the file would, and is told together with all the rest.
func TestSetIsChecked(t *testing.T) {
	var all []files.Setting
	want := map[string]string{
		`bank.capacity=20`:                  `bank.capacity: 20 has no unit`,
		`bank.floor=120 %`:                  `bank.floor: "120 %" is outside`,
		`bank.capcity=3 kWh`:                `did you mean "capacity"?`,
		`bnk.x=5`:                           `unknown table [bnk]`,
		`bank=5`:                            `bank: is no table`,
		`inverter.rated.x=5`:                `inverter.rated is a value, not a table`,
		`array.tilt=3 deg`:                  `name one of roof, woodshed`,
		`array.barn.tilt=3 deg`:             `name one of roof, woodshed`,
		`array.roof.tilt=120 deg`:           `array[1].tilt: "120 deg" is outside`,
		`loads.frezer.count=0`:              `did you mean "freezer"?`,
		`loads.freezer.cuont=0`:             `did you mean "count"?`,
		`loads.freezer.watts=-3`:            `watts: -3 is outside`,
		`loads.freezer.hours=25-30`:         `hours: `,
		`loads.freezer=3`:                   `loads.freezer.count=0`,
		`generator.min_run=2 h`:             `generator.rated: is missing`,
		`turbine.nozzles=["5 mm","700 mm"]`: `turbine.nozzles[2]: "700 mm" is outside`,
		`turbine.nozzles.first=5 mm`:        `list of values`,
		`a..b=3`:                            `an empty part`,
		"name=a\nb":                         `characters that are not seen`,
		"loads.freezer.name=a\x1b[31m":      `characters that are not seen`,
		`rain.file=../../etc/passwd`:        `no name of a file in the site's folder`,
	}
	for set, says := range want {
		s := setting(t, set)
		_, err := site.LoadFS(site.DemoFS(), site.Options{Set: []files.Setting{s}})
		ps, ok := err.(files.Problems)
		if !ok || len(ps) == 0 {
			t.Errorf("%s: %v", set, err)
			continue
		}
		if ps[0].File != s.From || ps[0].Line != 0 || !strings.Contains(ps[0].String(), says) {
			t.Errorf("%s: %s\nwant it to say %q", set, ps[0], says)
		}
		if set != `bank=5` && set != `rain.file=../../etc/passwd` && set != `inverter.rated.x=5` {
			all = append(all, s)
		}
	}
	_, err := site.LoadFS(site.DemoFS(), site.Options{Set: all})
	for _, s := range all {
		if s.Key == "turbine.nozzles.first" || s.Key == "turbine.nozzles" {
			continue // one of them is in the other's way
		}
		if err == nil || !strings.Contains(err.Error(), s.From) {
			t.Errorf("all at once do not tell %q", s.From)
		}
	}
}

func TestSettingWithoutValue(t *testing.T) {
	for _, text := range []string{"", "bank.capacity", "=5", " = "} {
		if _, err := files.ParseSetting(text, ""); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
}

// Nothing that can be typed behind --set makes the reader panic.
func FuzzSet(f *testing.F) {
	for _, seed := range []string{"bank.capacity=20 kWh", "array.1.tilt=[", "array=[1]", "array.x={a=1}", "turbine.nozzles=[[1],2]", "loads.freezer.count=", "bank={}", "stream=", "array=", "a.b.c.d=1979-05-27T07:32:00Z", `"="=`} {
		f.Add(seed)
	}
	small := folder(nil)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := files.ParseSetting(text, "--set "+text)
		if err != nil {
			return
		}
		if s, err := site.LoadFS(small, site.Options{Set: []files.Setting{s}}); (s == nil) == (err == nil) {
			t.Errorf("%q: neither a site nor an error, or both", text)
		}
	})
}

// A cache changes nothing of what is read, and sees that a file has changed.
func TestCacheChangesNothing(t *testing.T) {
	var cache files.Cache
	sets := [][]files.Setting{nil, {setting(t, "loads.freezer.count=0")}, {setting(t, "bank.capacity=20 kWh")}, {setting(t, "array.roof.horizon=horizon.csv")}}
	for range 2 {
		for _, set := range sets {
			got, err := site.LoadFS(site.DemoFS(), site.Options{Set: set, Cache: &cache})
			if err != nil {
				t.Fatal(err)
			}
			want, err := site.LoadFS(site.DemoFS(), site.Options{Set: set})
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("with %v the cache gives another site", set)
			}
		}
	}
	edited := demoEdited(t, "sun.csv", "\n1,1.3", "\n1,-1")
	if _, err := site.LoadFS(edited, site.Options{Cache: &cache}); err == nil {
		t.Error("a changed file was not read anew")
	}
}

// BenchmarkCached times the reading of the built-in site for another setting.
func BenchmarkCached(b *testing.B) {
	cache := new(files.Cache)
	for b.Loop() {
		if _, err := site.LoadFS(site.DemoFS(), site.Options{Cache: cache}); err != nil {
			b.Fatal(err)
		}
	}
}

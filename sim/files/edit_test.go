package files_test

import (
	"strings"
	"testing"

	"sunrill/sim/files"
)

const document = `# a place
name = "Alder Bend"
latitude = 44.1 # north

[bank]
# what stands in the shed
capacity = "14 kWh"   # two strings
chemistry = "lfp"

[turbine]
nozzles = ["5 mm", "7 mm"]

[[array]]
name = "roof"
tilt = "30 deg"
[[array]]
tilt = "60 deg"
`

func TestEditTOML(t *testing.T) {
	for _, c := range []struct{ set, was, is string }{
		{`bank.capacity=20 kWh`, `capacity = "14 kWh"   # two`, `capacity = "20 kWh"   # two`},
		{`latitude=45`, "latitude = 44.1 # north", "latitude = 45 # north"},
		{`turbine.nozzles=["9 mm"]`, `nozzles = ["5 mm", "7 mm"]`, `nozzles = ["9 mm"]`},
		{`array.roof.tilt=45 deg`, `tilt = "30 deg"`, `tilt = "45 deg"`},
		{`array.2.tilt=45 deg`, `tilt = "60 deg"`, `tilt = "45 deg"`},
		{`bank.start_soc=80 %`, "chemistry = \"lfp\"\n", "chemistry = \"lfp\"\nstart_soc = \"80 %\"\n"},
		{`elevation=300 m`, "44.1 # north\n", "44.1 # north\nelevation = \"300 m\"\n"},
		{`array.roof.facing=200 deg`, "tilt = \"30 deg\"\n", "tilt = \"30 deg\"\nfacing = \"200 deg\"\n"},
		{`forebay.volume=800 L`, "tilt = \"60 deg\"\n", "tilt = \"60 deg\"\n\n[forebay]\nvolume = \"800 L\"\n"},
		{`bank.chemistry=`, "chemistry = \"lfp\"\n", ""},
	} {
		s, err := files.ParseSetting(c.set, "test")
		if err != nil {
			t.Fatal(err)
		}
		got, err := files.EditTOML([]byte(document), []files.Setting{s})
		if want := strings.Replace(document, c.was, c.is, 1); err != nil || string(got) != want || want == document {
			t.Errorf("%s: %v\n%s\nwant\n%s", c.set, err, got, want)
		}
	}
	for _, bad := range []string{"array.tilt=3 deg", "bank.capacity.x=3", "a.b.c=1"} {
		s, _ := files.ParseSetting(bad, "test")
		if got, err := files.EditTOML([]byte(document), []files.Setting{s}); err == nil {
			t.Errorf("%s was written:\n%s", bad, got)
		}
	}
}

func TestEditRow(t *testing.T) {
	table := "# invented\nname,watts,count,hours\nfridge, 80,1,all\r\n\"lamp, hall\",5,4,18-23\n"
	got, was, is, err := files.EditRow([]byte(table), "lamp, hall", "count", "0")
	if err != nil || string(got) != strings.Replace(table, "5,4,", "5,0,", 1) || was != `"lamp, hall",5,4,18-23` || is != `"lamp, hall",5,0,18-23` {
		t.Errorf("%v %q %q\n%s", err, was, is, got)
	}
	if got, _, _, err := files.EditRow([]byte("name;watts;hours\nlamp;5,5;2,5/day\n"), "lamp", "watts", "6.5"); err != nil || string(got) != "name;watts;hours\nlamp;6,5;2,5/day\n" {
		t.Errorf("%v\n%s", err, got)
	}
	for _, bad := range [][2]string{{"freezer", "count"}, {"fridge", "months"}} {
		if _, _, _, err := files.EditRow([]byte(table), bad[0], bad[1], "1"); err == nil {
			t.Errorf("%v was written", bad)
		}
	}
}

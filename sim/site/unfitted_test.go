package site_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"sunrill/sim/site"
)

// demoWith returns the built-in site with another [stream] and stream.csv.
func demoWith(t *testing.T, stream, parameters string) fs.FS {
	t.Helper()
	folder := fstest.MapFS{}
	demo := site.DemoFS()
	entries, err := fs.ReadDir(demo, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := fs.ReadFile(demo, e.Name())
		if err != nil {
			t.Fatal(err)
		}
		if e.Name() == "site.toml" {
			before, rest, _ := strings.Cut(string(data), "[stream]")
			_, after, ok := strings.Cut(rest, "[intake]")
			if !ok {
				t.Fatal("the built-in site.toml has no [stream] before [intake]")
			}
			data = []byte(before + "[stream]\n" + stream + "\n[intake]" + after)
		}
		folder[e.Name()] = &fstest.MapFile{Data: data}
	}
	if parameters != "" {
		folder["stream.csv"] = &fstest.MapFile{Data: []byte(parameters)}
	}
	return folder
}

func TestCreekMayBeUnknownBeforeAFit(t *testing.T) {
	for _, stream := range []string{
		"model = \"curve\"", "model = \"catchment\"",
		"model = \"curve\"\nparameters = \"stream.csv\"", "model = \"catchment\"\nparameters = \"stream.csv\"",
	} {
		folder := demoWith(t, stream, "")
		if _, err := site.LoadFS(folder, site.Options{}); err == nil {
			t.Errorf("%s: no error where the parameters are needed", stream)
		}
		s, err := site.LoadFS(folder, site.Options{Unfitted: true})
		if err != nil {
			t.Errorf("%s: %v", stream, err)
		} else if len(s.Gaugings) == 0 {
			t.Errorf("%s: no gaugings", stream)
		}
	}
}

func TestAreaMayComeFromTheFit(t *testing.T) {
	const rows = "parameter,value,low,high\nx1_mm,300,200,400\nx2_mm_day,0,,\nx3_mm,60,,\nx4_days,0.8,,\narea_km2,0.35,0.2,0.6\n"
	s, err := site.LoadFS(demoWith(t, "model = \"catchment\"\nparameters = \"stream.csv\"", rows), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if a := s.Stream.Catchment.AreaM2; a < 349999 || a > 350001 {
		t.Errorf("area %g m², want 350000", a)
	}
	_, err = site.LoadFS(demoWith(t, "model = \"catchment\"\narea = \"30 ha\"\nparameters = \"stream.csv\"", rows), site.Options{})
	if err == nil || !strings.Contains(err.Error(), "area_km2") {
		t.Errorf("an area told twice: %v", err)
	}
}

// A form that waits for its first reading is no mistake.
func TestGaugingsWithoutARow(t *testing.T) {
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"curve\"\nrecession_days = 30\ngain = \"1 L/s\"\n"
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "gaugings.csv": "date,method,volume_l,seconds,note\n"}), site.Options{})
	if len(s.Gaugings) != 0 {
		t.Errorf("%d gaugings", len(s.Gaugings))
	}
}

// A whole stream.csv of the other model is one mistake.
func TestParametersOfTheOtherModel(t *testing.T) {
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"catchment\"\narea = \"20 ha\"\nparameters = \"stream.csv\"\n"
	csv := "parameter,value\nsoil_depth_mm,80\nquick_share,0.1\nrecession_days,40\n"
	_, err := site.LoadFS(folder(map[string]string{"site.toml": toml, "stream.csv": csv}), site.Options{})
	if n := strings.Count(fmt.Sprint(err), "belongs to another model"); n != 1 {
		t.Errorf("told %d times:\n%v", n, err)
	}
}

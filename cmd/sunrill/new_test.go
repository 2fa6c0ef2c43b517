package main

import (
	"path/filepath"
	"strings"
	"testing"
)

func TestNewInUSUnits(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "place")
	if _, errOut, code := sunrill(t, "new", dir, "--units", "us", "--with", "fridge,lights"); code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	out, errOut, code := sunrill(t, "check", dir)
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	for _, want := range []string{"144 ft of head", "1,350 ft above", "gal/min", "Rain by year and month, in", "refrigerator"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}

func TestNewRefusals(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "place")
	for line, want := range map[string]string{
		"--units imperial":              "none of metric, us",
		"--latitude 44":                 "goes with --blank",
		"--blank --latitude 144":        "must lie between -90 and 90",
		"--blank --longitude east":      "--longitude",
		"--blank --latitude NaN":        "must lie between -90 and 90",
		"--with frige":                  `did you mean "fridge"?`,
		"--blank --units us surplus-it": "makes one folder",
	} {
		_, errOut, code := sunrill(t, append([]string{"new", dir}, strings.Fields(line)...)...)
		if code != exitUsage || !strings.Contains(errOut, want) {
			t.Errorf("new %s: exit code %d: %s\nwant %q", line, code, errOut, want)
		}
	}
}

// A pipe of two bores, its fittings counted, a head by a pressure gauge and a
// feeder: check tells them all.
func TestCheckTellsReachesAndFeeder(t *testing.T) {
	dir := newSite(t)
	path := filepath.Join(dir, "site.toml")
	toml := read(t, path)
	toml = strings.NewReplacer("gross_head = \"44 m\"", "gross_head = \"62.6 psi\"", "length = \"230 m\"\nbore = \"52 mm\"", "reaches = [[\"150 m\", \"66 mm\"], [\"80 m\", \"52 mm\"]]",
		"minor_loss = 2.5", "bends_90 = 2\nvalves = 1", "[penstock]", "[feeder]\ndrop = \"1 m\"\nlength = \"30 m\"\nbore = \"75 mm\"\n\n[penstock]").Replace(toml)
	put(t, path, toml)
	out, errOut, code := sunrill(t, "check", dir)
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	for _, want := range []string{"44.0 m of head", "230 m of pipe: 150 m of 66 mm, then 80.0 m of 52 mm", "penstock.minor_loss = 2.5", "intake.limit = ", "what the feeder carries"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if out, _, _ := sunrill(t, "reckon", "--head", "60psi", "--flow", "20gal/min"); !strings.Contains(out, "(138 ft) of head") {
		t.Errorf("a head by pressure: %s", out)
	}
}

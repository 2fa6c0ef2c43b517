package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// TestMain lets the test binary be the program: called by the name "sunrill"
// it runs main.
func TestMain(m *testing.M) {
	if os.Args[0] == "sunrill" {
		main()
	}
	if len(os.Args) == 3 && os.Args[1] == "fault" {
		notExitUsage()
		fault(os.Args[2])
	}
	flag.Parse()
	// A draw here is a whole site and its year: fewer than usual will do. The
	// command line may still ask for another number.
	if checks := flag.Lookup("rapid.checks"); checks.Value.String() == checks.DefValue {
		checks.Value.Set("15")
	}
	os.Exit(m.Run())
}

// process prepares the program to run as a process of its own in dir.
func process(t testing.TB, dir string, args ...string) (cmd *exec.Cmd, out, errOut *bytes.Buffer) {
	t.Helper()
	path, err := os.Executable()
	if err != nil {
		t.Skip(err)
	}
	out, errOut = new(bytes.Buffer), new(bytes.Buffer)
	cmd = &exec.Cmd{Path: path, Args: append([]string{"sunrill"}, args...), Dir: dir, Stdout: out, Stderr: errOut}
	return cmd, out, errOut
}

// sunrillIn runs the program as a process in a folder and returns what it
// printed.
func sunrillIn(t testing.TB, dir string, args ...string) (out, errOut string, code int) {
	t.Helper()
	cmd, o, e := process(t, dir, args...)
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return o.String(), e.String(), cmd.ProcessState.ExitCode()
}

// smallSite is a sound homestead whose year runs quickly: panels, a creek with
// a turbine and two whole water years of weather.
func smallSite() *drawnSite {
	d := &drawnSite{
		latDeg: 44, lonDeg: -121, utcH: -8, elevationM: 300, start: time.Date(2013, 10, 1, 0, 0, 0, 0, time.UTC), wetDayShare: 0.6, variability: 1,
		arrays:        []drawnArray{{powerW: 1500, tiltDeg: 45, facingDeg: 180, losses: 0.12, noctC: 45, coefPerK: -0.004}},
		bank:          drawnBank{chemistry: "lfp", model: "bucket", place: "indoors", capacityWh: 8000, voltageV: 48, soc: 0.4, start: 1, indoorC: 18},
		inverterShare: 0.9, idleW: 15, dumpW: 1000, heatWh: 1000,
		appliances: []drawnAppliance{{watts: 120, count: 1, hours: "all", days: "all"}, {watts: 400, count: 1, hours: "18-23", days: "all"}},
		water: &drawnWater{
			model: "curve", soilMM: 100, quickShare: 0.1, quickDays: 1.5, recessionDays: 30, floorM3S: 2e-4, gainM3S: 6e-4, exponent: 1, areaM2: 9e4,
			residualM3S: 2e-4, headM: 40, lengthM: 200, boreM: 0.05, minor: 2, ratingPa: 1e6, waterC: 8,
			kind: "pelton", nozzlesM: []float64{0.005, 0.008}, every: "7 days", afterStop: true, cableM: 50, sectionM2: 25e-6, cableVoltsV: 48,
		},
	}
	d.drawWeather(rand.New(rand.NewPCG(1, 1)), 730, true, 10, 0.4)
	return d
}

// folderOf writes a site into a new folder.
func folderOf(t testing.TB, d *drawnSite) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "site")
	if err := d.write(dir, false); err != nil {
		t.Fatal(err)
	}
	return dir
}

// change replaces a piece of a file of a folder, which has to be there.
func change(t testing.TB, dir, name, old, new string) {
	t.Helper()
	path := filepath.Join(dir, name)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(data), old) {
		t.Fatalf("%s holds no %q", name, old)
	}
	put(t, path, strings.Replace(string(data), old, new, 1))
}

func put(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// What is wrong with the files ends with 1, and says where and what.
func TestExitCodeOfWrongFiles(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		spoil func(t *testing.T, dir string)
		says  string
	}{
		"no such folder": {func(t *testing.T, dir string) { os.RemoveAll(dir) }, "there is no such folder"},
		"a file for a folder": {func(t *testing.T, dir string) {
			os.RemoveAll(dir)
			put(t, dir, "name")
		}, "is no folder"},
		"an empty folder": {func(t *testing.T, dir string) {
			os.RemoveAll(dir)
			os.Mkdir(dir, 0o777)
		}, "site.toml: is missing"},
		"a missing file":       {func(t *testing.T, dir string) { os.Remove(filepath.Join(dir, "rain.csv")) }, "rain.csv: is missing"},
		"an empty file":        {func(t *testing.T, dir string) { put(t, filepath.Join(dir, "loads.csv"), "") }, "loads.csv: is empty"},
		"an empty description": {func(t *testing.T, dir string) { put(t, filepath.Join(dir, "site.toml"), "") }, "site.toml: is empty"},
		"no number":            {func(t *testing.T, dir string) { change(t, dir, "rain.csv", "2013-10-05,", "2013-10-05,NaN") }, "rain.csv:6:12"},
		"no latitude":          {func(t *testing.T, dir string) { change(t, dir, "site.toml", "latitude = 44", "latitude = nan") }, "site.toml:2:"},
		"no bore":              {func(t *testing.T, dir string) { change(t, dir, "site.toml", `bore = "50 mm"`, `bore = "0 mm"`) }, `penstock.bore`},
		"a free lunch": {func(t *testing.T, dir string) {
			change(t, dir, "site.toml", `efficiency = "90 %"`, `efficiency = "120 %"`)
		}, `inverter.efficiency`},
		"a day too many":               {func(t *testing.T, dir string) { change(t, dir, "rain.csv", "2014-03-01", "2014-02-29") }, "2014-02-29"},
		"a day twice":                  {func(t *testing.T, dir string) { change(t, dir, "rain.csv", "2014-03-02", "2014-03-01") }, "rain.csv:154"},
		"a month 13":                   {func(t *testing.T, dir string) { change(t, dir, "sun.csv", "\n12,", "\n13,") }, "sun.csv:13:1"},
		"half a year":                  {func(t *testing.T, dir string) { cut(t, filepath.Join(dir, "rain.csv"), 180) }, "rain.csv"},
		"an offset window":             {func(t *testing.T, dir string) { change(t, dir, "loads.csv", "18-23", "25-30") }, "loads.csv:3"},
		"negative watts":               {func(t *testing.T, dir string) { change(t, dir, "loads.csv", ",400,", ",-400,") }, "loads.csv:3"},
		"a nozzle wider than the pipe": {func(t *testing.T, dir string) { change(t, dir, "site.toml", `"8 mm"`, `"80 mm"`) }, "wide as the pipe"},
		"amp-hours alone": {func(t *testing.T, dir string) {
			change(t, dir, "site.toml", `capacity = "8 kWh"`, `capacity = "200 Ah"`)
			change(t, dir, "site.toml", "voltage = \"48 V\"\ncomfort", "comfort")
		}, "needs the bank's voltage"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir, out := folderOf(t, smallSite()), filepath.Join(t.TempDir(), "out")
			c.spoil(t, dir)
			for _, line := range [][]string{{"check", dir}, {"year", dir, "--out", out}, {"bank", dir, "--out", out}} {
				printed, errOut, code := sunrill(t, line...)
				if code != exitBadInput || !strings.Contains(errOut, c.says) {
					t.Errorf("%s: exit code %d: %s\nwant %d and %q", line[0], code, errOut, exitBadInput, c.says)
				}
				if printed != "" {
					t.Errorf("%s prints %q beside the error", line[0], printed)
				}
			}
			if _, err := os.Stat(out); err == nil {
				t.Error("it made the folder for results all the same")
			}
		})
	}
}

// cut leaves the first lines of a file.
func cut(t testing.TB, path string, lines int) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	put(t, path, strings.Join(strings.SplitAfter(string(data), "\n")[:lines], ""))
}

// What is wrong with the command line ends with 2, names the next step and
// writes nothing.
func TestExitCodeOfWrongCommandLines(t *testing.T) {
	t.Parallel()
	dir := folderOf(t, smallSite())
	for line, says := range map[string]string{
		"":                               "Usage:",
		"yaer":                           `did you mean "year"?`,
		"zzz":                            "sunrill --help lists them",
		"year --yeers all":               "did you mean --years?",
		"year -x":                        "has no flag -x",
		"year --years":                   "--years needs a value",
		"year SITE --years 1900":         "complete water years from",
		"year SITE --years 2014-2012":    "--years",
		"year --format gif":              "none of svg, png, pdf",
		"year --units imperial":          "none of metric, us",
		"year --out=":                    "--out needs the name of a folder",
		"year SITE --open 13-45":         "--open",
		"compare":                        "needs two sites, or a site and a --plan",
		"compare SITE --plan bank":       "is no key=value",
		"compare SITE SITE --plan a:b=c": "--plan is of one site",
		"compare a b c d e f g":          "6 side by side at most",
		"compare SITE --plan a:bank.x=3": `--plan bank.x=3: unknown key "x"`,
		"year --set bank.capacity":       "no key=value",
		"year --set bank.capacity=20":    `--set bank.capacity=20: bank.capacity: 20 has no unit`,
		"check --set bank.capcity=5":     `did you mean "capacity"?`,
		"year a b":                       "one site folder, not 2",
		"year SITE --out SITE":           "which was read for these results",
		"check --out x":                  "has no flag --out",
		"bank --target -3":               "--target",
		"bank --target NaN":              "--target",
		"bank --target many":             "--target",
		"drywinter --made-up -1":         "--made-up",
		"drywinter --factors 0.5,x":      "--factors",
		"drywinter --factors -1":         "--factors",
		"drywinter --weeks 99":           "--weeks",
		"worth --made-up x":              "--made-up",
		"outlook --date 2026-13-01":      "is no day",
		"outlook --charge 62":            "has no unit",
		"outlook --charge 120%":          "is outside 0 % to 100 %",
		"outlook --flow 1":               "has no unit",
		"outlook --bucket 20L":           "is no reading",
		"outlook --days 0":               "is outside 1 to 120",
		"outlook --draws 0":              "is outside 1 to 200",
		"outlook --bear 2":               "has no unit",
		"new":                            "needs the name of the folder",
		"new a b":                        "not 2",
		"new a --with frigde":            "did you mean",
		"reckon":                         "--head",
		"reckon --head 40 --flow 2L/s":   "has no unit",
		"reckon --head -4m --flow 2L/s":  "--head",
		"version now":                    "takes no argument",
	} {
		args := strings.Fields(strings.ReplaceAll(line, "SITE", dir))
		printed, errOut, code := sunrill(t, args...)
		if code != exitUsage || printed != "" || !strings.Contains(errOut, says) {
			t.Errorf("sunrill %s: exit code %d, output %q, error %q; want %d and %q", line, code, printed, errOut, exitUsage, says)
		}
	}
}

// Help and version end with 0 and speak on the standard output.
func TestExitCodeOfHelp(t *testing.T) {
	lines := [][]string{{"--help"}, {"-h"}, {"help"}, {"help", "year"}, {"--version"}, {"version"}}
	for _, c := range commands() {
		lines = append(lines, []string{c.name, "--help"}, []string{c.name, "-h"})
	}
	for _, line := range lines {
		printed, errOut, code := sunrill(t, line...)
		if code != exitOK || printed == "" || errOut != "" {
			t.Errorf("sunrill %s: exit code %d, output %q, error %q", strings.Join(line, " "), code, printed, errOut)
		}
		for i, text := range strings.Split(printed, "\n") {
			if utf8.RuneCountInString(text) > 100 {
				t.Errorf("sunrill %s: line %d is %d letters wide", strings.Join(line, " "), i+1, len(text))
			}
		}
	}
}

// What is neither the files' fault nor the caller's ends with 3.
func TestExitCodeOfUnwritableFolders(t *testing.T) {
	t.Parallel()
	dir := folderOf(t, smallSite())
	file := filepath.Join(t.TempDir(), "file")
	put(t, file, "not a folder")
	closed := filepath.Join(t.TempDir(), "closed")
	if err := os.Mkdir(closed, 0o555); err != nil {
		t.Fatal(err)
	}
	outs := []string{file, filepath.Join(file, "below"), os.DevNull, filepath.Join(t.TempDir(), strings.Repeat("x", 300))}
	if os.Getuid() != 0 { // who may write everywhere
		outs = append(outs, closed)
	}
	for _, out := range outs {
		for _, name := range []string{"year", "bank"} {
			printed, errOut, code := sunrill(t, name, dir, "--out", out)
			if code != exitFailed || printed != "" || !strings.Contains(errOut, "cannot write results to "+out) || !strings.Contains(errOut, "--out") {
				t.Errorf("%s --out %s: exit code %d, output %.100q, error %q", name, out, code, printed, errOut)
			}
		}
	}
	if data, err := os.ReadFile(file); err != nil || string(data) != "not a folder" {
		t.Errorf("the file holds %q, %v", data, err)
	}
}

// A folder that would be overwritten by new, and one where it may not write.
func TestExitCodeOfNew(t *testing.T) {
	full := t.TempDir()
	put(t, filepath.Join(full, "mine.txt"), "mine")
	file := filepath.Join(full, "mine.txt")
	for _, dir := range []string{full, file, filepath.Join(file, "below"), filepath.Join(os.DevNull, "below")} {
		if printed, errOut, code := sunrill(t, "new", dir); code != exitFailed || printed != "" || !strings.Contains(errOut, dir) {
			t.Errorf("new %s: exit code %d, output %q, error %q", dir, code, printed, errOut)
		}
	}
	if names, _ := os.ReadDir(full); len(names) != 1 {
		t.Errorf("the folder now holds %v", names)
	}
}

// Ctrl-C in the midst of a study ends it with 3 and leaves no file.
func TestInterruptLeavesNoHalfFile(t *testing.T) {
	t.Parallel()
	small, demo := folderOf(t, smallSite()), filepath.Join(t.TempDir(), "demo")
	if _, errOut, code := sunrill(t, "new", demo); code != exitOK {
		t.Fatal(errOut)
	}
	for line, dir := range map[string]string{
		"year": small, "changeover": small, "bank --arrays": small, "drywinter --made-up 20000": small,
		"worth --made-up 5000": demo, "fit --rounds 5000": demo, "book": demo, // which ask for more than the small site tells
	} {
		stopped := false
		for wait := 200 * time.Millisecond; !stopped && wait > time.Millisecond; wait /= 2 {
			out := filepath.Join(t.TempDir(), "out")
			cmd, printed, errOut := process(t, t.TempDir(), append(strings.Fields(line), dir, "--out", out)...)
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(wait)
			cmd.Process.Signal(os.Interrupt)
			err := cmd.Wait()
			var exit *exec.ExitError
			switch {
			case err == nil: // it was done before
				continue
			case !errors.As(err, &exit):
				t.Fatal(err)
			case exit.ExitCode() == -1: // it had not begun
				wait *= 3
				continue
			}
			stopped = true
			if exit.ExitCode() != exitFailed || !strings.Contains(errOut.String(), "interrupted") || printed.Len() > 0 {
				t.Errorf("%s: exit code %d, output %.200q, error %q", line, exit.ExitCode(), printed, errOut)
			}
			if text := folderIfAny(t, out); text != "" {
				t.Errorf("%s left files:\n%.300s", line, text)
			}
		}
		if !stopped {
			t.Errorf("%s could not be interrupted: it was always done before", line)
		}
	}
}

func folderIfAny(t testing.TB, dir string) string {
	if _, err := os.Stat(dir); err != nil {
		return ""
	}
	return folderText(t, dir)
}

// An interruption that comes before the work begins ends it too.
func TestEveryCommandEndsWhenItsContextDoes(t *testing.T) {
	dir := folderOf(t, smallSite())
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	for _, name := range []string{"year", "changeover", "bank", "drywinter"} {
		out := filepath.Join(t.TempDir(), "out")
		var printed, errOut bytes.Buffer
		code := run(gone, []string{name, dir, "--out", out}, &printed, &errOut)
		if code != exitFailed || !strings.Contains(errOut.String(), "interrupted") {
			t.Errorf("%s: exit code %d: %s", name, code, errOut.String())
		}
		if text := folderIfAny(t, out); text != "" {
			t.Errorf("%s left files:\n%.300s", name, text)
		}
	}
}

// What cannot be printed is no success: a full disk behind a pipe or a ">".
func TestOutputThatCannotBeWritten(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	for _, line := range []string{"--help", "version", "reckon --head 40m --flow 2L/s", "reckon --head 40m --flow 2L/s --json", "check"} {
		var errOut bytes.Buffer
		if code := run(t.Context(), strings.Fields(line), full, &errOut); code != exitFailed || !strings.Contains(errOut.String(), "no space left") {
			t.Errorf("sunrill %s: exit code %d: %s", line, code, errOut.String())
		}
	}
}

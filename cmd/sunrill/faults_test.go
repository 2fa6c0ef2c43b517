package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"html"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// contents reads a folder of results: contents by name, and the temporary names
// beside it.
func contents(t testing.TB, dir string) (byName map[string]string, temporary []string) {
	t.Helper()
	byName = map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil
		case err != nil || e.IsDir():
			return err
		}
		data, err := os.ReadFile(path)
		byName[strings.TrimPrefix(path, dir)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if temporary, err = filepath.Glob(filepath.Join(filepath.Dir(dir), ".sunrill-*")); err != nil {
		t.Fatal(err)
	}
	return byName, temporary
}

// A run that is killed at any moment leaves all the results of one run, the
// earlier or the new, and what it leaves under temporary names is cleared by
// the next run.
func TestKilledAHundredTimes(t *testing.T) {
	t.Parallel()
	for lane := range 2 {
		t.Run(fmt.Sprint(lane), func(t *testing.T) {
			t.Parallel()
			kills := 50
			if testing.Short() {
				kills = 5
			}
			killAndLook(t, kills, rand.New(rand.NewPCG(uint64(lane), 0)))
		})
	}
}

func killAndLook(t *testing.T, kills int, r *rand.Rand) {
	sites := [2]string{} // two sites that write to the same folder in turn
	var whole [2]map[string]string
	var length time.Duration
	for i := range sites {
		d := smallSite()
		d.water, d.seed = nil, i
		d.arrays[0].powerW = 1500 + 500*float64(i)
		sites[i] = folderOf(t, d)
		out := filepath.Join(t.TempDir(), "out")
		cmd, _, errOut := process(t, t.TempDir(), "year", sites[i], "--draws", "2", "--out", out)
		began := time.Now()
		if err := cmd.Run(); err != nil {
			t.Fatalf("%v: %s", err, errOut)
		}
		length = time.Since(began)
		whole[i], _ = contents(t, out)
	}
	out := filepath.Join(t.TempDir(), "out")
	killed, tried := 0, 0
	for killed < kills {
		if tried++; tried > 4*kills {
			t.Fatalf("only %d of %d runs could be killed", killed, tried)
		}
		cmd, _, errOut := process(t, t.TempDir(), "year", sites[tried%2], "--draws", "2", "--out", out)
		began := time.Now()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if tried%3 > 0 { // most of them while they write
			for time.Since(began) < 2*length {
				own, _ := filepath.Glob(filepath.Join(filepath.Dir(out), fmt.Sprintf(".sunrill-partial-%d-*", cmd.Process.Pid)))
				if len(own) > 0 {
					break
				}
				time.Sleep(time.Millisecond)
			}
			time.Sleep(time.Duration(r.Float64() * float64(length) / 2))
		} else {
			time.Sleep(time.Duration(r.Float64() * float64(length)))
		}
		cmd.Process.Kill()
		err := cmd.Wait()
		var exit *exec.ExitError
		switch {
		case err == nil: // it was done
		case errors.As(err, &exit) && exit.ExitCode() == -1:
			killed++
		default:
			t.Fatalf("it ended by itself: %v: %s", err, errOut)
		}
		now, temporary := contents(t, out)
		if len(temporary) > 1 {
			t.Fatalf("the leavings of earlier runs are still there: %q", temporary)
		}
		if len(now) > 0 && !maps.Equal(now, whole[0]) && !maps.Equal(now, whole[1]) {
			t.Fatalf("the folder holds %d files, which are those of neither run", len(now))
		}
	}
	cmd, _, errOut := process(t, t.TempDir(), "year", sites[0], "--draws", "2", "--out", out)
	if err := cmd.Run(); err != nil {
		t.Fatalf("after the kills: %v: %s", err, errOut)
	}
	now, temporary := contents(t, out)
	if len(temporary) > 0 {
		t.Errorf("temporary names are left: %q", temporary)
	}
	if !maps.Equal(now, whole[0]) {
		t.Error("the results differ from a run that nobody disturbed")
	}
	t.Logf("%d runs of %v, %d killed", tried, length.Round(time.Millisecond), killed)
}

// A folder for a site is there whole or not at all, and what dead runs left
// beside it goes in time.
func TestNewKilled(t *testing.T) {
	t.Parallel()
	parent := t.TempDir()
	whole := filepath.Join(parent, "whole")
	if _, errOut, code := sunrillIn(t, parent, "new", whole); code != exitOK {
		t.Fatal(errOut)
	}
	want := folderText(t, whole)
	r := rand.New(rand.NewPCG(1, 2))
	made := 0
	for i := range 30 {
		dir := filepath.Join(parent, fmt.Sprint("site", i))
		cmd, _, _ := process(t, parent, "new", dir)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(r.Float64() * float64(15*time.Millisecond)))
		cmd.Process.Kill()
		cmd.Wait()
		if _, err := os.Stat(dir); err == nil {
			made++
			if got := folderText(t, dir); got != want {
				t.Errorf("the folder is there in part: %d of %d bytes", len(got), len(want))
			}
		}
	}
	left := filepath.Join(parent, ".sunrill-new-1")
	if err := os.MkdirAll(left, 0o777); err != nil {
		t.Fatal(err)
	}
	yesterday := time.Now().AddDate(0, 0, -1)
	if err := os.Chtimes(left, yesterday, yesterday); err != nil {
		t.Fatal(err)
	}
	if _, errOut, code := sunrill(t, "new", filepath.Join(parent, "last")); code != exitOK {
		t.Fatal(errOut)
	}
	if _, err := os.Stat(left); err == nil {
		t.Error("what a run of yesterday left is still there")
	}
	t.Logf("%d of 30 folders made", made)
}

// On a full disk the earlier results stay, and the message and the exit code
// say what happened.
func TestFullDisk(t *testing.T) {
	t.Parallel()
	if runtime.GOOS != "linux" {
		t.Skip("needs a small file system in memory")
	}
	dir, mount := folderOf(t, smallSite()), t.TempDir()
	program, err := os.Executable()
	if err != nil {
		t.Skip(err)
	}
	manifest := fmt.Sprintf(`{"command": "year", "files": [{"name": "summary.json", "bytes": 4, "sha256": "%x"}]}`, sha256.Sum256([]byte("old\n")))
	// A file system of its own needs a user's own name space.
	for sizeK, what := range map[int]string{40: "tables", 1000: "charts"} {
		script := `mount -t tmpfs -o size=` + fmt.Sprint(sizeK) + `k none "$1" || exit 99
mkdir "$1/out" && echo old >"$1/out/summary.json" && printf '%s' "$4" >"$1/out/sunrill-results.json"
(exec -a sunrill "$2" year "$3" --out "$1/out" --quiet 2>"$1/err"); echo "code $?"
cat "$1/err"; find "$1/out" "$1"/.sunrill* -type f ! -name sunrill-results.json 2>/dev/null; cat "$1/out/summary.json"`
		cmd := exec.Command("unshare", "-Urm", "bash", "-c", script, "bash", mount, program, dir, manifest)
		text, err := cmd.CombinedOutput()
		var exit *exec.ExitError
		if errors.Is(err, exec.ErrNotFound) || errors.As(err, &exit) && (exit.ExitCode() == 99 || bytes.Contains(text, []byte("unshare"))) {
			t.Skipf("no file system can be mounted here: %s", text)
		}
		lines := strings.Split(strings.TrimSpace(string(text)), "\n")
		got := strings.Join(lines, "\n")
		want := filepath.Join(mount, "out", "summary.json") + "\nold"
		if !strings.HasPrefix(got, "code 3\n") || !strings.Contains(got, "the disk is full") || !strings.Contains(got, "earlier results are untouched") || !strings.HasSuffix(got, want) || strings.Contains(got, "partial") {
			t.Errorf("no room for %s (%d kB): it ends with\n%s", what, sizeK, got)
		}
	}
}

// A file that somebody writes to while it is read gives a result or a message,
// never a crash.
func TestFileThatGrowsWhileItIsRead(t *testing.T) {
	t.Parallel()
	d := smallSite()
	dir := folderOf(t, d)
	path := filepath.Join(dir, "rain.csv")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	var wait sync.WaitGroup
	wait.Go(func() {
		for ctx.Err() == nil {
			f, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0)
			if err != nil {
				return
			}
			for rest := text; len(rest) > 0 && ctx.Err() == nil; {
				n := min(len(rest), 997)
				f.Write(rest[:n])
				rest = rest[n:]
				time.Sleep(10 * time.Microsecond)
			}
			f.Close()
		}
	})
	codes := map[int]int{}
	for range 60 {
		_, errOut, code := sunrill(t, "check", dir)
		if code != exitOK && (code != exitBadInput || !strings.Contains(errOut, "rain.csv")) {
			t.Errorf("exit code %d: %s", code, errOut)
		}
		codes[code]++
	}
	stop()
	wait.Wait()
	t.Logf("exit codes %v", codes)
}

// Ten thousand appliances and a hundred years of record are read and run.
func TestLargeSites(t *testing.T) {
	t.Parallel()
	t.Run("appliances", func(t *testing.T) {
		d := smallSite()
		dir := folderOf(t, d)
		var b strings.Builder
		b.WriteString("name,watts,hours\n")
		for i := range 10000 {
			fmt.Fprintf(&b, "lamp %d,0.03,17-22\n", i)
		}
		put(t, filepath.Join(dir, "loads.csv"), b.String())
		within(t, 15*time.Second, "check", dir)
	})
	t.Run("years", func(t *testing.T) {
		d := smallSite()
		d.start = time.Date(1920, 10, 1, 0, 0, 0, 0, time.UTC)
		d.rainMM, d.tMinC, d.tMaxC = nil, nil, nil
		d.drawWeather(rand.New(rand.NewPCG(1, 1)), 36525, true, 10, 0.4)
		dir := folderOf(t, d)
		within(t, 15*time.Second, "year --years all", dir)
	})
}

// within runs a command that has to end well within a time.
func within(t *testing.T, limit time.Duration, line, dir string) {
	t.Helper()
	args := append(strings.Fields(line), dir)
	if args[0] != "check" {
		args = append(args, "--out", t.TempDir())
	}
	began := time.Now()
	_, errOut, code := sunrill(t, args...)
	if code != exitOK {
		t.Errorf("%s: exit code %d: %.500s", line, code, errOut)
	}
	took := time.Since(began)
	if took > limit {
		t.Errorf("%s took %v", line, took)
	}
	t.Logf("%s: %v", line, took.Round(time.Millisecond))
}

// What is no ordinary file, or absurdly large, is refused at once.
func TestFilesThatAreNone(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		make func(path string) error
		says string
	}{
		"a gigabyte": {func(path string) error {
			f, err := os.Create(path)
			if err != nil {
				return err
			}
			defer f.Close()
			return f.Truncate(1 << 30)
		}, "rain.csv: has 1024 MB\n    the limit is 64 MB"},
		"a device":             {func(path string) error { return os.Symlink("/dev/zero", path) }, "rain.csv: is no regular file"},
		"a link to itself":     {func(path string) error { return os.Symlink("rain.csv", path) }, "rain.csv: cannot be read"},
		"a link to nothing":    {func(path string) error { return os.Symlink("nowhere", path) }, "rain.csv: is missing"},
		"a folder":             {func(path string) error { return os.Mkdir(path, 0o777) }, "rain.csv: is a folder"},
		"a file out of bounds": {func(path string) error { return os.Symlink("/proc/self/mem", path) }, "rain.csv: "},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := folderOf(t, smallSite())
			path := filepath.Join(dir, "rain.csv")
			os.Remove(path)
			if err := c.make(path); err != nil {
				t.Skip(err)
			}
			began := time.Now()
			printed, errOut, code := sunrill(t, "year", dir, "--out", filepath.Join(t.TempDir(), "out"))
			if code != exitBadInput || printed != "" || !strings.Contains(errOut, c.says) {
				t.Errorf("exit code %d, output %q, error %q", code, printed, errOut)
			}
			if took := time.Since(began); took > time.Second {
				t.Errorf("it took %v", took)
			}
		})
	}
}

// What this program did not write is told before any work, whatever the
// command, and stays as it is.
func TestResultsBesideOtherFiles(t *testing.T) {
	t.Parallel()
	dir := folderOf(t, smallSite())
	change(t, dir, "site.toml", "[rain]", "[rain]\nfile = \"data/days.csv\"")
	if err := os.Mkdir(filepath.Join(dir, "data"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(filepath.Join(dir, "rain.csv"), filepath.Join(dir, "data", "days.csv")); err != nil {
		t.Fatal(err)
	}
	full := t.TempDir()
	put(t, filepath.Join(full, "report.html"), "mine")
	linked := t.TempDir()
	if err := os.Symlink(filepath.Join(dir, "data", "days.csv"), filepath.Join(linked, "days.csv")); err != nil {
		t.Skip(err)
	}
	before := [3]string{folderText(t, dir), folderText(t, full), folderText(t, linked)}
	for out, says := range map[string]string{
		filepath.Join(dir, "data"): "holds days.csv, which was read for these results",
		dir:                        "holds site.toml, which was read",
		full:                       "did not write: report.html",
		linked:                     "did not write: days.csv",
	} {
		for _, line := range []string{"year", "changeover", "bank", "drywinter --made-up 1000000"} {
			began := time.Now()
			printed, errOut, code := sunrill(t, append(strings.Fields(line), dir, "--out", out)...)
			if code != exitUsage || printed != "" || !strings.Contains(errOut, says) || !strings.Contains(errOut, "--out") {
				t.Errorf("%s --out %s: exit code %d, output %q, error %q; want %q", line, out, code, printed, errOut, says)
			}
			if took := time.Since(began); took > 2*time.Second {
				t.Errorf("%s --out %s took %v to be refused", line, out, took)
			}
		}
	}
	if after := [3]string{folderText(t, dir), folderText(t, full), folderText(t, linked)}; after != before {
		t.Error("some file was changed")
	}
}

// Results of two commands or of two sites do not mix, and the report names
// both.
func TestResultsDoNotMix(t *testing.T) {
	t.Parallel()
	small, out := folderOf(t, smallSite()), filepath.Join(t.TempDir(), "out")
	alone := func(args ...string) map[string]string {
		t.Helper()
		fresh := filepath.Join(t.TempDir(), "out")
		if _, errOut, code := sunrill(t, append(args, "--out", fresh)...); code != exitOK {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		whole, _ := contents(t, fresh)
		return whole
	}
	replaced := ""
	for _, run := range [][]string{{"year", small, "--draws", "2"}, {"bank", small, "--draws", "2"}, {"year", "--draws", "2"}} {
		printed, errOut, code := sunrill(t, append(run, "--out", out)...)
		if code != exitOK {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		if got, _ := contents(t, out); !maps.Equal(got, alone(run...)) {
			t.Errorf("%q: the folder holds more or other than this run wrote", run)
		}
		if told := strings.Contains(flat(printed), "They stand in place of the results of "+replaced); told != (replaced != "") {
			t.Errorf("%q: what was replaced, %q, is told: %t", run, replaced, told)
		}
		replaced = fmt.Sprintf("%q for ", "sunrill "+run[0])
		page, err := os.ReadFile(filepath.Join(out, "report.html"))
		if err != nil {
			t.Fatal(err)
		}
		name := "Alder Bend (invented)"
		if run[1] == small {
			name = "Drawn at random"
		}
		if want := html.EscapeString(fmt.Sprintf("Made by %q for %s", "sunrill "+run[0], name)); !strings.Contains(string(page), want) {
			t.Errorf("%q: the report does not say %q", run, want)
		}
	}
}

// flat is a text without its line ends.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

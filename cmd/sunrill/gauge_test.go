package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"sunrill/sim/site"
)

// sunrill runs the program and returns what it printed.
func sunrill(t *testing.T, args ...string) (out, errOut string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), args, &o, &e)
	return o.String(), e.String(), code
}

func TestGaugeAsJSON(t *testing.T) {
	for _, c := range []struct {
		line, method string
		flow, error  float64 // L/s
		share        float64 // tolerance
	}{
		// 20 L in a mean of 14.167 s.
		{"bucket --volume 20L --seconds 14.2,13.8,14.5", "bucket", 1.41176, 0.0347, 0.01},
		// US Bureau of Reclamation, Water Measurement Manual, chapter 7: 2.49 h^2.48
		// gives 0.4463 cfs at half a foot; 5 % and 2 mm of the head to the power 2.5.
		{"weir --notch 90 --height 0.5ft", "weir", 12.638, 0.7557, 0.02},
		// 0.175 m² at 0.25 m/s, times 0.8.
		{"float --width 1m --depths 20,30,20cm --distance 5m --seconds 20,20 --bed rocky", "float", 35, 7, 0.01},
	} {
		out, errOut, code := sunrill(t, append([]string{"gauge", "--json"}, strings.Fields(c.line)...)...)
		var r map[string]any
		if err := json.Unmarshal([]byte(out), &r); err != nil || code != exitOK {
			t.Errorf("%s: exit code %d, %v: %s%s", c.line, code, err, out, errOut)
			continue
		}
		if len(r) != 3 || r["method"] != c.method {
			t.Errorf("%s: %v", c.line, r)
		}
		if q := r["flow_lps"].(float64); math.Abs(q/c.flow-1) > 0.01 {
			t.Errorf("%s: %g L/s, want %g", c.line, q, c.flow)
		}
		if e := r["error_lps"].(float64); math.Abs(e/c.error-1) > c.share {
			t.Errorf("%s: error %g L/s, want %g", c.line, e, c.error)
		}
	}
}

func TestGaugeRefuses(t *testing.T) {
	for line, says := range map[string]string{
		"":                                  "bucket, weir or float",
		"pail":                              "none of bucket, weir or float",
		"buket":                             "did you mean \"bucket\"?",
		"bucket --volume 20L":               "needs --volume --seconds, such as: sunrill gauge bucket",
		"bucket --volume 20L --seconds 0":   "must be above zero",
		"bucket --volume 20L --seconds NaN": "not possible",
		"bucket --volume 20L --seconds abc": "--seconds",
		"bucket --volume 20 --seconds 14":   "has no unit",
		"bucket --volume 20L --seconds 14 --notch 90":                        "belongs to gauge weir",
		"bucket --volume 20L --seconds 14 --date x":                          "--save",
		"bucket --volume 20L --seconds 14 --save s --date 2016-02-30":        "no day",
		"weir --height 12cm":                                                 "--notch",
		"weir --notch 90":                                                    "--height",
		"weir --notch 90 --height 2cm":                                       "too shallow",
		"weir --notch 90 --height 12cm --below 0cm":                          "drowned",
		"weir --notch 0 --height 12cm":                                       "--notch must be above 0",
		"weir --width 1m --notch 90 --height 12cm":                           "angle or the width",
		"float --width 1m --depths 20cm --distance 5m --seconds 9 --bed mud": "rocky, gravel or smooth",
		"float --width 1m --depths 20 --distance 5m --seconds 9":             "--depths",
		"float --width 1m --depths ,2cm --distance 5m --seconds 9":           "--depths",
	} {
		out, errOut, code := sunrill(t, append([]string{"gauge"}, strings.Fields(line)...)...)
		if code != exitUsage || out != "" || !strings.Contains(errOut, says) {
			t.Errorf("gauge %s: exit code %d, output %q, error %q; want %q", line, code, out, errOut, says)
		}
	}
}

// newSite lays the built-in site out in a folder.
func newSite(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "site")
	if _, errOut, code := sunrill(t, "new", dir); code != exitOK {
		t.Fatalf("new: exit code %d: %s", code, errOut)
	}
	return dir
}

func TestGaugeKeepsReadings(t *testing.T) {
	dir := newSite(t)
	path := filepath.Join(dir, "gaugings.csv")
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	save := func(day, seconds string) string {
		t.Helper()
		_, errOut, code := sunrill(t, "gauge", "bucket", "--volume", "20L", "--seconds", seconds, "--save", dir, "--date", day, "--note", "below the bridge, cold")
		if code != exitOK {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	first := save("2016-11-05", "10,10.1,9.9")
	second := save("2016-12-05", "5,5.1,4.9")
	if !strings.HasPrefix(second, first) || second == first {
		t.Errorf("what stood there has changed:\n%s\nthen\n%s", first, second)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Gaugings) != 2 || math.Abs(s.Gaugings[1].FlowM3S-0.004) > 1e-6 || s.Gaugings[0].Note != "below the bridge, cold" {
		t.Errorf("read back %+v", s.Gaugings)
	}
	if _, errOut, code := sunrill(t, "gauge", "bucket", "--volume", "20L", "--seconds", "10", "--save", filepath.Join(dir, "nowhere")); code != exitBadInput {
		t.Errorf("a folder that is not there: exit code %d: %s", code, errOut)
	}
}

// The answer is in the bucket that was used, a river is told as not ours, and
// a day that the reader would refuse is refused at once.
func TestGaugeInTheBucketThatWasUsed(t *testing.T) {
	dir := newSite(t)
	for line, want := range map[string]struct {
		says string
		code int
	}{
		"bucket --volume 7.5L --seconds 9.4,9.8,9.7":                           {"the 7.5 L bucket fills in 9.6 s", exitOK},
		"bucket --volume 5gal --seconds 9.4,9.8,9.7":                           {"the 5 gal bucket fills in 9.6 s", exitOK},
		"weir --notch 90 --height 12cm":                                        {"the 20 L bucket fills in", exitOK},
		"bucket --volume 100m3 --seconds 0.5,0.5,0.5":                          {"is a river's flow", exitUsage},
		"bucket --volume 20L --seconds 9 --save " + dir + " --date 2300-01-01": {"the year 2300 is outside 1800 to 2200", exitUsage},
	} {
		out, errOut, code := sunrill(t, append([]string{"gauge"}, strings.Fields(line)...)...)
		if code != want.code || !strings.Contains(flat(out+errOut), want.says) {
			t.Errorf("%s: exit code %d, it says %q, want %q", line, code, out+errOut, want.says)
		}
	}
}

// On a full disk a reading is not kept, and those before it stay.
func TestReadingOnAFullDisk(t *testing.T) {
	t.Parallel()
	program, err := os.Executable()
	if err != nil || runtime.GOOS != "linux" {
		t.Skip("needs a small file system in memory")
	}
	const script = `mount -t tmpfs -o size=16k none "$1" || exit 99
echo 'name = "x"' >"$1/site.toml"; printf 'date,method,flow_lps\n2019-01-02,float,3\n' >"$1/gaugings.csv"
dd if=/dev/zero of="$1/rest" bs=1k 2>/dev/null
(exec -a sunrill "$2" gauge bucket --volume 20L --seconds 14 --save "$1" 2>&1); echo "code $?"
cat "$1/gaugings.csv"; ls -a "$1" | grep sunrill`
	text, err := exec.Command("unshare", "-Urm", "bash", "-c", script, "bash", t.TempDir(), program).CombinedOutput()
	var exit *exec.ExitError
	if errors.Is(err, exec.ErrNotFound) || errors.As(err, &exit) && (exit.ExitCode() == 99 || bytes.Contains(text, []byte("unshare"))) {
		t.Skipf("no file system can be mounted here: %s", text)
	}
	if !strings.Contains(string(text), "no space left") || !strings.HasSuffix(string(text), "code 3\ndate,method,flow_lps\n2019-01-02,float,3\n") {
		t.Errorf("it ends with\n%s", text)
	}
}

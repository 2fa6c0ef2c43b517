package main

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func reckon(t *testing.T, line string) (out, errOut string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), append([]string{"reckon"}, strings.Fields(line)...), &o, &e)
	return o.String(), e.String(), code
}

// US Department of Energy, Energy Saver, "Planning a Microhydropower System":
// W = net head in ft × flow in gal/min / 10. The efficiency of 0.5303 that this
// hides is arithmetic at 1000 kg/m³.
func TestReckonRulePublished(t *testing.T) {
	out, errOut, code := reckon(t, "--head 100ft --flow 50gal/min --json")
	var r map[string]any
	if err := json.Unmarshal([]byte(out), &r); err != nil || code != exitOK || errOut != "" {
		t.Fatalf("exit code %d, %v: %s%s", code, err, out, errOut)
	}
	if w := r["rule_w"].(float64); math.Abs(w-500) > 1e-6 {
		t.Errorf("rule_w = %g, want 500", w)
	}
	if e := r["hidden_efficiency"].(float64); math.Abs(e-0.5303) > 5e-4 {
		t.Errorf("hidden_efficiency = %g, want 0.5303", e)
	}
	for _, key := range []string{"head_loss_m", "velocity_m_s"} {
		if v, there := r[key]; !there || v != nil {
			t.Errorf("%s = %v without a pipe", key, v)
		}
	}
}

func TestReckonSaysWhatThePipeTakes(t *testing.T) {
	out, _, code := reckon(t, "--head 40m --flow 2L/s --length 250m --bore 50mm --material pe")
	for _, want := range []string{"40.0 m (131 ft)", "net head of 34.0 m", "354 W", "267 W to 467 W", "63 mm SDR 11", "2-1/2 in", "fills in 10 s"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if code != exitOK {
		t.Errorf("exit code %d", code)
	}
	out, _, code = reckon(t, "--head 40m --flow 20L/s --length 250m --bore 50mm")
	if code != exitOK || !strings.Contains(out, "cannot carry that flow") || strings.Contains(out, "rule of thumb") {
		t.Errorf("exit code %d and\n%s", code, out)
	}
}

func TestReckonRefuses(t *testing.T) {
	for line, says := range map[string]string{
		"":                                      "--head and --flow",
		"--head 40m":                            "--head and --flow",
		"--head -3m --flow 2L/s":                "0.1 m to 2000 m",
		"--head 40 --flow 2L/s":                 "has no unit",
		"--head NaN --flow 2L/s":                "does not begin with a number",
		"--head 40m --flow 0L/s":                "outside",
		"--head 40m --flow 2L":                  "a flow takes",
		"--head 40m --flow 2L/s x":              "takes no argument",
		"--head 40m --flow 2L/s --bore 50mm":    "--length and --bore",
		"--head 40m --flow 2L/s --minor-loss 3": "--length and --bore",
		"--head 40m --flow 2L/s --length 250m --bore 0mm":                   "4 mm to 3 m",
		"--head 40m --flow 2L/s --length 20m --bore 50mm":                   "along the ground",
		"--head 40m --flow 2L/s --length 250m --bore 50mm --material pee":   "none of pe",
		"--head 40m --flow 2L/s --length 250m --bore 50mm --roughness 5mm":  "twentieth",
		"--head 40m --flow 2L/s --length 250m --bore 50mm --minor-loss NaN": "outside 0 to 1000",
		"--head 40m --flow 2L/s --length 250m --bore 50mm --water-temp 90C": "0 C to 40 C",
	} {
		out, errOut, code := reckon(t, line)
		if code != exitUsage || !strings.Contains(errOut, says) || out != "" {
			t.Errorf("%q: exit code %d, %q, want %q; printed %q", line, code, errOut, says, out)
		}
	}
}

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// A site whose creek is not known yet: [stream] has its model alone, and the
// readings of the built-in homestead.
func unfittedSite(t *testing.T) string {
	t.Helper()
	dir := newSite(t)
	path := filepath.Join(dir, "site.toml")
	text := read(t, path)
	stream := regexp.MustCompile(`(?s)\[stream\].*?\n\n`)
	if !stream.MatchString(text) {
		t.Fatal("the built-in site has no [stream]")
	}
	text = stream.ReplaceAllString(text, "[stream]\nmodel = \"curve\"\nparameters = \"stream.csv\"\n\n")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestFitGivesTheSiteItsCreek(t *testing.T) {
	dir := unfittedSite(t)
	if _, errOut, code := sunrill(t, "check", dir); code != exitBadInput || !strings.Contains(errOut, "sunrill fit") {
		t.Errorf("before the fit: exit code %d: %s", code, errOut)
	}
	before := read(t, filepath.Join(dir, "site.toml")) + read(t, filepath.Join(dir, "gaugings.csv"))
	out := filepath.Join(t.TempDir(), "out")
	text, errOut, code := sunrill(t, "fit", dir, "--rounds", "4", "--out", out)
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	for _, want := range []string{"curve model by 26 readings", "had not seen", "recession", "NSE", "bucket", "stream.csv"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	if read(t, filepath.Join(dir, "site.toml"))+read(t, filepath.Join(dir, "gaugings.csv")) != before {
		t.Error("fit has written to its input")
	}
	for _, name := range []string{"charts/fit.svg", "charts/flow-duration.svg"} {
		if !strings.HasPrefix(read(t, filepath.Join(out, name)), "<svg ") {
			t.Errorf("%s is no picture", name)
		}
	}
	fitted := read(t, filepath.Join(out, "stream.csv"))
	if err := os.WriteFile(filepath.Join(dir, "stream.csv"), []byte(fitted), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatalf("after the fit: %v\n%s", err, fitted)
	}
	if s.Stream.Curve.AreaM2 == 0 {
		t.Errorf("no area was fitted: %s", fitted)
	}
	// The readings were made from the creek that the built-in site describes.
	truth, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	nse := stream.NSELog(creekOf(t, truth), creekOf(t, s))
	t.Logf("NSE of logarithms %.3f", nse)
	if nse < 0.9 {
		t.Errorf("the fitted creek follows the described one with an NSE of logarithms of %.3f", nse)
	}
}

func creekOf(t *testing.T, s *site.Site) []float64 {
	t.Helper()
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h.FlowM3S()
}

func TestFitAsJSONIsTheSameEachTime(t *testing.T) {
	once := func() string {
		out, errOut, code := sunrill(t, "fit", "--model", "both", "--rounds", "2", "--seed", "3", "--json", "--out", filepath.Join(t.TempDir(), "out"))
		if code != exitOK || errOut != "" {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		return out
	}
	first := once()
	if second := once(); first != second {
		t.Errorf("first\n%s\nthen\n%s", first, second)
	}
	var r struct {
		Model      string
		Parameters []struct{ Parameter string }
		Fitted     struct{ N int }
		HeldOut    struct{ N int } `json:"held_out"`
		Verdict    string
		Choice     string
		Other      *struct{ Model string }
	}
	d := json.NewDecoder(strings.NewReader(first))
	if err := d.Decode(&r); err != nil {
		t.Fatal(err)
	}
	if r.Model != "curve" || len(r.Parameters) != 7 || r.Fitted.N != 26 || r.HeldOut.N != 26 || !strings.Contains(r.Choice, "clearly better") || r.Verdict == "" || r.Other == nil || r.Other.Model != "catchment" {
		t.Errorf("%+v", r)
	}
}

func TestFitInterruptedLeavesNothing(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var o, e bytes.Buffer
	if code := run(ctx, []string{"fit", "--out", out}, &o, &e); code != exitFailed || !strings.Contains(e.String(), "interrupted") {
		t.Errorf("exit code %d: %s", code, e.String())
	}
	if entries, err := os.ReadDir(out); err == nil && len(entries) > 0 {
		t.Errorf("left behind: %v", entries)
	}
}

func TestFitRefuses(t *testing.T) {
	dir := newSite(t)
	gaugings := func(text string) {
		if err := os.WriteFile(filepath.Join(dir, "gaugings.csv"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	refused := func(code int, says string, args ...string) {
		t.Helper()
		_, errOut, got := sunrill(t, append([]string{"fit", "--out", filepath.Join(t.TempDir(), "out")}, args...)...)
		if got != code || !strings.Contains(errOut, says) {
			t.Errorf("fit %v: exit code %d: %s; want %q", args, got, errOut, says)
		}
	}
	refused(exitUsage, "none of curve, catchment, both", "--model", "x")
	refused(exitUsage, "outside 0 to 10000", "--rounds", "-3")
	refused(exitUsage, "which was read for these results", dir, "--rounds", "0", "--out", dir)
	gaugings("date,method,flow_lps\n2016-11-05,bucket,1.2\n2016-12-05,bucket,2.2\n1999-12-05,bucket,2.2\n")
	refused(exitBadInput, "2 readings within the rain record", dir)
	gaugings("date,method,flow_lps\n2016-11-05,bucket,0\n2016-12-05,bucket,0\n2017-01-05,bucket,0\n")
	refused(exitBadInput, "every reading is zero", dir)
	if err := os.Remove(filepath.Join(dir, "gaugings.csv")); err != nil {
		t.Fatal(err)
	}
	refused(exitBadInput, "no reading to fit to", dir)
}

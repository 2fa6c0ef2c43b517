package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sunrill/cmd/sunrill/live"
	"sunrill/plots/report/reporttest"
)

// fewDraws are enough where a test does not ask how sure an answer is.
const fewDraws = 3

// liveSite lays a site and serves its page.
func liveSite(t *testing.T, dir string, draws int) (url string, stop func()) {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s, err := live.New(ln, &livePage{folder: dir, draws: draws}, "Made for a test.")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { s.Serve(ctx); close(done) }()
	stop = func() { cancel(); <-done }
	t.Cleanup(stop)
	return s.URL(), stop
}

// fewYears has a site run the last years of its record alone, for tests that run
// it often.
func fewYears(t *testing.T, dir string) {
	t.Helper()
	path := filepath.Join(dir, "site.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	short := strings.Replace(string(text), "[year]\n", "[year]\nfirst = 2017\n", 1)
	if err := os.WriteFile(path, []byte(short), 0o644); err != nil || short == string(text) {
		t.Fatal(err)
	}
}

// yearsUnmet are the unmet hours of every year by the command, rising.
func yearsUnmet(t *testing.T, dir string, set ...string) []int {
	t.Helper()
	args := []string{"year", dir, "--years", "all", "--draws", "1", "--json", "--out", t.TempDir()}
	for _, s := range set {
		args = append(args, "--set", s)
	}
	code, out, errOut := sunrillTo(t, args...)
	if code != exitOK {
		t.Fatal(errOut)
	}
	var r struct {
		Years []struct {
			Unmet int `json:"unmet_hours"`
		}
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil || len(r.Years) == 0 {
		t.Fatalf("%v in %.200s", err, out)
	}
	var hours []int
	for _, y := range r.Years {
		hours = append(hours, y.Unmet)
	}
	slices.Sort(hours)
	return hours
}

// tells reports whether a headline is what the command says of all years.
func tells(t *testing.T, headline, dir string, set ...string) bool {
	t.Helper()
	args := []string{"year", dir, "--draws", "1", "--out", t.TempDir()}
	for _, s := range set {
		args = append(args, "--set", s)
	}
	code, out, errOut := sunrillTo(t, args...)
	if code != exitOK {
		t.Fatal(errOut)
	}
	return headline != "" && strings.Contains(strings.Join(strings.Fields(out), " "), headline)
}

func TestLivePageInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := filepath.Join(t.TempDir(), "place")
	if code, _, errOut := sunrillTo(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	fewYears(t, dir)
	url, stop := liveSite(t, dir, fewDraws)
	ctx, trouble := reporttest.Browser(t, "http://127.0.0.1:")
	if err := chromedp.Do(ctx, chromedp.Navigate(url)); err != nil {
		t.Fatal(err)
	}
	js := func(script string) string { return reporttest.Evaluate[string](t, ctx, script) }
	wait := func(what, condition string) {
		t.Helper()
		for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
			if reporttest.Evaluate[bool](t, ctx, condition) {
				return
			}
		}
		t.Fatalf("%s did not come; the page says %q, %q", what, js("document.getElementById('headline').textContent"), js("document.getElementById('problems').textContent"))
	}
	settled := "document.body.dataset.answered !== undefined && document.body.dataset.working === undefined && document.getElementById('state').textContent.indexOf('Working') < 0"
	headline := func() string {
		t.Helper()
		wait("an answer", settled)
		return js("document.getElementById('headline').textContent")
	}
	set := func(key, value string) {
		t.Helper()
		js(fmt.Sprintf(`(() => { delete document.body.dataset.answered; const f = document.querySelector('[data-key="%s"] .text'); f.value = %q; f.dispatchEvent(new Event('change', {bubbles: true})); return ''; })()`, key, value))
	}
	if h := headline(); !tells(t, h, dir) {
		t.Errorf("first: %q", h)
	}

	// Ten values moved one after the other come to what the command says.
	moved := [][2]string{
		{"bank.capacity", "19 kWh"}, {"bank.floor", "15 %"}, {"array.roof.tilt", "55 deg"}, {"array.roof.power", "3.4 kW"}, {"penstock.gross_head", "39 m"},
		{"bank.start_soc", "90 %"}, {"inverter.idle", "30 W"}, {"intake.residual_flow", "0.1 L/s"}, {"loads.freezer.count", "0"}, {"turbine.alternator_efficiency", "78 %"},
	}
	var texts []string
	for _, m := range moved {
		set(m[0], m[1])
		texts = append(texts, m[0]+"="+m[1])
	}
	if h := headline(); !tells(t, h, dir, texts...) {
		t.Errorf("ten values: %q is not what the command says", h)
	}
	if n := js("String(document.querySelectorAll('#shown svg[role=img]').length)"); n == "0" {
		t.Error("no charts")
	}
	if js("document.getElementById('changed').textContent") != "10 values differ from the site’s files." {
		t.Errorf("it says %q", js("document.getElementById('changed').textContent"))
	}

	// A slow question is let go for another one.
	js("(() => { delete document.body.dataset.answered; document.querySelector('[data-question=worth]').click(); document.querySelector('[data-question=improve]').click(); document.querySelector('[data-question=year]').click(); return ''; })()")
	if h := headline(); !tells(t, h, dir, texts...) || js("document.querySelector('[aria-current=page]').dataset.question") != "year" {
		t.Errorf("after slow questions were let go: %q", h)
	}

	// The numbers behind a chart come when they are asked for.
	js("(() => { document.querySelector('figure[data-name=energy-by-month] details.numbers').open = true; return ''; })()")
	wait("the numbers", "document.querySelectorAll('figure[data-name=energy-by-month] details.numbers tbody tr').length === 12")

	// A bad value keeps the last picture and says what the file would.
	before := js("document.getElementById('shown').innerHTML.length + document.getElementById('headline').textContent")
	set("bank.capacity", "21")
	wait("the problem", "!document.getElementById('problems').hidden")
	_, _, errOut := sunrillTo(t, "check", dir, "--set", "bank.capacity=21")
	said := js("document.getElementById('problems').textContent")
	if !strings.Contains(said, `bank.capacity: 21 has no unit`) || !strings.Contains(errOut, `bank.capacity: 21 has no unit`) {
		t.Errorf("the page says %q, the command %q", said, errOut)
	}
	if js("document.getElementById('shown').innerHTML.length + document.getElementById('headline').textContent") != before {
		t.Error("the last good picture is gone")
	}

	// 500 moves of a slider end in the answer of the last.
	js(`(() => { delete document.body.dataset.answered; const s = document.querySelector('[data-key="bank.capacity"] .slide');
		for (let i = 0; i < 500; i++) { s.value = 10 + i % 30; s.dispatchEvent(new Event('input', {bubbles: true})); }
		s.value = 24; s.dispatchEvent(new Event('input', {bubbles: true})); return ''; })()`)
	texts[0] = "bank.capacity=24 kWh"
	hours := yearsUnmet(t, dir, texts...)
	if h := headline(); !tells(t, h, dir, texts...) {
		t.Errorf("after 500 moves: %q is not what the command says", h)
	}

	// Plans side by side.
	js(`(() => { document.getElementById('planname').value = 'bigger'; document.getElementById('keepplan').click(); document.getElementById('reset').click(); delete document.body.dataset.answered; document.querySelector('[data-question=compare]').click(); return ''; })()`)
	wait("the plans", "/bigger/.test(document.querySelector('#shown thead')?.textContent) && document.querySelectorAll('#shown figure').length === 2")
	code, out, errOut := sunrillTo(t, "compare", dir, "--plan", "bigger: "+strings.Join(texts, "; "), "--draws", fmt.Sprint(fewDraws), "--out", t.TempDir())
	said = strings.ReplaceAll(js("document.getElementById('headline').textContent"), "“now”", "“as it is”")
	if code != exitOK || !strings.Contains(flat(out), said) || said == "" {
		t.Errorf("plans: the page says %q, the command\n%.600s%s", said, out, errOut)
	}
	if u := js("location.hash"); !strings.Contains(u, "q=compare") {
		t.Errorf("the address is %q", u)
	}

	// What was moved and kept outlives page and program.
	js(`(() => { document.querySelector('#planlist button').click(); return ''; })()`)
	time.Sleep(600 * time.Millisecond) // the draft is written a moment later
	stop()
	url, _ = liveSite(t, dir, fewDraws)
	if err := chromedp.Do(ctx, chromedp.Navigate(url)); err != nil {
		t.Fatal(err)
	}
	if h := headline(); !tells(t, h, dir, texts...) {
		t.Errorf("opened again: %q", h)
	}
	if js("document.getElementById('planlist').textContent") == "" {
		t.Error("the plan is gone")
	}

	// Written to a new site, after the difference was shown, and nowhere else.
	old, err := os.ReadFile(filepath.Join(dir, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	js(`(() => { document.getElementById('writenew').click(); return ''; })()`)
	wait("the difference", "document.querySelectorAll('#difference li').length === 10")
	js(`(() => { document.getElementById('folder').value = 'other place'; document.getElementById('reallywrite').click(); return ''; })()`)
	wait("the writing", "document.getElementById('state').textContent.startsWith('Written to')")
	if got := yearsUnmet(t, filepath.Join(filepath.Dir(dir), "other place")); !slices.Equal(got, hours) {
		t.Errorf("the new site comes to %v, want %v", got, hours)
	}
	if now, _ := os.ReadFile(filepath.Join(dir, "site.toml")); string(now) != string(old) {
		t.Error("the site's own file was changed")
	}

	// A phone's width shows all without scrolling sideways, and every field has
	// a name.
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile)); err != nil {
		t.Fatal(err)
	}
	if wide := reporttest.Evaluate[float64](t, ctx, "document.documentElement.scrollWidth"); wide > 361 {
		t.Errorf("on a phone the page is %g px wide", wide)
	}
	if n := js("String([...document.querySelectorAll('input, select, button')].filter(e => !(e.labels && e.labels.length) && !e.getAttribute('aria-label') && !e.textContent.trim()).length)"); n != "0" {
		t.Errorf("%s fields have no name", n)
	}
	for _, what := range trouble() {
		if !strings.Contains(what, "422") { // the browser's own word for the refused value
			t.Error(what)
		}
	}
}

func TestLiveFlags(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "place")
	if code, _, errOut := sunrillTo(t, "live", dir, "--no-browser"); code != exitBadInput || !strings.Contains(errOut, "no site folder") {
		t.Errorf("%d %s", code, errOut)
	}
	if code, _, errOut := sunrillTo(t, "live", "--port", "99999", "--no-browser"); code != exitUsage || !strings.Contains(errOut, "--port") {
		t.Errorf("%d %s", code, errOut)
	}
	if code, _, errOut := sunrillTo(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	// A site that another program has open is told; a stale mark is not.
	p := &livePage{folder: dir}
	release, err := p.claim(dir)
	if err != nil {
		t.Fatal(err)
	}
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := p.sign("http://" + ln.Addr().String() + "/token/"); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := sunrillTo(t, "live", dir, "--no-browser"); code != exitUsage || !strings.Contains(errOut, "is open already") {
		t.Errorf("%d %s", code, errOut)
	}
	ln.Close()
	if again, err := p.claim(dir); err != nil {
		t.Errorf("a stale mark keeps the site: %v", err)
	} else {
		again()
	}
	release()
	if _, err := os.Stat(dir + ".live"); err == nil {
		t.Error("the mark stays")
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		t.Error(err)
	}
}

func TestLiveValues(t *testing.T) {
	groups, _, err := (&livePage{}).Values("")
	if err != nil {
		t.Fatal(err)
	}
	values := map[string]live.Value{}
	for _, g := range groups {
		for _, v := range g.Values {
			values[v.Key] = v
		}
	}
	if v := values["bank.capacity"]; !v.Slides || v.Number != 14 || v.Unit != "kWh" || v.High < 40 || v.Default {
		t.Errorf("%+v", v)
	}
	if v := values["bank.floor"]; !v.Default || v.Reason == "" || v.High != 100 {
		t.Errorf("%+v", v)
	}
	if _, ok := values["rain.file"]; ok {
		t.Error("the name of a file can be moved")
	}
	// Every value of the page may be set as it stands, but for lists of the
	// outlook, without changing the year.
	for key, v := range values {
		if strings.HasPrefix(key, todayKey) || v.Text == "" {
			continue
		}
		if _, _, err := (&livePage{}).load([]string{key + "=" + v.Text}, ""); err != nil {
			t.Errorf("%s = %s: %v", key, v.Text, err)
		}
	}
}

// The other system of units writes values and answers, and asks the same.
func TestLiveUnits(t *testing.T) {
	p := &livePage{}
	groups, own, err := p.Values("us")
	if err != nil || own != "metric" {
		t.Fatal(own, err)
	}
	// 44 m are 144.4 ft, 52 mm 2.047 in; 0.25 L/s 3.963 gal/min (NIST SP 811).
	want := map[string]string{"penstock.gross_head": "144.4 ft", "penstock.bore": "2.047 in", "intake.residual_flow": "3.963 gal/min", "bank.capacity": "14 kWh"}
	for _, g := range groups {
		for _, v := range g.Values {
			if w, ok := want[v.Key]; ok && v.Text != w {
				t.Errorf("%s is shown as %q, want %q", v.Key, v.Text, w)
			}
			delete(want, v.Key)
		}
	}
	if len(want) > 0 {
		t.Errorf("not shown: %v", want)
	}
	a, err := p.Ask(context.Background(), live.Asked{Question: "understood", Units: "us"})
	if err != nil || !strings.Contains(a.HTML, " ft") || !strings.Contains(a.HTML, "gal/min") || strings.Contains(a.HTML, " L/s") {
		t.Errorf("%v: not in US units", err)
	}
	if _, err := p.Ask(context.Background(), live.Asked{Question: "year", Units: "cubits"}); err == nil {
		t.Error("units that there are not were taken")
	}
}

// The page's other questions answer with what the commands say.
func TestLiveQuestions(t *testing.T) {
	t.Parallel()
	p := &livePage{draws: fewDraws}
	for _, q := range p.Questions() {
		a, err := p.Ask(context.Background(), live.Asked{Question: q.Name, Settings: []string{"bank.capacity=16 kWh", "today.charge=55 %", "today.flow=1.2 L/s", "today.date=2026-11-25", "year.first=2017"}})
		if err != nil {
			t.Errorf("%s: %v", q.Name, err)
			continue
		}
		if a.Headline == "" || !strings.Contains(a.HTML, "<") || strings.Contains(a.HTML, "NaN") {
			t.Errorf("%s: %q", q.Name, a.Headline)
		}
	}
	code, out, _ := sunrillTo(t, "bank", "--draws", "3", "--set", "bank.capacity=16 kWh", "--set", "year.first=2017", "--out", t.TempDir())
	a, err := p.Ask(context.Background(), live.Asked{Question: "bank", Settings: []string{"bank.capacity=16 kWh", "year.first=2017"}})
	if code != exitOK || err != nil || !strings.Contains(strings.Join(strings.Fields(out), " "), a.Headline) {
		t.Errorf("bank: the page says %q, the command\n%.600s", a.Headline, out)
	}
	if _, err := p.Ask(context.Background(), live.Asked{Question: "nothing"}); err == nil {
		t.Error("an unknown question was answered")
	}
}

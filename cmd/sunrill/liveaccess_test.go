package main

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"sunrill/plots/report/reporttest"
)

// found asks axe-core, the open engine for the rules of WCAG, what is wrong with
// the page as it stands; what is serious or critical comes back.
const found = `axe.run(document, {resultTypes: ['violations'], %s}).then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical').map(v =>
	v.impact + ', ' + v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 150)).join(' · ')))`

// The page is for everybody: at a desk, on a phone, magnified to 200 %, in the
// dark, by keyboard alone. axe-core finds nothing serious (testdata/axe).
func TestLivePageIsForEverybody(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	engine, err := os.ReadFile("../../testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := dataSite(t)
	fewYears(t, dir)
	url, _ := liveSite(t, dir, fewDraws)
	ctx, _ := reporttest.Browser(t, "http://127.0.0.1:")
	wait := waiter(t, ctx)
	open := func(wide, high int64, dark bool, mobile bool) {
		t.Helper()
		scheme := map[bool]string{false: "light", true: "dark"}[dark]
		if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		size := chromedp.EmulateViewport(wide, high)
		if mobile {
			size = chromedp.EmulateViewport(wide, high, chromedp.EmulateMobile)
		}
		if err := chromedp.Do(ctx, size, chromedp.Navigate("about:blank"), chromedp.Navigate(url)); err != nil {
			t.Fatal(err)
		}
		wait("an answer", "document.body.dataset.answered !== undefined && document.body.dataset.sure !== undefined")
	}
	// Everything opened: tables, watch, hills, plans, a problem and the offer to
	// write.
	const all = `(async () => {
		for (const d of document.querySelectorAll('details:not(.numbers), figure[data-name=energy-by-month] details')) d.open = true;
		document.getElementById('keepplan').click();
		document.querySelector('[data-sheet=loads]').click();
		document.getElementById('write').click();
		document.getElementById('problems').hidden = false; document.getElementById('problems').textContent = 'bank.capacity: 21 has no unit';
		document.getElementById('preview').hidden = false; document.getElementById('understood').textContent = 'a record of rain';
		for (let i = 0; i < 100 && (document.getElementById('sheet').hidden || document.getElementById('writing').hidden || !document.querySelector('#hills svg')); i++) await new Promise(r => setTimeout(r, 50));
		return ''; })()`
	for _, v := range []struct {
		name         string
		wide         int64
		dark, mobile bool
	}{{"at a desk", 1280, false, false}, {"on a phone in the dark", 390, true, true}} {
		open(v.wide, 900, v.dark, v.mobile)
		reporttest.Evaluate[string](t, ctx, all)
		reporttest.Evaluate[bool](t, ctx, string(engine)+"\n;true")
		for _, what := range reporttest.Evaluate[[]string](t, ctx, fmt.Sprintf(found, "")) {
			t.Errorf("%s: %s", v.name, what)
		}
		if wide := reporttest.Evaluate[float64](t, ctx, "document.documentElement.scrollWidth"); wide > float64(v.wide)+1 {
			t.Errorf("%s the page is %g px wide", v.name, wide)
		}
	}
	// The engine sees: a picture without a name.
	reporttest.Evaluate[string](t, ctx, `(() => { const i = document.createElement('img'); i.src = 'data:,'; document.body.append(i); return ''; })()`)
	if seen := strings.Join(reporttest.Evaluate[[]string](t, ctx, fmt.Sprintf(found, "runOnly: ['image-alt']")), "\n"); !strings.Contains(seen, "image-alt") {
		t.Errorf("a planted fault is not found: %q", seen)
	}

	// 200 %: a window of 1280 pixels has room for 640 (WCAG 2.2, 1.4.4).
	open(640, 450, false, false)
	reporttest.Evaluate[string](t, ctx, all)
	if wide := reporttest.Evaluate[float64](t, ctx, "document.documentElement.scrollWidth"); wide > 641 {
		t.Errorf("at 200 %% the page is %g px wide", wide)
	}

	// By keyboard alone: to the slider of the bank, two steps, another answer;
	// then on through everything, with a mark on what has the focus, and no trap.
	open(1280, 900, false, false)
	at := func() string {
		return reporttest.Evaluate[string](t, ctx, `(() => { const e = document.activeElement; return e === document.body ? '' : (e.id || e.className || e.tagName) + '|' + (e.closest('[data-key]') || {dataset: {}}).dataset.key; })()`)
	}
	reporttest.Evaluate[string](t, ctx, "(() => { document.getElementById('plans').open = true; return ''; })()")
	key := func(name string, code int64) { press(t, ctx, name, code) }
	before := reporttest.Evaluate[string](t, ctx, "document.getElementById('headline').textContent")
	for n := 0; at() != "slide|bank.capacity"; n++ {
		if n > 40 {
			t.Fatal("the bank's slider cannot be reached by Tab")
		}
		key("Tab", 9)
	}
	for range 8 {
		key("ArrowRight", 39)
	}
	wait("another answer", fmt.Sprintf("document.getElementById('headline').textContent !== %q", before))
	seen := map[string]bool{}
	for range 400 {
		key("Tab", 9)
		where := at()
		if where == "" {
			break
		}
		seen[strings.SplitN(where, "|", 2)[0]] = true
		if !reporttest.Evaluate[bool](t, ctx, `(() => { const s = getComputedStyle(document.activeElement); return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2; })()`) {
			t.Errorf("nothing shows that %s has the focus", where)
		}
	}
	for _, id := range []string{"planname", "keepplan", "writenew", "stop"} {
		if !seen[id] {
			t.Errorf("%s cannot be reached by Tab", id)
		}
	}
}

// press types a key.
func press(t *testing.T, ctx context.Context, name string, code int64) {
	t.Helper()
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeKeyUp} {
		if _, err := chromedp.Call(ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: name, Code: name, WindowsVirtualKeyCode: code}); err != nil {
			t.Fatal(err)
		}
	}
}

package report_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"sunrill/plots/report"
)

// browser starts a headless browser, or skips the test where there is none.
// It notes what the page complains about and what it asks for.
func browser(t *testing.T) (ctx context.Context, trouble func() []string) {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "headless-shell"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		if os.Getenv("SUNRILL_NEED_BROWSER") != "" {
			t.Fatal("no chromium on this machine, and SUNRILL_NEED_BROWSER asks for one")
		}
		t.Skip("no chromium on this machine")
	}
	alloc, cancel := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU)...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 60*time.Second)
	t.Cleanup(cancel)

	var mu sync.Mutex
	var found []string
	note := func(format string, args ...any) {
		mu.Lock()
		defer mu.Unlock()
		found = append(found, fmt.Sprintf(format, args...))
	}
	err := chromedp.Listen(ctx, func(ev any) {
		if ev, ok := ev.(*network.EventRequestWillBeSent); ok {
			if u := ev.Request.URL; !strings.HasPrefix(u, "file:") && !strings.HasPrefix(u, "data:") {
				note("request to %s", u)
			}
		}
	})
	if err != nil {
		t.Fatalf("start %s: %v", path, err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	go func() {
		for m := range chromedp.Console(ctx) {
			note("console, %s: %s", m.Type, m.Text)
		}
	}()
	return ctx, func() []string { mu.Lock(); defer mu.Unlock(); return found }
}

// overlaps lists the pairs of words in a chart that run into one another, and
// the words that stand out of their chart.
const overlaps = `(() => {
	const bad = [];
	for (const svg of document.querySelectorAll('svg')) {
		const frame = svg.getBoundingClientRect();
		const texts = [...svg.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
		texts.forEach(([a, r], i) => {
			if (r.left < frame.left - 1 || r.right > frame.right + 1 || r.top < frame.top - 1 || r.bottom > frame.bottom + 1)
				bad.push('"' + a + '" stands out of its chart ' + svg.ariaLabel);
			// The box of a letter is taller than its ink: leave a fifth at each edge.
			for (const [b, q] of texts.slice(i + 1)) {
				const x = Math.min(r.right, q.right) - Math.max(r.left, q.left);
				const y = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
				if (x > 1 && y > 0.2 * Math.min(r.height, q.height)) bad.push('"' + a + '" and "' + b + '" in ' + svg.ariaLabel);
			}
		});
	}
	return bad;
})()`

// smallestLetter is the size in pixels of the smallest letters in charts.
const smallestLetter = `Math.min(...[...document.querySelectorAll('svg text')].map(e =>
	Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b) * e.getAttribute('font-size')))`

func evaluate[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

func TestPageInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	ctx, trouble := browser(t)
	path := filepath.Join(t.TempDir(), "report.html")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	p := page(full(t))
	if err := report.Write(f, p); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}

	for _, screen := range []struct {
		name                string
		wide, high          int64
		smallestLetterPixel float64
	}{{"phone", 390, 844, 10}, {"desk", 1200, 900, 12}} {
		size := chromedp.EmulateViewport(screen.wide, screen.high)
		if screen.name == "phone" {
			size = chromedp.EmulateViewport(screen.wide, screen.high, chromedp.EmulateMobile)
		}
		if err := chromedp.Do(ctx, size, chromedp.Navigate("file://"+path)); err != nil {
			t.Fatal(err)
		}
		scroll := evaluate[float64](t, ctx, `document.documentElement.scrollWidth`)
		charts := evaluate[int](t, ctx, `document.querySelectorAll('figure svg[role=img][aria-label]').length`)
		letter := evaluate[float64](t, ctx, smallestLetter)
		bad := evaluate[[]string](t, ctx, overlaps)
		if scroll > float64(screen.wide) {
			t.Errorf("%s: the page is %g pixels wide on a screen of %d", screen.name, scroll, screen.wide)
		}
		if want := len(report.Charts(p.Sections)); charts != want {
			t.Errorf("%s: %d charts with a text for those who cannot see them, want %d", screen.name, charts, want)
		}
		if letter < screen.smallestLetterPixel {
			t.Errorf("%s: the smallest letters in charts are %.1f pixels", screen.name, letter)
		}
		for _, b := range bad {
			t.Errorf("%s: %s", screen.name, b)
		}
	}
	for _, s := range trouble() {
		t.Error(s)
	}

	// On paper: A4 less its margins is 680 by 993 CSS pixels. A figure that may
	// not be broken and is lower than a page stands whole on one.
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(680, 993)); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	broken := evaluate[[]string](t, ctx, `[...document.querySelectorAll('figure')].filter(f => getComputedStyle(f).breakInside != 'avoid' ||
		f.offsetHeight > 993 || f.scrollWidth > 680).map(f => f.querySelector('h3').textContent + ': ' + f.offsetHeight + ' high')`)
	sheet, err := chromedp.Run(ctx, chromedp.PrintToPDF())
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range broken {
		t.Errorf("on paper: %s", b)
	}
	if !strings.HasPrefix(string(sheet), "%PDF-") {
		t.Error("the page does not print")
	}
}

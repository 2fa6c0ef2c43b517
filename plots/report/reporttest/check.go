package reporttest

import (
	"bytes"
	"context"
	"regexp"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// A screen is a size in CSS pixels, with the least height of letters in charts
// that can be read there.
type screen struct {
	name       string
	wide, high int64
	letter     float64
	mobile     bool
}

var screens = []screen{{"phone", 390, 844, 10, true}, {"desk", 1200, 900, 12, false}}

// A4 less the margins that the page asks for, in CSS pixels.
const paperWide, paperHigh = 680, 1017

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

// beyond lists the tables that go on beyond the edge of the screen, but for long
// ones, whose shade says so.
const beyond = `[...document.querySelectorAll('.table:not(.long)')].filter(e => e.scrollWidth > e.clientWidth + 1).map(e =>
	(e.getAttribute('aria-label') || '') + ' is ' + e.scrollWidth + ' pixels wide where there are ' + e.clientWidth)`

// smallestLetter is the size in pixels of the smallest letters in charts.
const smallestLetter = `Math.min(...[...document.querySelectorAll('svg text')].map(e =>
	Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b) * e.getAttribute('font-size')))`

// dangling lists the places of the contents that lead nowhere, and the chapters
// that the contents leave out.
const dangling = `(() => {
	const links = [...document.querySelectorAll('nav a')].map(a => a.getAttribute('href'));
	return links.filter(l => !document.querySelector(l)).concat(
		[...document.querySelectorAll('main > section')].map(s => '#' + s.id).filter(id => !links.includes(id)));
})()`

// Check opens the report at path on a phone, at a desk and on paper, and fails
// the test where it does not read well. It returns the sheets as PDF.
func Check(t testing.TB, path string, charts int) []byte {
	t.Helper()
	ctx, trouble := Browser(t)
	for _, s := range screens {
		s.check(t, ctx, path, charts)
	}
	for _, s := range trouble() {
		t.Error(s)
	}
	return onPaper(t, ctx)
}

// Sheets returns how many sheets of paper each of the reports takes.
func Sheets(t testing.TB, paths ...string) []int {
	t.Helper()
	ctx, _ := Browser(t)
	var sheets []int
	for _, path := range paths {
		if err := chromedp.Do(ctx, chromedp.Navigate("file://"+path)); err != nil {
			t.Fatalf("open %s: %v", path, err)
		}
		sheets = append(sheets, len(sheet.FindAll(onPaper(t, ctx), -1)))
	}
	return sheets
}

// sheet is the mark of a sheet in a PDF.
var sheet = regexp.MustCompile(`/Type\s*/Page\b`)

func (s screen) check(t testing.TB, ctx context.Context, path string, charts int) {
	t.Helper()
	size := chromedp.EmulateViewport(s.wide, s.high)
	if s.mobile {
		size = chromedp.EmulateViewport(s.wide, s.high, chromedp.EmulateMobile)
	}
	if err := chromedp.Do(ctx, size, chromedp.Navigate("file://"+path)); err != nil {
		t.Fatal(err)
	}
	if wide := Evaluate[float64](t, ctx, `document.documentElement.scrollWidth`); wide > float64(s.wide) {
		t.Errorf("%s: the page is %g pixels wide on a screen of %d", s.name, wide, s.wide)
	}
	if n := Evaluate[int](t, ctx, `document.querySelectorAll('figure svg[role=img][aria-label]:not([aria-label=""])').length`); n != charts {
		t.Errorf("%s: %d charts with a text for those who cannot see them, want %d", s.name, n, charts)
	}
	if charts > 0 {
		if letter := Evaluate[float64](t, ctx, smallestLetter); letter < s.letter {
			t.Errorf("%s: the smallest letters in charts are %.1f pixels", s.name, letter)
		}
	}
	if s.mobile { // a desk has the room, or a bar to move it
		for _, bad := range Evaluate[[]string](t, ctx, beyond) {
			t.Errorf("%s: the table %s", s.name, bad)
		}
	}
	for _, bad := range Evaluate[[]string](t, ctx, overlaps) {
		t.Errorf("%s: %s", s.name, bad)
	}
	for _, bad := range Evaluate[[]string](t, ctx, dangling) {
		t.Errorf("%s: contents and chapters disagree about %s", s.name, bad)
	}
}

// onPaper prints the page. A figure that may not be broken and is lower than a
// sheet stands whole on one; a head row that keeps to the row below it never
// stands alone.
func onPaper(t testing.TB, ctx context.Context) []byte {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(paperWide, paperHigh)); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	for _, bad := range Evaluate[[]string](t, ctx, `[...document.querySelectorAll('figure')].filter(f => getComputedStyle(f).breakInside != 'avoid' ||
		f.offsetHeight > 1017 || f.scrollWidth > 680).map(f => f.querySelector('h3').textContent + ': ' + f.offsetHeight + ' high')`) {
		t.Errorf("on paper: %s", bad)
	}
	for _, bad := range Evaluate[[]string](t, ctx, `[...document.querySelectorAll('table')].filter(e => e.scrollWidth > 680 ||
		getComputedStyle(e.querySelector('thead tr')).breakAfter != 'avoid').map(e => (e.caption ? e.caption.textContent : '') + ': ' + e.scrollWidth + ' wide')`) {
		t.Errorf("on paper, table %s", bad)
	}
	sheets, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(sheets, []byte("%PDF-")) {
		t.Error("the page does not print")
	}
	return sheets
}

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"

	"sunrill/plots/report/reporttest"
)

// waiter waits for what a page comes to.
func waiter(t *testing.T, ctx context.Context) func(what, condition string) {
	return func(what, condition string) {
		t.Helper()
		for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
			if reporttest.Evaluate[bool](t, ctx, condition) {
				return
			}
		}
		t.Fatalf("%s did not come; the page says %q", what, reporttest.Evaluate[string](t, ctx, "['headline','state','problems','dataproblems','datasaid'].map(id => document.getElementById(id).textContent).join(' | ')"))
	}
}

// Records, tables, the watch and the hills in a browser: each changes the
// answer, none the site's files, and all of it is written when it is asked for.
func TestLiveDataInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := filepath.Join(t.TempDir(), "place")
	if code, _, errOut := sunrillTo(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	fewYears(t, dir)
	before := filesIn(t, dir)
	url, _ := liveSite(t, dir, fewDraws)
	ctx, trouble := reporttest.Browser(t, "http://127.0.0.1:")
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1200, 900), chromedp.Navigate(url)); err != nil {
		t.Fatal(err)
	}
	js := func(script string) string { return reporttest.Evaluate[string](t, ctx, script) }
	wait := waiter(t, ctx)
	answer := func() string {
		t.Helper()
		wait("an answer", "document.body.dataset.answered !== undefined && document.body.dataset.working === undefined")
		return js("document.getElementById('headline').textContent")
	}
	last := answer()
	changed := func(what string) {
		t.Helper()
		wait(what, fmt.Sprintf("document.body.dataset.answered !== undefined && document.body.dataset.working === undefined && document.getElementById('headline').textContent !== %q", last))
		last = answer()
	}

	// A file is chosen, what was understood is shown, and taken in.
	file := filepath.Join(t.TempDir(), "prcp.csv")
	if err := os.WriteFile(file, []byte(aRecord(t, dir)), 0o644); err != nil {
		t.Fatal(err)
	}
	js(`(() => { for (const d of document.querySelectorAll('#data details')) d.open = true; return ''; })()`)
	root, err := chromedp.Call(ctx, dom.GetDocument, dom.GetDocumentParams{})
	if err != nil {
		t.Fatal(err)
	}
	input, err := chromedp.Call(ctx, dom.QuerySelector, dom.QuerySelectorParams{NodeID: root.Root.NodeID, Selector: "#dropped"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{file}, NodeID: input.NodeID}); err != nil {
		t.Fatal(err)
	}
	wait("what was understood", "!document.getElementById('preview').hidden")
	if said := js("document.getElementById('understood').textContent"); !strings.Contains(said, "a record of rain") {
		t.Errorf("understood: %q", said)
	}
	if answer() != last {
		t.Error("a record was taken in before it was asked for")
	}
	js("(() => { document.getElementById('takein').click(); return ''; })()")
	changed("the year of another record")

	// Dropped on the page it is read as well; what cannot be read is told.
	js(`(() => { const d = new DataTransfer(); d.items.add(new File(['<b>no table</b>'], 'x<i>.csv'));
		document.getElementById('drop').dispatchEvent(new DragEvent('drop', {dataTransfer: d, bubbles: true, cancelable: true})); return ''; })()`)
	wait("the trouble with a file", "!document.getElementById('dataproblems').hidden && /x<i>.csv/.test(document.getElementById('dataproblems').textContent)")

	// Cells from a spreadsheet are pasted into the table of appliances.
	js("(() => { document.querySelector('[data-sheet=loads]').click(); return ''; })()")
	wait("the table", "document.querySelectorAll('#cells tbody tr').length > 10 && document.getElementById('dataproblems').hidden")
	js(`(() => { document.getElementById('addrow').click(); const cell = document.querySelector('#cells tbody tr:last-child input'); const d = new DataTransfer();
		d.setData('text/plain', 'sauna\t4000\t1\t18-20\tall\tall\tac\tno\r\nsecond lamp\t20\t2\t18-23\tall\tall\tac\tno\r\n');
		cell.dispatchEvent(new ClipboardEvent('paste', {clipboardData: d, bubbles: true, cancelable: true})); return ''; })()`)
	wait("the pasted rows", "[...document.querySelectorAll('#cells tbody tr:last-child input')].some(c => c.value === 'second lamp')")
	js("(() => { document.getElementById('tryrows').click(); return ''; })()")
	changed("the year with a sauna")

	// The watch: three times, at the speed of a test.
	js("(() => { document.getElementById('bucket').value = '1 L'; return ''; })()")
	for range 3 {
		js("(() => { document.getElementById('watch').click(); return ''; })()")
		time.Sleep(220 * time.Millisecond)
		js("(() => { document.getElementById('watch').click(); return ''; })()")
	}
	js("(() => { document.getElementById('keepreading').click(); return ''; })()")
	wait("the reading", "/ L\\/s/.test(document.getElementById('datasaid').textContent)")

	// A hill is drawn across the south with the mouse.
	wait("the sheet of the hills", "document.querySelector('#hills svg') !== null")
	js(`(() => { const pad = document.querySelector('#hills svg'), m = pad.getScreenCTM(); pad.setPointerCapture = () => {};
		const go = (kind, x, y) => { const p = new DOMPoint(x, y).matrixTransform(m); pad.dispatchEvent(new PointerEvent(kind, {clientX: p.x, clientY: p.y, pointerId: 1, bubbles: true, cancelable: true})); };
		go('pointerdown', 120, 40); for (let x = 120; x <= 240; x += 2) go('pointermove', x, 40); go('pointerup', 240, 40); return ''; })()`)
	changed("the year behind a hill")

	// Undo takes it back; then all that is left is written.
	js("(() => { document.getElementById('undo').click(); return ''; })()")
	changed("the year before")
	if now := filesIn(t, dir); !mapsEqual(now, before) {
		t.Error("the site's files changed before they were written")
	}
	js("(() => { document.getElementById('write').click(); return ''; })()")
	wait("the difference", "/sauna/.test(document.getElementById('difference').textContent) && /rain.csv/.test(document.getElementById('difference').textContent)")
	js("(() => { delete document.body.dataset.answered; document.getElementById('reallywrite').click(); return ''; })()")
	wait("the page of the written site", "document.readyState === 'complete' && document.body.dataset.answered !== undefined && document.getElementById('changed').textContent === 'As in the site’s files.'")
	now := filesIn(t, dir)
	if !strings.Contains(now["loads.csv"], "sauna,4000,1,18-20") || !strings.Contains(now["rain.csv"], "rain_in") || now["horizon.csv"] != before["horizon.csv"] ||
		strings.Count(now["gaugings.csv"], "\n") != strings.Count(before["gaugings.csv"], "\n")+1 || now["loads.csv.before-1"] != before["loads.csv"] {
		t.Errorf("written: %v", now)
	}
	for _, what := range trouble() {
		if !strings.Contains(what, "422") { // the browser's own word for the refused file
			t.Error(what)
		}
	}
}

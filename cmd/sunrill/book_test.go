package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunrill/plots/report/reporttest"
)

// The book of the built-in homestead: every figure names a file that is there,
// --json prints one object, and the page reads well on a phone, at a desk and
// on paper.
func TestBook(t *testing.T) {
	dir := t.TempDir()
	out, errOut, code := sunrill(t, "book", "--years", "2016-2018", "--draws", "4", "--json", "--out", dir)
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	var r map[string]json.RawMessage
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatalf("not one JSON object: %v", err)
	}
	for _, key := range []string{"year", "changeover", "drywinter", "bank", "worth"} {
		if r[key] == nil {
			t.Errorf("the object lacks %s", key)
		}
	}
	page := read(t, filepath.Join(dir, "report.html"))
	figures := regexp.MustCompile(`(?s)<figure>.*?</figure>`).FindAllString(page, -1)
	if len(figures) < 20 {
		t.Errorf("%d figures in the book", len(figures))
	}
	title, data := regexp.MustCompile(`<h3>(.*?)</h3>`), regexp.MustCompile(`class="data" href="(.*?)"`)
	for _, f := range figures {
		name := title.FindStringSubmatch(f)[1]
		file := data.FindStringSubmatch(f)
		if file == nil {
			t.Errorf("%q names no file with its numbers", name)
			continue
		}
		if info, err := os.Stat(filepath.Join(dir, filepath.FromSlash(file[1]))); err != nil || info.Size() == 0 {
			t.Errorf("%q names %s, which is not there", name, file[1])
		}
	}
	for _, id := range []string{"place", "panels", "creek", "energy", "changeover", "drywinter", "bank", "worth", "cautions", "assumptions", "not-modelled"} {
		if !strings.Contains(page, `href="#`+id) {
			t.Errorf("the contents have no chapter %s", id)
		}
	}
	// The front page tells where the dates lie as the chapter does.
	if dates := regexp.MustCompile(`best day to open lies (between .*? and .*?) in 8 of 10, the best to close (between .*? and .*?);`).FindStringSubmatch(page); dates == nil ||
		!strings.Contains(page, "In 8 of 10 draws the best opening lies "+dates[1]+", the best closing "+dates[2]+".") {
		t.Errorf("the front page does not tell the dates' ranges, %q", dates)
	}
	// What decides comes first, what was understood stands in the appendix.
	at := strings.Index(page, `id="front"`)
	for _, id := range []string{"worth", "drywinter", "bank-size", "changeover", "years", "energy", "cautions", "household", "place", "made-up", "assumptions"} {
		next := strings.Index(page, `<section id="`+id+`"`)
		if next < at {
			t.Errorf("chapter %s stands too early", id)
		}
		at = next
	}
	if testing.Short() {
		t.Skip("starts a browser")
	}
	reporttest.Check(t, filepath.Join(dir, "report.html"), len(figures))

	// Who reads nothing else needs one sheet; the rest is at most 15, the appendix apart.
	cut := func(name, before string) string {
		part, _, found := strings.Cut(page, before)
		if !found {
			t.Fatalf("no %s in the book", before)
		}
		path := filepath.Join(t.TempDir(), name)
		put(t, path, part)
		return path
	}
	sheets := reporttest.Sheets(t, cut("front.html", `<section id="notes"`), cut("main.html", `<h2 class="appendix">`), filepath.Join(dir, "report.html"))
	if sheets[0] != 1 || sheets[1] > 15 || sheets[2] <= sheets[1] {
		t.Errorf("the front takes %d sheets, up to the appendix it is %d, with it %d; want 1, 15 at most, and more", sheets[0], sheets[1], sheets[2])
	}
}

// Without hydro the book tells what to describe, and leaves out what needs it.
func TestBookWithoutHydro(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	out := string(runOK(t, "book", "../../testdata/seattle", "--years", "2014", "--json", "--out", dir))
	if strings.Contains(out, `"worth"`) || strings.Contains(out, `"changeover"`) {
		t.Error("the object weighs hydro that is not there")
	}
	if page := read(t, filepath.Join(dir, "report.html")); !strings.Contains(page, "describe [stream], [penstock] and [turbine]") {
		t.Error("the book does not say what to describe")
	}
	if _, err := os.Stat(filepath.Join(dir, "worth.csv")); err == nil {
		t.Error("worth.csv is written")
	}
}

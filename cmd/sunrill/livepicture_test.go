package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"sunrill/plots/report/reporttest"
)

// openData opens what takes in data, and a table in it.
const openData = `(() => { for (const d of document.querySelectorAll('#data details')) d.open = true;
	document.querySelector('[data-sheet=loads]').click(); document.getElementById('data').scrollIntoView(); return ''; })()`

var pictures = flag.String("pictures", "", "folder to write pictures of the live page into, to look at")

// TestLivePictures takes pictures of the page for people to look at, the one of
// the README among them: -pictures DIR asks for them.
func TestLivePictures(t *testing.T) {
	if *pictures == "" {
		t.Skip("-pictures DIR asks for them")
	}
	url, _ := liveSite(t, "", usualDraws)
	ctx, _ := reporttest.Browser(t, "http://127.0.0.1:")
	for _, v := range []struct {
		name       string
		wide, high int64
		dark       bool
		state      string
		before     string // script that is run before the picture
	}{
		{"page", 1360, 860, false, "#q=year&s=bank.capacity%3D20+kWh", ""},
		{"phone", 390, 1600, false, "", ""},
		{"dark", 1240, 1400, true, "", ""},
		{"data", 1240, 2200, false, "", openData},
		{"hills", 1240, 900, false, "", `(() => { document.getElementById('hillsbox').open = true; document.querySelector('figure[data-name=charge] details.numbers').open = true; setTimeout(() => document.getElementById('hillsbox').scrollIntoView({block: 'end'}), 500); return ''; })()`},
		{"data-phone", 390, 2600, false, "", openData},
		{"data-dark", 1240, 2200, true, "", openData},
	} {
		scheme := "light"
		if v.dark {
			scheme = "dark"
		}
		if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(v.wide, v.high), chromedp.Navigate("about:blank"), chromedp.Navigate(url+v.state)); err != nil {
			t.Fatal(err)
		}
		for end := time.Now().Add(40 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			if reporttest.Evaluate[bool](t, ctx, "document.body.dataset.answered !== undefined && document.getElementById('refining').dataset.working === undefined") {
				break
			}
		}
		if v.before != "" {
			reporttest.Evaluate[string](t, ctx, v.before)
			time.Sleep(time.Second)
		}
		picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if picture, err = fewColours(picture); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(*pictures, v.name+".png")
		if err := os.WriteFile(path, picture, 0o644); err != nil {
			t.Fatal(err)
		}
		fmt.Println(path, len(picture), "bytes")
	}
}

// fewColours writes a picture with its 256 commonest colours, which makes it a
// third of the size.
func fewColours(picture []byte) ([]byte, error) {
	from, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		return nil, err
	}
	times := map[color.Color]int{}
	at := from.Bounds()
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			times[from.At(x, y)]++
		}
	}
	commonest := slices.SortedFunc(maps.Keys(times), func(a, b color.Color) int { return times[b] - times[a] })
	to := image.NewPaletted(at, commonest[:min(256, len(commonest))])
	nearest := map[color.Color]uint8{}
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			c := from.At(x, y)
			n, ok := nearest[c]
			if !ok {
				n = uint8(to.Palette.Index(c))
				nearest[c] = n
			}
			to.SetColorIndex(x, y, n)
		}
	}
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: png.BestCompression}
	err = e.Encode(&b, to)
	return b.Bytes(), err
}

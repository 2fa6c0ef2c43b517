package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"sunrill/plots/report/reporttest"
)

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
	}{
		{"page", 1240, 900, false, "#q=year&s=bank.capacity%3D20+kWh"},
		{"phone", 390, 1600, false, ""},
		{"dark", 1240, 1400, true, ""},
		{"improve", 1240, 1800, false, "#q=improve"},
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
		picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(*pictures, v.name+".png")
		if err := os.WriteFile(path, picture, 0o644); err != nil {
			t.Fatal(err)
		}
		fmt.Println(path, len(picture), "bytes")
	}
}

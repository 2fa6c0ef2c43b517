package reporttest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// Browser starts a headless browser, or skips the test where there is none.
// trouble returns what the page complains about and what it asks for beyond files
// and the beginnings of addresses that are allowed.
func Browser(t testing.TB, allowed ...string) (ctx context.Context, trouble func() []string) {
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
			u := ev.Request.URL
			if !slices.ContainsFunc(append(allowed, "file:", "data:"), func(from string) bool { return strings.HasPrefix(u, from) }) {
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

// Evaluate runs a script on the page and returns its value, that of a promise
// once it is kept.
func Evaluate[T any](t testing.TB, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

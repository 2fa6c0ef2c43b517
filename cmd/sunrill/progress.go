package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"golang.org/x/term"
)

// progress draws how far a study has come on standard error: only if that is
// a terminal, and only if the work lasts more than a second. It may be called
// from several goroutines. Call done when the work has ended.
func (c *call) progress(what string) (step func(done, total int), done func()) {
	f, ok := c.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || c.opts.quiet {
		return func(int, int) {}, func() {}
	}
	return drawProgress(f, what, time.Now)
}

// drawProgress is progress with the terminal and the clock given.
func drawProgress(w io.Writer, what string, now func() time.Time) (step func(done, total int), done func()) {
	const wait, pause = time.Second, 100 * time.Millisecond
	var mu sync.Mutex
	start := now()
	var last time.Time
	drawn := 0
	step = func(done, total int) {
		mu.Lock()
		defer mu.Unlock()
		t := now()
		if t.Sub(start) < wait || t.Sub(last) < pause || total <= 0 {
			return
		}
		last = t
		line := fmt.Sprintf("%s: %d of %d (%d %%)", what, done, total, 100*done/total)
		fmt.Fprintf(w, "\r%s%s", line, strings.Repeat(" ", max(drawn-len(line), 0)))
		drawn = len(line)
	}
	done = func() {
		mu.Lock()
		defer mu.Unlock()
		if drawn > 0 {
			fmt.Fprintf(w, "\r%s\r", strings.Repeat(" ", drawn))
		}
	}
	return step, done
}

package main

import (
	"bytes"
	"testing"
	"time"
)

// BenchmarkYear runs the year command on the built-in site, with all files,
// charts and the report, and reports its time beside that of reading and
// checking the site alone.
func BenchmarkYear(b *testing.B) { benchCommand(b, "year") }

// BenchmarkBook does the same for the book.
func BenchmarkBook(b *testing.B) { benchCommand(b, "book") }

// BenchmarkDryWinter does the same for dry winters.
func BenchmarkDryWinter(b *testing.B) { benchCommand(b, "drywinter") }

func benchCommand(b *testing.B, name string) {
	b.Chdir(b.TempDir())
	for b.Loop() {
		runHere(b, name, "--quiet", "--out", "out")
	}
	seconds := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(seconds, "s")
	const rounds = 3
	start := time.Now()
	for range rounds {
		runHere(b, "check", "--quiet")
	}
	b.ReportMetric(seconds/(time.Since(start).Seconds()/rounds), "x-check")
}

func runHere(b *testing.B, args ...string) {
	b.Helper()
	var out, errOut bytes.Buffer
	if code := run(b.Context(), args, &out, &errOut); code != exitOK {
		b.Fatalf("sunrill %v ended with %d: %s", args, code, errOut.String())
	}
}

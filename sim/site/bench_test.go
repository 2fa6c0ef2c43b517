package site_test

import (
	"testing"

	"sunrill/sim/site"
)

// BenchmarkDemo times the reading of the built-in site: twelve years of rain.
func BenchmarkDemo(b *testing.B) {
	for b.Loop() {
		if _, err := site.Demo(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSmallFolder(b *testing.B) {
	fsys := folder(nil)
	for b.Loop() {
		if _, err := site.LoadFS(fsys, site.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

package report_test

import (
	"os"
	"path/filepath"
	"testing"

	"sunrill/plots/report"
	"sunrill/plots/report/reporttest"
)

func TestPageInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
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
	reporttest.Check(t, path, len(report.Charts(p.Sections)))
}

//go:build unix

package site_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"sunrill/sim/site"
)

// A named pipe without a writer would be waited for without end.
func TestPipeIsRefused(t *testing.T) {
	dir := t.TempDir()
	for name, f := range folder(nil) {
		if err := os.WriteFile(filepath.Join(dir, name), f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, "loads.csv")
	os.Remove(path)
	if err := syscall.Mkfifo(path, 0o644); err != nil {
		t.Skip(err)
	}
	if _, err := site.Load(dir, site.Options{}); err == nil || !strings.Contains(err.Error(), "loads.csv: is no regular file") {
		t.Error(err)
	}
}

// Nor is one waited for when a reading is kept.
func TestReadingIntoAPipe(t *testing.T) {
	dir, path := creekFolder(t, nil)
	if err := syscall.Mkfifo(path, 0o644); err != nil {
		t.Skip(err)
	}
	if err := site.AppendGauging(dir, bucketOf(20, 14.2)); err == nil || !strings.Contains(err.Error(), "gaugings.csv: is no regular file") {
		t.Error(err)
	}
}

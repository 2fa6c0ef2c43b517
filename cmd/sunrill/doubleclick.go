package main

import (
	"os"
	"path/filepath"
	"time"
)

// byDoubleClick returns the command line of a start without one: the page of a
// site that lies around the program or the folder it was started in, or in one of
// their folders, the one that was changed last; else of the built-in one.
func byDoubleClick() []string {
	places := []string{"."}
	if self, err := os.Executable(); err == nil {
		places = append(places, filepath.Dir(self))
	}
	return siteIn(places)
}

func siteIn(places []string) []string {
	changed := func(dir string) (time.Time, bool) {
		info, err := os.Stat(filepath.Join(dir, "site.toml"))
		if err != nil || !info.Mode().IsRegular() {
			return time.Time{}, false
		}
		return info.ModTime(), true
	}
	for _, place := range places {
		if _, ok := changed(place); ok {
			return []string{"live", place}
		}
	}
	best, last := "", time.Time{}
	for _, place := range places {
		entries, _ := os.ReadDir(place)
		for _, e := range entries {
			dir := filepath.Join(place, e.Name())
			if at, ok := changed(dir); ok && at.After(last) {
				best, last = dir, at
			}
		}
	}
	if best != "" {
		return []string{"live", best}
	}
	return []string{"live"}
}

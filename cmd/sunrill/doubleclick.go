package main

import (
	"os"
	"path/filepath"
)

// byDoubleClick returns the command line of a start without one: the page of
// the site that lies around the program or in the folder it was started in, else
// of the built-in one.
func byDoubleClick() []string {
	places := []string{"."}
	if self, err := os.Executable(); err == nil {
		places = append(places, filepath.Dir(self))
	}
	for _, place := range places {
		if info, err := os.Stat(filepath.Join(place, "site.toml")); err == nil && info.Mode().IsRegular() {
			return []string{"live", place}
		}
	}
	return []string{"live"}
}

//go:build !windows

package main

import (
	"os"
	"runtime"

	"golang.org/x/term"
)

// doubleClicked tells whether a desktop started the program: there is one, and
// none of the standard files is a terminal, a pipe or a file.
func doubleClicked() bool {
	if runtime.GOOS != "darwin" && os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		return false
	}
	for _, f := range []*os.File{os.Stdin, os.Stdout} {
		if term.IsTerminal(int(f.Fd())) {
			return false
		}
	}
	info, err := os.Stdin.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 // the null device
}

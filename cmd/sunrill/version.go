package main

import (
	"fmt"
	"runtime/debug"
)

func versionCommand() command {
	return command{
		name:    "version",
		brief:   "print which Sunrill this is",
		long:    "Prints the version of Sunrill and of the Go that built it.",
		example: "sunrill version",
		groups:  0,
		run: func(c *call) error {
			if err := c.noArgs(); err != nil {
				return err
			}
			fmt.Fprintln(c.out, version())
			return nil
		},
	}
}

// version names the build: the module's version, or the commit it was built
// from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "sunrill (version unknown)"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "development version"
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 {
				v += " " + s.Value[:12]
			}
		}
	}
	return fmt.Sprintf("sunrill %s, %s", v, info.GoVersion)
}

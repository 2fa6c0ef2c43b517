package site

import (
	"embed"
	"io/fs"
)

//go:embed demo/*.toml demo/*.csv
var demoFiles embed.FS

// DemoFS returns the folder of the homestead that is built in. The place, its
// weather, its creek, its household and its prices are invented.
func DemoFS() fs.FS {
	sub, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		panic("site: " + err.Error())
	}
	return sub
}

// Demo returns the homestead that is built in.
func Demo() (*Site, error) { return LoadFS(DemoFS(), Options{}) }

package site

import (
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"sunrill/sim/files"
)

// Known is what a site.toml tells for certain before the site can be loaded
// whole: a new one waits for its records. NaN where it tells nothing.
type Known struct {
	LatDeg, LonDeg, UTCOffsetH float64
	US                         bool
}

// ReadKnown reads it from a site folder. What is wrong with the file is for
// [Load] to tell; a folder without one is an error.
func ReadKnown(dir string) (Known, error) {
	k := Known{LatDeg: math.NaN(), LonDeg: math.NaN(), UTCOffsetH: math.NaN()}
	data, err := os.ReadFile(filepath.Join(dir, descriptionFile))
	if err != nil {
		return k, files.Problems{{What: dir + ": is no site folder: it has no " + descriptionFile, Hint: "make one with: sunrill new " + dir}}
	}
	var tree map[string]any
	if toml.Unmarshal([]byte(strings.TrimPrefix(string(data), "\ufeff")), &tree) != nil {
		return k, nil
	}
	number := func(key string, low, high float64) float64 {
		v := math.NaN()
		switch n := tree[key].(type) {
		case float64:
			v = n
		case int64:
			v = float64(n)
		}
		if !(v >= low && v <= high) {
			return math.NaN()
		}
		return v
	}
	k.LatDeg, k.LonDeg, k.UTCOffsetH = number("latitude", -90, 90), number("longitude", -180, 180), number("utc_offset", -14, 14)
	if math.IsNaN(k.UTCOffsetH) && !math.IsNaN(k.LonDeg) {
		k.UTCOffsetH = math.Round(k.LonDeg / 15) // as Load does
	}
	k.US = tree["units"] == "us"
	return k, nil
}

package site

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/solar"
)

// compassPoint returns the bearing of a point of the compass, "SSW" or
// "south-southwest".
func compassPoint(name string) (deg float64, ok bool) {
	points := []string{"n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"}
	name = strings.NewReplacer("-", "", " ", "", "north", "n", "east", "e", "south", "s", "west", "w").Replace(strings.ToLower(name))
	for i, p := range points {
		if p == name {
			return 22.5 * float64(i), true
		}
	}
	return 0, false
}

const maxArrays = 100

// arrays reads every [[array]].
func (l *loader) arrays() {
	list := l.TableList("array")
	if len(list) > maxArrays {
		l.Wrong("array", "put panels that face alike into one", "there are %d arrays, more than %d", len(list), maxArrays)
		list = list[:maxArrays]
	}
	for i, t := range list {
		l.site.Arrays = append(l.site.Arrays, l.array(i, t))
	}
}

func (l *loader) array(i int, t *files.Table) solar.Array {
	lat := l.site.Place.LatDeg
	name := fmt.Sprintf("array %d", i+1)
	if t.Has("name") {
		name = t.Text("name", files.Optional)
	}
	a := solar.Array{
		Name:   name,
		PowerW: t.Quantity("power", measure.Powers, 1, 1e6, files.Need("the panels' rated power together: power = \"2.4 kW\"")),
	}
	tilt := files.Or("35 deg", "not given")
	if !math.IsNaN(lat) {
		tilt = files.Or(fmt.Sprintf("%.0f deg", math.Min(90, math.Abs(lat))), "the latitude: a common choice for the whole year")
	}
	a.TiltDeg = t.Quantity("tilt", measure.Angles, 0, 90, tilt, "0 lies flat, 90 stands upright")
	a.AzimuthDeg = facing(t, "facing", lat)
	a.Losses = t.Quantity("losses", measure.Fractions, 0, 0.9, files.Or("11.4 %", "soiling, wiring, mismatch, connections, light-induced loss and nameplate; a laboratory's table of 2014 without shade"))
	a.NOCTC = t.Quantity("noct", measure.Temperatures, 30, 70, files.Or("45 C", "how warm cells get in the sun (NOCT): common for framed panels on an open rack; the data sheet tells"))
	a.TempCoefPerK = t.Quantity("temp_coefficient", measure.FractionsPerK, -0.01, 0, files.Or("-0.38 %/K", "crystalline silicon; the data sheet tells"), "a loss, with a minus")
	a.ControllerMaxW = t.Quantity("controller_limit", measure.Powers, 10, 1e6, files.Optional)
	a.ControllerEfficiency = t.Quantity("controller_efficiency", measure.Fractions, 0.3, 1, files.Or("95 %", "measured over 30 months at one house (Murphy 2012)"))
	a.Horizon = l.site.Sun.Horizon
	if file := t.File("horizon", files.Optional); file != "" {
		a.Horizon = l.horizon(file)
	}
	t.Done()
	return a
}

// facing reads the bearing that panels face: an angle or a name.
func facing(t *files.Table, key string, latDeg float64) float64 {
	toward := files.Or("180 deg", "towards the equator")
	if latDeg < 0 {
		toward = files.Or("0 deg", "towards the equator")
	}
	if raw, ok := t.Look(key); ok {
		if s, isText := raw.(string); isText {
			if deg, named := compassPoint(s); named {
				return deg
			}
		}
	}
	return t.Quantity(key, measure.Angles, 0, 360, toward, "0 is north, 90 east, 180 south, 270 west; names such as \"south-west\" do as well")
}

// UsualArray is 1 kW of panels as an array is described by its defaults: for a
// house that has none and asks what some would do.
func (s *Site) UsualArray() solar.Array {
	a := solar.Array{Name: "usual", PowerW: 1000, TiltDeg: math.Min(90, math.Abs(s.Place.LatDeg)), AzimuthDeg: 180,
		Losses: 0.114, NOCTC: 45, TempCoefPerK: -0.0038, ControllerEfficiency: 0.95, Horizon: s.Sun.Horizon}
	if s.Place.LatDeg < 0 {
		a.AzimuthDeg = 0
	}
	return a
}

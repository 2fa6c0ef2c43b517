package site

import (
	"fmt"
	"math"
	"strings"

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

// arrays reads every [[array]].
func (l *loader) arrays() {
	for i, t := range l.tableList("array") {
		l.site.Arrays = append(l.site.Arrays, l.array(i, t))
	}
}

func (l *loader) array(i int, t *table) solar.Array {
	lat := l.site.Place.LatDeg
	name := fmt.Sprintf("array %d", i+1)
	if t.has("name") {
		name = t.text("name", optional)
	}
	a := solar.Array{
		Name:   name,
		PowerW: t.quantity("power", Power, 1, 1e6, need("the panels' rated power together: power = \"2.4 kW\"")),
	}
	tilt := or("35 deg", "not given")
	if !math.IsNaN(lat) {
		tilt = or(fmt.Sprintf("%.0f deg", math.Min(90, math.Abs(lat))), "the latitude: a common choice for the whole year")
	}
	a.TiltDeg = t.quantity("tilt", Angle, 0, 90, tilt, "0 lies flat, 90 stands upright")
	a.FacingDeg = t.facing("facing", lat)
	a.Losses = t.quantity("losses", Share, 0, 0.9, or("11.4 %", "soiling, wiring, mismatch, connections, light-induced loss and nameplate; a laboratory's table of 2014 without shade"))
	a.NOCTC = t.quantity("noct", Temperature, 30, 70, or("45 C", "common for framed panels on an open rack; the data sheet tells"))
	a.TempCoefPerK = t.quantity("temp_coefficient", SharePerK, -0.01, 0, or("-0.38 %/K", "crystalline silicon; the data sheet tells"), "a loss, with a minus")
	a.ControllerMaxW = t.quantity("controller_limit", Power, 10, 1e6, optional)
	a.ControllerShare = t.quantity("controller_efficiency", Share, 0.3, 1, or("95 %", "measured over 30 months at one house (Murphy 2012)"))
	a.Horizon = l.site.Sun.Horizon
	if file := t.file("horizon", optional); file != "" {
		a.Horizon = l.horizon(file)
	}
	t.done()
	return a
}

// facing reads the bearing that panels face: an angle or a name.
func (t *table) facing(key string, latDeg float64) float64 {
	toward := or("180 deg", "towards the equator")
	if latDeg < 0 {
		toward = or("0 deg", "towards the equator")
	}
	if raw, ok := t.look(key); ok {
		if s, isText := raw.(string); isText {
			if deg, named := compassPoint(s); named {
				return deg
			}
		}
	}
	return t.quantity(key, Angle, 0, 360, toward, "0 is north, 90 east, 180 south, 270 west; names such as \"south-west\" do as well")
}

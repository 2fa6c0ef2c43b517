package solar_test

import (
	"math"
	"testing"
	"time"

	"sunrill/sources/solar"
	"sunrill/weather"
)

// Sun hours on the level, turned into what steep panels behind a hill get of them
// and given back as sun hours observed on those panels, are the level's again:
// within 1 % in every month of seven stations.
func TestLevelSunComesBackFromPanels(t *testing.T) {
	for name, station := range stations(t) {
		p := weather.Place{LatDeg: station["lat"][0], LonDeg: station["lon"][0], UTCOffsetH: -8}
		level := [12]float64(station["GHI"])
		a := solar.Array{TiltDeg: 60, AzimuthDeg: 180, PowerW: 1000}
		a.Horizon = solar.Horizon{{BearingDeg: 90, HeightDeg: 12}, {BearingDeg: 150, HeightDeg: 4}, {BearingDeg: 210, HeightDeg: 6}, {BearingDeg: 270, HeightDeg: 15}}
		r := weather.Record{Start: time.Date(2001, 1, 1, 0, 0, 0, 0, p.Zone()), RainMM: make([]float64, 365*12+3)}
		s, err := weather.Calibrate(p, r, weather.SunTable{SunHours: level}, weather.SkyOptions{Variability: 1, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		tr := weather.NewTrack(p, weather.Year{Start: r.Start, Days: r.Days()}, 4)
		view := solar.NewView(a, tr.Path)
		sky := s.Hours(nil, tr, s.Factors(nil, r, 0))
		plane := monthMeans(tr.Year, weather.DayKWh(nil, view.Irradiance(nil, sky.GHI, sky.DNI, sky.DHI)))
		o := weather.SkyOptions{Variability: 1, Seed: 1, OnPanel: func(p weather.Path) func(dst, ghi, dni, dhi []float64) []float64 {
			v := solar.NewView(a, p)
			return v.Irradiance
		}}
		back, err := weather.Calibrate(p, r, weather.SunTable{SunHours: plane}, o)
		if err != nil {
			t.Fatal(err)
		}
		sky = back.Hours(nil, tr, back.Factors(nil, r, 0))
		got := monthMeans(tr.Year, weather.DayKWh(nil, sky.GHI))
		for m := range got {
			if off := got[m]/level[m] - 1; math.Abs(off) > 0.01 {
				t.Errorf("%s, %v: %.3f kWh/m² a day come back, %.3f were given (%+.1f %%)", name, time.Month(m+1), got[m], level[m], 100*off)
			}
		}
	}
}

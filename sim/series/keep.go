package series

import (
	"reflect"
	"slices"
	"sync"

	"sunrill/loads"
	"sunrill/sim/site"
	"sunrill/sources/hydro"
	"sunrill/sources/solar"
	"sunrill/weather"
)

// kept are the hourly parts of a homestead's years that stay in memory. A part
// belongs to all homesteads that what it is made of is the same for.
type kept struct {
	sky    *memo[skyPart]
	arrays []*memo[[]float64]
	water  *memo[*hydro.Flow]
	demand *memo[loads.Demand]
}

// skyPart is the sky and the air of a year.
type skyPart struct {
	hours    *weather.SkyHours
	air      []float64
	sunHours []float64
}

// yearKey tells one year from another, whichever reading of the site it is of.
type yearKey struct {
	start int64 // in seconds since 1970
	days  int
}

func keyOf(y weather.Year) yearKey { return yearKey{y.Start.Unix(), y.Days} }

// waterKey is a year and the days on which the valve is open.
type waterKey struct {
	yearKey
	season hydro.Season
}

// memo makes a part of each year once; it may be asked from several goroutines.
type memo[T any] struct{ made sync.Map }

func (m *memo[T]) of(key any, make func() T) T {
	v, ok := m.made.Load(key)
	if !ok {
		v, _ = m.made.LoadOrStore(key, sync.OnceValue(make))
	}
	return v.(func() T)()
}

// Keep returns the same homestead with the hourly parts of its years kept in
// memory once they were made, about 0.5 MB a year, for studies that run many
// changes of it ([Homestead.With]).
func (h *Homestead) Keep() *Homestead {
	o := *h
	o.kept = &kept{sky: new(memo[skyPart]), water: new(memo[*hydro.Flow]), demand: new(memo[loads.Demand])}
	for range h.Site.Arrays {
		o.kept.arrays = append(o.kept.arrays, new(memo[[]float64]))
	}
	return &o
}

// With prepares a changed description of the same place, as [New] does, and
// shares with h all that the change leaves alone: the calibrated sky, the
// creek, the machine, and the hourly parts that h keeps. What it returns gives
// the same bytes as New(s) would.
func (h *Homestead) With(s *site.Site) (*Homestead, error) {
	was := h.Site
	same := func(a, b any) bool { return reflect.DeepEqual(a, b) }
	place := same(was.Place, s.Place)
	weatherSame := place && same(was.Rain, s.Rain) && same(was.Sun, s.Sun)
	arrays := same(was.Arrays, s.Arrays)
	sky := weatherSame && (!s.Sun.OnPanel || arrays)
	creek := weatherSame && same(was.Stream, s.Stream)
	plant := same(was.Hydro, s.Hydro)

	o := newShared(s)
	if place {
		o.shared.tracks = h.shared.tracks
		for i, a := range s.Arrays {
			if j := slices.IndexFunc(was.Arrays, func(b solar.Array) bool { return same(a, b) }); j >= 0 {
				o.shared.views[i] = h.shared.views[j]
			}
		}
	}
	if plant {
		o.Machine = h.Machine
	} else if s.Hydro != nil {
		o.Machine = s.Hydro.Prepare()
	}
	if sky {
		o.Sky, o.factors, o.sunHours = h.Sky, h.factors, h.sunHours
	} else {
		if err := o.calibrate(); err != nil {
			return nil, err
		}
		o.followSky()
	}
	if creek {
		o.meanC, o.petMM, o.flowM3S = h.meanC, h.petMM, h.flowM3S
	} else {
		o.followCreek()
	}
	if creek && h.Machine != nil {
		o.falls = h.falls
	} else {
		o.findRecession()
	}
	if err := o.findYears(); err != nil {
		return nil, err
	}
	if h.kept == nil {
		return o, nil
	}
	o = o.Keep()
	if sky {
		o.kept.sky = h.kept.sky
		for i, a := range s.Arrays {
			if j := slices.IndexFunc(was.Arrays, func(b solar.Array) bool { return same(a, b) }); j >= 0 {
				o.kept.arrays[i] = h.kept.arrays[j]
			}
		}
	}
	if creek && plant {
		o.kept.water = h.kept.water
	}
	if same(was.Appliances, s.Appliances) && same(was.DemandW, s.DemandW) && same(was.Inverter, s.Inverter) {
		o.kept.demand = h.kept.demand
	}
	return o, nil
}

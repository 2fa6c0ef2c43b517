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
	o.like = likeness{sky: sky, creek: creek, plant: plant,
		demand: same(was.Appliances, s.Appliances) && same(was.DemandW, s.DemandW) && same(was.Inverter, s.Inverter),
		doubts: same(was.Uncertainty, s.Uncertainty)}
	for _, a := range s.Arrays {
		o.like.arrays = append(o.like.arrays, slices.IndexFunc(was.Arrays, func(b solar.Array) bool { return same(a, b) }))
	}
	if sky {
		o.shared.skies = h.shared.skies
	}
	if h.kept != nil {
		like := o.like
		o = o.Keep()
		o.kept.fraction(h.kept, like)
	}
	return o, nil
}

// likeness says what a changed homestead has in common with the one that it is
// a change of.
type likeness struct {
	sky, creek, plant, demand bool
	doubts                    bool  // what the owner is unsure of
	arrays                    []int // of each array the same one there; -1: none
}

// share takes the parts of another homestead that are the same here.
func (k *kept) fraction(of *kept, like likeness) {
	if like.sky {
		k.sky = of.sky
		for i, j := range like.arrays {
			if j >= 0 {
				k.arrays[i] = of.arrays[j]
			}
		}
	}
	if like.creek && like.plant {
		k.water = of.water
	}
	if like.demand {
		k.demand = of.demand
	}
}

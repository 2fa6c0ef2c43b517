package sim

import "sunrill/storage"

// Variant is a homestead with something of it set otherwise. The zero value
// changes nothing.
type Variant struct {
	// Panels are factors on what the scalable sources give: one for all of them,
	// or one for each of their parts in order, which needs [Source.PartsW]. Nil: as
	// they stand. Twice the panels are taken to give twice the watts, controllers
	// included.
	Panels      []float64
	Bank        *storage.Bank // nil: as it stands
	Hydro       Hydro
	Generator   *Generator // nil: as it stands
	NoGenerator bool
	Loads       float64 // factor on all that is asked, flexible uses included; 0: as described
}

// Hydro says what a variant makes of the turbine.
type Hydro int

// The turbine as the input has it, or none. Other dates of its valve are no
// variant of a series: whoever opens it is there and sets the nozzles.
const (
	HydroAsIs Hydro = iota
	HydroOff
)

// Bus returns the bus as the variant changes it.
func (v Variant) Bus(b Bus) Bus {
	if v.Bank != nil {
		b.Bank = *v.Bank
	}
	switch {
	case v.NoGenerator:
		b.Generator = nil
	case v.Generator != nil:
		b.Generator = v.Generator
	}
	return b
}

// Of returns an input as the variant changes it, in memory of its own; what
// does not change is shared.
func (v Variant) Of(in *Input) *Input { return new(Other).Of(in, v) }

// Other is memory for one changed input after another: each is good until the
// next is made. The zero value is ready; it serves one goroutine.
type Other struct {
	in                                            Input
	sources                                       []Source
	scaled                                        [][]float64 // by source
	none                                          []float64
	demand, over, flexible, daily, weekly, weekWh []float64
	together                                      []float64
}

// Of is [Variant.Of] in the memory of o.
func (o *Other) Of(in *Input, v Variant) *Input {
	o.in = *in
	out := &o.in
	if v.Panels != nil || v.Hydro != HydroAsIs {
		o.sources = append(o.sources[:0], in.Sources...)
		out.Sources = o.sources
	}
	if v.Panels != nil {
		o.scale(v.Panels, in.Hours())
	}
	switch v.Hydro {
	case HydroOff:
		if len(o.none) < in.Hours() {
			o.none = make([]float64, max(in.Hours(), longestYearH))
		}
		for i := range o.sources {
			if s := &o.sources[i]; s.Key == Creek.Key {
				s.W, s.PartsW = o.none[:in.Hours():in.Hours()], nil
			}
		}
		out.TurbineM3S, out.DryStopHour, out.VisitDay, out.NozzleSet, out.Openings = nil, nil, nil, nil, nil
		out.OpenHour, out.CloseHour = 0, 0
	}
	if f := v.Loads; f != 0 && f != 1 {
		for _, s := range []struct{ to, own *[]float64 }{
			{&out.DemandW, &o.demand}, {&out.OverW, &o.over},
			{&out.FlexibleW, &o.flexible}, {&out.FlexibleWh, &o.daily},
			{&out.WeeklyW, &o.weekly}, {&out.WeeklyWh, &o.weekWh}, {&out.TogetherW, &o.together},
		} {
			if *s.to != nil {
				*s.own = scaledTo(*s.own, *s.to, f)
				*s.to = *s.own
			}
		}
	}
	return out
}

// longestYearH is the length of the longest year.
const longestYearH = 366 * 24

// scale brings the scalable ones of o's sources to factors.
func (o *Other) scale(factors []float64, hours int) {
	for len(o.scaled) < len(o.sources) {
		o.scaled = append(o.scaled, nil)
	}
	parts := 0
	for i := range o.sources {
		s := &o.sources[i]
		if !s.Scalable {
			continue
		}
		if len(factors) == 1 {
			o.scaled[i] = scaledTo(o.scaled[i], s.W, factors[0])
		} else {
			o.scaled[i] = sized(o.scaled[i], hours)
			clear(o.scaled[i])
			for _, part := range s.PartsW {
				if parts == len(factors) {
					panic("sim: a variant has fewer factors than there are arrays")
				}
				for h, w := range part {
					o.scaled[i][h] += factors[parts] * w
				}
				parts++
			}
		}
		s.W, s.PartsW = o.scaled[i], nil
	}
	if len(factors) > 1 && parts != len(factors) {
		panic("sim: a variant has more factors than there are arrays")
	}
}

func scaledTo(dst, values []float64, by float64) []float64 {
	dst = sized(dst, len(values))
	for i, v := range values {
		dst[i] = v * by
	}
	return dst
}

func sized(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

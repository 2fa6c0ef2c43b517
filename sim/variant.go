package sim

import "sunrill/storage"

// Variant is a homestead with something of it set otherwise. The zero value
// changes nothing.
type Variant struct {
	// Panels are factors on what the arrays give: one for all of them, or one
	// for each, which needs [Input.ArrayW]. Nil: as they stand. Twice the panels
	// are taken to give twice the watts, controllers included.
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
	pv, none                                      []float64
	demand, over, flexible, daily, weekly, weekWh []float64
	together                                      []float64
}

// Of is [Variant.Of] in the memory of o.
func (o *Other) Of(in *Input, v Variant) *Input {
	o.in = *in
	out := &o.in
	if v.Panels != nil {
		o.pv = o.panels(in, v.Panels)
		out.PVW, out.ArrayW = o.pv, nil
	}
	switch v.Hydro {
	case HydroOff:
		if len(o.none) < in.Hours() {
			o.none = make([]float64, max(in.Hours(), longestYearH))
		}
		out.HydroW = o.none[:in.Hours():in.Hours()]
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

func (o *Other) panels(in *Input, factors []float64) []float64 {
	if len(factors) == 1 {
		return scaledTo(o.pv, in.PVW, factors[0])
	}
	if len(factors) != len(in.ArrayW) {
		panic("sim: a variant has another number of panel factors than there are arrays")
	}
	pv := sized(o.pv, in.Hours())
	clear(pv)
	for i, f := range factors {
		for h, w := range in.ArrayW[i] {
			pv[h] += f * w
		}
	}
	return pv
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

package sim

import "slices"

// Kind is what sort of source it is: what it is called, and how the bus treats
// it.
type Kind struct {
	Key  string // in files: pv_kwh, hydro_w
	Name string // on charts and in tables: "panels"
	From string // what it lives on: "sun"

	// Throttled: what nothing takes is held back, and counts as curtailed.
	// Otherwise it comes all the same: the house takes it first, the dump load gets
	// what is left, and more than that makes a hazard hour.
	Throttled bool
	// Scalable: studies may try more or less of it; see [Variant.Panels].
	Scalable bool
}

// The kinds of sources that every homestead is run with, if only with nothing.
var (
	Panels = Kind{Key: "pv", Name: "panels", From: "sun", Throttled: true, Scalable: true}
	Creek  = Kind{Key: "hydro", Name: "creek", From: "creek"}
)

// Source is one of the things that give power to the bus.
type Source struct {
	Kind
	W      []float64   // what it could give at the bus, a value an hour
	PartsW [][]float64 // of it, what each part gives, array by array; may be nil
}

// PanelsAndCreek returns the two sources of a homestead with these series.
func PanelsAndCreek(panelsW, creekW []float64) []Source {
	return []Source{{Kind: Panels, W: panelsW}, {Kind: Creek, W: creekW}}
}

// W returns the series of a kind of source, which is not copied; nil if the input
// has none.
func (in *Input) W(k Kind) []float64 {
	for i := range in.Sources {
		if in.Sources[i].Key == k.Key {
			return in.Sources[i].W
		}
	}
	return nil
}

// Set gives a kind of source another series, in a list of its own: copies of in
// keep theirs.
func (in *Input) Set(k Kind, w []float64) {
	sources := make([]Source, len(in.Sources), len(in.Sources)+1)
	copy(sources, in.Sources)
	in.Sources = sources
	for i := range sources {
		if sources[i].Key == k.Key {
			sources[i] = Source{Kind: sources[i].Kind, W: w}
			return
		}
	}
	in.Sources = append(in.Sources, Source{Kind: k, W: w})
}

// Kinds lists what sort each of the sources is.
func (in *Input) Kinds() []Kind {
	kinds := make([]Kind, len(in.Sources))
	for i := range kinds {
		kinds[i] = in.Sources[i].Kind
	}
	return kinds
}

// Yield is what one source could give over a time.
type Yield struct {
	Kind
	Wh float64
}

// Yields are those of every source, in the order of the input.
type Yields []Yield

// Given sums up each source over the whole run.
func (in *Input) Given() Yields {
	ys := make(Yields, len(in.Sources))
	for i := range ys {
		ys[i] = Yield{Kind: in.Sources[i].Kind, Wh: sumOf(in.Sources[i].W)}
	}
	return ys
}

// Of returns the Wh of a kind of source; 0 if it is not among them.
func (ys Yields) Of(k Kind) float64 {
	for i := range ys {
		if ys[i].Key == k.Key {
			return ys[i].Wh
		}
	}
	return 0
}

// Kinds lists what sort each of the sources is.
func (ys Yields) Kinds() []Kind {
	kinds := make([]Kind, len(ys))
	for i := range kinds {
		kinds[i] = ys[i].Kind
	}
	return kinds
}

// Total returns the Wh of all of them.
func (ys Yields) Total() float64 {
	sum := 0.0
	for i := range ys {
		sum += ys[i].Wh
	}
	return sum
}

// And returns the sum of two yields: of every source that is in either.
func (ys Yields) And(o Yields) Yields {
	sum := slices.Clone(ys)
	for _, y := range o {
		if i := slices.IndexFunc(sum, func(s Yield) bool { return s.Key == y.Key }); i >= 0 {
			sum[i].Wh += y.Wh
		} else {
			sum = append(sum, y)
		}
	}
	return sum
}

// MeanYields returns the mean of the yields of several years.
func MeanYields(of []Yields) Yields {
	var mean Yields
	for _, ys := range of {
		mean = mean.And(ys)
	}
	for i := range mean {
		mean[i].Wh /= float64(len(of))
	}
	return mean
}

func sumOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum
}

// flows are what the sources of either treatment give together, a value an hour.
type flows struct{ dumped, throttled []float64 }

// single returns the flows where there is one source of either treatment, so
// that nothing has to be added up.
func (in *Input) single() (f flows, ok bool) {
	for i := range in.Sources {
		s := &in.Sources[i]
		to := &f.dumped
		if s.Throttled {
			to = &f.throttled
		}
		if *to != nil {
			return f, false
		}
		*to = s.W
	}
	return f, f.dumped != nil && f.throttled != nil
}

// flows returns the flows of the whole run.
func (in *Input) flows() flows {
	f, ok := in.single()
	if !ok {
		f = flows{make([]float64, in.Hours()), make([]float64, in.Hours())}
		in.addUp(f, 0)
	}
	return f
}

// addUp fills f with the sums of the hours from from on.
func (in *Input) addUp(f flows, from int) {
	clear(f.dumped)
	clear(f.throttled)
	for i := range in.Sources {
		s := &in.Sources[i]
		to := f.dumped
		if s.Throttled {
			to = f.throttled
		}
		for h, w := range s.W[from : from+len(to)] {
			to[h] += w
		}
	}
}

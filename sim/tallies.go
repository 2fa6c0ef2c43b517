package sim

// Tallies runs the whole of in for each of the buses and returns a tally for
// each, the same as [Run] would give. It keeps no hours.
func Tallies(in *Input, buses []Bus) []Tally {
	ts := make([]Tally, len(buses))
	for i := range buses {
		buses[i].Span(in, buses[i].Start(), 0, in.Hours(), &ts[i])
	}
	return ts
}

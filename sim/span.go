package sim

import "math"

// Start returns the state in which every year begins: the bank at its
// starting charge, both wells level.
func (b Bus) Start() State {
	s := State{StoredWh: b.Bank.StartSoC * b.Bank.CapacityWh}
	if b.Bank.CapacityWh <= 0 {
		s.StoredWh = 0
	}
	s.AvailableWh = s.StoredWh
	if b.twoWell() {
		s.AvailableWh *= b.Bank.WellFraction
	}
	return s
}

// Span runs the hours from (included) to to (excluded), beginning in state s,
// adds what happened to t and returns the state at the end. It keeps nothing
// else and allocates nothing. Spans joined end to end give the same numbers
// as [Run] over the whole, to the last bit.
func (b Bus) Span(in *Input, s State, from, to int, t *Tally) State {
	p := b.ready(in)
	return p.span(in, s, from, to, t, nil)
}

// Tallies runs the whole of in for each of the buses and returns a tally for
// each, the same as [Run] would give.
func Tallies(in *Input, buses []Bus) []Tally {
	ts := make([]Tally, len(buses))
	for i := range buses {
		buses[i].Span(in, buses[i].Start(), 0, in.Hours(), &ts[i])
	}
	return ts
}

// Meets reports whether two states are the same for all that follows, with
// charges equal to 1e-9 of the capacity.
func (s State) Meets(o State, capacityWh float64) bool {
	tolerance := socTolerance * capacityWh
	return math.Abs(s.StoredWh-o.StoredWh) <= tolerance &&
		math.Abs(s.AvailableWh-o.AvailableWh) <= tolerance &&
		math.Abs(s.FlexibleWh-o.FlexibleWh) <= tolerance &&
		math.Abs(s.WeeklyWh-o.WeeklyWh) <= tolerance &&
		s.Off == o.Off && s.GeneratorH == o.GeneratorH
}

// span runs hours: it adds to t and, if y is not nil, keeps each hour in y,
// whose slices hold zeros before.
func (p *ready) span(in *Input, s State, from, to int, t *Tally, y *Year) State {
	if from >= to {
		return s
	}
	if t.Hours == 0 {
		t.MinSoC = math.Inf(1)
	}
	t.Hours += to - from
	if f, ok := in.single(); ok {
		s = p.hours(in, flows{f.dumped[from:to], f.throttled[from:to]}, s, from, to, t, y)
	} else {
		s = p.manySources(in, s, from, to, t, y)
	}
	p.derive(t)
	return s
}

// manySources adds the sources up, some hours at a time, and runs these.
func (p *ready) manySources(in *Input, s State, from, to int, t *Tally, y *Year) State {
	var sums [2][256]float64
	for from < to {
		n := min(to-from, len(sums[0]))
		f := flows{sums[0][:n], sums[1][:n]}
		in.addUp(f, from)
		s = p.hours(in, f, s, from, from+n, t, y)
		from += n
	}
	return s
}

// derive works out what follows from the sums.
func (p *ready) derive(t *Tally) {
	t.ServedWh = t.DemandWh - t.UnmetWh
	t.LostWh = t.leakWh + (1-p.inEff)*t.BankInWh + (p.perOut-1)*t.BankOutWh
	if p.gen != nil {
		t.FuelL = p.gen.FuelIdleLH*float64(t.GeneratorHours) + p.gen.FuelLPerKWh*t.GeneratorWh/1000
	}
}

package sim

// UnmetHours runs the whole of in for each of the buses and counts the unmet
// hours alone, the same as [Run] would; over is how many of them, on any bus, are
// hours of more than the inverter can carry.
//
// Plain buckets go through the hours together: each waits for its own charge of
// the hour before, and while one waits the others are worked out. What only
// sorts out what is left over, flexible loads and the dump load, is not done.
// Two wells, generators, disconnects and cold go one by one.
func UnmetHours(in *Input, buses []Bus) (unmet []int, over int) {
	unmet = make([]int, len(buses))
	var lanes []lane
	for i := range buses {
		b := &buses[i]
		if b.Generator != nil || b.twoWell() || in.BankC != nil || b.Bank.CapacityWh > 0 && b.Bank.ReconnectSoC > 0 {
			var t Tally
			b.Span(in, b.Start(), 0, in.Hours(), &t)
			unmet[i] = t.UnmetHours
			continue
		}
		p := b.ready(in)
		lanes = append(lanes, lane{
			stored: b.Start().StoredWh, capWh: p.capWh, floorWh: p.floorWh, keep: p.keep,
			maxInW: p.maxInW, perIn: p.perIn, inEff: p.inEff, maxOutW: p.maxOutW, outEff: p.outEff, perOut: p.perOut, bus: i,
		})
	}
	for _, w := range in.OverW {
		if w > UnmetThresholdW {
			over++
		}
	}
	together(in, lanes)
	for i := range lanes {
		unmet[lanes[i].bus] = lanes[i].hours
	}
	return unmet, over
}

// lane is a bucket on its way through the hours.
type lane struct {
	stored, capWh, floorWh, keep                  float64
	maxInW, perIn, inEff, maxOutW, outEff, perOut float64
	hours, bus                                    int
}

// together takes the lanes through the hours; each does what the loop of
// [ready.hours] does, step by step.
func together(in *Input, lanes []lane) {
	f := in.flows()
	for h, demand := range in.DemandW {
		hydro, pv, firm := f.dumped[h], f.throttled[h], demand
		if in.OverW != nil {
			firm -= in.OverW[h]
		}
		beyond := demand - firm
		net := hydro + pv - firm
		if net >= 0 {
			left := net
			if hydro >= firm {
				left = (hydro - firm) + pv
			}
			for i := range lanes {
				l := &lanes[i]
				stored := l.stored * l.keep
				into := maximum(0, minimum(l.maxInW, (l.capWh-stored)*l.perIn))
				if left < into {
					into = left
				}
				stored += into * l.inEff
				if stored > l.capWh {
					stored = l.capWh
				}
				l.stored = stored
			}
			if beyond > UnmetThresholdW {
				for i := range lanes {
					lanes[i].hours++
				}
			}
			continue
		}
		short := -net
		for i := range lanes {
			l := &lanes[i]
			stored := l.stored * l.keep
			out := maximum(0, minimum(l.maxOutW, (stored-l.floorWh)*l.outEff))
			if short < out {
				out = short
			}
			if short-out+beyond > UnmetThresholdW {
				l.hours++
			}
			draw := out * l.perOut
			stored -= draw
			if draw > 0 {
				if stored < l.floorWh {
					stored = l.floorWh
				}
			} else if stored > l.capWh {
				stored = l.capWh
			}
			l.stored = stored
		}
	}
}

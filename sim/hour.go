package sim

// flows is where the energy of one hour went, in W at the bus.
type flows struct {
	unmet, flexible         float64
	in, out, gen            float64
	dump, overDump, curtail float64
	leakWh                  float64 // lost in the bank to self-discharge
}

// hour moves the bus one hour on, from state s: hour h of the run. It is the
// formula of the whole package, written plainly; see the package comment for
// the order in which the energy is given out.
func (p *ready) hour(in *Input, h int, s *State, f *flows) {
	demand, hydro, pv := in.DemandW[h], in.HydroW[h], in.PVW[h]
	if in.BankC != nil {
		p.setTemp(in.BankC[h])
	}
	flexW := 0.0
	if in.FlexibleW != nil {
		if h%24 == 0 {
			s.FlexibleWh = in.FlexibleWh[h/24]
		}
		flexW = least(in.FlexibleW[h], s.FlexibleWh)
	}

	// Does the generator run from the start of this hour, and is the
	// disconnect open?
	running := p.gen != nil && p.runs(h, s)
	if s.Off && (s.StoredWh >= p.reconnectWh || running) {
		s.Off = false // a running generator carries the house by itself
	}
	firm := demand
	if in.OverW != nil {
		firm -= in.OverW[h] // the inverter cannot carry it
	}
	if s.Off {
		firm = 0
	}

	// What the bank could take and give, as a mean over the hour.
	leakWh := s.StoredWh * p.leak
	stored := s.StoredWh - leakWh
	available := s.AvailableWh * p.keep
	room, give := p.capWh-stored, stored-p.floorWh
	if p.twoWell {
		room = least(room, p.well.MaxFill(available, stored, p.capWh))
		give = least(give, p.well.MaxDraw(available, stored))
	}
	maxIn := most(0, least(p.maxInW, room*p.perIn))
	maxOut := most(0, least(p.maxOutW, give*p.outEff))

	// Give the energy out.
	var bankIn, bankOut, gen, flexible, dump, overDump, curtail, short float64
	if net := hydro + pv - firm; net >= 0 {
		hydroLeft, pvLeft := hydro-firm, pv
		if hydroLeft < 0 {
			hydroLeft, pvLeft = 0, net
		}
		bankIn = least(hydroLeft+pvLeft, maxIn)
		flexible = least(hydroLeft+pvLeft-bankIn, flexW)
		taken := bankIn + flexible
		if hydroLeft > taken {
			dump = least(hydroLeft-taken, p.dumpW)
			overDump = hydroLeft - taken - dump
			curtail = pvLeft
		} else {
			curtail = most(0, pvLeft-(taken-hydroLeft))
		}
		if running {
			gen = least(p.gen.RatedW, maxIn-bankIn)
			bankIn += gen
		}
	} else {
		short = -net
		if running {
			gen = least(p.gen.RatedW, short)
			short -= gen
		}
		if short > 0 {
			bankOut = least(short, maxOut)
			short -= bankOut
			if short > UnmetThresholdW && p.gen != nil && !running && !p.quiet(h) {
				running = true
				gen = least(p.gen.RatedW, short)
				short -= gen
			}
		} else if running {
			bankIn = least(p.gen.RatedW-gen, maxIn)
			gen += bankIn
		}
	}
	f.unmet = short + (demand - firm)
	f.in, f.out, f.gen, f.flexible = bankIn, bankOut, gen, flexible
	f.dump, f.overDump, f.curtail, f.leakWh = dump, overDump, curtail, leakWh

	// The bank's new charge. Its limits can be missed by a rounding only.
	draw := bankOut*p.perOut - bankIn*p.inEff
	s.StoredWh = stored - draw
	if bankOut > 0 && s.StoredWh < p.floorWh {
		s.StoredWh = p.floorWh
	}
	if s.StoredWh > p.capWh {
		s.StoredWh = p.capWh
	}
	s.AvailableWh = s.StoredWh
	if p.twoWell {
		s.AvailableWh = most(0, p.well.Next(available, stored, draw))
	}

	if p.reconnectWh > 0 && s.StoredWh <= p.offWh {
		s.Off = true
	}
	if running {
		s.GeneratorH++
	} else {
		s.GeneratorH = 0
	}
	s.FlexibleWh -= flexible
}

// runs reports whether the generator runs from the start of hour h.
func (p *ready) runs(h int, s *State) bool {
	if p.quiet(h) {
		return false
	}
	if s.GeneratorH > 0 {
		return s.GeneratorH < p.gen.MinRunH || s.StoredWh < p.stopWh
	}
	return s.StoredWh <= p.startWh
}

// least and most are min and max without their care for NaN and signed zero,
// which costs a hot loop a third of its time. NaN is found by the books.
func least(a, b float64) float64 {
	if b < a {
		return b
	}
	return a
}

func most(a, b float64) float64 {
	if b > a {
		return b
	}
	return a
}

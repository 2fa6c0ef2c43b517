package sim

// flows is where the energy of one hour went, in W at the bus.
type flows struct {
	served, unmet, flexible float64
	in, out, gen            float64
	dump, overDump, curtail float64
	leakWh                  float64 // lost in the bank to self-discharge
}

// hour moves the bus one hour on: hour h of the run, from state s. It is the
// formula of the whole package, written plainly; see the package comment for
// the order in which the energy is given out.
func (p *ready) hour(in *Input, h int, s State) (State, flows) {
	var f flows
	demand, hydro, pv := in.DemandW[h], in.HydroW[h], in.PVW[h]
	if in.BankC != nil {
		p.setTemp(in.BankC[h])
	}
	flexW := 0.0
	if in.FlexibleW != nil {
		if h%24 == 0 {
			s.FlexibleWh = in.FlexibleWh[h/24]
		}
		flexW = min(in.FlexibleW[h], s.FlexibleWh)
	}

	// Does the generator run from the start of this hour, and is the
	// disconnect open?
	running := false
	if p.gen != nil {
		quiet := p.quiet(h)
		if s.GeneratorH > 0 {
			running = !quiet && (s.GeneratorH < p.gen.MinRunH || s.StoredWh < p.stopWh)
		} else {
			running = !quiet && s.StoredWh <= p.startWh
		}
	}
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
	f.leakWh = s.StoredWh * p.leak
	s.StoredWh -= f.leakWh
	s.AvailableWh *= p.keep
	room, give := p.capWh-s.StoredWh, s.StoredWh-p.floorWh
	if p.twoWell {
		room = min(room, p.well.MaxFill(s.AvailableWh, s.StoredWh, p.capWh))
		give = min(give, p.well.MaxDraw(s.AvailableWh, s.StoredWh))
	}
	maxIn := max(0, min(p.maxInW, room*p.perIn))
	maxOut := max(0, min(p.maxOutW, give*p.outEff))

	net := hydro + pv - firm
	if net >= 0 {
		hydroLeft, pvLeft := hydro-firm, pv
		if hydroLeft < 0 {
			hydroLeft, pvLeft = 0, net
		}
		f.served = firm
		f.in = min(hydroLeft+pvLeft, maxIn)
		f.flexible = min(hydroLeft+pvLeft-f.in, flexW)
		taken := f.in + f.flexible
		if hydroLeft > taken {
			f.dump = min(hydroLeft-taken, p.dumpW)
			f.overDump = hydroLeft - taken - f.dump
			f.curtail = pvLeft
		} else {
			f.curtail = max(0, pvLeft-(taken-hydroLeft))
		}
		if running {
			f.gen = min(p.gen.RatedW, maxIn-f.in)
			f.in += f.gen
		}
	} else {
		short := -net
		if running {
			f.gen = min(p.gen.RatedW, short)
			short -= f.gen
		}
		if short > 0 {
			f.out = min(short, maxOut)
			short -= f.out
			if short > UnmetThresholdW && p.gen != nil && !running && !p.quiet(h) {
				running = true
				f.gen = min(p.gen.RatedW, short)
				short -= f.gen
			}
		} else if running {
			f.in = min(p.gen.RatedW-f.gen, maxIn)
			f.gen += f.in
		}
		f.served = firm - short
	}
	f.unmet = demand - f.served

	// The bank's new charge.
	draw := f.out*p.perOut - f.in*p.inEff
	if p.twoWell {
		s.AvailableWh = max(0, p.well.Next(s.AvailableWh, s.StoredWh, draw))
	}
	s.StoredWh -= draw
	if f.out > 0 && s.StoredWh < p.floorWh {
		s.StoredWh = p.floorWh // by a rounding
	}
	if s.StoredWh > p.capWh {
		s.StoredWh = p.capWh // by a rounding
	}
	if !p.twoWell {
		s.AvailableWh = s.StoredWh
	}

	if p.reconnectWh > 0 && s.StoredWh <= p.offWh {
		s.Off = true
	}
	if running {
		s.GeneratorH++
	} else {
		s.GeneratorH = 0
	}
	s.FlexibleWh -= f.flexible
	return s, f
}

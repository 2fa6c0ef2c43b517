package sim

// plain reports whether the hours of a run need nothing but the bucket's
// arithmetic: no second well, no generator, no disconnect, and nothing that
// changes from hour to hour besides sources and demand.
func (p *ready) plain(in *Input) bool {
	return !p.twoWell && p.gen == nil && p.reconnectWh == 0 &&
		in.OverW == nil && in.FlexibleW == nil && in.BankC == nil
}

// bucketSpan is [ready.span] for a plain run: the arithmetic of [ready.hour]
// with what is always zero left out, in one loop on local numbers. Sums gain
// only what is not zero, which gives the same bits.
func (p *ready) bucketSpan(in *Input, s State, from, to int, t *Tally, y *Year) State {
	n := to - from
	pvW, hydroW, demandW := in.PVW[from:to], in.HydroW[from:to], in.DemandW[from:to]
	pvW, hydroW, demandW = pvW[:n], hydroW[:n], demandW[:n]
	stored := s.StoredWh
	least := p.capWh
	low := 0
	c := *t
	for i, demand := range demandW {
		hydro, pv := hydroW[i], pvW[i]
		c.PVWh += pv
		c.HydroWh += hydro
		c.DemandWh += demand
		leakWh := stored * p.leak
		c.leakWh += leakWh
		stored -= leakWh
		if net := hydro + pv - demand; net >= 0 {
			hydroLeft, pvLeft := hydro-demand, pv
			if hydroLeft < 0 {
				hydroLeft, pvLeft = 0, net
			}
			left := hydroLeft + pvLeft
			in := left
			if in > p.maxInW {
				in = p.maxInW
			}
			if room := (p.capWh - stored) * p.perIn; in > room {
				in = room
			}
			c.BankInWh += in
			stored += in * p.inEff
			if stored > p.capWh {
				stored = p.capWh
			}
			if y != nil {
				y.BankInW[from+i] = in
				y.ServedW[from+i] = demand
			}
			if in < left {
				if hydroLeft > in {
					dump := hydroLeft - in
					if dump > p.dumpW {
						dump = p.dumpW
					}
					over := hydroLeft - in - dump
					c.DumpWh += dump
					c.OverDumpWh += over
					if over > UnmetThresholdW {
						c.HazardHours++
					}
					c.CurtailedWh += pvLeft
					if y != nil {
						y.DumpW[from+i] = dump
						y.OverDumpW[from+i] = over
						y.CurtailedW[from+i] = pvLeft
					}
				} else {
					curtail := pvLeft - (in - hydroLeft)
					if curtail < 0 {
						curtail = 0
					}
					c.CurtailedWh += curtail
					if y != nil {
						y.CurtailedW[from+i] = curtail
					}
				}
			}
		} else {
			short := -net
			out := short
			if out > p.maxOutW {
				out = p.maxOutW
			}
			if give := (stored - p.floorWh) * p.outEff; out > give {
				out = give
				if out < 0 {
					out = 0
				}
			}
			short -= out
			c.BankOutWh += out
			stored -= out * p.perOut
			if out > 0 && stored < p.floorWh {
				stored = p.floorWh
			}
			if short > 0 {
				c.UnmetWh += short
				if short > UnmetThresholdW {
					c.UnmetHours++
				}
			}
			if y != nil {
				y.BankOutW[from+i] = out
				y.UnmetW[from+i] = short
				y.ServedW[from+i] = most(0, demand-short)
			}
		}
		if stored < p.comfortWh {
			low++
		}
		if stored < least {
			least = stored
		}
		if y != nil {
			y.StoredWh[from+i] = stored
			y.SoC[from+i] = stored * p.invCap
		}
	}
	c.LowHours += low
	if n > 0 && least*p.invCap < c.MinStoredSoC {
		c.MinStoredSoC = least * p.invCap
	}
	*t = c
	return State{StoredWh: stored, AvailableWh: stored}
}

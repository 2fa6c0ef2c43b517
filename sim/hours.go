package sim

// hours is the loop over the hours, with everything that can stand at a
// bus. Where a quantity is zero for sure, it is neither added to its sum nor
// put into its slice. If the balance of an hour does not close, p.badHour tells.
//
// It is one long function on purpose: the state stays in registers from hour to
// hour. The same hour, written as a plain step, is in reference_test.go.
//
// f are the flows of the hours from from to to alone; dumped ones are what the
// hour calls hydro, throttled ones pv.
func (p *ready) hours(in *Input, f flows, s State, from, to int, t *Tally, y *Year) State {
	pvW, hydroW, demandW := f.throttled[:to-from], f.dumped[:to-from], in.DemandW[from:to]
	overW, flexibleW, weeklyW, bankC := in.OverW, in.FlexibleW, in.WeeklyW, in.BankC
	stored, available := s.StoredWh, s.AvailableWh
	gen := p.gen
	lowest := p.capWh
	off, genH := s.Off, s.GeneratorH
	c := *t
	// parts: there is more to an hour's beginning than sources and demand.
	parts := bankC != nil || flexibleW != nil || overW != nil || gen != nil || p.reconnectWh > 0
	if !(stored >= 0 && stored <= p.capWh) && p.badHour < 0 {
		p.badHour = from // from here on it is kept within
	}
	served, missed, into, outOf, store, soc := demandW, demandW, demandW, demandW, demandW, demandW // not written without y
	if y != nil {
		served, missed, into, outOf = y.ServedW[from:to], y.UnmetW[from:to], y.BankInW[from:to], y.BankOutW[from:to]
		store, soc = y.StoredWh[from:to], y.SoC[from:to]
	}
	n := len(demandW) // so that no index has to be checked
	pvW, hydroW, served, missed, into, outOf, store, soc = pvW[:n], hydroW[:n], served[:n], missed[:n], into[:n], outOf[:n], store[:n], soc[:n]
	for i, demand := range demandW {
		h, hydro, pv := from+i, hydroW[i], pvW[i]
		c.DemandWh += demand

		firm := demand
		running, wasOff := false, off
		if parts {
			if bankC != nil {
				p.setTemp(bankC[h])
			}
			if flexibleW != nil && h%24 == 0 {
				s.FlexibleWh = in.FlexibleWh[h/24]
				if weeklyW != nil && h%168 == 0 {
					s.WeeklyWh = in.WeeklyWh[h/168]
				}
			}
			if gen != nil {
				running = p.runs(h, genH, off, stored)
			}
			if off && (stored >= p.reconnectWh || running) {
				off = false // a running generator carries the house by itself
			}
			if overW != nil {
				over := overW[h]
				firm -= over // the inverter cannot carry it
				if over > UnmetThresholdW {
					c.OverHours++
				}
			}
			if off {
				firm = 0
			}
		}

		before := stored
		c.leakWh += stored * p.leak
		stored *= p.keep
		idle := 0.0 // in the available well at the hour's end if nothing is drawn
		if p.twoWell {
			idle = p.well.Idle(available*p.keep, stored)
		}

		var bankIn, bankOut, genW, unmet float64
		rest := 0.0 // to flexible loads, dumped and curtailed
		if net := hydro + pv - firm; net >= 0 {
			hydroLeft, pvLeft := hydro-firm, pv
			if hydroLeft < 0 {
				hydroLeft, pvLeft = 0, net
			}
			left := hydroLeft + pvLeft
			maxIn := p.accept(stored, idle)
			bankIn = minimum(left, maxIn)
			if bankIn < left {
				taken := bankIn
				if flexibleW != nil {
					flexible := minimum(minimum(flexibleW[h], s.FlexibleWh), left-bankIn)
					s.FlexibleWh -= flexible
					if weeklyW != nil && s.WeeklyWh > 0 {
						weekly := minimum(minimum(weeklyW[h], s.WeeklyWh), minimum(in.TogetherW[h]-flexible, left-bankIn-flexible))
						s.WeeklyWh -= weekly
						flexible += weekly
					}
					taken += flexible
					rest = flexible
					c.FlexibleWh += flexible
					if y != nil {
						y.FlexibleW[h] = flexible
					}
				}
				curtail := pvLeft
				if hydroLeft > taken {
					dump := minimum(hydroLeft-taken, p.dumpW)
					overDump := hydroLeft - taken - dump
					rest += dump + overDump
					c.DumpWh += dump
					c.OverDumpWh += overDump
					if overDump > UnmetThresholdW {
						c.HazardHours++
					}
					if y != nil {
						y.DumpW[h], y.OverDumpW[h] = dump, overDump
					}
				} else {
					curtail = maximum(0, pvLeft-(taken-hydroLeft))
				}
				rest += curtail
				c.CurtailedWh += curtail
				if y != nil {
					y.CurtailedW[h] = curtail
				}
			}
			if running {
				genW = minimum(gen.RatedW, maxIn-bankIn)
				bankIn += genW
			}
			c.BankInWh += bankIn
			unmet = demand - firm
		} else {
			short, empty := -net, false // empty: of charge, not of power
			if running {
				genW = minimum(gen.RatedW, short)
				short -= genW
			}
			if short > 0 {
				canGive := p.give(stored, idle)
				bankOut = minimum(short, canGive)
				short -= bankOut
				empty = canGive < p.maxOutW
				c.BankOutWh += bankOut
				if short > UnmetThresholdW && gen != nil && !running && !p.quiet(h) {
					running = true
					genW = minimum(gen.RatedW, short)
					short -= genW
				}
			} else if running {
				bankIn = minimum(gen.RatedW-genW, p.accept(stored, idle))
				genW += bankIn
				c.BankInWh += bankIn
			}
			if short > UnmetThresholdW && empty && p.reconnectWh > 0 {
				off = true // the voltage fell away under the load
			}
			unmet = short + (demand - firm)
		}

		// The bank's new charge. Its limits can be missed by a rounding only.
		draw := bankOut*p.perOut - bankIn*p.inEff
		if p.twoWell {
			available = maximum(0, p.well.Next(idle, draw))
		}
		stored -= draw
		if draw > 0 {
			if stored < p.floorWh {
				stored = p.floorWh
			}
		} else if stored > p.capWh {
			stored = p.capWh
		}
		if stored < p.comfortWh {
			c.LowHours++
		}
		if stored < lowest {
			lowest = stored
		}
		if unmet > 0 {
			c.UnmetWh += unmet
			if unmet > UnmetThresholdW {
				c.UnmetHours++
			}
		}
		if running && genW == 0 && !wasOff && (genH == 0 || genH >= gen.MinRunH) {
			running = false // nothing for it to do
		}
		if running {
			if genH == 0 {
				c.GeneratorStarts++
			}
			genH++
			c.GeneratorHours++
			c.GeneratorWh += genW
			if y != nil {
				y.GeneratorW[h] = genW
			}
		} else {
			genH = 0
		}
		if y == nil {
			continue
		}
		got := maximum(0, demand-unmet)
		served[i] = got
		missed[i] = unmet
		into[i] = bankIn
		outOf[i] = bankOut
		store[i] = stored
		soc[i] = stored * p.invCap

		// The energy balance of the hour: squares, since |a| + |b| is at most √(2(a² + b²)).
		// NaN fails these comparisons too.
		came := hydro + pv + genW + bankOut
		tolerance := balanceTolerance * (came + demand)
		bus, house, bank := came-(got+bankIn+rest), got+unmet-demand, before*p.keep-draw-stored
		if 2*(bus*bus+house*house) <= tolerance*tolerance && bank*bank <= (tolerance+p.toleranceWh)*(tolerance+p.toleranceWh) {
			continue
		}
		if p.badHour < 0 {
			p.badHour = h
		}
	}
	c.MinSoC = minimum(c.MinSoC, lowest*p.invCap)
	*t = c
	s.StoredWh, s.AvailableWh, s.Off, s.GeneratorH = stored, available, off, genH
	if !p.twoWell {
		s.AvailableWh = stored
	}
	return s
}

// accept returns the greatest power in W at the bus that the bank takes over
// the hour, from a charge after leaks; idle is what [storage.Kinetic.Idle]
// gives.
func (p *ready) accept(stored, idle float64) float64 {
	room := p.capWh - stored
	if p.twoWell {
		room = minimum(room, p.well.MaxFill(idle, p.wellWh))
	}
	return maximum(0, minimum(p.maxInW, room*p.perIn))
}

// give returns the greatest power in W at the bus that the bank gives over
// the hour, from a charge after leaks; idle is what [storage.Kinetic.Idle]
// gives.
func (p *ready) give(stored, idle float64) float64 {
	above := stored - p.floorWh
	if p.twoWell {
		above = minimum(above, p.well.MaxDraw(idle))
	}
	return maximum(0, minimum(p.maxOutW, above*p.outEff))
}

// runs reports whether the generator runs from the start of hour h, having
// run for so many hours. off tells that the disconnect is open.
func (p *ready) runs(h, hours int, off bool, stored float64) bool {
	if hours > 0 {
		return (hours < p.gen.MinRunH || stored < p.stopWh) && !p.quiet(h)
	}
	return (off && stored < p.reconnectWh || stored <= p.startWh) && !p.quiet(h)
}

// least and most are min and max without their care for NaN and signed zero,
// which costs a hot loop a third of its time. NaN is found by the balance.
func minimum(a, b float64) float64 {
	if b < a {
		return b
	}
	return a
}

func maximum(a, b float64) float64 {
	if b > a {
		return b
	}
	return a
}

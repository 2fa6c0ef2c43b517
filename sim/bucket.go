package sim

import "math"

// plain reports whether the hours of a run need nothing but the bucket's
// arithmetic: no second well, no generator, no disconnect, and nothing that
// changes from hour to hour besides sources and demand.
func (p *ready) plain(in *Input) bool {
	return !p.twoWell && p.gen == nil && p.reconnectWh == 0 &&
		in.OverW == nil && in.FlexibleW == nil && in.BankC == nil
}

// bucketSpan is [ready.fullSpan] for a plain run, with what is always zero left
// out.
func (p *ready) bucketSpan(in *Input, s State, from, to int, t *Tally, y *Year) State {
	n := to - from
	pvW, hydroW, demandW := in.PVW[from:to][:n], in.HydroW[from:to][:n], in.DemandW[from:to][:n]
	stored := s.StoredWh
	lowest := p.capWh
	low := 0
	c := *t
	for i, demand := range demandW {
		hydro, pv := hydroW[i], pvW[i]
		c.PVWh += pv
		c.HydroWh += hydro
		c.DemandWh += demand
		before := stored
		leakWh := stored * p.leak
		c.leakWh += leakWh
		stored -= leakWh
		var gain, off float64 // into the store; by how much the bus is off
		if net := hydro + pv - demand; net >= 0 {
			hydroLeft, pvLeft := hydro-demand, pv
			if hydroLeft < 0 {
				hydroLeft, pvLeft = 0, net
			}
			left := hydroLeft + pvLeft
			bankIn := left
			if bankIn > p.maxInW {
				bankIn = p.maxInW
			}
			if room := (p.capWh - stored) * p.perIn; bankIn > room {
				bankIn = room
			}
			c.BankInWh += bankIn
			gain = bankIn * p.inEff
			rest := 0.0
			if bankIn < left {
				curtail := pvLeft
				if hydroLeft > bankIn {
					dump := hydroLeft - bankIn
					if dump > p.dumpW {
						dump = p.dumpW
					}
					overDump := hydroLeft - bankIn - dump
					c.DumpWh += dump
					c.OverDumpWh += overDump
					if overDump > UnmetThresholdW {
						c.HazardHours++
					}
					rest = dump + overDump
					if y != nil {
						y.DumpW[from+i] = dump
						y.OverDumpW[from+i] = overDump
					}
				} else {
					curtail = pvLeft - (bankIn - hydroLeft)
					if curtail < 0 {
						curtail = 0
					}
				}
				c.CurtailedWh += curtail
				rest += curtail
				if y != nil {
					y.CurtailedW[from+i] = curtail
				}
			}
			if y != nil {
				y.ServedW[from+i] = demand
				y.BankInW[from+i] = bankIn
				off = math.Abs(hydro + pv - (demand + bankIn + rest))
			}
		} else {
			unmet := -net
			bankOut := unmet
			if bankOut > p.maxOutW {
				bankOut = p.maxOutW
			}
			if give := (stored - p.floorWh) * p.outEff; bankOut > give {
				bankOut = give
				if bankOut < 0 {
					bankOut = 0
				}
			}
			c.BankOutWh += bankOut
			gain = -bankOut * p.perOut
			unmet -= bankOut
			c.UnmetWh += unmet
			if unmet > UnmetThresholdW {
				c.UnmetHours++
			}
			if y != nil {
				served := most(0, demand-unmet)
				y.ServedW[from+i] = served
				y.UnmetW[from+i] = unmet
				y.BankOutW[from+i] = bankOut
				off = math.Abs(hydro+pv+bankOut-served) + math.Abs(served+unmet-demand)
			}
		}
		stored += gain
		if gain < 0 && stored < p.floorWh {
			stored = p.floorWh // by a rounding
		}
		if stored > p.capWh {
			stored = p.capWh // by a rounding
		}
		if stored < p.comfortWh {
			low++
		}
		if stored < lowest {
			lowest = stored
		}
		if y == nil {
			continue
		}
		y.StoredWh[from+i] = stored
		y.SoC[from+i] = stored * p.invCap
		slack := balanceSlack * (hydro + pv + demand)
		if off <= slack && math.Abs(before*p.keep+gain-stored) <= slack+p.slackWh && stored >= 0 && stored <= p.capWh {
			continue
		}
		if p.badHour < 0 {
			p.badHour = from + i
		}
	}
	c.LowHours += low
	c.MinStoredSoC = least(c.MinStoredSoC, lowest*p.invCap)
	*t = c
	return State{StoredWh: stored, AvailableWh: stored}
}

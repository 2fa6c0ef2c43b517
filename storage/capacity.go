package storage

// Scaled returns a bank of the same kind with another capacity: the power
// limits grow with it, everything else stays. From a bank of no capacity there
// is nothing to scale: its limits stay as they are.
func (b Bank) Scaled(capacityWh float64) Bank {
	if b.CapacityWh > 0 {
		b.MaxChargeW *= capacityWh / b.CapacityWh
		b.MaxDischargeW *= capacityWh / b.CapacityWh
	}
	b.CapacityWh = capacityWh
	return b
}

// CapacityFraction returns the usable capacity at a temperature as a fraction of the
// rated, by straight lines between the points of CapacityByTemp and level
// beyond them; 1 without points.
func (b *Bank) CapacityFraction(tempC float64) float64 {
	p := b.CapacityByTemp
	if len(p) == 0 {
		return 1
	}
	if tempC <= p[0].TempC {
		return p[0].Fraction
	}
	for i := 1; i < len(p); i++ {
		if tempC <= p[i].TempC {
			w := (tempC - p[i-1].TempC) / (p[i].TempC - p[i-1].TempC)
			return p[i-1].Fraction + w*(p[i].Fraction-p[i-1].Fraction)
		}
	}
	return p[len(p)-1].Fraction
}

// FloorAt returns the SoC below which the bank gives nothing at a
// temperature:
//
//	max(floor, 1 - share (1 - floor))
//
// so that the usable part above the floor shrinks to the fraction of its rated
// size that the cold leaves. Warmth beyond 25 °C adds nothing.
func (b *Bank) FloorAt(tempC float64) float64 {
	f := 1 - b.CapacityFraction(tempC)*(1-b.FloorSoC)
	if f < b.FloorSoC {
		return b.FloorSoC
	}
	return f
}

// ChargeLimitAt returns the greatest power in W at the bus that the bank may
// be charged with at a temperature: MaxChargeW, or less by ChargeByTemp, and
// nothing below ChargeAboveC.
func (b *Bank) ChargeLimitAt(tempC float64) float64 {
	if !(tempC >= b.ChargeAboveC) {
		return 0
	}
	limit := b.MaxChargeW
	steps := b.ChargeByTemp
	for i := len(steps) - 1; i >= 0; i-- {
		if tempC >= steps[i].FromC || i == 0 {
			if w := steps[i].PerHour * b.CapacityWh; w < limit {
				limit = w
			}
			break
		}
	}
	return limit
}

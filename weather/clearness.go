package weather

import "math"

// Clearness is how the clearness of a month's days, their radiation over that
// outside the air, is spread about its mean: the law of [BCR],
//
//	F(K) = (e^(γK) − e^(γ Floor)) / (e^(γ Top) − e^(γ Floor))
//
// for the share F of days that are darker than K. γ, in Slope, is what gives
// the month its mean: negative in dull months, positive in clear ones. So a
// month in the middle has dark and clear days alike.
type Clearness struct {
	Floor, Top float64 // of the darkest and of the clearest day
	Slope      float64

	steep float64 // e^(−|Slope| (Top − Floor))
}

const evenSlope = 1e-4 // below it the days are spread evenly

// clearnessOf returns the spread of a month of the given mean clearness, its
// slope not found yet. Top is that of [BCR]; their floor of 0.05 is kept in dull
// months and rises in clear ones.
func (l *law) clearnessOf(mean float64) Clearness {
	var c Clearness
	c.Floor = l.floor + l.floorRise*math.Max(0, mean-middleClearness)
	c.Floor = math.Min(c.Floor, mean/3) // a month darker than any that they saw
	c.Top = 0.6313 + 0.267*mean - 11.9*math.Pow(mean-0.75, 8)
	c.Top = math.Max(c.Top, mean+0.05) // no sky was seen that asks for it
	return c.sloped(0)
}

func (c Clearness) sloped(slope float64) Clearness {
	c.Slope = slope
	c.steep = math.Exp(-math.Abs(slope) * (c.Top - c.Floor))
	return c
}

// At returns the clearness that a share u of the days, 0 to 1, is darker than.
func (c *Clearness) At(u float64) float64 {
	switch {
	case c.Slope > evenSlope:
		return c.Top + math.Log(u+(1-u)*c.steep)/c.Slope
	case c.Slope < -evenSlope:
		return c.Floor + math.Log(1-u+u*c.steep)/c.Slope
	}
	return c.Floor + u*(c.Top-c.Floor)
}

// meeting returns c with the slope at which what rises with it is want; where
// none is, the steepest tried.
func (c Clearness) meeting(want float64, rising func(c *Clearness) float64) Clearness {
	at := func(slope float64) float64 {
		d := c.sloped(slope)
		return rising(&d) - want
	}
	const steepest = 1e6
	lo, hi := -4.0, 4.0
	low, high := at(lo), at(hi)
	for low > 0 && lo > -steepest {
		hi, high = lo, low
		lo *= 4
		low = at(lo)
	}
	for high < 0 && hi < steepest {
		lo, low = hi, high
		hi *= 4
		high = at(hi)
	}
	switch {
	case low >= 0:
		return c.sloped(lo)
	case high <= 0:
		return c.sloped(hi)
	}
	// False position, halving what stands still (the Illinois rule).
	side := 0
	for range 60 {
		x := (lo*high - hi*low) / (high - low)
		y := at(x)
		if math.Abs(y) <= 1e-6*math.Abs(want) {
			return c.sloped(x)
		}
		if y < 0 {
			lo, low = x, y
			if side < 0 {
				high /= 2
			}
			side = -1
		} else {
			hi, high = x, y
			if side > 0 {
				low /= 2
			}
			side = 1
		}
	}
	return c.sloped((lo + hi) / 2)
}

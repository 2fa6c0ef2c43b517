package loads

// Draw returns the power in W that the inverter takes from the bus to give
// acW to the house, up to its rating and beyond it at the full-load
// efficiency.
//
// Without efficiency points it is the two-number model of [Murphy],
//
//	idle + ac / efficiency
//
// with the marginal efficiency. With points the losses are drawn through them
// and through the idle draw at no load: through three known values as the
// parabola of [SS],
//
//	loss = s + v p + r p²
//
// in shares of the rating, through any other number, or where the parabola
// would dip below zero, as straight lines. With Standby nothing is drawn while
// nothing is asked.
func (inv Inverter) Draw(acW float64) float64 {
	c := inv.curve()
	return c.draw(acW)
}

// EfficiencyAt returns the inverter's efficiency at an output, idle draw
// included; 0 at no output.
func (inv Inverter) EfficiencyAt(acW float64) float64 {
	if acW <= 0 {
		return 0
	}
	return acW / inv.Draw(acW)
}

// curve is an inverter made ready for many hours.
type curve struct {
	ratedW, idleW  float64
	standby        bool
	perW           float64 // without points: bus W per AC W
	fullPerW       float64 // with points: bus W per AC W at full load
	fraction, loss []float64
	parabola       bool
	s, v, r        float64
}

func (inv Inverter) curve() curve {
	c := curve{ratedW: inv.RatedW, idleW: inv.IdleW, standby: inv.Standby}
	if len(inv.Points) == 0 || inv.RatedW <= 0 {
		c.perW = 1 / inv.Efficiency
		c.fullPerW = c.perW
		return c
	}
	if inv.IdleW > 0 {
		c.fraction, c.loss = append(c.fraction, 0), append(c.loss, inv.IdleW/inv.RatedW)
	}
	for _, p := range inv.Points {
		c.fraction, c.loss = append(c.fraction, p.Fraction), append(c.loss, p.Fraction/p.Efficiency-p.Fraction)
	}
	if len(c.fraction) == 3 {
		c.s, c.v, c.r = parabola(c.fraction, c.loss)
		c.parabola = c.s >= 0 && c.r >= 0 && c.lowest() >= 0
	}
	if !c.parabola && c.fraction[0] > 0 {
		c.fraction, c.loss = append([]float64{0}, c.fraction...), append([]float64{0}, c.loss...)
	}
	c.fullPerW = 1 + c.lossAt(1)
	return c
}

// parabola returns s, v and r of y = s + v x + r x² through three points.
func parabola(x, y []float64) (s, v, r float64) {
	d01 := (y[1] - y[0]) / (x[1] - x[0])
	d12 := (y[2] - y[1]) / (x[2] - x[1])
	r = (d12 - d01) / (x[2] - x[0])
	v = d01 - r*(x[0]+x[1])
	s = y[0] - x[0]*(v+r*x[0])
	return s, v, r
}

// lowest returns the least loss of the parabola between no load and full load.
func (c *curve) lowest() float64 {
	p := 0.0
	if c.r > 0 {
		p = min(1, max(0, -c.v/(2*c.r)))
	}
	return c.s + p*(c.v+p*c.r)
}

// lossAt returns the loss at a fraction of the rating, as a fraction of the rating.
func (c *curve) lossAt(p float64) float64 {
	if c.parabola {
		return c.s + p*(c.v+p*c.r)
	}
	i, last := 1, len(c.fraction)-1
	for i < last && p > c.fraction[i] {
		i++
	}
	if p > c.fraction[last] || last == 0 {
		return c.loss[last] * p / c.fraction[last] // the last efficiency holds on
	}
	w := (p - c.fraction[i-1]) / (c.fraction[i] - c.fraction[i-1])
	return c.loss[i-1] + w*(c.loss[i]-c.loss[i-1])
}

func (c *curve) draw(acW float64) float64 {
	if acW <= 0 && c.standby {
		return 0
	}
	if c.fraction == nil {
		return c.idleW + acW*c.perW
	}
	if acW > c.ratedW {
		return c.ratedW*c.fullPerW + (acW-c.ratedW)*c.fullPerW
	}
	return acW + c.ratedW*c.lossAt(acW/c.ratedW)
}

// over returns the part of draw(acW) that is beyond the rating.
func (c *curve) over(acW float64) float64 {
	if c.ratedW <= 0 || acW <= c.ratedW {
		return 0
	}
	return (acW - c.ratedW) * c.fullPerW
}

package sizing

// Autonomy is the reckoning by days of autonomy: the bank carries the house
// for so many days without any source. Energy or charge may be in Wh or Ah,
// the result is in the same. Ref: [IEEE 1013]. It holds for banks that panels
// alone charge: where a creek runs, the deficits of the hourly years say more.
type Autonomy struct {
	Daily      float64 // used in a day
	Days       float64
	MaxDepth   float64 // greatest depth of discharge, 0 to 1
	DailyDepth float64 // greatest depth in a day, 0 to 1; 0: not looked at
	EndOfLife  float64 // share of the capacity left when the bank counts as worn out; 0: not looked at
	TempFactor float64 // share of the rated capacity left at the lowest temperature; 0 means 1
	Margin     float64 // design margin, 1.1 to 1.25 by common practice; 0 means 1
}

// Candidates returns the capacity by each of the three criteria, before
// temperature and margin: use over all days / greatest depth, use of a day /
// daily depth, use over all days / end of life. A criterion that is not looked
// at gives 0.
func (a Autonomy) Candidates() (depth, daily, endOfLife float64) {
	use := a.Daily * a.Days
	if a.MaxDepth > 0 {
		depth = use / a.MaxDepth
	}
	if a.DailyDepth > 0 {
		daily = a.Daily / a.DailyDepth
	}
	if a.EndOfLife > 0 {
		endOfLife = use / a.EndOfLife
	}
	return depth, daily, endOfLife
}

// Capacity returns the rated capacity: the largest candidate, over the
// temperature factor, times the margin.
func (a Autonomy) Capacity() float64 {
	c := max(a.Candidates())
	if a.TempFactor > 0 {
		c /= a.TempFactor
	}
	if a.Margin > 0 {
		c *= a.Margin
	}
	return c
}

// PanelSheet is a sizing sheet for panels as taught and traded: daily use,
// raised by a factor for all losses, over the sun hours of the design month.
type PanelSheet struct {
	DailyWh    float64 // used in a day
	LossFactor float64 // such as 1.3
	SunHours   float64 // kWh/m² a day on the panels, or a table's generation factor
}

// PanelW returns the panels' rated power in W.
func (p PanelSheet) PanelW() float64 { return p.DailyWh * p.LossFactor / p.SunHours }

package changeover

// Outcome is what a pair of dates comes to: of one year in whole numbers, of
// several as their mean.
type Outcome struct {
	UnmetHours   float64
	UnmetWh      float64
	LowHours     float64 // in which the bank is below its comfort charge
	FuelL        float64 // that the generator burns
	DryPipeStops float64
	Visits       float64 // walks to the turbine
	HydroDays    float64 // on which the turbine gives power
	OpenDays     float64 // on which the valve is open
}

// meanOf is the mean outcome of a pair a year.
func meanOf(tables []*Table, pairs []Pair) Outcome {
	var sum Outcome
	n := float64(len(tables))
	for y, t := range tables {
		o := t.Of(pairs[y])
		sum.UnmetHours += o.UnmetHours / n
		sum.UnmetWh += o.UnmetWh / n
		sum.LowHours += o.LowHours / n
		sum.FuelL += o.FuelL / n
		sum.DryPipeStops += o.DryPipeStops / n
		sum.Visits += o.Visits / n
		sum.HydroDays += o.HydroDays / n
		sum.OpenDays += o.OpenDays / n
	}
	return sum
}

// What makes no difference to a household, in the mean of a year.
const (
	sameHours = 1    // unmet hours
	sameFuelL = 2    // L of fuel, or
	sameFuel  = 0.01 // a share of it
)

// noMoreFuel returns the fuel in L that is as good as the least.
func noMoreFuel(minL float64) float64 { return minL + max(sameFuelL, sameFuel*minL) }

// Easier orders outcomes that are equally good in dark hours and fuel: fewest
// dry-pipe stops, then fewest visits, then fewest days with an open valve, then
// fewest hours below the comfort charge. It returns a number below 0 if o is
// better than p, above 0 if it is worse, and 0 if the two are equal.
func (o Outcome) Easier(p Outcome) int {
	for _, d := range [...]float64{
		o.DryPipeStops - p.DryPipeStops,
		o.Visits - p.Visits,
		o.OpenDays - p.OpenDays,
		o.LowHours - p.LowHours,
	} {
		if d < 0 {
			return -1
		}
		if d > 0 {
			return 1
		}
	}
	return 0
}

package loads

import "time"

// Appliance is one row of the household's list.
type Appliance struct {
	Name         string
	Watts        float64
	Count        float64
	HourFraction [24]float64 // fraction of each hour of the day that it runs, 0 to 1
	HoursPerDay  float64     // for "2.5/day": spread evenly; HourFraction is then that share in every hour
	Weekly       bool        // for "6/week": HoursPerDay is the week's hours over its days of use; a flexible need carries over within the week
	Days         [7]bool     // by time.Weekday
	Months       [13]bool    // by time.Month, 1 to 12
	DC           bool        // straight from the bus; else through the inverter
	Flexible     bool        // takes only what would be thrown away
}

// Inverter turns the bus's DC into the house's AC.
type Inverter struct {
	RatedW     float64 // 0: no limit
	IdleW      float64 // drawn from the bus as long as it is on
	Efficiency float64 // at full load, or the marginal efficiency; see Draw
	Points     []EfficiencyPoint
	Standby    bool // sleeps when nothing is asked of it
}

// EfficiencyPoint is a point of the part-load curve: share of rated output
// and efficiency, idle draw included.
type EfficiencyPoint struct{ Fraction, Efficiency float64 }

// Demand is what the house asks of the bus, hour by hour, in W.
type Demand struct {
	Start      time.Time
	BusW       []float64 // firm demand at the bus, over-rating part included
	OverW      []float64 // the part of BusW that the inverter cannot carry; nil: none
	FlexibleW  []float64 // greatest power that flexible loads with a need a day can take in the hour, at the bus; nil: no flexible loads
	FlexibleWh []float64 // their need of each day, at the bus, one value a day
	WeeklyW    []float64 // greatest power of the flexible loads with a need a week; nil: none
	WeeklyWh   []float64 // their need of each 7 days from Start, one value a week; the last may be a shorter one
	TogetherW  []float64 // greatest power of both together, which the inverter may limit; nil with WeeklyW
}

package loads

import (
	"math"
	"time"
)

// hoursOfDay is what a household asks on one kind of day.
type hoursOfDay struct {
	busW, overW, flexW   [24]float64
	weeklyW, togetherW   [24]float64
	needWh, weeklyNeedWh float64
}

// Build returns the demand of a list of appliances over so many days from
// start, which is the beginning of a day.
func Build(start time.Time, days int, apps []Appliance, inv Inverter) Demand {
	d := Demand{Start: start, BusW: make([]float64, 24*days)}
	over := make([]float64, 24*days)
	flex, need := make([]float64, 24*days), make([]float64, days)
	weeklyNeed := make([]float64, (days+6)/7)
	var weekly, together []float64
	for i := range apps {
		if weekly == nil && apps[i].Weekly && apps[i].Flexible {
			weekly, together = make([]float64, 24*days), make([]float64, 24*days)
		}
	}
	c := inv.curve()

	// Days are alike that share a weekday and a month: at most 84 kinds.
	var kinds [7][13]*hoursOfDay
	anyOver, anyFlex, anyWeekly := false, false, false
	for day := range days {
		date := start.AddDate(0, 0, day)
		kind := kinds[date.Weekday()][date.Month()]
		if kind == nil {
			kind = dayOf(apps, &c, date.Weekday(), date.Month())
			kinds[date.Weekday()][date.Month()] = kind
		}
		copy(d.BusW[24*day:], kind.busW[:])
		copy(over[24*day:], kind.overW[:])
		copy(flex[24*day:], kind.flexW[:])
		if weekly != nil {
			copy(weekly[24*day:], kind.weeklyW[:])
			copy(together[24*day:], kind.togetherW[:])
		}
		need[day] = kind.needWh
		weeklyNeed[day/7] += kind.weeklyNeedWh
		anyFlex = anyFlex || kind.needWh > 0
		anyWeekly = anyWeekly || kind.weeklyNeedWh > 0
		for _, w := range kind.overW {
			anyOver = anyOver || w > 0
		}
	}
	if anyOver {
		d.OverW = over
	}
	if anyFlex || anyWeekly {
		d.FlexibleW, d.FlexibleWh = flex, need
	}
	if anyWeekly {
		d.WeeklyW, d.WeeklyWh, d.TogetherW = weekly, weeklyNeed, together
	}
	return d
}

// dayOf adds up one kind of day.
func dayOf(apps []Appliance, c *curve, weekday time.Weekday, month time.Month) *hoursOfDay {
	var (
		k              hoursOfDay
		ac, dc         [24]float64
		flexAC, flexDC [24]float64
		weekAC, weekDC [24]float64
	)
	for i := range apps {
		a := &apps[i]
		if !a.runs(weekday, month) {
			continue
		}
		watts := a.Watts * a.Count
		to := &ac
		switch {
		case a.Flexible && a.Weekly && a.DC:
			to = &weekDC
		case a.Flexible && a.Weekly:
			to = &weekAC
		case a.Flexible && a.DC:
			to = &flexDC
		case a.Flexible:
			to = &flexAC
		case a.DC:
			to = &dc
		}
		for h, share := range a.HourShare {
			if a.Flexible && a.HoursPerDay > 0 {
				share = 1 // so many hours of the day or week, whichever they are
			}
			to[h] += watts * share
		}
		if a.Flexible {
			perW := 1.0
			if !a.DC {
				perW = c.fullPerW
			}
			if wh := watts * a.hours() * perW; a.Weekly {
				k.weeklyNeedWh += wh
			} else {
				k.needWh += wh
			}
		}
	}
	for h := range ac {
		k.busW[h] = dc[h] + c.draw(ac[h])
		k.overW[h] = c.over(ac[h])
		room := math.Inf(1)
		if c.ratedW > 0 {
			room = max(0, c.ratedW-ac[h])
		}
		k.flexW[h] = flexDC[h] + min(room, flexAC[h])*c.fullPerW
		k.weeklyW[h] = weekDC[h] + min(room, weekAC[h])*c.fullPerW
		k.togetherW[h] = flexDC[h] + weekDC[h] + min(room, flexAC[h]+weekAC[h])*c.fullPerW
	}
	return &k
}

// runs reports whether the appliance is used on a weekday in a month.
func (a *Appliance) runs(weekday time.Weekday, month time.Month) bool {
	return a.Days[weekday] && a.Months[month]
}

// hours returns how many hours a day the appliance runs on a day of use.
func (a *Appliance) hours() float64 {
	if a.HoursPerDay > 0 {
		return a.HoursPerDay
	}
	sum := 0.0
	for _, s := range a.HourShare {
		sum += s
	}
	return sum
}

// Metered returns the demand of a house whose own meter, on the AC side,
// recorded acW hour by hour from start.
func Metered(start time.Time, acW []float64, inv Inverter) Demand {
	d := Demand{Start: start, BusW: make([]float64, len(acW))}
	c := inv.curve()
	for h, w := range acW {
		d.BusW[h] = c.draw(w)
		if over := c.over(w); over > 0 {
			if d.OverW == nil {
				d.OverW = make([]float64, len(acW))
			}
			d.OverW[h] = over
		}
	}
	return d
}

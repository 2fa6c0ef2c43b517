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

// House is a list of appliances made ready to be asked for any days. It is safe
// for use by several goroutines.
type House struct {
	// Days are alike that share a weekday and a month.
	kinds                  [7][13]hoursOfDay
	over, flexible, weekly bool // on some kind of day
}

// NewHouse adds up what the appliances ask on each kind of day.
func NewHouse(apps []Appliance, inv Inverter) *House {
	return newHouse(apps, inv, time.January, 12)
}

// newHouse is [NewHouse] for so many months running.
func newHouse(apps []Appliance, inv Inverter, first time.Month, months int) *House {
	house := new(House)
	c := inv.curve()
	for weekday := range house.kinds {
		for m := range months {
			month := (first-1+time.Month(m))%12 + 1
			k := &house.kinds[weekday][month]
			*k = *dayOf(apps, &c, time.Weekday(weekday), month)
			house.flexible = house.flexible || k.needWh > 0
			house.weekly = house.weekly || k.weeklyNeedWh > 0
			for _, w := range k.overW {
				house.over = house.over || w > 0
			}
		}
	}
	return house
}

// Build returns the demand of a list of appliances over so many days from
// start, which is the beginning of a day.
func Build(start time.Time, days int, apps []Appliance, inv Inverter) Demand {
	var d Demand
	end := start.AddDate(0, 0, days-1)
	months := 12*(end.Year()-start.Year()) + int(end.Month()-start.Month()) + 1
	newHouse(apps, inv, start.Month(), min(max(months, 1), 12)).Demand(&d, start, days)
	return d
}

// Demand puts what the house asks over so many days from start, which is the
// beginning of a day, into d, in memory that d has already where there is some.
func (house *House) Demand(d *Demand, start time.Time, days int) {
	d.Start = start
	hourly := func(s *[]float64, wanted bool) {
		*s = resize(*s, 24*days, wanted)
	}
	hourly(&d.BusW, true)
	hourly(&d.OverW, house.over)
	hourly(&d.FlexibleW, house.flexible || house.weekly)
	hourly(&d.WeeklyW, house.weekly)
	hourly(&d.TogetherW, house.weekly)
	d.FlexibleWh = resize(d.FlexibleWh, days, house.flexible || house.weekly)
	d.WeeklyWh = resize(d.WeeklyWh, (days+6)/7, house.weekly)
	clear(d.WeeklyWh)

	over, flexible, weekly := false, false, false // on any of these days
	month, next := start.Month(), daysLeft(start)
	for day := range days {
		if day == next {
			date := start.AddDate(0, 0, day)
			month, next = date.Month(), day+daysLeft(date)
		}
		kind := &house.kinds[(int(start.Weekday())+day)%7][month]
		copy(d.BusW[24*day:], kind.busW[:])
		if house.over {
			copy(d.OverW[24*day:], kind.overW[:])
			for _, w := range kind.overW {
				over = over || w > 0
			}
		}
		if house.flexible || house.weekly {
			copy(d.FlexibleW[24*day:], kind.flexW[:])
			d.FlexibleWh[day] = kind.needWh
			flexible = flexible || kind.needWh > 0
		}
		if house.weekly {
			copy(d.WeeklyW[24*day:], kind.weeklyW[:])
			copy(d.TogetherW[24*day:], kind.togetherW[:])
			d.WeeklyWh[day/7] += kind.weeklyNeedWh
			weekly = weekly || kind.weeklyNeedWh > 0
		}
	}
	if !over {
		d.OverW = nil
	}
	if !flexible && !weekly {
		d.FlexibleW, d.FlexibleWh = nil, nil
	}
	if !weekly {
		d.WeeklyW, d.WeeklyWh, d.TogetherW = nil, nil, nil
	}
}

// daysLeft returns the days from a date to the first of the next month.
func daysLeft(date time.Time) int {
	return time.Date(date.Year(), date.Month()+1, 0, 0, 0, 0, 0, time.UTC).Day() - date.Day() + 1
}

// resize returns n values, in the memory of s if that is enough; nil where none
// are wanted.
func resize(s []float64, n int, wanted bool) []float64 {
	switch {
	case !wanted:
		return nil
	case cap(s) < n:
		return make([]float64, n)
	}
	return s[:n]
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
		for h, fraction := range a.HourFraction {
			if a.Flexible && a.HoursPerDay > 0 {
				fraction = 1 // so many hours of the day or week, whichever they are
			}
			to[h] += watts * fraction
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
	for _, s := range a.HourFraction {
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

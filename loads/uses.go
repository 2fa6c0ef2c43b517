package loads

import "time"

// Use is one appliance's part of the year.
type Use struct {
	Name     string
	Wh       float64 // over the run, at the plug
	WhPerDay float64 // mean over all days of the run
	Share    float64 // of all appliances together
	Flexible bool
}

// Uses tells who uses what over so many days from start, in the order of the
// list. What the inverter
// takes for itself is left out.
func Uses(start time.Time, days int, apps []Appliance) []Use {
	uses := make([]Use, len(apps))
	all := 0.0
	for i := range apps {
		a := &apps[i]
		n := 0
		for day := range days {
			if date := start.AddDate(0, 0, day); a.runs(date.Weekday(), date.Month()) {
				n++
			}
		}
		wh := float64(n) * a.Watts * a.Count * a.hours()
		uses[i] = Use{Name: a.Name, Wh: wh, WhPerDay: wh / float64(days), Flexible: a.Flexible}
		all += wh
	}
	for i := range uses {
		if all > 0 {
			uses[i].Share = uses[i].Wh / all
		}
	}
	return uses
}

// Season is an average day of a quarter of the year.
type Season struct {
	Months [3]time.Month
	W      [24]float64 // mean power at the bus in each hour of the day
	Days   int
}

// Seasons returns the average day of each quarter of the year, firm demand at
// the bus, December to February first. A quarter without days has Days = 0.
func Seasons(d Demand) [4]Season {
	var s [4]Season
	for q := range s {
		for m := range s[q].Months {
			s[q].Months[m] = time.Month((11+3*q+m)%12 + 1)
		}
	}
	for day := range len(d.BusW) / 24 {
		q := &s[int(d.Start.AddDate(0, 0, day).Month())%12/3]
		q.Days++
		for h := range q.W {
			q.W[h] += d.BusW[24*day+h]
		}
	}
	for q := range s {
		for h := range s[q].W {
			if s[q].Days > 0 {
				s[q].W[h] /= float64(s[q].Days)
			}
		}
	}
	return s
}

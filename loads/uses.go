package loads

import "time"

// Use is one appliance's part of the year.
type Use struct {
	Name     string
	Wh       float64 // over the run, at the plug; of a flexible one what it could take
	Flexible bool
}

// Uses tells who uses what over so many days from start, in the order of the
// list. What the inverter takes for itself is left out.
func Uses(start time.Time, days int, apps []Appliance) []Use {
	kinds := countDays(start, days)
	uses := make([]Use, len(apps))
	for i := range apps {
		a := &apps[i]
		n := 0
		for month := range kinds {
			n += kinds[month].use(a, time.Month(month))
		}
		wh := float64(n) * a.Watts * a.Count * a.hours()
		uses[i] = Use{Name: a.Name, Wh: wh, Flexible: a.Flexible}
	}
	return uses
}

// weekdays is how many days of a month fall on each day of the week.
type weekdays [7]int

// countDays counts so many days from start by month and weekday.
func countDays(start time.Time, days int) (kinds [13]weekdays) {
	for day := range days {
		date := start.AddDate(0, 0, day)
		kinds[date.Month()][date.Weekday()]++
	}
	return kinds
}

// use returns on how many of a month's days an appliance is used.
func (w *weekdays) use(a *Appliance, month time.Month) int {
	n := 0
	for weekday, days := range w {
		if a.runs(time.Weekday(weekday), month) {
			n += days
		}
	}
	return n
}

// Season is an average day of a quarter of the year.
type Season struct {
	Months [3]time.Month
	W      [24]float64 // mean power at the plug in each hour of the day
	Days   int
}

// Seasons returns the average day of each appliance in each quarter of the
// year, over so many days from start, December to February first. A quarter
// without days has Days = 0.
func Seasons(start time.Time, days int, apps []Appliance) [][4]Season {
	kinds := countDays(start, days)
	all := make([][4]Season, len(apps))
	for i := range apps {
		a := &apps[i]
		for q := range all[i] {
			s := &all[i][q]
			used := 0
			for m := range s.Months {
				month := time.Month((11+3*q+m)%12 + 1)
				s.Months[m] = month
				for _, n := range kinds[month] {
					s.Days += n
				}
				used += kinds[month].use(a, month)
			}
			if s.Days == 0 {
				continue
			}
			for h := range s.W {
				s.W[h] = a.Watts * a.Count * a.HourFraction[h] * float64(used) / float64(s.Days)
			}
		}
	}
	return all
}

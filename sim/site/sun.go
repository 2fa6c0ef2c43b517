package site

import (
	"math"
	"sort"
	"time"

	"sunrill/sources/solar"
	"sunrill/weather"
)

type sunRow struct {
	Month    number `csv:"month"`
	SunHours number `csv:"sun_hours"`
	TempC    number `csv:"temp_c"`
	TempF    number `csv:"temp_f"`
}

var sunColumns = []column{{"month", "", true}, {"sun_hours", "", true}, {"temp_c", "temp", false}, {"temp_f", "temp", false}}

// rainAndSun reads [rain] and [sun].
func (l *loader) rainAndSun() {
	l.rain()
	t := l.table("sun")
	if t == nil {
		if _, there := l.tree["sun"]; !there {
			l.missingTable("sun", "write [sun] and below it file = \"sun.csv\", 12 rows: month, sun_hours")
		}
		return
	}
	s := &l.site.Sun
	s.OnPanel = t.choice("surface", []string{"horizontal", "panel"}, or("horizontal", "sun hours of weather stations are on the horizontal")) == "panel"
	s.WetDayShare = t.quantity("wet_day_share", Factor, 0.05, 1, or("0.6", "three gauged places: a month's wet days get 0.5 to 0.65 of a dry day's sun"))
	s.Variability = t.quantity("variability", Factor, 0, 3, or("1", "the measured spread of days about what the rain tells; 0 switches it off"))
	s.Seed = uint64(t.whole("seed", 0, math.MaxInt64, or("1", "any number; the same one gives the same days")))
	if file := t.file("horizon", optional); file != "" {
		s.Horizon = l.horizon(file)
	}
	hourly := t.file("hourly", optional)
	stamp, repeat := t.has("stamp"), t.has("repeat")
	switch {
	case hourly != "":
		ending := t.choice("stamp", []string{"beginning", "ending"}, or("beginning", "rows tell the hour that begins then")) == "ending"
		s.Hourly = l.hourlySun(hourly, ending, t.flag("repeat"))
		l.sunRead = s.Hourly != nil
		if t.has("file") {
			l.monthlySun(t.file("file", optional))
		}
		if s.Hourly != nil && s.Hourly.TempC != nil && !s.HasTemp { // the creek asks for the months
			s.TempC, s.HasTemp = weather.MeasuredSun{Start: s.Hourly.Start, TempC: s.Hourly.TempC}.MonthlyC(), true
		}
	default:
		if stamp || repeat {
			key := map[bool]string{true: "stamp", false: "repeat"}[stamp]
			t.wrong(key, "name the record: hourly = \"sun-hourly.csv\"", "has a meaning with an hourly record only")
		}
		l.monthlySun(t.file("file", or("sun.csv", "its usual name")))
	}
	t.done()
}

// standardAirC is the mean air temperature at the sea's level in the standard
// atmosphere (ISO 2533).
const standardAirC = 15

// air fills in a temperature for the panels where the site tells none.
func (l *loader) air() {
	sun := &l.site.Sun
	if sun.HasTemp || l.site.Rain.TMinC != nil || !l.sunRead || l.site.Rain.RainMM == nil {
		return
	}
	for m := range sun.TempC {
		sun.TempC[m] = standardAirC
	}
	l.byDefault("sun.temp_c", trimNumber(standardAirC)+" C", "no file tells temperatures, so the panels stand in this air all year; tmin_c and tmax_c in rain.csv or temp_c in sun.csv tell better")
}

// monthlySun reads the table of sun hours, a row a month.
func (l *loader) monthlySun(file string) {
	if file == "" {
		return
	}
	rows, s, ok := readTable[sunRow](l, file, "it holds 12 rows: month, sun_hours, and if known temp_c", sunColumns)
	if s == nil {
		return
	}
	sun := &l.site.Sun
	l.sunRead = ok
	sun.HasTemp = s.has["temp_c"] || s.has["temp_f"]
	line := [13]int{}
	for i, r := range rows {
		m := int(r.Month)
		if float64(m) != float64(r.Month) || m < 1 || m > 12 {
			s.wrong(i, "month", "1 is January, 12 is December", "there is no month %s", trimNumber(float64(r.Month)))
			continue
		}
		if line[m] > 0 {
			s.wrong(i, "month", "keep one of them", "%s stands there twice, first on line %d", time.Month(m), line[m])
		}
		line[m] = s.line(i)
		if r.SunHours < 0 || r.SunHours > 14 {
			s.wrong(i, "sun_hours", "kWh/m² a day, the daily mean of the month: 0 to 9 at most places", "%s is outside 0 to 14", trimNumber(float64(r.SunHours)))
		}
		temp, name := float64(r.TempC), "temp_c"
		if s.has["temp_f"] {
			temp, name = (float64(r.TempF)-32)*5/9, "temp_f"
		}
		if temp < -60 || temp > 50 {
			s.wrong(i, name, "the mean of the month; is it the right unit?", "a mean of %.0f °C is outside -60 to 50 °C", temp)
		}
		sun.SunHours[m-1], sun.TempC[m-1] = float64(r.SunHours), temp
	}
	if !ok {
		return
	}
	if !sun.OnPanel {
		l.possibleSun(s, rows)
	}
	sum := 0.0
	for m := 1; m <= 12; m++ {
		sum += sun.SunHours[m-1]
		if line[m] == 0 {
			l.problems = append(l.problems, Problem{File: file, What: time.Month(m).String() + " is missing", Hint: "a row for each of the 12 months; 0 sun hours in a polar night"})
		}
	}
	if sum == 0 {
		l.problems = append(l.problems, Problem{File: file, What: "there is no sun in any month", Hint: "kWh/m² a day"})
	}
}

// possibleSun tells the months that have more sun than a clear sky gives.
func (l *loader) possibleSun(s *sheet, rows []sunRow) {
	place := l.site.Place
	if math.IsNaN(place.LatDeg) || math.IsNaN(place.LonDeg) || math.IsNaN(place.UTCOffsetH) {
		return
	}
	// A clear sky lets through some 0.75 of what comes from outside: a glance
	// at that spares most sites the way of the sun through a whole year.
	suspect := false
	for _, r := range rows {
		middle := 30*int(r.Month) - 15
		suspect = suspect || float64(r.SunHours) > 0.6*weather.ExtraterrestrialDay(place.LatDeg, middle)/3.6
	}
	if !suspect {
		return
	}
	clear := weather.ClearSunHours(place)
	for i, r := range rows {
		if m := int(r.Month); m >= 1 && m <= 12 && weather.MoreThanClear(float64(r.SunHours), clear[m-1]) {
			s.wrong(i, "sun_hours", "kWh/m² a day on the horizontal; are they MJ, a month's sum, or observed on the panels (surface = \"panel\")?", "%s is more than the %.2f of a sky that is always clear", trimNumber(float64(r.SunHours)), clear[m-1])
		}
	}
}

type horizonRow struct {
	Bearing number `csv:"bearing_deg"`
	Height  number `csv:"height_deg"`
}

// horizon reads a line of hills.
func (l *loader) horizon(file string) solar.Horizon {
	rows, s, ok := readTable[horizonRow](l, file, "it holds the hills: bearing_deg, height_deg", []column{{"bearing_deg", "", true}, {"height_deg", "", true}})
	if s == nil {
		return nil
	}
	line := make(solar.Horizon, 0, len(rows))
	sorted := true
	seen := map[float64]int{}
	for i, r := range rows {
		b, h := float64(r.Bearing), float64(r.Height)
		if b < 0 || b > 360 {
			s.wrong(i, "bearing_deg", "0 is north, 90 east, 180 south, 270 west", "%s is outside 0 to 360", trimNumber(b))
			ok = false
		}
		if h < 0 || h > 90 {
			s.wrong(i, "height_deg", "the angle of the hills above the level line; 0 where the ground falls away", "%s is outside 0 to 90", trimNumber(h))
			ok = false
		}
		if b == 360 {
			b = 0
			if j, twice := seen[0]; twice && h == float64(rows[j].Height) {
				continue // 360 closes the line that 0 began
			}
		}
		if j, twice := seen[b]; twice {
			s.wrong(i, "bearing_deg", "keep one of them", "%s stands there twice, first on line %d", trimNumber(b), s.line(j))
			ok = false
		}
		seen[b] = i
		if n := len(line); n > 0 && b < line[n-1].BearingDeg {
			sorted = false
		}
		line = append(line, solar.HorizonPoint{BearingDeg: b, HeightDeg: h})
	}
	if !ok {
		return nil
	}
	if len(line) < 2 {
		l.problems = append(l.problems, Problem{File: file, What: "one point makes no line", Hint: "give the height of the hills in some directions around the compass, eight or more"})
		return nil
	}
	if !sorted {
		sort.Slice(line, func(i, j int) bool { return line[i].BearingDeg < line[j].BearingDeg })
		l.warn("%s: the bearings are not in order; they are sorted around the compass", file)
	}
	return line
}

package site

import (
	"fmt"
	"math"
	"sort"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/solar"
	"sunrill/weather"
)

type sunRow struct {
	Month    files.Number `csv:"month"`
	SunHours files.Number `csv:"sun_hours"`
	TempC    files.Number `csv:"temp_c"`
	TempF    files.Number `csv:"temp_f"`
}

var sunColumns = files.Columns{}.Must("month", "sun_hours").MayOneOf("temp_c", "temp_f").Most(100, "a row a month: 12; a record of every hour is named by hourly")

// rainAndSun reads [rain] and [sun].
func (l *loader) rainAndSun() {
	l.rain()
	t := l.tableOf("sun", "sun.csv")
	if t == nil {
		if !l.Given("sun") {
			l.MissingTable("sun", "write [sun] and below it file = \"sun.csv\", 12 rows: month, sun_hours")
		}
		return
	}
	s := &l.site.Sun
	s.OnPanel = t.Choice("surface", []string{"horizontal", "panel"}, files.Or("horizontal", "sun hours of weather stations are on the horizontal")) == "panel"
	s.WetDayFraction = t.Quantity("wet_day_share", measure.Factors, 0.05, 1, files.Or("0.65", "seven measured places: wet days get 0.5 to 0.7 of a dry day's sun; not asked where rain.csv has temperatures"))
	s.Variability = t.Quantity("variability", measure.Factors, 0, 3, files.Or("1", "the measured spread of days about what the rain tells; 0 switches it off"))
	s.Seed = uint64(t.Whole("seed", 0, math.MaxInt64, files.Or("1", "any number; the same one gives the same days")))
	if file := t.File("horizon", files.Optional); file != "" {
		s.Horizon = l.horizon(file)
	}
	hourly := t.File("hourly", files.Optional)
	stamp, repeat := t.Has("stamp"), t.Has("repeat")
	switch {
	case hourly != "":
		ending := t.Choice("stamp", []string{"beginning", "ending"}, files.Or("beginning", "rows tell the hour that begins then")) == "ending"
		s.Hourly = l.hourlySun(hourly, ending, t.Flag("repeat"))
		l.sunRead = s.Hourly != nil
		if t.Has("file") {
			l.monthlySun(t.File("file", files.Optional))
		}
		if s.Hourly != nil && s.Hourly.TempC != nil && !s.HasTemp { // the creek asks for the months
			s.TempC, s.HasTemp = s.Hourly.MonthlyC(), true
		}
	default:
		if stamp || repeat {
			key := map[bool]string{true: "stamp", false: "repeat"}[stamp]
			t.Wrong(key, "name the record: hourly = \"sun-hourly.csv\"", "has a meaning with an hourly record only")
		}
		l.monthlySun(t.File("file", files.Or("sun.csv", "its usual name")))
	}
	t.Done()
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
	l.ByDefaultOf("sun.temp_c", measure.Temperatures, measure.Trim(standardAirC)+" C", "no file tells temperatures, so the panels stand in this air all year; tmin_c and tmax_c in rain.csv or temp_c in sun.csv tell better")
}

// monthlySun reads the table of sun hours, a row a month.
func (l *loader) monthlySun(file string) {
	if file == "" {
		return
	}
	rows, s, ok := files.Rows[sunRow](l.Folder, file, "it holds 12 rows: month, sun_hours, and if known temp_c", sunColumns)
	if s == nil {
		return
	}
	sun := &l.site.Sun
	l.sunRead = ok
	sun.HasTemp = s.Has["temp_c"] || s.Has["temp_f"]
	line := [13]int{}
	for i, r := range rows {
		m := int(r.Month)
		if float64(m) != float64(r.Month) || m < 1 || m > 12 {
			s.Wrong(i, "month", "1 is January, 12 is December", "there is no month %s", measure.Trim(float64(r.Month)))
			continue
		}
		if line[m] > 0 {
			s.Wrong(i, "month", "keep one of them", "%s stands there twice, first on line %d", time.Month(m), line[m])
		}
		line[m] = s.Line(i)
		if r.SunHours < 0 || r.SunHours > 14 {
			s.Wrong(i, "sun_hours", "kWh/m² a day, the daily mean of the month: 0 to 9 at most places", "%s is outside 0 to 14", measure.Trim(float64(r.SunHours)))
		}
		temp, name := float64(r.TempC), "temp_c"
		if s.Has["temp_f"] {
			temp, name = (float64(r.TempF)-32)*5/9, "temp_f"
		}
		if temp < -60 || temp > 50 {
			s.Wrong(i, name, "the mean of the month; is it the right unit?", "a mean of %.0f °C is outside -60 to 50 °C", temp)
		}
		sun.SunHours[m-1], sun.TempC[m-1] = float64(r.SunHours), temp
	}
	if !ok {
		return
	}
	switch lat := l.site.Place.LatDeg; {
	case sun.OnPanel:
	case len(rows) == 12 && OtherHemisphere(lat, sun.SunHours):
		l.Tell(files.Problem{File: file, What: fmt.Sprintf("the sun hours run against the year: January has %s, July %s, at latitude %s", measure.Trim(sun.SunHours[0]), measure.Trim(sun.SunHours[6]), measure.Trim(lat)),
			Hint: "north is positive, south negative; or the table is of the other hemisphere, or begins with another month"})
	default:
		l.possibleSun(s, rows)
	}
	sum := 0.0
	for m := 1; m <= 12; m++ {
		sum += sun.SunHours[m-1]
		if line[m] == 0 {
			l.Tell(files.Problem{File: file, What: time.Month(m).String() + " is missing", Hint: "a row for each of the 12 months; 0 sun hours in a polar night"})
		}
	}
	if sum == 0 {
		l.Tell(files.Problem{File: file, What: "there is no sun in any month", Hint: "kWh/m² a day"})
	}
}

// possibleSun tells the months that have more sun than a clear sky gives.
func (l *loader) possibleSun(s *files.Sheet, rows []sunRow) {
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
			s.Wrong(i, "sun_hours", "kWh/m² a day on the horizontal; are they MJ, a month's sum, or observed on the panels (surface = \"panel\")?", "%s is more than the %.2f of a sky that is always clear", measure.Trim(float64(r.SunHours)), clear[m-1])
		}
	}
}

type horizonRow struct {
	Bearing files.Number `csv:"bearing_deg"`
	Height  files.Number `csv:"height_deg"`
}

// horizon reads a line of hills: once, also where several arrays have it.
func (l *loader) horizon(file string) solar.Horizon {
	if line, read := l.horizons[file]; read {
		return line
	}
	if l.horizons == nil {
		l.horizons = map[string]solar.Horizon{}
	}
	line := l.readHorizon(file)
	l.horizons[file] = line
	return line
}

func (l *loader) readHorizon(file string) solar.Horizon {
	rows, s, ok := files.Rows[horizonRow](l.Folder, file, "it holds the hills: bearing_deg, height_deg", files.Columns{}.Must("bearing_deg", "height_deg").Most(3600, "a point each tenth of a degree is enough"))
	if s == nil {
		return nil
	}
	line := make(solar.Horizon, 0, len(rows))
	sorted := true
	seen := map[float64]int{}
	for i, r := range rows {
		b, h := float64(r.Bearing), float64(r.Height)
		if b < 0 || b > 360 {
			s.Wrong(i, "bearing_deg", "0 is north, 90 east, 180 south, 270 west", "%s is outside 0 to 360", measure.Trim(b))
			ok = false
		}
		if h < 0 || h > 90 {
			s.Wrong(i, "height_deg", "the angle of the hills above the level line; 0 where the ground falls away", "%s is outside 0 to 90", measure.Trim(h))
			ok = false
		}
		if b == 360 {
			b = 0
			if j, twice := seen[0]; twice && h == float64(rows[j].Height) {
				continue // 360 closes the line that 0 began
			}
		}
		if j, twice := seen[b]; twice {
			s.Wrong(i, "bearing_deg", "keep one of them", "%s stands there twice, first on line %d", measure.Trim(b), s.Line(j))
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
		l.Tell(files.Problem{File: file, What: "one point makes no line", Hint: "give the height of the hills in some directions around the compass, eight or more"})
		return nil
	}
	if !sorted {
		sort.Slice(line, func(i, j int) bool { return line[i].BearingDeg < line[j].BearingDeg })
		l.warn("%s: the bearings are not in order; they are sorted around the compass", file)
	}
	return line
}

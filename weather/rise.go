package weather

import (
	"math"
	"time"
)

// Span is a stretch of time.
type Span struct{ From, To time.Time }

// Hours returns the span's length in hours.
func (s Span) Hours() float64 { return s.To.Sub(s.From).Hours() }

// discRadiusDeg is half the sun's apparent diameter: 16′.
const discRadiusDeg = 16.0 / 60

// SunSpans returns when, on the day that begins at midnight, the upper edge of
// the sun stands above the hills, to the second. hills gives their height in
// degrees at a compass bearing; nil is a level horizon, and then the span runs
// from sunrise to sunset as almanacs count them (refraction at 10 °C and
// 1010 hPa: the centre 50′ below the level). A gap between hills gives a span of
// its own; the midnight sun gives the whole day, the polar night none.
// Refraction is that of the sea's level whatever the place's height.
func SunSpans(p Place, midnight time.Time, hills func(bearingDeg float64) float64) []Span {
	above := func(t time.Time) float64 {
		s := Position(t, p)
		low := 0.0
		if hills != nil {
			low = hills(s.AzimuthDeg)
		}
		e := s.ElevationDeg()
		return e + Refraction(e, 1010, 10) + discRadiusDeg - low
	}
	const step = 4 * time.Minute
	end := midnight.Add(24 * time.Hour)
	var spans []Span
	from, isUp := midnight, above(midnight) > 0
	for t := midnight; t.Before(end); t = t.Add(step) {
		next := t.Add(step)
		if (above(next) > 0) == isUp {
			continue
		}
		at := crossing(above, t, next)
		if isUp {
			spans = append(spans, Span{from, at})
		} else {
			from = at
		}
		isUp = !isUp
	}
	if isUp {
		spans = append(spans, Span{from, end})
	}
	return spans
}

// crossing halves the time between two moments until the sign's change is
// known to half a second.
func crossing(f func(time.Time) float64, a, b time.Time) time.Time {
	up := f(b) > 0
	for b.Sub(a) > time.Second/2 {
		mid := a.Add(b.Sub(a) / 2)
		if (f(mid) > 0) == up {
			b = mid
		} else {
			a = mid
		}
	}
	return b
}

// SunPath returns where the sun stands through the day that begins at midnight,
// from midnight to midnight, with a place for every step.
func SunPath(p Place, midnight time.Time, step time.Duration) []Sun {
	n := int(24*time.Hour/step) + 1
	path := make([]Sun, n)
	for i := range path {
		path[i] = Position(midnight.Add(time.Duration(i)*step), p)
	}
	return path
}

// Noon returns the moment on the day that begins at midnight at which the sun
// crosses the meridian, to a second: from longitude, standard time and the
// equation of time.
func Noon(p Place, midnight time.Time) time.Time {
	t := midnight.Add(12 * time.Hour)
	for range 3 {
		d := float64(t.Unix()-j2000Unix) / 86400
		h := siderealDeg(d) + p.LonDeg - equator(d).rightAscensionDeg
		h = math.Remainder(h, 360)
		t = t.Add(-time.Duration(h / 360.98564736629 * 24 * float64(time.Hour)))
	}
	return t
}

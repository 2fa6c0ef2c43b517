package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// Values of the formula as the authors of Oudin et al. 2005 publish it in their
// own open program, computed independently. That program's sun is 2 % stronger
// than FAO-56's, so 3 % is allowed.
func TestOudinAgainstAuthorsProgram(t *testing.T) {
	for _, c := range []struct {
		day               int
		meanC, latDeg, mm float64
	}{
		{15, 5, 45, .492288}, {105, 10, 45, 2.059790}, {196, 20, 45, 4.235670}, {196, -6, 45, 0}, {15, 20, -35, 4.523020},
	} {
		start := time.Date(2021, 1, c.day, 0, 0, 0, 0, time.UTC)
		got := weather.NewEvaporation(c.latDeg).Potential(nil, start, []float64{c.meanC})[0]
		if math.Abs(got-c.mm) > 0.03*c.mm {
			t.Errorf("day %d, %g °C, %g°: %.4f mm, the authors' program gives %.4f", c.day, c.meanC, c.latDeg, got, c.mm)
		}
	}
	// With the 40.6 MJ/m² of FAO-56's table for 45° N in mid July.
	if got := weather.Oudin(40.6, 20); math.Abs(got-4.143) > 5e-4 {
		t.Errorf("Oudin(40.6, 20) = %.4f, want 4.143", got)
	}
}

// A record over leap and common years gives each date the sun of its own day of
// the year, as package time counts them.
func TestEvaporationFollowsTheCalendar(t *testing.T) {
	start := time.Date(2015, 10, 3, 0, 0, 0, 0, time.UTC)
	warm := make([]float64, 900)
	for i := range warm {
		warm[i] = 12
	}
	for i, got := range weather.NewEvaporation(43).Potential(nil, start, warm) {
		if want := weather.Oudin(weather.ExtraterrestrialDay(43, start.AddDate(0, 0, i).YearDay()), 12); got != want {
			t.Fatalf("%s: %g mm, want %g", start.AddDate(0, 0, i).Format("2006-01-02"), got, want)
		}
	}
}

func TestSunOutsideTheAirAtThePoles(t *testing.T) {
	if got := weather.ExtraterrestrialDay(80, 355); got < 0 || got > 1e-9 {
		t.Errorf("80° N at midwinter: %g MJ/m², want 0", got)
	}
	if got := weather.ExtraterrestrialDay(90, 172); !(got > 40 && got < 46) {
		t.Errorf("the pole at midsummer: %g MJ/m²", got)
	}
}

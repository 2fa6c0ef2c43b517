package stream_test

import (
	"math"
	"testing"
	"time"

	"sunrill/sources/stream"
)

// Allen et al. 1998 (FAO Irrigation and Drainage Paper 56), example 8: 20° S on
// 3 September gives 32.2 MJ/m² a day.
func TestExtraterrestrialAgainstFAO56Example8(t *testing.T) {
	if got := stream.ExtraterrestrialMJ(246, -20); math.Abs(got-32.2) > 0.05 {
		t.Errorf("ExtraterrestrialMJ = %.2f, the paper prints 32.2", got)
	}
}

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
		got := stream.OudinPET(nil, start, []float64{c.meanC}, c.latDeg)[0]
		if math.Abs(got-c.mm) > 0.03*c.mm {
			t.Errorf("day %d, %g °C, %g°: %.4f mm, the authors' program gives %.4f", c.day, c.meanC, c.latDeg, got, c.mm)
		}
	}
	// With the 40.6 MJ/m² of FAO-56's table for 45° N in mid July.
	if got := stream.Oudin(40.6, 20); math.Abs(got-4.143) > 5e-4 {
		t.Errorf("Oudin(40.6, 20) = %.4f, want 4.143", got)
	}
}

func TestPolarNightAndDay(t *testing.T) {
	if got := stream.ExtraterrestrialMJ(355, 80); got != 0 {
		t.Errorf("80° N at midwinter: %g MJ/m², want 0", got)
	}
	if got := stream.ExtraterrestrialMJ(172, 90); !(got > 40 && got < 46) {
		t.Errorf("the pole at midsummer: %g MJ/m²", got)
	}
}

func TestDailyFromMonths(t *testing.T) {
	months := [12]float64{4, 5, 7, 9, 12, 15, 18, 18, 15, 11, 7, 4}
	start := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC)
	day := stream.DailyFromMonths(make([]float64, 365), start, months)
	for m, want := range months {
		from := time.Date(2021, time.Month(m+1), 1, 0, 0, 0, 0, time.UTC).YearDay() - 1
		to := time.Date(2021, time.Month(m+2), 0, 0, 0, 0, 0, time.UTC).YearDay()
		sum := 0.0
		for _, v := range day[from:to] {
			sum += v
		}
		if got := sum / float64(to-from); math.Abs(got-want) > 0.6 {
			t.Errorf("month %d: mean %.2f °C, want about %g", m+1, got, want)
		}
	}
	for i := 1; i < len(day); i++ {
		if math.Abs(day[i]-day[i-1]) > 0.2 {
			t.Errorf("day %d: a jump from %.2f to %.2f °C", i, day[i-1], day[i])
		}
	}
}

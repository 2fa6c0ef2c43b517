package site_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"testing"

	"sunrill/sim/site"
	"sunrill/sources/hydro"
	"sunrill/weather"
)

const (
	seattle = "../../testdata/seattle"
	usSite  = "../../testdata/us-site"
)

// The rain of testdata/seattle is the published record, column by column.
func TestSeattleRainIsTheRecord(t *testing.T) {
	f, err := os.Open(seattle + "/seattle-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	b.WriteString("# Made from seattle-weather.csv, see README.md.\ndate,rain_mm,tmin_c,tmax_c\n")
	for _, r := range rows[1:] {
		b.WriteString(r[0] + "," + r[1] + "," + r[3] + "," + r[2] + "\n")
	}
	committed(t, seattle+"/rain.csv", b.Bytes())
}

func TestSeattleLoads(t *testing.T) {
	s, err := site.Load(seattle, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	years := weather.WaterYears(s.Rain, s.YearMonth, s.YearDay)
	if len(years) != 3 || years[0].Number() != 2012 {
		t.Errorf("%d water years, want 3 from 2012", len(years))
	}
	// Annual sums of the file as it is: 1226.0 mm in 2012, 828.0 in 2013.
	sum := 0.0
	for _, mm := range s.Rain.RainMM[:366] {
		sum += mm
	}
	if sum < 1225.9 || sum > 1226.1 {
		t.Errorf("2012 has %.1f mm of rain, the record 1226.0", sum)
	}
}

var usClimate = climate{
	seed: 1845, first: 2009, last: 2014,
	wetFraction: demoClimate.wetFraction,
	wetDayMM:    [12]float64{10, 9, 8, 6, 5, 4, 3, 4, 6, 8, 11, 11},
	meanC:       [12]float64{4.5, 6, 8, 10.5, 14, 17.3, 20.8, 20.5, 17.3, 12.2, 7.3, 4.4},
}

func TestUSRainIsWhatItsSeedGives(t *testing.T) {
	committed(t, usSite+"/rain.csv", usClimate.us())
}

// The US site in SI units, by the definitions of the units.
func TestUSSiteLoads(t *testing.T) {
	s, err := site.Load(usSite, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Warnings) > 0 {
		t.Errorf("it warns: %q", s.Warnings)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"elevation", s.Place.ElevationM, 1650 * 0.3048},
		{"gross head", s.Hydro.Penstock.GrossHeadM, 135 * 0.3048},
		{"bore", s.Hydro.Penstock.BoreM, 3.042 * 0.0254},
		{"water temperature", s.Hydro.Penstock.WaterC, (46. - 32) / 1.8},
		{"rating", s.Hydro.Penstock.RatingPa, 160 * 6894.757},
		{"nozzle", s.Hydro.Turbine.NozzlesM[1], 0.375 * 0.0254},
		{"residual flow", s.Hydro.Intake.ResidualM3S, 6 * 6.30901964e-5},
		{"house water", s.Hydro.Intake.HouseWaterM3S, 150 * 3.785411784e-3 / 86400},
		{"limit", s.Hydro.Intake.LimitM3S, 0.25 * 0.0283168466},
		{"forebay", s.Hydro.Forebay.VolumeM3, 300 * 3.785411784e-3},
		{"cable", s.Hydro.Cable.LengthM, 310 * 0.3048},
		{"cable voltage", s.Hydro.Cable.VoltageV, 48},
		{"section of 2/0", s.Hydro.Cable.SectionM2, hydro.AWGSection(-1)},
		{"capacity", s.Bank.CapacityWh, 420 * 48},
		{"charge limit", s.Bank.MaxChargeW, 60 * 48},
		{"temperature coefficient", s.Arrays[0].TempCoefPerK, -0.0036},
		{"NOCT", s.Arrays[0].NOCTC, 45},
		{"facing", s.Arrays[0].AzimuthDeg, 202.5},
		{"area", s.Stream.Catchment.AreaM2, 45 * 4046.8564224},
		{"X1", s.Stream.Catchment.X1MM, 304.8},
		{"fuel", s.Generator.FuelLPerKWh, 0.127 * 3.785411784},
		{"penstock price", *s.Prices.PenstockPerM, 3.1 / 0.3048},
		{"fuel price", *s.Prices.FuelPerL, 4.5 / 3.785411784},
		{"sun hours by decimal comma", s.Sun.SunHours[6], 7.1},
		{"January's temperature", s.Sun.TempC[0], (40. - 32) / 1.8},
	} {
		if d := c.got - c.want; d > 1e-6*c.want+1e-12 && d > 0 || -d > 1e-6*abs(c.want)+1e-12 {
			t.Errorf("%s = %.9g, want %.9g", c.what, c.got, c.want)
		}
	}
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

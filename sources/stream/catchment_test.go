package stream_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/sources/stream"
)

// columns reads a CSV of numbers with # comments; a column that is not
// numeric (dates) is left NaN.
func columns(t testing.TB, path string) map[string][]float64 {
	t.Helper()
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("%s is absent", path)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cols := map[string][]float64{}
	for _, row := range rows[1:] {
		for j, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				v = math.NaN()
			}
			cols[rows[0][j]] = append(cols[rows[0][j]], v)
		}
	}
	return cols
}

// oneMMArea gives 1 m³/s for 1 mm a day.
const oneMMArea = 1000 * 86400

// workbook is the run of the teaching workbook "GR4J_en" by the model's
// authors (Irstea, version 1.12, August 2010): 260 km², from 1 January 1991.
var workbook = stream.Catchment{
	AreaM2: oneMMArea,
	X1MM:   320.10730922522407, X2MMD: 2.4208432970477163,
	X3MM: 69.627618031872942, X4D: 1.3891344662544509,
}

func workbookStart() stream.State {
	return stream.State{ProductionMM: 0.6 * workbook.X1MM, RoutingMM: 0.7 * workbook.X3MM}
}

func TestGR4JAgainstAuthorsWorkbook(t *testing.T) {
	cols := columns(t, "../../../shared/data/gr4j_published_example.csv")
	got := make([]float64, len(cols["rain_mm"]))
	workbook.Run(got, workbookStart(), cols["rain_mm"], cols["pet_mm"])
	if len(got) != 730 {
		t.Fatalf("%d days, want 730", len(got))
	}
	worst := 0.0
	for i, want := range cols["flow_gr4j_mm"] {
		worst = math.Max(worst, math.Abs(got[i]-want))
	}
	if worst > 1e-6 {
		t.Errorf("largest difference %g mm a day, want at most 1e-6", worst)
	}
	t.Logf("largest difference %.1e mm a day", worst)
	// The workbook prints the score of the second year as 91.9030 %.
	if nse := stream.NSE(cols["flow_observed_mm"][365:], got[365:]); math.Abs(nse-0.919030) > 5e-7 {
		t.Errorf("NSE of the second year = %.6f, the workbook prints 0.919030", nse)
	}
}

// The inner quantities of the workbook's first six days, to the digits copied
// from it.
func TestGR4JSixDaysOfAuthorsWorkbook(t *testing.T) {
	days := []struct{ p, e, pn, ps, perc, pr, q9, q1, f, qr, qd, q, s, r float64 }{
		{14.1, .46, 13.64, 8.506959, .300430, 5.433471, 2.150102, .119450, .694720, 3.286568, .814170, 4.1007378585, 200.270915, 48.297587},
		{3.7, .46, 3.24, 1.959320, .313022, 1.593702, 3.370672, .395105, .672931, 3.503544, 1.068036, 4.5715803348, 201.917213, 48.837646},
		{7.1, .47, 6.63, 3.939997, .342020, 3.032023, 2.003496, .236097, .699637, 3.274417, .935734, 4.2101509074, 205.515189, 48.266362},
		{9.3, .47, 8.83, 5.098777, .383253, 4.114475, 3.157163, .310103, .671409, 3.431941, .981512, 4.4134531662, 210.230714, 48.662993},
		{7.1, .48, 6.62, 3.713683, .414406, 3.320723, 3.388929, .381282, .690919, 3.622461, 1.072201, 4.6946613828, 213.529991, 49.120380},
		{1.2, .48, .72, .399025, .414258, .735232, 1.965535, .284557, .713916, 3.347436, .998473, 4.3459087231, 213.514759, 48.452395},
	}
	s := workbookStart()
	for i, w := range days {
		var d stream.CatchmentDay
		s, d = workbook.Step(s, w.p, w.e)
		for _, c := range []struct {
			name           string
			got, want, tol float64
		}{
			{"Pn", d.Pn, w.pn, 1e-9}, {"Ps", d.Ps, w.ps, 5e-7}, {"Perc", d.Perc, w.perc, 5e-7},
			{"Pr", d.Pr, w.pr, 5e-7}, {"Q9", d.Q9, w.q9, 5e-7}, {"Q1", d.Q1, w.q1, 5e-7},
			{"F", d.F, w.f, 5e-7}, {"Qr", d.Qr, w.qr, 5e-7}, {"Qd", d.Qd, w.qd, 5e-7},
			{"Q", d.Q, w.q, 5e-11}, {"S", s.ProductionMM, w.s, 5e-7}, {"R", s.RoutingMM, w.r, 5e-7},
		} {
			if math.Abs(c.got-c.want) > c.tol*1.01 {
				t.Errorf("day %d: %s = %.10f, the workbook has %.10f", i+1, c.name, c.got, c.want)
			}
		}
	}
}

// A year of made-up forcing and two parameter sets, computed by an independent
// code; the file carries nine decimals.
func TestGR4JAgainstIndependentCode(t *testing.T) {
	cols := columns(t, "testdata/gr4j_synthetic.csv")
	for _, set := range []struct {
		name  string
		c     stream.Catchment
		s     stream.State
		total float64
	}{
		{"A", stream.Catchment{AreaM2: oneMMArea, X1MM: 350, X2MMD: 0, X3MM: 90, X4D: 1.7}, stream.State{ProductionMM: 210, RoutingMM: 45}, 600.219245},
		{"B", stream.Catchment{AreaM2: oneMMArea, X1MM: 320, X2MMD: -1.2, X3MM: 70, X4D: 2.35}, stream.State{ProductionMM: 96, RoutingMM: 28}, 415.827247},
	} {
		s, sum, worst := set.s, 0.0, 0.0
		for i, p := range cols["P_mm"] {
			var d stream.CatchmentDay
			s, d = set.c.Step(s, p, cols["E_mm"][i])
			sum += d.FlowM3S
			for _, diff := range []float64{
				d.FlowM3S - cols[set.name+"_Q_mm"][i],
				s.ProductionMM - cols[set.name+"_S_mm"][i],
				s.RoutingMM - cols[set.name+"_R_mm"][i],
			} {
				worst = math.Max(worst, math.Abs(diff))
			}
		}
		if worst > 1e-8 {
			t.Errorf("set %s: largest difference in Q, S or R is %g mm, want at most 1e-8", set.name, worst)
		}
		if math.Abs(sum-set.total) > 1e-6 {
			t.Errorf("set %s: total flow %.6f mm, want %.6f", set.name, sum, set.total)
		}
	}
}

func drawCatchment(t *rapid.T) stream.Catchment {
	return stream.Catchment{
		AreaM2: rapid.Float64Range(1e4, 1e9).Draw(t, "areaM2"),
		X1MM:   rapid.Float64Range(10, 3000).Draw(t, "x1"),
		X2MMD:  rapid.Float64Range(-10, 10).Draw(t, "x2"),
		X3MM:   rapid.Float64Range(1, 1000).Draw(t, "x3"),
		X4D:    rapid.Float64Range(0.5, 20).Draw(t, "x4"),
	}
}

func drawDays(t *rapid.T, maximum int) (rain, pet []float64) {
	n := rapid.IntRange(1, maximum).Draw(t, "days")
	rain = rapid.SliceOfN(rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 200)), n, n).Draw(t, "rain")
	pet = rapid.SliceOfN(rapid.Float64Range(0, 9), n, n).Draw(t, "pet")
	return rain, pet
}

func TestCatchmentKeepsWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatchment(t)
		c.X2MMD = 0
		s := c.Empty()
		before, in, out := c.StoredMM(s), 0.0, 0.0
		rain, pet := drawDays(t, 60)
		for i := range rain {
			var d stream.CatchmentDay
			s, d = c.Step(s, rain[i], pet[i])
			in += rain[i]
			out += d.AE + d.Q
		}
		if lost := before + in - out - c.StoredMM(s); math.Abs(lost) > 1e-9*(1+in+before) {
			t.Fatalf("%g mm of %g mm are lost", lost, in)
		}
	})
}

func TestCatchmentStaysFiniteAndInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatchment(t)
		rain, pet := drawDays(t, 40)
		whole := make([]float64, len(rain))
		end := c.Run(whole, c.Empty(), rain, pet)
		for i, q := range whole {
			if !(q >= 0) || math.IsInf(q, 0) {
				t.Fatalf("day %d: flow %g m³/s", i, q)
			}
		}
		cut := rapid.IntRange(0, len(rain)).Draw(t, "cut")
		pieces := make([]float64, len(rain))
		s := c.Run(pieces[:cut], c.Empty(), rain[:cut], pet[:cut])
		s = c.Run(pieces[cut:], s, rain[cut:], pet[cut:])
		if s != end {
			t.Fatal("the state differs when the run is cut in two")
		}
		for i := range whole {
			if whole[i] != pieces[i] {
				t.Fatalf("day %d: %g in one run, %g in two", i, whole[i], pieces[i])
			}
		}
	})
}

// plainGR4J is the paper's text word for word, with powers as powers.
func plainGR4J(c stream.Catchment, s, r float64, rain, pet []float64) []float64 {
	sh1 := func(t float64) float64 { return math.Pow(math.Min(1, math.Max(0, t/c.X4D)), 2.5) }
	sh2 := func(t float64) float64 {
		if t <= c.X4D {
			return 0.5 * math.Pow(t/c.X4D, 2.5)
		}
		return 1 - 0.5*math.Pow(math.Max(0, 2-t/c.X4D), 2.5)
	}
	var pr, flow []float64
	for day, p := range rain {
		e := pet[day]
		var pn, ps, es float64
		if p >= e {
			pn = p - e
			ps = c.X1MM * (1 - math.Pow(s/c.X1MM, 2)) * math.Tanh(pn/c.X1MM) / (1 + s/c.X1MM*math.Tanh(pn/c.X1MM))
		} else {
			en := e - p
			es = s * (2 - s/c.X1MM) * math.Tanh(en/c.X1MM) / (1 + (1-s/c.X1MM)*math.Tanh(en/c.X1MM))
		}
		s += ps - es
		perc := s * (1 - math.Pow(1+math.Pow(4.0/9*s/c.X1MM, 4), -0.25))
		s -= perc
		pr = append(pr, perc+pn-ps)
		var q9, q1 float64
		for back := 0; back <= day && back < 40; back++ {
			t := float64(back)
			q9 += 0.9 * pr[day-back] * (sh1(t+1) - sh1(t))
			q1 += 0.1 * pr[day-back] * (sh2(t+1) - sh2(t))
		}
		f := c.X2MMD * math.Pow(r/c.X3MM, 3.5)
		r = math.Max(0, r+q9+f)
		qr := r * (1 - math.Pow(1+math.Pow(r/c.X3MM, 4), -0.25))
		r -= qr
		flow = append(flow, qr+math.Max(0, q1+f))
	}
	return flow
}

func TestCatchmentAgainstPlainFormula(t *testing.T) {
	rain, pet := forcing(1)
	for _, x4 := range []float64{0.5, 0.8, 1, 1.7, 2, 7.3, 20} {
		c := stream.Catchment{AreaM2: oneMMArea, X1MM: 280, X2MMD: -1.3, X3MM: 60, X4D: x4}
		want := plainGR4J(c, 100, 30, rain, pet)
		got := make([]float64, len(rain))
		c.Run(got, stream.State{ProductionMM: 100, RoutingMM: 30}, rain, pet)
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-10*(1+want[i]) {
				t.Fatalf("X4 = %g, day %d: %g mm, the plain formula gives %g", x4, i, got[i], want[i])
			}
		}
	}
}

func BenchmarkCatchmentTenYears(b *testing.B) {
	rain, pet := forcing(10)
	dst := make([]float64, len(rain))
	c := stream.Catchment{AreaM2: 2e6, X1MM: 350, X2MMD: 0, X3MM: 90, X4D: 1.7}
	begin := time.Now()
	plainGR4J(c, 210, 63, rain, pet)
	plain := time.Since(begin)
	b.ReportAllocs()
	for b.Loop() {
		c.Flow(dst, rain, pet)
	}
	each := b.Elapsed() / time.Duration(b.N)
	b.ReportMetric(each.Seconds()*1000, "ms/10-years")
	b.ReportMetric(float64(each)/float64(plain), "x-plain")
}

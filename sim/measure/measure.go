package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is the system of units that results are printed in.
type System int

// The systems.
const (
	Metric System = iota
	US
)

// Common practice.
const (
	bucketM3   = 0.020 // the 20 L bucket
	usBucketM3 = 5 * gallonM3
)

// Of returns US if us is true.
func Of(us bool) System {
	if us {
		return US
	}
	return Metric
}

// Scale turns SI numbers into numbers of a unit: number = SI·Factor + Offset.
type Scale struct {
	Unit           string
	Factor, Offset float64
}

// Of returns si in the scale's unit.
func (s Scale) Of(si float64) float64 { return si*s.Factor + s.Offset }

// All returns a new slice with every value in the scale's unit.
func (s Scale) All(si []float64) []float64 {
	out := make([]float64, len(si))
	for i, v := range si {
		out[i] = s.Of(v)
	}
	return out
}

// FlowAxis is for flows in m³/s.
func (s System) FlowAxis() Scale {
	if s == US {
		return Scale{"gal/min", 60 / gallonM3, 0}
	}
	return Scale{"L/s", 1000, 0}
}

// LengthAxis is for lengths and heads in m.
func (s System) LengthAxis() Scale {
	if s == US {
		return Scale{"ft", 1 / FootM, 0}
	}
	return Scale{"m", 1, 0}
}

// BoreAxis is for bores of pipes and nozzles in m.
func (s System) BoreAxis() Scale {
	if s == US {
		return Scale{"in", 1000 / MMPerInch, 0}
	}
	return Scale{"mm", 1000, 0}
}

// LitreAxis is for fuel and other volumes in L.
func (s System) LitreAxis() Scale {
	if s == US {
		return Scale{"gal", 1e-3 / gallonM3, 0}
	}
	return Scale{"L", 1, 0}
}

// RainAxis is for rain in mm.
func (s System) RainAxis() Scale {
	if s == US {
		return Scale{"in", 1 / MMPerInch, 0}
	}
	return Scale{"mm", 1, 0}
}

// TempAxis is for temperatures in °C.
func (s System) TempAxis() Scale {
	if s == US {
		return Scale{"°F", 1.8, 32}
	}
	return Scale{"°C", 1, 0}
}

// Flow writes a flow in m³/s.
func (s System) Flow(m3S float64) string { return s.FlowAxis().write(m3S) }

// Length writes a length or a head in m.
func (s System) Length(m float64) string { return s.LengthAxis().write(m) }

// Bore writes the bore of a pipe or nozzle given in m: "50 mm", "7.5 mm".
func (s System) Bore(m float64) string {
	a := s.BoreAxis()
	v, _ := strconv.ParseFloat(strconv.FormatFloat(a.Of(m), 'g', 3, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64) + " " + a.Unit
}

// Rain writes a depth of rain in mm.
func (s System) Rain(mm float64) string {
	if s == US {
		return fmt.Sprintf("%.1f in", mm/MMPerInch)
	}
	return fmt.Sprintf("%.0f mm", mm)
}

// Wire names the thinnest wire that is sold (American gauges; the sections of
// IEC 60228) and has at least the given section in m².
func (s System) Wire(m2 float64) string {
	mm2 := m2 * 1e6 * (1 - 1e-9)
	if s == US {
		for gauge := 14; gauge >= -3; gauge-- {
			d := awgDiameterMM(gauge)
			switch {
			case math.Pi/4*d*d < mm2:
			case gauge < 0:
				return fmt.Sprintf("%d/0 AWG", 1-gauge)
			case gauge == 0:
				return "1/0 AWG"
			default:
				return fmt.Sprintf("%d AWG", gauge)
			}
		}
		return Digits(math.Ceil(mm2/0.5067), 3) + " kcmil" // thousand circular mils
	}
	for _, sold := range []float64{1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300, 400} {
		if sold >= mm2 {
			return fmt.Sprintf("%g mm²", sold)
		}
	}
	return fmt.Sprintf("%.0f mm²", math.Ceil(mm2))
}

// Temp writes a temperature in °C.
func (s System) Temp(c float64) string {
	return fmt.Sprintf("%.0f %s", s.TempAxis().Of(c), s.TempAxis().Unit)
}

// Velocity writes a velocity in m/s.
func (s System) Velocity(mS float64) string {
	if s == US {
		return Digits(mS/FootM, 2) + " ft/s"
	}
	return Digits(mS, 2) + " m/s"
}

// Volume writes a volume in m³.
func (s System) Volume(m3 float64) string {
	switch {
	case s == US:
		return Digits(m3/gallonM3, 3) + " gal"
	case m3 >= 1:
		return Digits(m3, 3) + " m³"
	}
	return Digits(m3*1000, 3) + " L"
}

// Room writes a volume of air in m³.
func (s System) Room(m3 float64) string {
	if s == US {
		return Digits(m3/(FootM*FootM*FootM), 2) + " ft³"
	}
	return Digits(m3, 2) + " m³"
}

// Opening writes the area of a vent in cm².
func (s System) Opening(cm2 float64) string {
	if s == US {
		return Digits(cm2*100/(MMPerInch*MMPerInch), 2) + " in²"
	}
	return Digits(cm2, 2) + " cm²"
}

// Pressure writes a pressure in Pa.
func (s System) Pressure(pa float64) string {
	if s == US {
		return Digits(pa/psiPa, 3) + " psi"
	}
	return Digits(pa/1e5, 2) + " bar"
}

// Bucket names the bucket that a homesteader of this system owns.
func (s System) Bucket() string {
	if s == US {
		return "5 gal bucket"
	}
	return "20 L bucket"
}

// BucketSeconds returns the time in s in which the flow fills the bucket.
func (s System) BucketSeconds(m3S float64) float64 {
	if s == US {
		return usBucketM3 / m3S
	}
	return bucketM3 / m3S
}

// BucketFills writes "the 20 L bucket fills in 14 s" for a flow in m³/s.
func (s System) BucketFills(m3S float64) string {
	if m3S <= 0 {
		return "the " + s.Bucket() + " never fills"
	}
	t := s.BucketSeconds(m3S)
	if t < 0.95 {
		return "the " + s.Bucket() + " is full within a second"
	}
	return fmt.Sprintf("the %s fills in %s", s.Bucket(), Seconds(t))
}

// Seconds writes a short time: tenths below 10 s, minutes above 2 min.
func Seconds(s float64) string {
	switch {
	case s < 9.95:
		return fmt.Sprintf("%.1f s", s)
	case s < 120:
		return fmt.Sprintf("%.0f s", s)
	case s < 7200:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.0f h", s/3600)
}

// Power writes W below 1 kW and kW above.
func Power(w float64) string {
	if math.Abs(w) < 999.5 {
		return Digits(w, 3) + " W"
	}
	return Digits(w/1000, 3) + " kW"
}

// Energy writes an energy given in Wh as kWh.
func Energy(wh float64) string { return Digits(wh/1000, 3) + " kWh" }

// Percent writes a share of 0 to 1.
func Percent(fraction float64) string {
	p := fraction * 100
	if p != 0 && math.Abs(p) < 9.95 {
		return Digits(p, 2) + " %"
	}
	return fmt.Sprintf("%.0f %%", p)
}

// Digits writes v with n significant digits and no exponent, with thousands
// kept together: 0.0347 → "0.035" for n = 2, 12345 → "12,300" for n = 3.
func Digits(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', n-1, 64), 64)
	places := n - 1 - int(math.Floor(math.Log10(math.Abs(v))+1e-12))
	return group(strconv.FormatFloat(v, 'f', max(places, 0), 64))
}

// Count writes a whole number with its thousands set apart.
func Count(n int) string { return group(strconv.Itoa(n)) }

// Plural writes "1 hour" or "3 hours".
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Count(n) + " " + many
}

// Hours writes a number of hours, also a mean of them: "no hour", "0.9 hours",
// "1 hour", "28 hours".
func Hours(h float64) string {
	switch n := HoursNumber(h); n {
	case "0":
		return "no hour"
	case "1":
		return "1 hour"
	default:
		return n + " hours"
	}
}

// HoursNumber writes the number of [Hours] alone, as tables have it: whole,
// but tenths below ten where it is a mean. What is not quite nothing is not
// written as 0.
func HoursNumber(h float64) string {
	switch whole := math.Abs(h-math.Round(h)) < 0.05; {
	case h > 0 && h < 0.05:
		return "under 0.1"
	case h < 9.95 && !whole:
		return fmt.Sprintf("%.1f", h)
	}
	return Count(int(math.Round(h)))
}

func (s Scale) write(si float64) string { return Digits(s.Of(si), 3) + " " + s.Unit }

// group sets thousands apart with commas.
func group(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	whole, frac, has := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if has {
		whole += "." + frac
	}
	return sign + whole
}

// Land writes an area of land in m².
func (s System) Land(m2 float64) string {
	switch acres := m2 / acreM2; {
	case s == US && acres >= 640:
		return Digits(acres/640, 2) + " mi²"
	case s == US:
		return Digits(acres, 2) + " acres"
	case m2 >= 1e6:
		return Digits(m2/1e6, 2) + " km²"
	}
	return Digits(m2/1e4, 2) + " ha"
}

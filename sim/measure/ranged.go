package measure

import (
	"math"
	"strconv"
)

// Ranged writes a number with the range that it lies in, all of them no finer
// than the range tells: to a tenth of the decade of its width. "24", "21", "40";
// "380", "180", "430". Without a range it has three digits. What is infinite is
// "–".
func Ranged(v, low, high float64) (value, from, to string) {
	width := high - low
	if !(width > 0) || math.IsInf(width, 0) {
		width = 0
	}
	write := func(x float64) string {
		switch {
		case math.IsInf(x, 0) || math.IsNaN(x):
			return "–"
		case width == 0:
			return Digits(x, 3)
		}
		exp := int(math.Floor(math.Log10(width)+1e-9)) - 1
		step := math.Pow(10, float64(exp))
		return group(strconv.FormatFloat(math.Round(x/step)*step+0, 'f', max(0, -exp), 64))
	}
	return write(v), write(low), write(high)
}

// RangedHours is [Ranged] for hours, which are whole.
func RangedHours(v, low, high float64) (value, from, to string) {
	if high-low < 100 {
		return HoursNumber(math.Round(v)), HoursNumber(math.Round(low)), HoursNumber(math.Round(high))
	}
	return Ranged(v, low, high)
}

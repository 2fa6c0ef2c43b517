package sim

// Gate fills dst with what is left of an always-open hydro series when the
// valve is open only from openHour (included) to closeHour (excluded) of the
// run, and returns it. If closeHour comes before openHour the valve is open at
// both ends of the run and closed between; if they are equal it is never open.
// dst and hydroW may be the same slice.
func Gate(dst, hydroW []float64, openHour, closeHour int) []float64 {
	if len(dst) != len(hydroW) {
		panic("sim: dst and hydroW differ in length")
	}
	copy(dst, hydroW)
	clearHours := func(from, to int) {
		from, to = max(0, from), min(len(dst), to)
		if from < to {
			clear(dst[from:to])
		}
	}
	if openHour <= closeHour {
		clearHours(0, openHour)
		clearHours(closeHour, len(dst))
	} else {
		clearHours(closeHour, openHour)
	}
	return dst
}

package stream

// Model is a creek that answers to rain: a [Curve] or a [Catchment].
type Model interface {
	// Empty returns the state from which a warm-up begins.
	Empty() State

	// Run moves the model from s through the days of rainMM and petMM, writes
	// each day's flow in m³/s to dst and returns the state after the last
	// day. A nil dst runs for the state alone. Nothing is allocated, and a
	// record cut into pieces gives the same numbers as one run.
	Run(dst []float64, s State, rainMM, petMM []float64) State

	// Flow fills dst (or, if nil, a new slice) with the flow in m³/s of each
	// day of a record, after a [WarmUp].
	Flow(dst, rainMM, petMM []float64) []float64
}

// State is the water under way at the end of a day. Each model uses its own
// part; the rest stays zero. It is plain data: copy it, save it, go on from it.
type State struct {
	// Curve.
	SoilMM   float64 // in the soil store
	QuickMMD float64 // leaves the quick store, mm a day
	IndexMMD float64 // wetness index, mm a day

	// Catchment.
	ProductionMM float64            // S of the paper
	RoutingMM    float64            // R of the paper
	UH1MM        [maxX4]float64     // still to leave the unit hydrographs,
	UH2MM        [2 * maxX4]float64 // tomorrow's share at index 1
}

const (
	yearDays    = 365
	warmUpYears = 2
)

// WarmUp returns the state of m at the beginning of a record, by running the
// record's first 365 days twice over. Stores that remember longer than that keep a
// little of their start.
func WarmUp(m Model, rainMM, petMM []float64) State {
	n := min(yearDays, len(rainMM))
	s := m.Empty()
	for range warmUpYears {
		s = m.Run(nil, s, rainMM[:n], petMM[:n])
	}
	return s
}

func flow(m Model, dst, rainMM, petMM []float64) []float64 {
	if dst == nil {
		dst = make([]float64, len(rainMM))
	}
	m.Run(dst, WarmUp(m, rainMM, petMM), rainMM, petMM)
	return dst
}

func checkLengths(dst, rainMM, petMM []float64) {
	if len(rainMM) != len(petMM) {
		panic("stream: rainMM and petMM differ in length")
	}
	if dst != nil && len(dst) != len(rainMM) {
		panic("stream: dst and rainMM differ in length")
	}
}

// m3sPerMMD is the flow in m³/s of 1 mm a day from areaM2.
func m3sPerMMD(areaM2 float64) float64 { return areaM2 / (1000 * 86400) }

package record

import "sunrill/sim"

// otherKWh are the energies of sources that have no field of their own in an
// object, by key; nil where there are none.
func otherKWh(ys sim.Yields, decimals int) map[string]float64 {
	var o map[string]float64
	for _, y := range ys {
		if y.Key == sim.Panels.Key || y.Key == sim.Creek.Key {
			continue
		}
		if o == nil {
			o = map[string]float64{}
		}
		o[y.Key] = Round(y.Wh/1000, decimals)
	}
	return o
}

// otherKeys are the keys of such sources in any of several yields, each once.
func otherKeys(of []sim.Yields) []string {
	var keys []string
	for _, k := range sim.MeanYields(of).Kinds() {
		if k != sim.Panels && k != sim.Creek {
			keys = append(keys, k.Key)
		}
	}
	return keys
}

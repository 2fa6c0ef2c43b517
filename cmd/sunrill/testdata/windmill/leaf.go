// Package windmill turns a wind that never changes into watts at the bus. It is
// the source that the test of a third source adds, and no part of Sunrill.
package windmill

// Mill is a windmill.
type Mill struct{ PowerW float64 }

// Series fills dst with what the mill gives in each hour and returns it.
func (m Mill) Series(dst []float64) []float64 {
	for h := range dst {
		dst[h] = m.PowerW
	}
	return dst
}

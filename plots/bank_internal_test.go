package plots

import (
	"math"
	"testing"
)

// Two lines that part on the left and run together on the right, and one far
// above: each word stands on its own line and farther from the others than a
// letter is high.
func TestWordsStandWhereLinesAreApart(t *testing.T) {
	var near, low, high []spot
	for i := range 101 {
		x := float64(i) / 100
		apart := 0.3 * math.Max(0, 0.6-x)
		low = append(low, spot{x, 0.1})
		near = append(near, spot{x, 0.11 + apart})
		high = append(high, spot{x, 0.8})
	}
	lines := [][]spot{low, near, high}
	for i, at := range roomiest(lines) {
		own, others := math.Inf(1), math.Inf(1)
		for k, line := range lines {
			for _, s := range line {
				if d := math.Hypot(s.x-at.x, s.y-at.y); k == i {
					own = min(own, d)
				} else {
					others = min(others, d)
				}
			}
		}
		if own != 0 || others < 0.06 {
			t.Errorf("word %d at %.2f, %.2f: %g from its own line, %.3f from the others", i, at.x, at.y, own, others)
		}
		if at.x < 0.06 || at.x > 0.94 {
			t.Errorf("word %d at %.2f stands at the edge", i, at.x)
		}
	}
}

package hydro_test

import "testing"

// A spear valve that is throttled to a limit gives the limit, and not a hair
// more where the straight lines of its table lie above the curve.
func TestThrottledSpearKeepsToTheLimit(t *testing.T) {
	met := 0
	for _, limitW := range []float64{40, 70, 100, 137, 200} {
		for _, bore := range []float64{0.05, 0.08, 0.12} {
			p := plant()
			p.Penstock.BoreM = bore
			p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S, p.Turbine.MaxPowerW = nil, 0.006, limitW
			flow := make([]float64, 60)
			for d := range flow {
				flow[d] = 0.0006 + 0.0001*float64(d)
			}
			for h, w := range p.Series(nil, flow).PowerW {
				if w > limitW {
					t.Fatalf("limit %g W, bore %g m: hour %d gives %.9g W", limitW, bore, h, w)
				}
				if w > 0.9999*limitW {
					met++
				}
			}
		}
	}
	if met == 0 {
		t.Error("the limit is never met")
	}
}

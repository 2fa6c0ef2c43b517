package sizing_test

import (
	"fmt"
	"math"
	"testing"

	"sunrill/sim/sizing"
)

// 150 Ah a day for 5 days from a bank that may be drawn down to a fifth, by
// the reckoning of IEEE Std 1013 as public teaching material quotes it; the
// figures are worked out by hand.
func ExampleAutonomy() {
	a := sizing.Autonomy{Daily: 150, Days: 5, MaxDepth: 0.8, DailyDepth: 0.2, EndOfLife: 0.8}
	depth, daily, endOfLife := a.Candidates()
	fmt.Printf("%.1f, %.0f and %.1f Ah\n", depth, daily, endOfLife)
	fmt.Printf("%.1f Ah\n", a.Capacity())
	a.TempFactor = 0.9
	fmt.Printf("%.1f Ah in the cold\n", a.Capacity())
	a.Margin = 1.1
	fmt.Printf("%.1f Ah with a margin\n", a.Capacity())
	// Output:
	// 937.5, 750 and 937.5 Ah
	// 937.5 Ah
	// 1041.7 Ah in the cold
	// 1145.8 Ah with a margin
}

// A lamp of 18 W for 4 h, a fan of 60 W for 2 h and a refrigerator of 75 W
// that runs half of 24 h, as in a lecture's sizing sheet that circulates
// widely (also at electricalengineeringnotes.com, Off-grid solar system design
// step by step). It prints 413.9 Wp; its generation factor is 3.43 although it
// prints 3.4.
func ExamplePanelSheet() {
	const dailyWh = 18*4 + 60*2 + 75*24*0.5
	p := sizing.PanelSheet{DailyWh: dailyWh, LossFactor: 1.3, SunHours: 3.43}
	fmt.Printf("%.0f Wh a day, with losses %.1f Wh\n", float64(dailyWh), dailyWh*p.LossFactor)
	fmt.Printf("panels %.1f W\n", p.PanelW())
	// Output:
	// 1092 Wh a day, with losses 1419.6 Wh
	// panels 413.9 W
}

// A second teaching sheet: 2,560 Wh a day, sun hours of 6, 4.5 and 4, and a
// fifth more for wiring: 635.6 W.
func TestPanelSheetPublished(t *testing.T) {
	p := sizing.PanelSheet{DailyWh: 100*8 + 2*60*8 + 100*8, LossFactor: 1.2, SunHours: (6 + 4.5 + 4) / 3.0}
	if p.DailyWh != 2560 {
		t.Errorf("daily use %g Wh, the sheet has 2560", p.DailyWh)
	}
	if got := p.PanelW(); math.Abs(got-635.6) > 0.05 {
		t.Errorf("panels of %.2f W, the sheet has 635.6 W", got)
	}
}

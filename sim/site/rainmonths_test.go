package site_test

import (
	"math"
	"strings"
	"testing"

	"sunrill/sim/site"
)

const twelveMonths = "month,rain_mm,wet_days\n1,150,18\n2,110,15\n3,90,14\n4,70,12\n5,50,9\n6,30,6\n7,10,2\n8,15,3\n9,40,6\n10,90,12\n11,160,18\n12,170,19\n"

// byMonths is the small site with the twelve months in place of a daily record.
func byMonths(rain, table string) map[string]string {
	toml := strings.Replace(string(folder(nil)["site.toml"].Data), "[rain]\n", "[rain]\n"+rain, 1)
	return map[string]string{"site.toml": toml, "rain-months.csv": table}
}

func TestRainFromMonths(t *testing.T) {
	s := mustLoad(t, folder(byMonths("months = \"rain-months.csv\"\nyears = 12\n", twelveMonths)), site.Options{})
	if !s.RainFromMonths || s.Rain.Start.Format("2006-01-02") != "1901-10-01" || s.Rain.Days() != 12*365+3 {
		t.Fatalf("from months: %v, %d days from %v", s.RainFromMonths, s.Rain.Days(), s.Rain.Start)
	}
	sum := 0.0
	for _, mm := range s.Rain.RainMM {
		sum += mm
	}
	if year := sum / 12; math.Abs(year-985) > 2 {
		t.Errorf("%.0f mm a year, the table has 985", year)
	}
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "made up") || !strings.Contains(s.Warnings[0], "a third") {
		t.Errorf("warnings %q", s.Warnings)
	}
	// Inches say the same; another seed makes other days.
	inches := mustLoad(t, folder(byMonths("months = \"rain-months.csv\"\nyears = 12\n", strings.NewReplacer("rain_mm", "rain_in", "7,10,", "7,0.393701,").Replace(
		"month,rain_mm,wet_days\n1,0,0\n2,0,0\n3,0,0\n4,0,0\n5,0,0\n6,0,0\n7,10,2\n8,0,0\n9,0,0\n10,0,0\n11,0,0\n12,0,0\n"))), site.Options{})
	july := 0.0
	for _, mm := range inches.Rain.RainMM {
		july += mm / 12
	}
	if math.Abs(july-10) > 0.01 {
		t.Errorf("July alone has %.2f mm, the table 10", july)
	}
	other := mustLoad(t, folder(byMonths("months = \"rain-months.csv\"\nyears = 12\nseed = 2\n", twelveMonths)), site.Options{})
	same := true
	for i := range other.Rain.RainMM {
		same = same && other.Rain.RainMM[i] == s.Rain.RainMM[i]
	}
	if same {
		t.Error("another seed gives the same days")
	}
}

// Without rain.csv the table is taken of itself.
func TestMonthsAreTakenWhereThereIsNoDailyRecord(t *testing.T) {
	fsys := folder(byMonths("", twelveMonths))
	delete(fsys, "rain.csv")
	if s := mustLoad(t, fsys, site.Options{}); !s.RainFromMonths {
		t.Error("the months are not taken")
	}
	if s := mustLoad(t, folder(byMonths("", twelveMonths)), site.Options{}); s.RainFromMonths {
		t.Error("the months are taken beside a daily record")
	}
}

func TestBadRainMonths(t *testing.T) {
	mustRefuse(t, folder(byMonths("months = \"rain-months.csv\"\nfile = \"rain.csv\"\n", twelveMonths)), "rain.months: is given beside file")
	mustRefuse(t, folder(byMonths("years = 10\n", twelveMonths)), "rain.years: has no meaning with a daily record")
	bad := strings.NewReplacer("1,150,18", "1,150,32", "2,110,15", "2,-3,1", "3,90,14", "13,90,14", "4,70,12", "4,70,0", "5,50,9", "5,0,9", "6,30,6", "6,3000,6").Replace(twelveMonths)
	mustRefuse(t, folder(byMonths("months = \"rain-months.csv\"\n", bad)),
		"rain-months.csv:2:7: wet_days: 32 is outside 0 to 31", "rain-months.csv:3:3: rain_mm: rain cannot be negative", "rain-months.csv:4:1: month: there is no month 13",
		"rain-months.csv:5:6: wet_days: there is rain on no day", "rain-months.csv:6:3: rain_mm: there are wet days without rain", "rain-months.csv:7:3: rain_mm: 500 mm on each wet day")
	mustRefuse(t, folder(byMonths("months = \"rain-months.csv\"\n", strings.Replace(twelveMonths, "12,170,19\n", "", 1))), "December is missing")
}

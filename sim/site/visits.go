package site

import (
	"math"
	"strconv"
	"strings"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

// visits reads when somebody walks up to the turbine. It stands in the place
// of an older key of the turbine, for which it is told how to write it now.
func (l *loader) visits(t, turbine *files.Table) hydro.Visits {
	t = orEmpty(l, t, "visits")
	v := hydro.Visits{}
	if days, never := orNever(t, "every", measure.DayCounts, 1, 366, files.Or("7 days", "somebody walks up once a week")); !never && !math.IsNaN(days) {
		if v.EveryDays = int(math.Round(days)); math.Abs(days-float64(v.EveryDays)) > 1e-9 {
			t.Wrong("every", "rounds are made on a day: \"7 days\", or \"never\"", "is no whole number of days")
		}
	}
	v.AfterStop = yes(t, "after_stop", true, "a turbine that stands is missed within a day")
	if mm, never := orNever(t, "after_rain", measure.Depths, 1, 1000, files.Or("20 mm", "such a rain is heard, and brings leaves onto the screen")); !never && !math.IsNaN(mm) {
		v.AfterRainMM = mm
	}
	t.Done()
	if turbine != nil && turbine.Has("adjust") {
		now := map[string]string{"daily": `every = "1 day"`, "never": `every = "never", after_stop = false and after_rain = "never"`}[written(turbine, "adjust")]
		if now == "" {
			now = `every = "7 days"`
		}
		turbine.Wrong("adjust", "strike it, and write a table [visits] with "+now, "is told in [visits] now")
	}
	return v
}

// written returns a key's text, "" if it is none.
func written(t *files.Table, key string) string {
	raw, _ := t.Look(key)
	s, _ := raw.(string)
	return strings.ToLower(strings.TrimSpace(s))
}

// orNever reads a quantity for which "never" may stand.
func orNever(t *files.Table, key string, m *measure.Measure, low, high float64, a files.Absent) (value float64, never bool) {
	if t.Has(key) && written(t, key) == "never" {
		return 0, true
	}
	return t.Quantity(key, m, low, high, a, `or "never"`), false
}

// yes reads true or false.
func yes(t *files.Table, key string, otherwise bool, reason string) bool {
	if t.Has(key) {
		return t.Flag(key)
	}
	t.Missing(key, files.Or(strconv.FormatBool(otherwise), reason))
	return otherwise
}

package measure

import (
	"regexp"
	"strconv"
	"strings"
)

// quantities are the metric ones that texts hold, "0 to 60 °C" among them. A
// "C" without its degree counts only where it ends the text, as the value of a
// key does.
var quantities = regexp.MustCompile(`(-?\d+(?:\.\d+)?)((?: to -?\d+(?:\.\d+)?)?) ?(°C|C$|mm/day|mm|cm|km|m|L/s|L/day|L/min|L|bar|km2|ha|m3)([\s,.;:)]|$)`)

var number = regexp.MustCompile(`-?\d+(?:\.\d+)?`)

// respelled is what each metric unit becomes in US units.
var respelled = map[string]Scale{
	"°C": US.TempAxis(), "C": {"F", 1.8, 32},
	"mm/day": {"in/day", 1 / MMPerInch, 0}, "mm": {"in", 1 / MMPerInch, 0}, "cm": {"in", 10 / MMPerInch, 0},
	"m": US.LengthAxis(), "km": {"mi", 1000 / (5280 * FootM), 0},
	"L/s": {"gal/min", 1e-3 * 60 / gallonM3, 0}, "L/day": {"gal/day", 1e-3 / gallonM3, 0}, "L/min": {"gal/min", 1e-3 / gallonM3, 0}, "L": US.LitreAxis(),
	"bar": {"psi", 1e5 / psiPa, 0},
	"km2": {"mi2", 1 / (1.609344 * 1.609344), 0}, "ha": {"acre", 1e4 / acreM2, 0}, "m3": {"ft3", 1 / (FootM * FootM * FootM), 0},
}

// Respell returns a text with the metric quantities in it written in the
// system's own units, as site.toml takes them too; metric texts stay as they
// are.
func (s System) Respell(text string) string { return s.RespellTo(text, 2) }

// RespellTo is [System.Respell] to some digits; temperatures keep whole degrees.
func (s System) RespellTo(text string, digits int) string {
	if s != US {
		return text
	}
	return quantities.ReplaceAllStringFunc(text, func(all string) string {
		m := quantities.FindStringSubmatch(all)
		to := respelled[m[3]]
		write := func(n string) string {
			v, err := strconv.ParseFloat(n, 64)
			if err != nil {
				return n
			}
			if v = to.Of(v); to.Offset != 0 {
				return strconv.FormatFloat(v, 'f', 0, 64)
			}
			v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
			return strconv.FormatFloat(v, 'f', -1, 64)
		}
		return number.ReplaceAllStringFunc(strings.TrimSpace(m[1]+m[2]), write) + " " + to.Unit + m[4]
	})
}

package report

import (
	"fmt"
	"strings"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// learn says how each cause is found out, as a homesteader can. The sky and the
// coming year cannot be.
var learn = map[sim.Cause]string{
	sim.TheCreek:      "read the creek with a bucket and a watch in wet weeks and in dry ones, a dozen times or more, and run \"sunrill fit\"",
	sim.TheSunHours:   "write down what the panels give (meter.csv) through a winter, or lay a nearby station's sun record beside yours",
	sim.TheHead:       "measure the head again, with a level and a staff or a pressure gauge on the filled pipe",
	sim.TheFlow:       "weigh what the bucket holds, and catch what runs past it",
	sim.TheEfficiency: "read watts at the bus and litres at the nozzle at the same time, on some days",
	sim.TheLoads:      "put a meter on the house for some weeks (demand.csv), or on the largest uses",
	sim.ThePrices:     "ask for quotes",
}

// blame says in two sentences what a spread comes from, and what to find out
// next. of is the answer: "the hours in the dark".
func blame(of string, b sim.Blame) string {
	type part struct {
		name     string
		fraction float64
	}
	var parts []part
	if b.Years > 0 {
		parts = append(parts, part{"which year comes", b.Years})
	}
	for _, s := range b.Fractions {
		p := part{causeNames[s.Cause], s.Fraction}
		at := len(parts)
		for at > 0 && parts[at-1].fraction < p.fraction {
			at--
		}
		parts = append(parts[:at:at], append([]part{p}, parts[at:]...)...)
	}
	var words []string
	rest := 1.0
	for _, p := range parts {
		if p.fraction < 0.05 || len(words) == 4 {
			continue
		}
		rest -= p.fraction
		words = append(words, fmt.Sprintf("%s %s", p.name, tens(p.fraction)))
	}
	if words == nil {
		return ""
	}
	text := fmt.Sprintf("What the spread of %s comes from: %s", of, strings.Join(words, ", "))
	if rest > 0.15 {
		text += "; the rest is what they make together"
	}
	text += "."
	for _, s := range b.Fractions {
		how, ok := learn[s.Cause]
		if !ok || s.Fraction < 0.1 {
			continue
		}
		return text + fmt.Sprintf(" To know it better, %s: alone that would narrow the range by about %s.", how, tens(sim.Narrowed(s.Fraction)))
	}
	return text + " Nothing that you could measure would narrow the range by much."
}

// blame is [blame] of one of the answers, nothing where it is not known.
func (d Doubts) blame(of string, which func(*sim.Blames) sim.Blame) []string {
	if d.Blames == nil {
		return nil
	}
	if text := blame(of, which(d.Blames)); text != "" {
		return []string{text}
	}
	return nil
}

// tens writes a share to the nearest tenth, as far as some draws can tell.
func tens(fraction float64) string {
	n := int(10*fraction + 0.5)
	if n == 0 {
		return "under 10 %"
	}
	return measure.Percent(float64(n) / 10)
}

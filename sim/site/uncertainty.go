package site

import (
	"sunrill/sim/files"
	"sunrill/sim/measure"
)

// Uncertainty is how unsure the owner is of what the site says: for each, the
// share by which the true value may lie above or below in 8 cases of 10. 0 is
// sure.
type Uncertainty struct {
	Sun        float64 // of the sun hours
	Head       float64 // of the gross head
	Flow       float64 // of every flow of the creek alike, as by a bucket that holds more than it says
	Efficiency float64 // of machine, alternator and cable together
	Loads      float64 // of what the appliances take
	Prices     float64 // of each price by itself
}

// uncertainty reads [uncertainty]. What the site does not have is not asked for.
func (l *loader) uncertainty() {
	t := orEmpty(l, l.Table("uncertainty"), "uncertainty")
	s := l.site
	const maximum = 1
	read := func(key string, applies bool, text, reason string) float64 {
		a := files.Or(text, reason)
		if !applies {
			a = files.Optional
		}
		return t.Quantity(key, measure.Fractions, 0, maximum, a, "in 8 cases of 10 the true value lies within it")
	}
	u := &s.Uncertainty
	u.Sun = read("sun", true, "8 %", "judgement: tables and maps of sun hours are good to 5 to 10 %")
	u.Head = read("head", s.Hydro != nil, "5 %", "judgement: a level and a staff do better, a map or a barometer worse")
	u.Flow = read("flow", s.Stream != nil, "10 %", "judgement: what a bucket holds, and water that runs past it")
	u.Efficiency = read("efficiency", s.Hydro != nil, "10 %", "judgement: small machines seldom give what their sheet says")
	u.Loads = read("loads", true, "15 %", "judgement: a list of appliances against a meter")
	u.Prices = read("prices", s.Prices != nil, "15 %", "judgement")
	t.Done()
}

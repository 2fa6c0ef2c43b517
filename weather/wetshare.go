package weather

import (
	"math"
	"slices"
)

// rainGroup is days of a month of like rain.
type rainGroup struct {
	weight   float64 // fraction of the month's days
	term     float64 // mean of mm^0.3, less the month's
	dry, wet bool    // no rain; rainyDayMM and more
}

const wetGroups = 8

// rainGroups sorts a month's days into those without rain, those with little,
// and eighths of the wet ones.
func (s *Sky) rainGroups(month int, mean float64) []rainGroup {
	refs := s.of.months[month]
	var dry, damp rainGroup
	var wet []float64
	for _, d := range refs {
		switch mm := s.of.record.RainMM[d.index]; {
		case mm == 0:
			dry.weight++
		case mm < rainyDayMM:
			damp.weight++
			damp.term += rainTerm(mm)
		default:
			wet = append(wet, rainTerm(mm))
		}
	}
	dry.dry = true
	damp.term /= math.Max(1, damp.weight)
	groups := []rainGroup{dry, damp}
	slices.Sort(wet)
	for i := range wetGroups {
		part := wet[i*len(wet)/wetGroups : (i+1)*len(wet)/wetGroups]
		g := rainGroup{weight: float64(len(part)), wet: true}
		for _, x := range part {
			g.term += x / float64(len(part))
		}
		groups = append(groups, g)
	}
	for i := range groups {
		groups[i].weight /= float64(len(refs))
		groups[i].term -= mean
	}
	return groups
}

// rainForFraction returns the weight of the rain alone at which the wet days have
// the wanted share of the dry days' sun in the mean over the months that know
// both, by groups of days of like rain and the nodes of a normal spread.
func (s *Sky) rainForFraction(g *reading, fraction float64) float64 {
	var groups [12][]rainGroup
	for m, refs := range s.of.months {
		if len(refs) > 0 {
			groups[m] = s.rainGroups(m, g.meanRain[m])
		}
	}
	excess := func(rain float64) float64 {
		sum, weight := 0.0, 0.0
		for m := range groups {
			if len(groups[m]) == 0 {
				continue
			}
			if ratio, wet, ok := s.wetOverDry(m, groups[m], rain); ok {
				n := wet * float64(len(s.of.months[m]))
				sum += n * ratio
				weight += n
			}
		}
		if weight == 0 {
			return 0
		}
		return sum/weight - fraction
	}
	const maximum = -3.0
	lo, hi := maximum, 0.0
	if excess(lo) >= 0 {
		return usualRain
	}
	for range 12 { // to 0.001
		if mid := (lo + hi) / 2; excess(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// usualRain is the weight of the rain alone at the four stations.
const usualRain = -0.56

// wetOverDry returns the sun of the month's wet days over that of its dry ones,
// each as a fraction of a clear sky, and the fraction of wet days.
func (s *Sky) wetOverDry(month int, groups []rainGroup, rain float64) (ratio, wet float64, ok bool) {
	variance := 0.0
	for _, g := range groups {
		variance += g.weight * g.term * g.term
	}
	left := s.opt.Variability * math.Sqrt(math.Max(1-rain*rain*variance, minLeft*minLeft))
	var u [2 + wetGroups][len(nodeZ)]float64
	for i, g := range groups {
		for k, z := range nodeZ {
			u[i][k] = math.Erfc(-(rain*g.term+left*z)/math.Sqrt2) / 2
		}
	}
	mid := s.of.months[month][len(s.of.months[month])/2].leapDay
	sums := func(c *Clearness) (all, ofWet, ofDry, dry float64) {
		wet = 0
		for i, g := range groups {
			if g.weight == 0 {
				continue
			}
			f := 0.0
			for k, w := range nodeWeight {
				f += w * s.of.factor(c, mid, u[i][k])
			}
			all += g.weight * f
			if g.wet {
				ofWet += g.weight * f
				wet += g.weight
			}
			if g.dry {
				ofDry += g.weight * f
				dry += g.weight
			}
		}
		return all, ofWet, ofDry, dry
	}
	mean := s.of.clearness[month] * s.of.outside[mid]
	c := s.of.law.clearnessOf(s.of.clearness[month]).meeting(mean, func(c *Clearness) float64 {
		all, _, _, _ := sums(c)
		return all
	})
	_, ofWet, ofDry, dry := sums(&c)
	if wet == 0 || dry == 0 || ofDry == 0 || ofDry/dry > 0.999 {
		return 0, 0, false
	}
	return ofWet / wet / (ofDry / dry), wet, true
}

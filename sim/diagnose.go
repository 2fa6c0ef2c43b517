package sim

import (
	"context"
	"math"
)

// Limit is one thing of a homestead that can leave the house dark.
type Limit string

// The limits that [Diagnose] lifts.
const (
	InverterLimit Limit = "inverter" // it carries no more
	ColdLimit     Limit = "cold"     // cold cells give less and take little or no charge
	RateLimit     Limit = "rate"     // the bank takes or gives no more in an hour
	SizeLimit     Limit = "size"     // the bank holds no more
	SourceLimit   Limit = "sources"  // panels and water give too little
)

// Diagnosis tells what leaves the house dark, found by trying: limits are
// lifted and the years run again.
type Diagnosis struct {
	UnmetHours float64 // of a mean year, as it stands
	Alone      []Lift  // each limit lifted by itself, those that the homestead has
	// Causes are the limits that matter, each lifted together with all before it:
	// the first takes most of the hours away. Empty: nothing that was tried
	// helps.
	Causes []Lift
}

// Lift is a limit and what is left without it.
type Lift struct {
	Limit      Limit
	UnmetHours float64 // of a mean year
}

// Without returns what is left with one limit lifted by itself, and whether it
// was tried.
func (d *Diagnosis) Without(l Limit) (unmetHours float64, tried bool) {
	if d == nil {
		return 0, false
	}
	for _, a := range d.Alone {
		if a.Limit == l {
			return a.UnmetHours, true
		}
	}
	return 0, false
}

// How far limits are lifted: the bank to four times, the sources to twice what
// they are; the others altogether.
const (
	LiftedSize    = 4
	LiftedSources = 2
)

// A limit counts as a cause if it takes away a tenth of the hours that are
// left; what a person can mend for sure, all but the sources, comes first where
// it takes half of them. When a hundredth of all is left, enough is explained.
const (
	minFraction    = 0.1
	plainFraction  = 0.5
	enoughFraction = 0.01
)

// Diagnose finds out why the years leave unmet hours on a bus. size says whether
// a bigger bank is among what is tried. It runs the years some ten times.
func Diagnose(ctx context.Context, ys Years, bus Bus, size bool) (*Diagnosis, error) {
	has, err := limitsOf(ctx, ys, bus, size)
	if err != nil {
		return nil, err
	}
	var lifted []Limit
	left, err := liftAll(ctx, ys, bus, nil)
	if err != nil {
		return nil, err
	}
	d := &Diagnosis{UnmetHours: left}
	for left > enoughFraction*d.UnmetHours && len(lifted) < len(has) {
		best, maximum, bestPlain, plain := Limit(""), 0.0, Limit(""), 0.0
		for _, l := range has {
			if containsLimit(lifted, l) {
				continue
			}
			hours, err := liftAll(ctx, ys, bus, append(lifted[:len(lifted):len(lifted)], l))
			if err != nil {
				return nil, err
			}
			if len(lifted) == 0 {
				d.Alone = append(d.Alone, Lift{l, hours})
			}
			if gain := left - hours; gain > maximum {
				best, maximum = l, gain
			}
			if gain := left - hours; gain > plain && l != SourceLimit {
				bestPlain, plain = l, gain
			}
		}
		if plain >= plainFraction*left {
			best, maximum = bestPlain, plain
		}
		if maximum < minFraction*left {
			break
		}
		left -= maximum
		lifted = append(lifted, best)
		d.Causes = append(d.Causes, Lift{best, left})
	}
	return d, nil
}

func containsLimit(ls []Limit, l Limit) bool {
	for _, x := range ls {
		if x == l {
			return true
		}
	}
	return false
}

// limitsOf returns the limits that the homestead has at all.
func limitsOf(ctx context.Context, ys Years, bus Bus, size bool) ([]Limit, error) {
	over := make([]bool, ys.Runs())
	cold := make([]bool, ys.Runs())
	k := &bus.Bank
	err := ys.Visit(ctx, nil, func(c Case) error {
		for _, w := range c.In.OverW {
			over[c.Place] = over[c.Place] || w > UnmetThresholdW
		}
		chill := func(tempC float64) bool {
			return k.FloorAt(tempC) > k.FloorSoC+1e-6 || k.ChargeLimitAt(tempC) < k.MaxChargeW
		}
		cold[c.Place] = chill(k.IndoorC)
		if c.In.BankC != nil {
			cold[c.Place] = false
			for _, t := range c.In.BankC {
				if chill(t) {
					cold[c.Place] = true
					break
				}
			}
		}
		return nil
	})
	any := func(bs []bool) bool {
		for _, b := range bs {
			if b {
				return true
			}
		}
		return false
	}
	var has []Limit
	if any(over) {
		has = append(has, InverterLimit)
	}
	if k.CapacityWh > 0 {
		if any(cold) {
			has = append(has, ColdLimit)
		}
		has = append(has, RateLimit)
		if size {
			has = append(has, SizeLimit)
		}
	}
	return append(has, SourceLimit), err
}

// liftAll returns the unmet hours of a mean year with limits lifted.
func liftAll(ctx context.Context, ys Years, bus Bus, limits []Limit) (float64, error) {
	unmet := make([]int, ys.Runs())
	for _, l := range limits {
		k := &bus.Bank
		switch l {
		case ColdLimit:
			k.FollowsAir, k.IndoorC = false, 25
			k.CapacityByTemp, k.ChargeByTemp, k.ChargeAboveC = nil, nil, -273.15
		case RateLimit:
			k.MaxChargeW, k.MaxDischargeW = math.Inf(1), math.Inf(1)
		case SizeLimit:
			bus.Bank = bus.Bank.Scaled(LiftedSize * bus.Bank.CapacityWh)
		}
	}
	err := ys.Visit(ctx, nil, func(c Case) error {
		in := *c.In
		for _, l := range limits {
			switch l {
			case InverterLimit:
				in.OverW = nil
			case ColdLimit:
				in.BankC = nil
			case SourceLimit:
				for _, s := range c.In.Sources {
					in.Set(s.Kind, scaledTo(nil, s.W, LiftedSources))
				}
			}
		}
		var t Tally
		bus.Span(&in, bus.Start(), 0, in.Hours(), &t)
		unmet[c.Place] = t.UnmetHours
		return nil
	})
	sum := 0
	for _, n := range unmet {
		sum += n
	}
	return float64(sum) / float64(max(ys.Runs(), 1)), err
}

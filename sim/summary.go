package sim

import "sunrill/storage"

// Summary is the headline of a year.
type Summary struct {
	Tally // energies and counts

	Given           Yields // by the sources
	UnmetDays       int    // days with an unmet hour
	LongestUnmetH   int    // longest run of unmet hours
	DeepestDeficit  Spell
	Deficits        int // deficit spells
	DryPipeStops    int
	Visits          int // walks to the turbine
	FirstHazardHour int // -1: none
	FirstOverHour   int // more asked than the inverter can carry; -1: never
	HydroDays       int // days on which the turbine gave power
	Services        int // generator services fallen due

	FlexibleNeedWh float64 // what flexible loads asked for over the year

	Wear storage.Wear
}

// FlexibleFraction returns the share of the flexible loads' need that was served;
// 1 if there was none.
func (s *Summary) FlexibleFraction() float64 {
	if s.FlexibleNeedWh <= 0 {
		return 1
	}
	return s.FlexibleWh / s.FlexibleNeedWh
}

// Summarize reads the headline of a year from its hours.
func Summarize(y *Year) Summary {
	in := y.In
	s := Summary{
		Tally: y.Tally, Given: in.Given(),
		DryPipeStops: len(in.DryStopHour), Visits: len(in.VisitDay), FirstHazardHour: -1, FirstOverHour: -1,
		Wear: y.Bus.Bank.Wear(y.SoC, y.Bus.fullSoC()),
	}
	run := 0
	unmetDay, hydroDay, creekW := -1, -1, in.W(Creek)
	for h := range y.UnmetW {
		if y.UnmetW[h] > UnmetThresholdW {
			run++
			s.LongestUnmetH = max(s.LongestUnmetH, run)
			if h/24 != unmetDay {
				unmetDay = h / 24
				s.UnmetDays++
			}
		} else {
			run = 0
		}
		if h < len(creekW) && creekW[h] > UnmetThresholdW && h/24 != hydroDay {
			hydroDay = h / 24
			s.HydroDays++
		}
		if s.FirstHazardHour < 0 && y.OverDumpW[h] > UnmetThresholdW {
			s.FirstHazardHour = h
		}
		if s.FirstOverHour < 0 && in.OverW != nil && in.OverW[h] > UnmetThresholdW {
			s.FirstOverHour = h
		}
	}
	spells := Spells(y)
	s.Deficits = len(spells)
	for _, d := range spells {
		if d.DepthWh > s.DeepestDeficit.DepthWh {
			s.DeepestDeficit = d
		}
	}
	for _, wh := range in.FlexibleWh {
		s.FlexibleNeedWh += wh
	}
	for _, wh := range in.WeeklyWh {
		s.FlexibleNeedWh += wh
	}
	if g := y.Bus.Generator; g != nil && g.ServiceHours > 0 {
		s.Services = int(float64(s.GeneratorHours) / g.ServiceHours)
	}
	return s
}

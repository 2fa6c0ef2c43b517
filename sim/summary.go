package sim

import "sunrill/storage"

// Summary is the headline of a year.
type Summary struct {
	Hours int
	Tally Tally // energies and counts

	UnmetHours      int
	UnmetDays       int // days with an unmet hour
	LongestUnmetH   int // longest run of unmet hours
	DeepestDeficit  Spell
	Deficits        int // deficit spells
	MinSoC          float64
	LowHours        int // below the comfort charge
	DryPipeStops    int
	Visits          int // walks to the turbine
	HazardHours     int
	FirstHazardHour int // -1: none
	OverHours       int // more asked than the inverter can carry
	FirstOverHour   int // -1: none
	HydroDays       int // days on which the turbine gave power

	Wear storage.Wear

	GeneratorHours  int
	GeneratorStarts int
	FuelL           float64
	Services        int // generator services fallen due

	FlexibleNeedWh float64 // what flexible loads asked for over the year
}

// DeepestDeficitWh returns the depth of the deepest deficit spell.
func (s *Summary) DeepestDeficitWh() float64 { return s.DeepestDeficit.DepthWh }

// FlexibleShare returns the share of the flexible loads' need that was served;
// 1 if there was none.
func (s *Summary) FlexibleShare() float64 {
	if s.FlexibleNeedWh <= 0 {
		return 1
	}
	return s.Tally.FlexibleWh / s.FlexibleNeedWh
}

// Summarize reads the headline of a year from its hours.
func Summarize(y *Year) Summary {
	in := y.In
	s := Summary{
		Hours: in.Hours(), Tally: y.Tally,
		UnmetHours: y.Tally.UnmetHours, LowHours: y.Tally.LowHours,
		MinSoC: y.Tally.MinStoredSoC, HazardHours: y.Tally.HazardHours, OverHours: y.Tally.OverHours,
		GeneratorHours: y.Tally.GeneratorHours, FuelL: y.Tally.FuelL,
		DryPipeStops: len(in.DryStopHour), Visits: len(in.VisitDay), FirstHazardHour: -1, FirstOverHour: -1,
		Wear: y.Bus.Bank.Wear(y.SoC, y.Bus.fullSoC()),
	}
	run := 0
	unmetDay, hydroDay := -1, -1
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
		if in.HydroW[h] > UnmetThresholdW && h/24 != hydroDay {
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
	if g := y.Bus.Generator; g != nil {
		s.GeneratorStarts = y.Tally.GeneratorStarts
		if g.ServiceHours > 0 {
			s.Services = int(float64(s.GeneratorHours) / g.ServiceHours)
		}
	}
	return s
}

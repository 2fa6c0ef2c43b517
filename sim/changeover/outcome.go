package changeover

// Outcome is what a pair of dates comes to: of one year in whole numbers, of
// several as their mean.
type Outcome struct {
	UnmetHours   float64 `json:"unmet_hours"`
	UnmetKWh     float64 `json:"unmet_kwh"`
	LowHours     float64 `json:"low_hours"` // in which the bank is below its comfort charge
	DryPipeStops float64 `json:"dry_pipe_stops"`
	HydroDays    float64 `json:"hydro_days"` // on which the turbine gives power
}

// Better orders outcomes: fewest unmet hours, then fewest hours below the
// comfort charge, then fewest dry-pipe stops, then fewest days run. It returns
// a number below 0 if o is better than p, above 0 if it is worse, and 0 if the
// two are equal. Unmet energy does not enter.
func (o Outcome) Better(p Outcome) int {
	for _, d := range [...]float64{
		o.UnmetHours - p.UnmetHours,
		o.LowHours - p.LowHours,
		o.DryPipeStops - p.DryPipeStops,
		o.HydroDays - p.HydroDays,
	} {
		if d < 0 {
			return -1
		}
		if d > 0 {
			return 1
		}
	}
	return 0
}

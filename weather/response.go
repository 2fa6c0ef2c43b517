package weather

// responseSteps is the number of steps in which a panel's answer to the day's
// factor is tabulated: Erbs' split makes it bend.
const responseSteps = 40

// response gives a calendar day's sun hours for a factor. On the level it is
// the factor times the clear day; on the panels it is tabulated.
type response struct {
	clearKWh []float64   // a value for each day of a leap year
	panelKWh [][]float64 // [day][step]; nil on the level
}

func newResponse(tr *Track, o SkyOptions) *response {
	r := &response{clearKWh: tr.ClearKWh}
	if o.OnPanel == nil {
		return r
	}
	onPanel := o.OnPanel(tr.Path)
	days := tr.Year.Days
	r.panelKWh = make([][]float64, days)
	for d := range r.panelKWh {
		r.panelKWh[d] = make([]float64, responseSteps+1)
	}
	factors := make([]float64, days)
	var plain Sky
	var sky *SkyHours
	var plane []float64
	for i := 1; i <= responseSteps; i++ {
		for d := range factors {
			factors[d] = float64(i) / responseSteps
		}
		sky = plain.Hours(sky, tr, factors)
		plane = onPanel(plane, sky.GHI, sky.DNI, sky.DHI)
		for h, w := range plane {
			r.panelKWh[h/24][i] += w / 1000
		}
	}
	return r
}

func (r *response) sunHours(leapDay int, factor float64) float64 {
	if r.panelKWh == nil {
		return factor * r.clearKWh[leapDay]
	}
	at := factor * responseSteps
	i := min(int(at), responseSteps-1)
	row := r.panelKWh[leapDay]
	return row[i] + (at-float64(i))*(row[i+1]-row[i])
}

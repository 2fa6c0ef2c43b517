package sizing

import (
	"math"
	"slices"

	"sunrill/sources/hydro"
)

// Fit is a pipe and what is fitted at its end.
type Fit struct {
	Pipe     string    // its size by name
	BoreM    float64   // of a pipe in reaches the narrowest
	Present  bool      // the pipe that the plant has
	NozzlesM []float64 // bores; nil: a spear valve
	SpearM3S float64   // the greatest flow of a spear valve
}

// nozzleStepM is what bores of nozzles are rounded to: a drill's half millimetre.
const nozzleStepM = 0.0005

// Fits returns pipes and nozzles to choose among, the plant's own first: its
// pipe, up to each sizes below and above it, and for each of them the plant's
// nozzles, as many as they are, times each of the factors on their area, or a
// spear valve for so much more or less water. Of a pipe in several reaches only
// the nozzles are other ones. Kits no narrower than their pipe are left out.
func Fits(p hydro.Plant, sizes []PipeSize, each int, areas []float64) []Fit {
	t, own := p.Turbine, p.Penstock.BoreM
	pipes, present := near(sizes, own, each)
	if p.Penstock.Reaches != nil {
		pipes, present = []PipeSize{{"as given", own}}, 0
	}
	fits := []Fit{{pipes[present].Name, own, true, t.NozzlesM, t.DesignFlowM3S}}
	for i, size := range pipes {
		for _, area := range areas {
			f := Fit{Pipe: size.Name, BoreM: size.BoreM, Present: i == present}
			widest := 0.0
			for _, d := range t.NozzlesM {
				bore := d
				if area != 1 {
					bore = math.Round(d*math.Sqrt(area)/nozzleStepM) * nozzleStepM
				}
				f.NozzlesM = append(f.NozzlesM, bore)
				widest = max(widest, bore)
			}
			if f.NozzlesM == nil {
				f.SpearM3S = t.DesignFlowM3S * area
			}
			same := func(o Fit) bool {
				return o.BoreM == f.BoreM && slices.Equal(o.NozzlesM, f.NozzlesM) && o.SpearM3S == f.SpearM3S
			}
			if widest < size.BoreM && !slices.ContainsFunc(fits, same) && !slices.Contains(f.NozzlesM, 0) {
				fits = append(fits, f)
			}
		}
	}
	return fits
}

// On returns a plant with this pipe and these nozzles in place of its own.
func (f Fit) On(p hydro.Plant) hydro.Plant {
	if !f.Present {
		p.Penstock = p.Penstock.OfBore(f.BoreM)
	}
	p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S = f.NozzlesM, f.SpearM3S
	return p
}

package sizing

import (
	"fmt"
	"math"
	"slices"

	"sunrill/sources/hydro"
)

// PipeSize is a pipe that a shop sells.
type PipeSize struct {
	Name  string
	BoreM float64
}

// Inside diameters of schedule 40 pipe (ASME B36.10 for steel, ASTM D1785 for
// plastic; from memory), in inches.
var schedule40 = []struct {
	name string
	in   float64
}{
	{"1/2", 0.622}, {"3/4", 0.824}, {"1", 1.049}, {"1-1/4", 1.380}, {"1-1/2", 1.610}, {"2", 2.067}, {"2-1/2", 2.469},
	{"3", 3.068}, {"4", 4.026}, {"5", 5.047}, {"6", 6.065}, {"8", 7.981}, {"10", 10.020}, {"12", 11.938},
}

// Outside diameters of metric plastic pipe (ISO 161-1; from memory), in mm.
var plasticMM = []float64{20, 25, 32, 40, 50, 63, 75, 90, 110, 125, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400}

// PipeSizes returns the usual sizes of a material by rising bore: metric
// plastic goes by its outside diameter, 11 times the wall (polyethylene) or 17
// times (PVC); all else, and anything in US units, by the inch sizes of
// schedule 40.
func PipeSizes(material string, us bool) []PipeSize {
	var sizes []PipeSize
	ratio := 0.0
	if m, ok := hydro.MaterialOf(material); ok && !us {
		switch m.Name {
		case "pe":
			ratio = 11
		case "pvc":
			ratio = 17
		}
	}
	if ratio == 0 {
		for _, s := range schedule40 {
			sizes = append(sizes, PipeSize{s.name + " in", s.in * 0.0254})
		}
		return sizes
	}
	for _, outside := range plasticMM {
		sizes = append(sizes, PipeSize{fmt.Sprintf("%.0f mm SDR %.0f", outside, ratio), outside / 1000 * (1 - 2/ratio)})
	}
	return sizes
}

// near returns up to each sizes below the bore and as many above it, by rising
// bore, with the bore itself between them. A size within 2 % of the bore is
// taken to be that pipe and lends it its name.
func near(sizes []PipeSize, boreM float64, each int) (picked []PipeSize, present int) {
	sizes = slices.Clone(sizes)
	slices.SortFunc(sizes, func(a, b PipeSize) int {
		switch {
		case a.BoreM < b.BoreM:
			return -1
		case a.BoreM > b.BoreM:
			return 1
		}
		return 0
	})
	self := PipeSize{"as given", boreM}
	var below, above []PipeSize
	for _, s := range sizes {
		switch {
		case math.Abs(s.BoreM/boreM-1) <= 0.02:
			self.Name = s.Name
		case s.BoreM < boreM:
			below = append(below, s)
		default:
			above = append(above, s)
		}
	}
	below = below[max(0, len(below)-each):]
	above = above[:min(each, len(above))]
	return slices.Concat(below, []PipeSize{self}, above), len(below)
}

// PipeChoice is what a plant gives through another pipe.
type PipeChoice struct {
	Name         string
	BoreM        float64
	Present      bool // the pipe that the plant has
	FlowM3S      float64
	VelocityMS   float64
	NetHeadM     float64
	LossFraction float64 // of the gross head
	PowerW       float64 // at the bus, the machine's greatest
	GainW        float64 // against the present pipe
}

// Pipes returns what the plant's greatest output would be through the next
// sizes down and up, the present pipe between them. Sizes no wider than the
// largest nozzle are left out.
func Pipes(p hydro.Plant, sizes []PipeSize, each int) []PipeChoice {
	widest := 0.0
	for _, d := range p.Turbine.NozzlesM {
		widest = max(widest, d)
	}
	sizes = slices.DeleteFunc(slices.Clone(sizes), func(s PipeSize) bool { return s.BoreM <= widest })
	picked, present := near(sizes, p.Penstock.BoreM, each)
	choices := make([]PipeChoice, len(picked))
	for i, s := range picked {
		other := p
		if i != present || p.Penstock.Reaches == nil {
			other.Penstock = p.Penstock.OfBore(s.BoreM)
		}
		d := other.Prepare().Greatest
		choices[i] = PipeChoice{Name: s.Name, BoreM: s.BoreM, Present: i == present, FlowM3S: d.FlowM3S,
			VelocityMS: d.Pipe.VelocityMS, NetHeadM: d.NetHeadM, LossFraction: d.LossFraction, PowerW: d.PowerW}
	}
	for i := range choices {
		choices[i].GainW = choices[i].PowerW - choices[present].PowerW
	}
	return choices
}

// ReckonedPipe is a reckoning by rule of thumb through a pipe of the shop.
type ReckonedPipe struct {
	PipeSize
	Present bool
	hydro.Reckoning
}

// ReckonPipes reckons one flow through the next sizes down and up.
func ReckonPipes(pipe hydro.Penstock, flowM3S float64, sizes []PipeSize, each int) []ReckonedPipe {
	picked, present := near(sizes, pipe.BoreM, each)
	out := make([]ReckonedPipe, len(picked))
	for i, s := range picked {
		out[i] = ReckonedPipe{s, i == present, hydro.Reckon(pipe.OfBore(s.BoreM), flowM3S)}
	}
	return out
}

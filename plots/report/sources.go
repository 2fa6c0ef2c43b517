package report

import (
	"slices"
	"strings"

	"sunrill/plots"
	"sunrill/sim"
)

// looks are the marks of the sources on charts; those without a row share
// [plots.Other].
var looks = map[string]plots.Quantity{sim.Panels.Key: plots.Panels, sim.Creek.Key: plots.Hydro}

func lookOf(k sim.Kind) plots.Quantity {
	if q, ok := looks[k.Key]; ok {
		return q
	}
	return plots.Other
}

// machineOf names what gives the power: "turbine".
func machineOf(k sim.Kind) string {
	if k == sim.Creek {
		return "turbine"
	}
	return k.Name
}

// livesOn lists what sources live on: "sun and creek".
func livesOn(kinds []sim.Kind) string {
	if len(kinds) == 0 {
		return "the sources"
	}
	var from []string
	for _, k := range kinds {
		from = append(from, k.From)
	}
	return listed(from)
}

// sourceNames lists sources as charts do: "panels and creek".
func sourceNames(kinds []sim.Kind) string {
	var all []string
	for _, k := range kinds {
		all = append(all, k.Name)
	}
	return listed(all)
}

// withoutCreek names what is left where there is no creek: "panels alone".
func withoutCreek(kinds []sim.Kind) string {
	rest := slices.DeleteFunc(slices.Clone(kinds), func(k sim.Kind) bool { return k == sim.Creek })
	if len(rest) > 1 {
		return sourceNames(rest)
	}
	return sim.Panels.Name + " alone"
}

// tamed tells the sources whose treatment is as asked, of those that gave
// anything.
func tamed(ys sim.Yields, throttled bool) []sim.Kind {
	var kinds []sim.Kind
	for _, y := range ys {
		if y.Throttled == throttled && y.Wh > 0 {
			kinds = append(kinds, y.Kind)
		}
	}
	return kinds
}

// ofThe lists sources as owners: "the creek’s", "the panels’".
func ofThe(kinds []sim.Kind) string {
	var all []string
	for _, k := range kinds {
		all = append(all, owner(k.Name))
	}
	return listed(all)
}

func owner(name string) string {
	if plural(name) {
		return "the " + name + "’"
	}
	return "the " + name + "’s"
}

func plural(name string) bool { return strings.HasSuffix(name, "s") }

// wereWas is the verb of the past that goes with some sources.
func wereWas(kinds []sim.Kind) string {
	if len(kinds) == 1 && !plural(kinds[0].Name) {
		return "was"
	}
	return "were"
}

// runaways names the machines that give whether or not anything takes it: "the
// turbine".
func runaways(ys sim.Yields) string {
	var all []string
	for _, k := range tamed(ys, false) {
		all = append(all, "the "+machineOf(k))
	}
	if all == nil {
		return "the turbine"
	}
	return listed(all)
}

// stacked orders sources as bars stack them, the steadiest lowest: first what
// cannot be held back.
func stacked(ys sim.Yields) []int {
	order := make([]int, len(ys))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case ys[a].Throttled == ys[b].Throttled:
			return 0
		case ys[a].Throttled:
			return 1
		}
		return -1
	})
	return order
}

// supplies returns the bars of the sources in several yields, a value for each of
// them, from the lowest up, and the generator's on top.
func supplies(of []sim.Yields, generatorWh []float64) []plots.Supply {
	var bars []plots.Supply
	all := sim.MeanYields(of)
	for _, i := range stacked(all) {
		s := plots.Supply{Name: all[i].Name, What: lookOf(all[i].Kind)}
		for _, ys := range of {
			s.Wh = append(s.Wh, ys.Of(all[i].Kind))
		}
		bars = append(bars, s)
	}
	return append(bars, plots.Supply{Name: "generator", What: plots.Generator, Wh: generatorWh})
}

package worth

import "context"

// LeastShort returns what mixes of a grid are short of in each year at the least,
// by waterway (the first: without the creek), panels and bank.
func LeastShort(p *Plan, g Grid) ([][][][]float64, error) {
	k := newMarket(p.on(g), false)
	var all [][][][]float64
	for water := noWater; water < len(k.p.Waterways); water++ {
		var sizes [][][]float64
		for panel := range g.PanelsW {
			var banks [][]float64
			for bank := range g.BanksWh {
				short, err := k.shortOf(context.Background(), &mix{panel: panel, bank: bank, water: water}, true)
				if err != nil {
					return nil, err
				}
				banks = append(banks, short)
			}
			sizes = append(sizes, banks)
		}
		all = append(all, sizes)
	}
	return all, nil
}

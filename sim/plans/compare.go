package plans

import (
	"context"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"
	"unicode"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sim/worth"
	"sunrill/weather"
)

// MaxSides is how many sites or plans can be laid side by side.
const MaxSides = 6

// Side is one of the sites or plans that are compared.
type Side struct {
	Name  string
	Home  *series.Homestead
	Draws []*series.Homestead // Home as each draw has it, the same draws on all sides; nil: as it is
}

// Side is a plan of the base, under the base's draws.
func (b *Base) Side(name string, h *series.Homestead) Side {
	s := Side{Name: name, Home: h}
	if b.draws != nil {
		s.Draws = b.under(h)
	}
	return s
}

// Comparison is what laying sides side by side tells. All lists of a side are
// in the order of the years.
type Comparison struct {
	Years    []int // by the calendar year in which they start
	Draws    int   // under which each was run; 1: the middle values alone
	Start    time.Time
	Currency string
	Inputs   []Difference
	Sides    []Lived
}

// Difference is a value that is not the same on all sides.
type Difference struct {
	Key    string
	Values []string // one a side; "" where it is not given
}

// UnmetOf returns the dark hours of the i-th year, the mean of its draws.
func (l *Lived) UnmetOf(i, years int) float64 {
	sum, n := 0, 0
	for k := i; k < len(l.Unmet); k += years {
		sum, n = sum+l.Unmet[k], n+1
	}
	return float64(sum) / float64(n)
}

// Lived is how one side fares.
type Lived struct {
	Name    string
	Outcome             // by year
	Mean    Figures     // and in a few numbers
	Again   Again       // of it
	Months  [12]float64 // unmet hours of a mean year by calendar month, January first
	LowSoC  []float64   // of each of the first 365 days of the water year the lowest charge, middling over the years
	Given   sim.Yields  // of a mean year

	// Against the first side, year by year, all draws taken together: in how many
	// there are fewer, as many and more dark hours.
	Fewer, Same, More int
	BetterIn          int // draws in which there are fewer dark hours over all years

	Capital   *float64 // what it takes to buy beyond the first side; nil without prices
	CostAYear *float64 // of what is bought, of fuel, upkeep, wear and own hours
	Missing   []string // prices that were not given
}

// Compare runs every side through the same water years.
func Compare(ctx context.Context, sides []Side, years []weather.Year, progress sim.Progress) (*Comparison, error) {
	r := &Comparison{Start: years[0].Start, Draws: max(len(sides[0].Draws), 1), Inputs: differences(sides)}
	for _, y := range years {
		r.Years = append(r.Years, y.Number())
	}
	step := progress.Steps(len(sides) * len(years) * r.Draws)
	if p := sides[0].Home.Site.Prices; p != nil {
		r.Currency = p.Currency
	}
	for _, s := range sides {
		l, err := live(ctx, s, years, step)
		if err != nil {
			return nil, err
		}
		for i, n := range l.Unmet {
			first := &l
			if len(r.Sides) > 0 {
				first = &r.Sides[0]
			}
			switch of := first.Unmet[i]; {
			case n < of:
				l.Fewer++
			case n > of:
				l.More++
			default:
				l.Same++
			}
		}
		if len(r.Sides) > 0 {
			was, is := r.Sides[0].byDraw(r.Draws), l.byDraw(r.Draws)
			for d := range is {
				if is[d] < was[d] {
					l.BetterIn++
				}
			}
		}
		r.Sides = append(r.Sides, l)
	}
	price(sides, r)
	return r, nil
}

// live runs one side.
func live(ctx context.Context, s Side, years []weather.Year, step func()) (Lived, error) {
	own, err := same(years, s.Home)
	if err != nil {
		return Lived{}, err
	}
	draws := s.Draws
	if draws == nil {
		draws = []*series.Homestead{s.Home}
	}
	n := len(own) * len(draws)
	l := Lived{Name: s.Name, LowSoC: make([]float64, 365)}
	l.Outcome = newOutcome(n)
	lows := make([][]float64, n)
	months := make([][12]float64, n)
	given := make([]sim.Yields, n)
	bus := s.Home.Bus()
	err = series.Over(own, draws...).Visit(ctx, step, func(c sim.Case) error {
		y, err := c.Run(c.In, bus)
		if err != nil {
			return err
		}
		i, t := c.Place, y.Tally
		l.put(i, c.In, &t)
		given[i] = c.In.Given()
		for d := range c.In.Hours() / 24 {
			low, dark := 1.0, 0
			for h := 24 * d; h < 24*d+24; h++ {
				low = min(low, y.SoC[h])
				if y.UnmetW[h] > sim.UnmetThresholdW {
					dark++
				}
			}
			months[i][c.In.Start.AddDate(0, 0, d).Month()-1] += float64(dark)
			if d < len(l.LowSoC) {
				lows[i] = append(lows[i], low)
			}
		}
		return nil
	})
	if err != nil {
		return Lived{}, err
	}
	l.Mean, l.Again = figures(l.Outcome), again(l.Outcome, len(years))
	l.Given = sim.MeanYields(given)
	for m := range l.Months {
		for i := range months {
			l.Months[m] += months[i][m] / float64(n)
		}
	}
	day := make([]float64, n)
	for d := range l.LowSoC {
		for i := range lows {
			day[i] = lows[i][d]
		}
		l.LowSoC[d] = sim.NewSpread(day).At(0.5)
	}
	return l, nil
}

// differences lists what the sides' files say differently: the values of
// site.toml, the appliances, and which of the other tables are not the same.
func differences(sides []Side) []Difference {
	keys := map[string]bool{}
	values := make([]map[string]string, len(sides))
	for i, s := range sides {
		values[i] = maps.Clone(s.Home.Site.Values)
		for _, a := range s.Home.Site.Appliances {
			values[i]["loads."+a.Name] = told(a)
		}
		for key := range values[i] {
			keys[key] = true
		}
	}
	var all []Difference
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		d := Difference{Key: key}
		differs := false
		for i := range sides {
			d.Values = append(d.Values, values[i][key])
			differs = differs || values[i][key] != values[0][key]
		}
		if differs {
			all = append(all, d)
		}
	}
	for _, table := range []struct {
		name string
		of   func(*site.Site) any
	}{
		{"the rain record", func(s *site.Site) any { return s.Rain }},
		{"the sun hours and temperatures", func(s *site.Site) any { return [2]any{s.Sun.SunHours, s.Sun.TempC} }},
		{"the measured sun", func(s *site.Site) any { return s.Sun.Hourly }},
		{"the hills", func(s *site.Site) any { return s.Sun.Horizon }},
		{"the measured demand", func(s *site.Site) any { return s.DemandW }},
	} {
		d := Difference{Key: table.name, Values: []string{"this"}}
		for _, s := range sides[1:] {
			word := "the same"
			if !reflect.DeepEqual(table.of(sides[0].Home.Site), table.of(s.Home.Site)) {
				word = "another"
			}
			d.Values = append(d.Values, word)
		}
		if slices.Contains(d.Values, "another") {
			all = append(all, d)
		}
	}
	return all
}

// told says what an appliance asks for, in short.
func told(a loads.Appliance) string {
	text := fmt.Sprintf("%g × %g W, %g h a day", a.Count, a.Watts, round(hours(&a), 3))
	if a.Flexible {
		text += ", flexible"
	}
	return text
}

// price reckons each side at the first one's prices, as the comparison of ways
// to live does: what stands today is what the first side has.
func price(sides []Side, r *Comparison) {
	first := sides[0].Home.Site
	if first.Prices == nil {
		return
	}
	var base *float64
	for i, s := range sides {
		l := &r.Sides[i]
		p := worth.Plan{Bus: sides[0].Home.Bus(), World: worth.World{Prices: first.Prices}}
		for _, a := range first.Arrays {
			p.PanelW += a.PowerW
		}
		of, ratio := s.Home.Site, 0.0
		if of.Hydro != nil {
			p.PipeM = of.Hydro.Penstock.LengthM
			if first.Hydro != nil {
				ratio = of.Hydro.Penstock.BoreM / first.Hydro.Penstock.BoreM
			}
		}
		w := worth.Alternative{BankWh: of.Bank.CapacityWh, Hydro: of.Hydro != nil, BoreRatio: ratio, Generator: of.Generator != nil, FuelL: meanOf(l.Outcome.FuelL), RunningH: mean(l.Generator), Walks: mean(l.Outcome.Walks)}
		for _, a := range of.Arrays {
			w.PanelW += a.PowerW
		}
		w.BankLifeY = life(s.Home, r.Years)
		p.Price(&w)
		l.Missing = w.Missing
		if w.Capital == nil {
			continue
		}
		capital := *w.Capital
		if base == nil {
			base = &capital
		}
		more := capital - *base
		l.Capital, l.CostAYear = &more, w.CostAYear
	}
}

// ParsePlan reads a plan of settings: "bigger tank: forebay.volume=8000 L; ...".
// Without a name before a colon the settings are its name.
func ParsePlan(text string) (Plan, error) {
	name, rest, ok := strings.Cut(text, ":")
	if !ok || strings.Contains(name, "=") {
		name, rest = text, text
	}
	p := Plan{Name: strings.TrimSpace(name)}
	for part := range strings.SplitSeq(rest, ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		s, err := files.ParseSetting(part, "--plan "+part)
		if err != nil {
			return Plan{}, err
		}
		p.Set = append(p.Set, s)
	}
	// The name heads columns, also of a spreadsheet, to which these begin a formula.
	if strings.ContainsAny(p.Name[:min(len(p.Name), 1)], "=+-@") || strings.ContainsFunc(p.Name, func(r rune) bool { return !unicode.IsPrint(r) }) || len(p.Name) > 80 {
		return Plan{}, fmt.Errorf("the name %q does not do: up to 80 letters, the first of them a letter or a digit", files.Short(p.Name))
	}
	if p.Name == "" || len(p.Set) == 0 {
		return Plan{}, fmt.Errorf("%q is no plan, such as \"bigger bank: bank.capacity=20 kWh\"", files.Short(text))
	}
	return p, nil
}

package stream

// Season is a quarter of the year, winter from December on in the north and from
// June on in the south.
type Season int

// The seasons.
const (
	Winter Season = iota
	Spring
	Summer
	Autumn
)

// UnseenSeasons returns the seasons without a reading, from winter on.
func (f *Fitted) UnseenSeasons() []Season {
	var seen [4]bool
	for _, g := range f.Used {
		season := int(g.Date.Month()) % 12 / 3 // December to February first
		if f.southern {
			season = (season + 2) % 4
		}
		seen[season] = true
	}
	var unseen []Season
	for s, is := range seen {
		if !is {
			unseen = append(unseen, Season(s))
		}
	}
	return unseen
}

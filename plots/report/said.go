package report

// Verdict is what a year or a study comes to, in sentences, the answer first.
type Verdict struct {
	Sentences []string
	Bad       bool // the first is bad news
}

package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"runtime"
	"slices"
	"sync"

	"sunrill/plots"
)

// Page is a report. Empty parts are left out.
type Page struct {
	Title    string
	Subtitle string   // which year or years, from where
	Verdict  Verdict  // the first sentence is printed large
	Changes  []string // what was set otherwise than in the site's files
	Warnings []string // what looks odd in the input
	Notes    []string // what is good to know of it

	// Front takes the verdict's place on the page, which is then printed on a sheet
	// of its own; nil: none.
	Front *Front

	Sections    []Section
	Cautions    []Caution
	Assumptions []Assumption
	NotModelled []string
	Made        string // by which program and when
	Letter      bool   // printed on US Letter paper instead of A4
}

// Section is a chapter with its figures and tables.
type Section struct {
	ID      string // unique on the page: letters, digits and hyphens
	Title   string
	Text    []string // paragraphs
	Figures []Figure
	Tables  []Table

	Appendix bool // stands in the appendix, behind the cautions
}

// InAppendix returns sections as chapters of the appendix.
func InAppendix(ss ...Section) []Section {
	for i := range ss {
		ss[i].Appendix = true
	}
	return ss
}

// Figure is a chart and the name of the file beside the page that holds its
// numbers ("" for none).
type Figure struct {
	plots.Chart
	Data string
}

// File names the file with the figure's numbers, "" if there is none.
func (f Figure) File() string {
	if f.Data == "" && f.Numbers != nil {
		return "charts/" + f.Name + ".csv"
	}
	return f.Data
}

// Table is rows of words and numbers. The first column names the row.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string
	Minor   []int // columns that a narrow screen does without
	Note    string
	Data    string // as in [Figure]
}

// IsMinor reports whether a narrow screen does without the column.
func (t Table) IsMinor(column int) bool { return slices.Contains(t.Minor, column) }

// Wide reports whether the table has more columns than a phone shows side by
// side: there its rows stand as blocks, each cell with the head of its column.
func (t Table) Wide() bool { return t.shown() > 4 && t.shown()*len(t.Rows) <= maxStacked }

// Long reports whether the table is wide and has so many cells that blocks would
// go on for screens: a phone moves it sideways, its first column stays, and a
// shade says that it goes on.
func (t Table) Long() bool { return t.shown() > 4 && t.shown()*len(t.Rows) > maxStacked }

// maxStacked is how many cells stand below one another at most.
const maxStacked = 60

// shown is the number of columns on a narrow screen.
func (t Table) shown() int { return len(t.Head) - len(t.Minor) }

// beforeUnit is a number and the unit behind it, and a head and its unit.
var beforeUnit = regexp.MustCompile(`([0-9”]|,) (kWh|Wh|kW|W|L/s|L/h|L|m³/h|m³|mm²|mm|cm²|cm|km²|km|m|ha|ft|gal/min|gal|psi|bar|V|A|Ah|h|%|°C|°F|°)([^\pL\d]|$)`)

// keepUnits ties units to their numbers, so that none begins a line alone.
func keepUnits(text string) string {
	return beforeUnit.ReplaceAllString(text, "$1\u00a0$2$3")
}

// Assumption is a value that the site did not give, or a choice of the models.
type Assumption struct{ What, Value, Why string }

// Charts returns the charts of all sections, in order, for saving one by one.
func Charts(sections []Section) []plots.Chart {
	var cs []plots.Chart
	for _, s := range sections {
		for _, f := range s.Figures {
			cs = append(cs, f.Chart)
		}
	}
	return cs
}

var (
	//go:embed page.html
	pageHTML string
	//go:embed page.css
	pageCSS string

	pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{"keep": keepUnits}).Parse(pageHTML))
)

// drawn is what the template sees of a figure: the chart as markup.
type drawn struct {
	Figure
	SVG template.HTML
}

type drawnSection struct {
	Section
	Drawn []drawn
}

// Write draws the page's charts and writes the page.
func Write(w io.Writer, p Page) error {
	sections := make([]drawnSection, len(p.Sections))
	seen := map[string]bool{}
	for i, s := range p.Sections {
		if s.ID == "" || seen[s.ID] {
			panic(fmt.Sprintf("report: section %q has the id %q, which is empty or taken", s.Title, s.ID))
		}
		seen[s.ID] = true
		sections[i] = drawnSection{Section: s, Drawn: make([]drawn, len(s.Figures))}
	}
	if err := drawAll(sections); err != nil {
		return err
	}
	front, err := p.Front.drawn()
	if err != nil {
		return err
	}
	var main, appendix []drawnSection
	for _, s := range sections {
		if s.Appendix {
			appendix = append(appendix, s)
		} else {
			main = append(main, s)
		}
	}
	return pageTemplate.Execute(w, struct {
		Page
		CSS             template.CSS
		Drawn, Appendix []drawnSection
		Front           *drawnFront
	}{p, template.CSS(pageCSS), main, appendix, front})
}

// drawAll draws every chart, as many at a time as there are processors.
func drawAll(sections []drawnSection) error {
	var (
		wg   sync.WaitGroup
		mu   sync.Mutex
		bad  error
		slot = make(chan struct{}, runtime.GOMAXPROCS(0))
	)
	for i := range sections {
		for j, f := range sections[i].Figures {
			wg.Go(func() {
				slot <- struct{}{}
				defer func() { <-slot }()
				svg, err := f.SVG()
				if err != nil {
					mu.Lock()
					defer mu.Unlock()
					bad = err
					return
				}
				sections[i].Drawn[j] = drawn{Figure: f, SVG: template.HTML(svg)}
			})
		}
	}
	wg.Wait()
	return bad
}

package report

import (
	"html/template"
	"io"
)

// Marks are the charts of a fragment, by name, that are marked on the page.
type Marks struct {
	Overlay map[string]bool // whose axes do not move with the values: a former one can be laid behind it
	Numbers map[string]bool // whose numbers can be had, beside those that bring their own
}

// Fragment writes sections as a part of a page that is there already: no head,
// no contents, no links to files. Charts are marked where a former one can be laid
// behind them, and have an empty place for their numbers.
func Fragment(w io.Writer, intro []string, sections []Section, marks Marks) error {
	drawnSections := make([]drawnSection, len(sections))
	for i, s := range sections {
		drawnSections[i] = drawnSection{Section: s, Drawn: make([]drawn, len(s.Figures))}
	}
	if err := drawAll(drawnSections); err != nil {
		return err
	}
	return fragmentTemplate.Execute(w, struct {
		Intro []string
		Drawn []drawnSection
		Marks
	}{intro, drawnSections, marks})
}

var fragmentTemplate = template.Must(template.New("fragment").Parse(`{{range .Intro}}<p>{{.}}</p>
{{end}}{{range .Drawn}}<section aria-label="{{.Title}}">
<h2>{{.Title}}</h2>
{{range .Text}}<p>{{.}}</p>
{{end}}{{range .Drawn}}<figure data-name="{{.Name}}"{{if index $.Marks.Overlay .Name}} data-overlay="yes"{{end}} tabindex="0">
<h3>{{.Title}}</h3>
<div class="pair">{{.SVG}}</div><figcaption>{{.Caption}}</figcaption>
{{if or .Numbers (index $.Marks.Numbers .Name)}}<details class="numbers"><summary>its numbers as a table</summary></details>
{{end}}</figure>
{{end}}{{range .Tables}}<div class="table" role="region" tabindex="0" aria-label="{{.Caption}}">
<table>
<caption>{{.Caption}}</caption>
<thead><tr>{{range .Head}}<th scope="col">{{.}}</th>{{end}}</tr></thead>
<tbody>
{{range .Rows}}<tr>{{range $i, $c := .}}{{if eq $i 0}}<th scope="row">{{$c}}</th>{{else}}<td>{{$c}}</td>{{end}}{{end}}</tr>
{{end}}</tbody>
</table>
</div>
{{with .Note}}<p class="note">{{.}}</p>
{{end}}{{end}}</section>
{{end}}`))

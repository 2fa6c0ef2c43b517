package main

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/cmd/sunrill/live"
	"sunrill/sim/measure"
	"sunrill/sim/site"
	"sunrill/sources/solar"
)

// The hills are drawn on a sheet whose units are degrees: bearings to the right,
// heights upwards from its foot.
const (
	hillsFoot = 80 // height that the sheet goes up to
	hillsStep = 5  // bearing from one point of a drawn line to the next

	hillsAside = 8 // points of a path, from its top to where every other name stands
)

// hillsTurn is what a bearing is turned by, so that the noon sun stands in the
// middle.
func hillsTurn(s *site.Site) float64 {
	if s.Place.LatDeg < 0 {
		return 180
	}
	return 0
}

// Hills implements [live.Data].
func (p *livePage) Hills(stroke [][2]float64, settings []string) (*live.Change, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, err
	}
	s, err := p.read(st, "")
	if err != nil {
		return nil, curable(err)
	}
	turn := hillsTurn(s)
	if len(stroke) == 0 {
		svg, err := hillsSVG(s, turn)
		return &live.Change{SVG: svg}, err
	}
	var drawn []solar.HorizonPoint
	for _, at := range stroke {
		if math.IsNaN(at[0]+at[1]) || at[0] < -10 || at[0] > 370 || at[1] < -100 || at[1] > 200 {
			return nil, live.Problem{Lines: []string{"the line leaves the sheet"}}
		}
		drawn = append(drawn, solar.HorizonPoint{BearingDeg: math.Min(359, math.Max(0, at[0])), HeightDeg: hillsFoot - at[1]})
	}
	hills := turned(turned(s.Sun.Horizon, turn).Redrawn(drawn, hillsStep), -turn)
	file, t, set, err := p.raw("horizon", st)
	if err != nil {
		return nil, err
	}
	t.Head, t.Rows = []string{"bearing_deg", "height_deg"}, nil
	for _, q := range hills {
		t.Rows = append(t.Rows, []string{measure.Trim(q.BearingDeg), measure.Trim(q.HeightDeg)})
	}
	if t.Separator == ';' {
		t.Separator = ','
	}
	c, err := p.edited(st, fmt.Sprintf("The hills are taken as drawn, in %s. It is not written into the site yet.", file), []drafted{{file, t.Bytes()}}, set...)
	if err != nil {
		return nil, err
	}
	s.Sun.Horizon = hills
	c.SVG, err = hillsSVG(s, turn)
	return c, err
}

// turned turns hills around the compass.
func turned(h solar.Horizon, deg float64) solar.Horizon {
	t := slices.Clone(h)
	for i := range t {
		t[i].BearingDeg += deg
	}
	return t.Sorted()
}

// hillsSVG draws hills and the sun's paths on the sheet.
func hillsSVG(s *site.Site, turn float64) (string, error) {
	type mark struct {
		X, Y float64
		Text string
	}
	v := struct {
		Land         string
		Paths        []string
		Names        []mark
		Sides, Lines []mark
		Foot         float64
	}{Foot: hillsFoot}
	point := func(x, h float64) string { return fmt.Sprintf("%.1f,%.1f", x, hillsFoot-h) }
	hills := turned(s.Sun.Horizon, turn)
	land := []string{point(0, 0)}
	for x := range 361 {
		land = append(land, point(float64(x), hills.Height(float64(x))))
	}
	v.Land = strings.Join(append(land, point(360, 0)), " ")
	for n, path := range sunPaths(s.Place, time.Now().Year()) {
		top := 0
		var points []string
		var before float64
		for i, bearing := range path.BearingDeg {
			x := math.Mod(bearing+turn, 360)
			if i > 0 && math.Abs(x-before) > 180 { // around the edge of the sheet
				v.Paths = append(v.Paths, strings.Join(points, " "))
				points = nil
			}
			before = x
			points = append(points, point(x, path.HeightDeg[i]))
			if path.HeightDeg[i] > path.HeightDeg[top] {
				top = i
			}
		}
		v.Paths = append(v.Paths, strings.Join(points, " "))
		if len(path.HeightDeg) > 0 {
			if n%2 == 1 { // beside the names of the paths below and above
				top = min(top+hillsAside, len(path.HeightDeg)-1)
			}
			v.Names = append(v.Names, mark{math.Mod(path.BearingDeg[top]+turn, 360), hillsFoot - path.HeightDeg[top] - 1, path.Name})
		}
	}
	for i, name := range []string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"} {
		v.Sides = append(v.Sides, mark{math.Mod(45*float64(i)+turn, 360), hillsFoot + 8, name})
	}
	for h := 10; h < hillsFoot; h += 10 {
		v.Lines = append(v.Lines, mark{0, float64(hillsFoot - h), fmt.Sprintf("%d°", h)})
	}
	var b bytes.Buffer
	err := hillsTemplate.Execute(&b, v)
	return b.String(), err
}

var hillsTemplate = template.Must(template.New("hills").Parse(`<svg viewBox="-14 0 378 92" role="img" aria-label="The hills around the site and the sun's paths through the year, to be drawn on. The table of hills holds the same numbers.">
{{range .Lines}}<path class="line" d="M0 {{.Y}}H360"/><text x="-2" y="{{.Y}}" class="high">{{.Text}}</text>
{{end}}{{range .Paths}}<polyline class="sun" points="{{.}}"/>
{{end}}<polygon class="land" points="{{.Land}}"/>
{{range .Names}}<text x="{{.X}}" y="{{.Y}}" class="name">{{.Text}}</text>
{{end}}{{range .Sides}}<text x="{{.X}}" y="{{.Y}}" class="side">{{.Text}}</text>
{{end}}<rect class="sheet" x="0" y="0" width="360" height="{{.Foot}}"/>
</svg>`))

package site

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"sunrill/weather"
)

// Options change how a folder is read, not what it says. The zero value is
// ready to use.
type Options struct {
	FillGaps bool // fill gaps in the rain of more than three days from other years
	Unfitted bool // the creek's parameters may be missing: they are about to be fitted
}

const descriptionFile = "site.toml"

// Load reads a site folder. The error, if any, is [Problems]: all that is
// wrong with the folder.
func Load(dir string, o Options) (*Site, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, Problems{{What: fmt.Sprintf("%s: there is no such folder", dir), Hint: "\"sunrill new " + dir + "\" lays one to start from"}}
	case err != nil:
		return nil, Problems{{What: fmt.Sprintf("%s: cannot be read: %s", dir, plainCause(err))}}
	case !info.IsDir():
		return nil, Problems{{What: fmt.Sprintf("%s: is no folder", dir), Hint: "a site is a folder with a site.toml in it"}}
	}
	files := &noting{FS: os.DirFS(dir)}
	s, err := LoadFS(files, o)
	if err != nil {
		return nil, err
	}
	s.Folder, s.read = dir, files.names
	return s, nil
}

// LoadFS reads a site from the root of a file system.
func LoadFS(fsys fs.FS, o Options) (*Site, error) {
	l := &loader{fsys: fsys, o: o, site: &Site{}}
	if l.describe() {
		l.top()
		l.rainAndSun()
		l.air()
		l.arrays()
		l.water()
		l.bank()
		l.house()
		l.costs()
		l.meter()
		l.enough()
		l.unknownTables()
	}
	if len(l.problems) > 0 {
		return nil, l.problems.tidy()
	}
	return l.site, nil
}

// loader is one reading of one folder.
type loader struct {
	fsys     fs.FS
	o        Options
	tree     map[string]any
	places   map[string]place
	tables   []string // of the top level, as far as they are known
	head     *table   // the keys before the first table
	site     *Site
	sunRead  bool // the sun is known, and with it whether its temperatures are
	problems Problems
}

// describe reads and parses site.toml.
func (l *loader) describe() bool {
	data, ok := l.read(descriptionFile, maxDescriptionBytes, Problem{File: descriptionFile}, "\"sunrill new DIR\" lays a folder to start from")
	if !ok {
		return false
	}
	l.tree = map[string]any{}
	if err := toml.Unmarshal(data, &l.tree); err != nil {
		p := Problem{File: descriptionFile, What: "is not written as TOML: " + err.Error()}
		var d *toml.DecodeError
		if errors.As(err, &d) {
			p.Line, p.Column = d.Position()
			p.What = "is not written as TOML here: " + ownWords(strings.TrimPrefix(d.Error(), "toml: "))
			p.Hint = "a line is [table], key = \"text\", key = 12.5, or a # comment; quotes are closed on their line and a key stands once"
		}
		l.problems = append(l.problems, p)
		return false
	}
	l.places = places(data)
	return true
}

// ownWords takes from a message of the TOML reader what only tells of its own
// insides.
func ownWords(message string) string {
	what, inside, ok := strings.Cut(message, ": strconv.")
	if !ok {
		return message
	}
	if strings.Contains(inside, "out of range") {
		return "the number is too large"
	}
	return what
}

// warn tells something that is odd but valid.
func (l *loader) warn(format string, args ...any) {
	l.site.Warnings = append(l.site.Warnings, fmt.Sprintf(format, args...))
}

// top reads what stands before the first table, and the year.
func (l *loader) top() {
	t := &table{l: l, values: l.tree}
	l.head = t
	s := l.site
	s.Name = t.text("name", need("what the place is called: name = \"Upper Meadow\""))
	s.Place.LatDeg = t.quantity("latitude", Coordinate, -90, 90, need("degrees, north positive: latitude = 43.2"))
	hasLongitude, hasOffset := t.has("longitude"), t.has("utc_offset")
	switch {
	case hasLongitude && !hasOffset:
		lon := t.quantity("longitude", Coordinate, -180, 180, optional)
		s.Place.LonDeg = lon
		if !math.IsNaN(lon) {
			s.Place.UTCOffsetH = math.Round(lon / 15)
			l.byDefault("utc_offset", trimNumber(s.Place.UTCOffsetH), "the clock of the longitude's time zone; standard time all year")
		}
	case !hasLongitude:
		offset := t.quantity("utc_offset", Hours, -12, 14, or("0", "without a longitude the clock follows the sun"))
		s.Place.UTCOffsetH = offset
		s.Place.LonDeg = math.Remainder(15*offset, 360)
		l.byDefault("longitude", trimNumber(s.Place.LonDeg), "the middle of the time zone: noon may be half an hour off")
	default:
		s.Place.LonDeg = t.quantity("longitude", Coordinate, -180, 180, optional)
		s.Place.UTCOffsetH = t.quantity("utc_offset", Hours, -12, 14, optional)
		if d := math.Abs(math.Remainder(s.Place.UTCOffsetH-s.Place.LonDeg/15, 24)); d > 3 {
			l.warn("utc_offset and longitude are %.1f h apart: the sun would not be highest near noon; east and north are positive", d)
		}
	}
	if o := s.Place.UTCOffsetH * 4; o != math.Trunc(o) && !math.IsNaN(o) {
		t.wrong("utc_offset", "hours, standard time all year: -8, 5.5 or 5.75", "%s is no quarter of an hour", trimNumber(s.Place.UTCOffsetH))
	}
	s.Place.ElevationM = t.quantity("elevation", Length, -450, 6000, or("0 m", "not given; it matters little"))
	s.US = t.choice("units", []string{"metric", "us"}, or("metric", "not given")) == "us"

	y := l.table("year")
	if y == nil {
		y = &table{l: l, path: "year"}
	}
	start := "10-01"
	if s.Place.LatDeg < 0 {
		start = "04-01"
	}
	d, _ := y.day("start", or(start, "the water year: the wet season does not cross its start in most places with wet winters"))
	s.YearMonth, s.YearDay = d.Month, d.Day
	s.FirstYear = int(y.whole("first", firstYear, lastYear, optional))
	s.LastYear = int(y.whole("last", firstYear, lastYear, optional))
	if s.FirstYear > 0 && s.LastYear > 0 && s.FirstYear > s.LastYear {
		y.wrong("last", "a water year is named by the calendar year in which it starts", "%d lies before the first year, %d", s.LastYear, s.FirstYear)
	}
	y.done()
}

// enough checks that there is a source of power.
func (l *loader) enough() {
	if len(l.tree) == 0 {
		return
	}
	_, arrays := l.tree["array"]
	_, turbine := l.tree["turbine"]
	if !arrays && !turbine {
		l.problems = append(l.problems, Problem{File: descriptionFile, What: "there is neither an [[array]] nor a [turbine]", Hint: "describe the panels, or the creek with [stream], [penstock] and [turbine], or both"})
	}
	// The water years have to be known and the record to hold one.
	if l.site.YearMonth == 0 || l.site.Rain.Days() == 0 || len(l.problems) > 0 {
		return
	}
	s := l.site
	years := weather.WaterYears(s.Rain, s.YearMonth, s.YearDay)
	if len(years) == 0 {
		l.problems = append(l.problems, Problem{File: l.rainFile(), What: fmt.Sprintf("no whole water year: the record runs from %s to %s", s.Rain.Start.Format("2006-01-02"), s.Rain.Start.AddDate(0, 0, s.Rain.Days()-1).Format("2006-01-02")),
			Hint: fmt.Sprintf("a run needs every day from one %d %s to the next; [year] start sets another day", s.YearDay, s.YearMonth)})
		return
	}
	l.covered(years)
	first, last := years[0].Number(), years[len(years)-1].Number()
	for _, k := range []struct {
		key  string
		year int
	}{{"year.first", s.FirstYear}, {"year.last", s.LastYear}} {
		if k.year != 0 && (k.year < first || k.year > last) {
			l.wrong(k.key, "a water year is named by the calendar year in which it starts", "%d is outside the whole water years of %s, %d to %d", k.year, l.rainFile(), first, last)
		}
	}
}

// covered checks that the owner's own records hold one of the water years.
func (l *loader) covered(years []weather.Year) {
	s := l.site
	none := func(file, what, hint string) {
		l.problems = append(l.problems, Problem{File: file, What: what + " holds no whole water year of " + l.rainFile(), Hint: hint})
	}
	if h := s.Sun.Hourly; h != nil {
		sun, any := weather.MeasuredSun{Start: h.Start, GHI: h.GHI, Repeat: h.Repeat}, false
		for _, y := range years {
			any = any || sun.Covers(y)
		}
		if !any {
			none(l.fileOf("sun", "hourly", ""), "the measured sun", "repeat = true in [sun] takes it as a typical year for all")
		}
	}
	if s.Stream != nil && s.Stream.Record != nil {
		any := false
		for _, y := range years {
			_, has := s.Stream.Record.From(y.Start, y.Days)
			any = any || has
		}
		if !any {
			none(l.fileOf("stream", "file", "flow.csv"), "the flow record", "let both begin earlier or end later, or set another [year] start")
		}
	}
}

// unknownTables tells the tables and keys of the top level that are not
// known.
func (l *loader) unknownTables() {
	l.head.known = append(l.head.known, l.tables...)
	for key := range l.head.values {
		_, isTable := l.head.values[key].(map[string]any)
		_, isList := l.head.values[key].([]any)
		if !l.head.isKnown(key) && (isTable || isList) {
			p := Problem{File: descriptionFile, What: fmt.Sprintf("unknown table [%s]", short(key)), Hint: didYouMean(key, l.tables)}
			if at, ok := l.at(key); ok {
				p.Line, p.Column = at.line, at.column
			}
			l.problems = append(l.problems, p)
			l.head.known = append(l.head.known, key)
		}
	}
	l.head.done()
}

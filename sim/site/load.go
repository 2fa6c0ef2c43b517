package site

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/solar"
	"sunrill/weather"
)

// Options change how a folder is read, not what it says. The zero value is
// ready to use.
type Options struct {
	FillGaps bool // fill gaps in the rain of more than three days from other years
	Unfitted bool // the creek's parameters may be missing: they are about to be fitted

	// Set sets values otherwise than the folder does; they are checked as the
	// folder is.
	Set []files.Setting
	// Instead are contents of files in place of those that the folder has, by
	// name, and of files that it has not.
	Instead map[string][]byte
	// Cache keeps the tables of the folder from one reading to the next; nil:
	// all is decoded anew.
	Cache *files.Cache
}

const descriptionFile = "site.toml"

// Load reads a site folder. The error, if any, is [Problems]: all that is
// wrong with the folder.
func Load(dir string, o Options) (*Site, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, files.Problems{{What: fmt.Sprintf("%s: there is no such folder", dir), Hint: "\"sunrill new " + dir + "\" lays one to start from"}}
	case err != nil:
		return nil, files.Problems{{What: fmt.Sprintf("%s: cannot be read: %s", dir, files.PlainCause(err))}}
	case !info.IsDir():
		return nil, files.Problems{{What: fmt.Sprintf("%s: is no folder", dir), Hint: "a site is a folder with a site.toml in it"}}
	}
	fsys := &noting{FS: os.DirFS(dir)}
	s, err := LoadFS(fsys, o)
	if err != nil {
		return nil, err
	}
	s.Folder, s.read = dir, fsys.names
	return s, nil
}

// LoadFS reads a site from the root of a file system.
func LoadFS(fsys fs.FS, o Options) (*Site, error) {
	if len(o.Instead) > 0 {
		fsys = edited{fsys, o.Instead}
	}
	d, ok := files.New(fsys).Using(o.Cache).Document(descriptionFile, "\"sunrill new DIR\" lays a folder to start from")
	l := &loader{Document: d, o: o, site: &Site{}}
	if ok {
		l.set()
	} else if l.Broken {
		l.Mute()
	}
	if ok || l.Broken {
		l.top()
		l.rainAndSun()
		l.air()
		l.arrays()
		l.water()
		l.bank()
		l.house()
		l.costs()
		l.uncertainty()
		l.limits()
		l.meter()
		l.enough()
		l.Unknown()
	}
	if l.Told() > 0 {
		return nil, l.Tidy()
	}
	l.site.Defaults, l.site.Changes, l.site.Values, l.site.Given = l.Defaults, l.Changes, l.Values(), l.GivenValues()
	l.site.Warnings = append(l.Warned(), l.Notes...)
	return l.site, nil
}

// tableOf returns a table; of a description with lines that could not be read
// an empty one, where the file that it usually names is there to be looked at.
func (l *loader) tableOf(name, file string) *files.Table {
	t := l.Table(name)
	if t == nil && l.Broken && l.Exists(file) {
		return l.NoTable(name)
	}
	return t
}

// loader is one reading of one folder.
type loader struct {
	*files.Document
	o        Options
	site     *Site
	horizons map[string]solar.Horizon // by file
	sunRead  bool                     // the sun is known, and with it whether its temperatures are
}

// warn tells something that is odd but valid.
func (l *loader) warn(format string, args ...any) {
	l.Warn(format, args...)
}

// top reads what stands before the first table, and the year.
func (l *loader) top() {
	t := l.Head
	s := l.site
	s.Name = t.Text("name", files.Need("what the place is called: name = \"Upper Meadow\""))
	s.Place.LatDeg = t.Quantity("latitude", measure.Coordinates, -90, 90, files.Need("degrees, north positive: latitude = 43.2"))
	hasLongitude, hasOffset := t.Has("longitude"), t.Has("utc_offset")
	switch {
	case hasLongitude && !hasOffset:
		lon := t.Quantity("longitude", measure.Coordinates, -180, 180, files.Optional)
		s.Place.LonDeg = lon
		if !math.IsNaN(lon) {
			s.Place.UTCOffsetH = math.Round(lon / 15)
			l.ByDefault("utc_offset", measure.Trim(s.Place.UTCOffsetH), "the clock of the longitude's time zone; standard time all year")
		}
	case !hasLongitude:
		offset := t.Quantity("utc_offset", measure.HourCounts, -12, 14, files.Or("0", "without a longitude the clock follows the sun"))
		s.Place.UTCOffsetH = offset
		s.Place.LonDeg = math.Remainder(15*offset, 360)
		l.ByDefault("longitude", measure.Trim(s.Place.LonDeg), "the middle of the time zone: noon may be half an hour off")
	default:
		s.Place.LonDeg = t.Quantity("longitude", measure.Coordinates, -180, 180, files.Optional)
		s.Place.UTCOffsetH = t.Quantity("utc_offset", measure.HourCounts, -12, 14, files.Optional)
		if d := math.Abs(math.Remainder(s.Place.UTCOffsetH-s.Place.LonDeg/15, 24)); d > 3 {
			l.warn("utc_offset and longitude are %.1f h apart: the sun would not be highest near noon; east and north are positive", d)
		}
	}
	if o := s.Place.UTCOffsetH * 4; o != math.Trunc(o) && !math.IsNaN(o) {
		t.Wrong("utc_offset", "hours, standard time all year: -8, 5.5 or 5.75", "%s is no quarter of an hour", measure.Trim(s.Place.UTCOffsetH))
	}
	if l.Broken { // a line that could not be read may hold the place: nothing is held against its sun
		s.Place.LatDeg = math.NaN()
	}
	s.Place.ElevationM = t.Quantity("elevation", measure.Lengths, -450, 6000, files.Or("0 m", "not given; it matters little"))
	s.US = t.Choice("units", []string{"metric", "us"}, files.Or("metric", "not given")) == "us"

	y := l.Table("year")
	if y == nil {
		y = l.NoTable("year")
	}
	start := "10-01"
	if s.Place.LatDeg < 0 {
		start = "04-01"
	}
	s.YearMonth, s.YearDay, _ = y.Day("start", files.Or(start, "the water year: the wet season does not cross its start in most places with wet winters"))
	s.FirstYear = int(y.Whole("first", files.FirstYear, files.LastYear, files.Optional))
	s.LastYear = int(y.Whole("last", files.FirstYear, files.LastYear, files.Optional))
	if s.FirstYear > 0 && s.LastYear > 0 && s.FirstYear > s.LastYear {
		y.Wrong("last", "a water year is named by the calendar year in which it starts", "%d lies before the first year, %d", s.LastYear, s.FirstYear)
	}
	y.Done()
}

// enough checks that there is a source of power.
func (l *loader) enough() {
	if l.Empty() {
		return
	}
	arrays := l.Given("array")
	turbine := l.Given("turbine")
	if !arrays && !turbine {
		l.Tell(files.Problem{File: descriptionFile, What: "there is neither an [[array]] nor a [turbine]", Hint: "describe the panels, or the creek with [stream], [penstock] and [turbine], or both"})
	}
	// The water years have to be known and the record to hold one.
	if l.site.YearMonth == 0 || l.site.Rain.Days() == 0 || l.Told() > 0 {
		return
	}
	s := l.site
	years := weather.WaterYears(s.Rain, s.YearMonth, s.YearDay)
	if len(years) == 0 {
		l.Tell(files.Problem{File: l.rainFile(), What: fmt.Sprintf("no whole water year: the record runs from %s to %s", s.Rain.Start.Format("2006-01-02"), s.Rain.Start.AddDate(0, 0, s.Rain.Days()-1).Format("2006-01-02")),
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
			l.Wrong(k.key, "a water year is named by the calendar year in which it starts", "%d is outside the whole water years of %s, %d to %d", k.year, l.rainFile(), first, last)
		}
	}
}

// covered checks that the owner's own records hold one of the water years.
func (l *loader) covered(years []weather.Year) {
	s := l.site
	none := func(file, what, hint string) {
		l.Tell(files.Problem{File: file, What: what + " holds no whole water year of " + l.rainFile(), Hint: hint})
	}
	if h := s.Sun.Hourly; h != nil {
		any := false
		for _, y := range years {
			any = any || h.Covers(y)
		}
		if !any {
			none(l.FileOf("sun", "hourly", ""), "the measured sun", "repeat = true in [sun] takes it as a typical year for all")
		}
	}
	if s.Stream != nil && s.Stream.Record != nil {
		any := false
		for _, y := range years {
			_, has := s.Stream.Record.From(y.Start, y.Days)
			any = any || has
		}
		if !any {
			none(l.FileOf("stream", "file", "flow.csv"), "the flow record", "let both begin earlier or end later, or set another [year] start")
		}
	}
}

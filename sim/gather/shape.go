package gather

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"sunrill/sim/measure"
)

// table is a file in which dates, header and columns are found.
type table struct {
	name       string
	g          *grid
	headerLine int
	headerLen  int // cells of the header
	header     []string
	first      int       // of the rows with data
	last       int       // one behind the last of them
	dates      dateCells // where the date of a row stands
	columns    []*column
	titles     string // all text before the header and behind the data

	// What read adds.
	times    []time.Time
	lines    []int
	clocked  bool // rows tell a time of day
	ending   bool // the stamps tell the end of an hour
	findings []Finding
	tenths   bool // GHCN-Daily: whole numbers are tenths
	typical  bool // a year put together of months of several years
	monthly  bool // a row a month, of no year
	texts    map[quantity][]string
}

// column is one column of a table.
type column struct {
	q       quantity
	header  string
	at      int
	unit    unit
	why     string // what tells the unit
	values  []value
	quality int // column of its flags; -1: none
	asked   bool

	blankDry bool // a calendar's blanks, which --unlisted dry makes 0
}

// dateCells are the columns that make up a row's date; -1: none.
type dateCells struct {
	date, year, month, day, doy, clock int
}

func (t *table) find(what, evidence string) {
	t.findings = append(t.findings, Finding{t.name, what, evidence})
}

func (t *table) problem(line int, hint, format string, args ...any) Problem {
	return Problem{File: t.name, Line: line, What: fmt.Sprintf(format, args...), Hint: hint}
}

func (t *table) columnNames() string {
	var names []string
	for _, h := range t.header {
		if h != "" {
			names = append(names, fmt.Sprintf("%q", clip(h)))
		}
	}
	if len(names) == 0 {
		return "it has no header"
	}
	if len(names) > 12 {
		names = append(names[:12], "…")
	}
	return strings.Join(names, ", ")
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func cellOf(r row, i int) string {
	if i < 0 || i >= len(r.cells) {
		return ""
	}
	return r.cells[i]
}

// shape finds the table in a grid: where its dates stand, its header, its
// first row and its last.
func shape(g *grid, o Options) (*table, Problems) {
	t := &table{name: g.file, g: g, texts: map[quantity][]string{}}
	if g.sheet != "" {
		t.name += " (" + g.sheet + ")"
	}
	if len(g.rows) == 0 {
		return nil, Problems{{File: t.name, What: "holds no rows"}}
	}
	if c := calendar(g, t.name); c != nil {
		return c, nil
	}
	t.dates = dateCells{-1, -1, -1, -1, -1, -1}
	t.dates.date = dateColumn(g)
	if t.dates.date < 0 && !t.dateParts() {
		if m, ps := monthly(g, t.name, o); m != nil || len(ps) > 0 {
			return m, ps
		}
		return nil, Problems{{File: t.name, What: "no column holds dates, nor year, month and day", Hint: "a table has a row a day or an hour, with its date; the columns are found by a header such as date,rain_mm"}}
	}
	t.first = slices.IndexFunc(g.rows, t.isData)
	t.last = len(g.rows)
	for t.last > t.first && !t.isData(g.rows[t.last-1]) {
		t.last--
	}
	if t.first < 0 {
		return nil, Problems{{File: t.name, What: "has a header but no row of data"}}
	}
	t.findHeader()
	for _, r := range g.rows[t.last:] {
		t.titles += "\n" + strings.Join(r.cells, " ")
	}
	t.findColumns()
	return t, nil
}

// dateColumn returns the column that holds a date in most rows, -1 if none
// does in a third of them.
func dateColumn(g *grid) int {
	const maximum = 3000
	rows := g.rows
	if len(rows) > maximum {
		rows = rows[:maximum]
	}
	width := 0
	for _, r := range rows {
		width = max(width, len(r.cells))
	}
	best, bestN := -1, 0
	for c := range min(width, 24) {
		n, filled, plain := 0, 0, 0
		named := false
		for _, r := range rows {
			cell := cellOf(r, c)
			if cell == "" {
				continue
			}
			filled++
			s, ok := parseStamp(cell)
			switch {
			case ok && s.form == serial:
				plain++
			case ok:
				n++
			case dateQuantity(append(wordsOf(cell), "")) == dateCell:
				named = true
			}
		}
		if named {
			n += plain // a spreadsheet's day numbers below a header that says date
		}
		if n > bestN && 3*n >= filled && (n > 1 || len(rows) < 6) {
			best, bestN = c, n
		}
	}
	return best
}

// dateParts looks for a header that names year, month and day, or year and day
// of the year.
func (t *table) dateParts() bool {
	rows := t.g.rows
	for i, r := range rows[:min(len(rows), 80)] {
		d := dateCells{-1, -1, -1, -1, -1, -1}
		for c, cell := range r.cells {
			words := wordsOf(cell)
			if len(words) == 0 {
				continue
			}
			set := func(p *int) {
				if *p < 0 {
					*p = c
				}
			}
			switch dateQuantity(words) {
			case yearCell:
				set(&d.year)
			case monthCell:
				set(&d.month)
			case dayCell:
				set(&d.day)
			case dayOfYear:
				set(&d.doy)
			}
		}
		if d.year < 0 || d.doy < 0 && (d.month < 0 || d.day < 0) {
			continue
		}
		t.dates = d
		return i+1 < len(rows) && slices.ContainsFunc(rows[i+1:], t.isData)
	}
	return false
}

// isData tells whether a row has a date.
func (t *table) isData(r row) bool {
	d := t.dates
	if d.date >= 0 {
		_, ok := parseStamp(cellOf(r, d.date))
		return ok
	}
	_, ok := d.parts(r)
	return ok
}

// parts reads a date from its parts.
func (d dateCells) parts(r row) (stamp, bool) {
	s := stamp{form: ymd, clock: -1}
	if d.year < 0 { // a table of the months
		m := monthOf(cellOf(r, d.month))
		if m == 0 {
			m = num(cellOf(r, d.month))
		}
		s.set(ymd, typicalYear, m, 15)
		return s, m >= 1 && m <= 12
	}
	year, month, day, doy := cellOf(r, d.year), cellOf(r, d.month), cellOf(r, d.day), cellOf(r, d.doy)
	if !allDigits(year) || len(year) != 4 && len(year) != 2 {
		return s, false
	}
	y := num(year)
	if len(year) == 2 {
		y, s.twoDigits = fullYear(y), true
	}
	if d.month >= 0 && d.day >= 0 {
		m := monthOf(month)
		if m == 0 && allDigits(month) && len(month) <= 2 {
			m = num(month)
		}
		if !allDigits(day) || len(day) > 2 {
			return s, false
		}
		s.set(ymd, y, m, num(day))
		return s, possible(y, m, num(day))
	}
	if !allDigits(doy) || len(doy) > 3 || y < firstYear || y > lastYear {
		return s, false
	}
	n := num(doy)
	if n < 1 || n > time.Date(y, 12, 31, 0, 0, 0, 0, time.UTC).YearDay() {
		return s, false
	}
	at := time.Date(y, 1, n, 0, 0, 0, 0, time.UTC)
	s.set(ymd, y, int(at.Month()), at.Day())
	return s, true
}

// findHeader takes the row above the first data for the header, with a row of
// units below it or of groups above it joined in.
func (t *table) findHeader() {
	rows := t.g.rows
	top := t.first
	width := len(rows[t.first].cells)
	joined := make([]string, max(width, 64))
	for top > 0 && t.first-top < 3 {
		r := rows[top-1]
		if !headerLike(r, width) {
			break
		}
		if t.first-top > 0 && !t.continues(joined) {
			break
		}
		group := ""
		for c := range joined {
			cell := cellOf(r, c)
			if cell != "" {
				group = cell
			}
			switch {
			case cell != "" && joined[c] == "":
				joined[c] = cell
			case cell != "":
				joined[c] = cell + " " + bracketUnit(joined[c])
			case joined[c] != "" && t.first-top > 0 && group != "":
				joined[c] = group + " " + joined[c] // "Temperature" over "min" and "max"
			}
		}
		t.headerLine, t.headerLen = r.line, max(t.headerLen, len(r.cells))
		top--
	}
	if top == t.first && len(t.g.comments) > 0 {
		// A header that was made a comment.
		if c := t.g.comments[len(t.g.comments)-1]; len(c.cells) >= min(2, width) && c.line < rows[t.first].line && headerLike(c, width) {
			copy(joined, c.cells)
			t.headerLine, t.headerLen = c.line, len(c.cells)
		}
	}
	t.header = joined[:width]
	for c := width; c < len(joined); c++ {
		if joined[c] != "" {
			t.header = joined[:c+1]
		}
	}
	for _, c := range t.g.comments {
		t.titles += "\n" + strings.Join(c.cells, " ")
	}
	for _, r := range rows[:top] {
		t.titles += "\n" + strings.Join(r.cells, " ")
	}
}

// headerLike tells a row of names from a title: it has as many cells as the
// data, or nearly, and none is a number.
func headerLike(r row, width int) bool {
	filled, numbers := 0, 0
	for _, c := range r.cells {
		if c == "" {
			continue
		}
		filled++
		if _, ok := plainNumber(c); ok {
			numbers++
		}
	}
	return numbers == 0 && (filled >= 2 || filled == 1 && width == 1) && (len(r.cells)+1 >= width || filled >= 3)
}

// continues tells whether what is joined so far is no whole header: units
// alone, or names that lack the one over the date.
func (t *table) continues(joined []string) bool {
	unitsOnly, filled := true, 0
	for _, c := range joined {
		if c == "" {
			continue
		}
		filled++
		if _, ok := unitOf(c); !ok && len(c) > 4 && !strings.ContainsAny(c, "/-") {
			unitsOnly = false
		}
	}
	lead := max(t.dates.date, t.dates.year)
	if lead < 0 {
		lead = t.dates.month
	}
	return filled > 0 && (unitsOnly || joined[lead] == "")
}

func bracketUnit(s string) string {
	if _, ok := unitOf(s); ok && !strings.ContainsAny(s, "([") {
		return "(" + s + ")"
	}
	return s
}

// findColumns tells what each column holds by its name.
func (t *table) findColumns() {
	d := &t.dates
	for c, h := range t.header {
		q := quantityOf(h)
		if c == d.date {
			continue
		}
		if q == clockCell && d.clock < 0 {
			d.clock = c
		}
		if q == monthCell && d.date >= 0 {
			if _, ok := unitOf(h); ok {
				q = nothing // mm over a column of numbers
			}
		}
		if q >= dateCell || c == d.month && t.monthly {
			continue
		}
		if q == quality {
			if n := len(t.columns); n > 0 {
				prev := t.columns[n-1]
				if prev.quality < 0 && (prev.at == c-1 || strings.HasPrefix(strings.ToLower(h), strings.ToLower(prev.header))) {
					prev.quality = c
				}
			}
			continue
		}
		t.columns = append(t.columns, &column{q: q, header: h, at: c, quality: -1})
	}
}

// only keeps the columns of a kind, and settles which where several could be.
func (t *table) only(kind Kind, o Options) Problems {
	var ps Problems
	named := map[quantity]bool{}
	for name, header := range o.Columns {
		q := nothing
		for _, w := range wanted[kind] {
			if word(w) == name {
				q = w
			}
		}
		if q == nothing {
			var known []string
			for _, w := range wanted[kind] {
				known = append(known, word(w))
			}
			ps = append(ps, t.problem(0, "known here: "+strings.Join(known, ", "), "--column %s: there is no such quantity", name))
			continue
		}
		i := slices.IndexFunc(t.columns, func(c *column) bool { return strings.EqualFold(trim(c.header), trim(header)) })
		if i < 0 {
			if t.header == nil || slices.IndexFunc(t.header, func(h string) bool { return strings.EqualFold(h, header) }) < 0 {
				ps = append(ps, t.problem(t.headerLine, "its columns: "+t.columnNames(), "--column %s: there is no column %q", name, header))
			}
			continue
		}
		t.columns[i].q, t.columns[i].asked = q, true
		named[q] = true
	}
	var keep []*column
	var numbers []*column
	for _, c := range t.columns {
		if isOf(c.q, wanted[kind]) && (c.asked || !named[c.q]) {
			keep = append(keep, c)
		} else if c.q == nothing && t.holdsNumbers(c.at) {
			numbers = append(numbers, c)
		}
	}
	hasMain := func() bool {
		return slices.ContainsFunc(keep, func(c *column) bool { return isOf(c.q, mainOf[kind]) })
	}
	if !hasMain() {
		switch {
		case kind == Sun && slices.ContainsFunc(keep, func(c *column) bool { return c.q == tmean }):
		case len(numbers) == 1 && !slices.ContainsFunc(t.columns, func(c *column) bool { return c.q != nothing && c.q != note }):
			c := numbers[0]
			c.q = mainOf[kind][0]
			if kind == Sun {
				c.q = daySun
			}
			keep = append(keep, c)
			t.find(fmt.Sprintf("column %d is taken for %s", c.at+1, quantityNames[c.q]), "it is the only one with numbers")
		default:
			hint := fmt.Sprintf("say which column it is: --column \"%s=NAME\"", word(mainOf[kind][0]))
			ps = append(ps, t.problem(t.headerLine, hint, "no column is known as %s by its name: %s", quantityNames[mainOf[kind][0]], t.columnNames()))
		}
	}
	slices.SortStableFunc(keep, func(a, b *column) int { return int(a.q) - int(b.q) })
	for i := 0; i+1 < len(keep); i++ {
		a, b := keep[i], keep[i+1]
		if a.q != b.q || a.q == note {
			continue
		}
		ps = append(ps, t.problem(t.headerLine, fmt.Sprintf("say which: --column \"%s=%s\"", word(a.q), a.header), "the columns %q and %q both hold %s", a.header, b.header, quantityNames[a.q]))
	}
	if slices.ContainsFunc(keep, func(c *column) bool { return c.q == rain }) {
		keep = slices.DeleteFunc(keep, func(c *column) bool { return c.q == rainSoFar })
	}
	t.columns = keep
	return ps
}

// word is the name of a quantity for --column.
func word(q quantity) string {
	switch q {
	case rain:
		return "rain"
	case rainSoFar:
		return "accumulated"
	case severalDaysRain:
		return "several-days"
	case totalDays:
		return "total-days"
	case wetDays:
		return "wet-days"
	case tmin:
		return "tmin"
	case tmax:
		return "tmax"
	case tmean:
		return "temp"
	case ghi:
		return "ghi"
	case dni:
		return "dni"
	case dhi:
		return "dhi"
	case daySun:
		return "sun"
	case soc:
		return "soc"
	case hydroW:
		return "hydro"
	case pvW:
		return "pv"
	}
	return strings.ReplaceAll(quantityNames[q], " ", "-")
}

// holdsNumbers tells whether half the cells of a column that hold something
// are numbers.
func (t *table) holdsNumbers(at int) bool {
	n, filled := 0, 0
	for _, r := range t.g.rows[t.first:min(t.last, t.first+1000)] {
		cell := cellOf(r, at)
		if cell == "" {
			continue
		}
		filled++
		if v, _ := readNumber(cell, strings.Contains(cell, ",")); v.st == known || v.st == traced {
			n++
		}
	}
	return n > 0 && 2*n >= filled
}

var (
	brokenDate  = regexp.MustCompile(`^\d{1,4}[-/.]`)
	summaryWord = regexp.MustCompile(`(?i)^(sub)?-?(total|sum|mean|average|avg|median|max|min|count|summe|mittel|mittelwert|somme|moyenne|total[ei]?|monthly|month|year|annual)`)
	totalOfDays = regexp.MustCompile(`(?i)(?:total|sum|accum\w*|summe|cumul\w*)[^0-9]{0,25}?(\d{1,3})[ -]?(?:days?|tage?|jours?|d\b)|\b(\d{1,3})[ -]?days?\b[^0-9]{0,25}?(?:total|sum|accum)`)
)

// read turns the cells of the wanted columns into values, and the dates into
// times.
func (t *table) read(kind Kind, o Options) Problems {
	if t.g == nil {
		return nil // read by a reader of its own format
	}
	ps := t.only(kind, o)
	if len(ps) > 0 {
		return ps
	}
	rows, ps := t.dataRows()
	if len(ps) > 0 {
		return ps
	}
	if ps := t.readTimes(rows, o); len(ps) > 0 {
		return ps
	}
	return t.readValues(rows, kind, o)
}

// dataRows are the rows that have a date. What lies between is a header again
// or a sum; anything else is a problem.
func (t *table) dataRows() (rows []row, ps Problems) {
	rows = make([]row, 0, t.last-t.first)
	var sums, heads []int
	for _, r := range t.g.rows[t.first:t.last] {
		if t.isData(r) {
			rows = append(rows, r)
			continue
		}
		lead := ""
		for _, c := range r.cells {
			if c != "" {
				lead = c
				break
			}
		}
		at := max(t.dates.date, t.dates.year)
		switch {
		case summaryWord.MatchString(lead) || monthOf(strings.Fields(lead + " ")[0:1][0]) > 0 && len(r.cells) > 0:
			sums = append(sums, r.line)
		case len(t.header) > at && at >= 0 && strings.EqualFold(cellOf(r, at), t.header[at]):
			heads = append(heads, r.line)
		case len(r.cells) == 1 && headerWords(lead):
			heads = append(heads, r.line)
		default:
			ps = append(ps, t.problem(r.line, "write the date, or take the row out", "%q is no date", clip(cellOf(r, at))))
		}
	}
	if len(sums) > 0 {
		t.find(fmt.Sprintf("%s of sums or means left out", measure.Plural(len(sums), "row", "rows")), "the first is on line "+fmt.Sprint(sums[0]))
	}
	if len(heads) > 0 {
		t.find(fmt.Sprintf("%s that repeat a header or a title left out", measure.Plural(len(heads), "row", "rows")), "the first is on line "+fmt.Sprint(heads[0]))
	}
	for _, r := range t.g.rows[t.last:] {
		if c := cellOf(r, max(t.dates.date, 0)); brokenDate.MatchString(c) && len(r.cells) > 1 {
			ps = append(ps, t.problem(r.line, "write the date, or take the row out", "%q is no date", clip(c)))
		}
	}
	if n := len(t.g.rows) - t.last; n > 0 {
		t.find(fmt.Sprintf("%s below the table left out", measure.Plural(n, "row", "rows")), fmt.Sprintf("from line %d: %q", t.g.rows[t.last].line, clip(strings.Join(t.g.rows[t.last].cells, " "))))
	}
	return rows, ps
}

// headerWords tells a title within a table, such as the name of the next year.
func headerWords(s string) bool { return !strings.ContainsAny(s, "/.") && len(s) > 0 }

// readTimes turns the dates into times.
func (t *table) readTimes(rows []row, o Options) (ps Problems) {
	all := dates{make([]stamp, len(rows)), rows, t.dates.date}
	ending, offsets, twoDigits := false, 0, ""
	for i, r := range rows {
		s := &all.stamps[i]
		if t.dates.date >= 0 {
			*s, _ = parseStamp(all.text(i))
		} else {
			*s, _ = t.dates.parts(r)
		}
		if t.dates.clock >= 0 && s.clock < 0 {
			if bad := t.readClock(s, cellOf(r, t.dates.clock)); bad {
				ps = append(ps, t.problem(r.line, "write it as 14:00", "%q is no time of day", clip(cellOf(r, t.dates.clock))))
			}
		}
		ending = ending || s.ending
		if s.hasOffset {
			offsets++
		}
		if s.twoDigits && twoDigits == "" {
			twoDigits = all.text(i)
		}
		t.clocked = t.clocked || s.clock > 0
	}
	if len(ps) > 0 {
		return ps
	}
	order, evidence, err := findOrder(all, order(o.Dates))
	if err == errOrder {
		return Problems{t.problem(rows[0].line, "say it: --dates dmy or --dates mdy", "%s: %s", err, all.text(0))}
	} else if err != nil {
		return Problems{t.problem(0, "write all dates in one way, best as 2016-10-31; --dates dmy or mdy says the order", "%s", err)}
	}
	t.dateFinding(order, evidence, all)
	if twoDigits != "" {
		t.find("years of two digits are 1969 to 2068", "such as "+twoDigits)
	}
	shift := time.Duration(0)
	if offsets > 0 {
		if math.IsNaN(o.UTCOffsetH) {
			return Problems{t.problem(rows[0].line, "give the site's folder with --site; its utc_offset tells its own time", "the stamps tell an offset from Greenwich: %s", all.text(0))}
		}
		shift = time.Duration(o.UTCOffsetH * float64(time.Hour))
		t.find("stamps with an offset from Greenwich turned into the site's standard time", fmt.Sprintf("utc_offset %+g h", o.UTCOffsetH))
	}
	if ending {
		t.ending = true
		t.find("a stamp tells the end of its hour", "24:00 stands among them")
	}
	t.times, t.lines = make([]time.Time, len(rows)), make([]int, len(rows))
	for i, s := range all.stamps {
		at, ok := s.moment(order)
		if !ok {
			ps = append(ps, t.problem(rows[i].line, "write all dates in one way", "%q is no day of the calendar", clip(all.text(i))))
			continue
		}
		if s.hasOffset {
			at = at.Add(-time.Duration(s.offsetMin)*time.Minute + shift)
		}
		t.times[i], t.lines[i] = at, rows[i].line
	}
	return ps
}

func (t *table) dateFinding(o order, evidence string, all dates) {
	what := "dates are in the columns of year, month and day"
	if t.monthly {
		what = "a row a month"
	}
	if t.dates.doy >= 0 && t.dates.date < 0 {
		what = "dates are in the columns of year and day of the year"
	}
	if t.dates.date >= 0 {
		name := fmt.Sprintf("column %d", t.dates.date+1)
		if t.dates.date < len(t.header) && t.header[t.dates.date] != "" {
			name = fmt.Sprintf("%q", t.header[t.dates.date])
		}
		what = "dates are in " + name
		short := slices.ContainsFunc(all.stamps, func(s stamp) bool { return s.form == short })
		switch {
		case short:
			what += ", " + orderWords[o]
		case all.stamps[0].form == serial:
			what += ", as a spreadsheet counts days"
			evidence = fmt.Sprintf("line %d has %s", all.line(0), all.text(0))
		}
	}
	t.find(what, evidence)
}

// readClock reads a column of its own with the time of day: 14:00, 1400, or a
// number of the hour.
func (t *table) readClock(s *stamp, cell string) (bad bool) {
	if cell == "" {
		return false
	}
	if allDigits(cell) {
		n := num(cell)
		switch {
		case len(cell) <= 2 && n <= 24:
			s.clock = int32(n * 3600)
		case len(cell) <= 4 && n%100 < 60 && n/100 <= 24:
			s.clock = int32(n/100*3600 + n%100*60)
		default:
			return true
		}
		s.ending = s.clock == daySec
		return false
	}
	probe := stamp{clock: -1}
	if !probe.time(cell) {
		return true
	}
	s.clock, s.ending = probe.clock, probe.ending
	return false
}

// readValues reads the cells of all wanted columns.
func (t *table) readValues(rows []row, kind Kind, o Options) (ps Problems) {
	var d decimal
	for _, c := range t.columns {
		if isText(c.q) {
			continue
		}
		for _, r := range rows {
			if cell := cellOf(r, c.at); cell != "" {
				d.look(r.line, cell)
			}
		}
	}
	comma, evidence, err := d.decide(t.g.separator, o.Decimal)
	if err != nil {
		return Problems{t.problem(0, "say it: --decimal comma or --decimal point", "%s", err)}
	}
	if comma {
		t.find("numbers have a decimal comma", evidence)
	}
	ps = append(ps, t.ragged(rows)...)
	for _, c := range t.columns {
		if isText(c.q) {
			texts := make([]string, len(rows))
			for i, r := range rows {
				texts[i] = cellOf(r, c.at)
			}
			t.texts[c.q] = join(t.texts[c.q], texts)
			continue
		}
		ps = append(ps, t.readColumn(c, rows, comma)...)
	}
	if kind == Rain {
		t.remarkTotals()
	}
	return ps
}

func isText(q quantity) bool { return q == note || q == method || q == seconds }

// join puts several columns of remarks together.
func join(a, b []string) []string {
	if a == nil {
		return b
	}
	for i := range a {
		a[i] = trim(a[i] + " " + b[i])
	}
	return a
}

// ragged tells rows with more cells than the header.
func (t *table) ragged(rows []row) (ps Problems) {
	if t.headerLine == 0 || t.g.separator == ' ' || t.g.separator == 0 {
		return nil
	}
	remarks := 0
	for _, r := range rows {
		if len(r.cells) <= t.headerLen {
			continue
		}
		numbers := false
		for _, c := range r.cells[t.headerLen:] {
			numbers = numbers || c != "" && (isDigit(c[0]) || c[0] == '-')
		}
		if !numbers {
			remarks++
			continue
		}
		hint := ""
		if t.g.separator == ',' {
			hint = "a comma inside a number or a text? save the file with semicolons, or put such a cell in double quotes"
		}
		ps = append(ps, t.problem(r.line, hint, "the row has %s, the header %d", measure.Plural(len(r.cells), "cell", "cells"), t.headerLen))
	}
	if remarks > 0 {
		t.find(fmt.Sprintf("text beyond the last column left out in %s", measure.Plural(remarks, "row", "rows")), "")
	}
	return ps
}

// readColumn reads a column of numbers and says what stood for missing and
// trace.
func (t *table) readColumn(c *column, rows []row, comma bool) (ps Problems) {
	c.values = make([]value, len(rows))
	gone, traces, refused, estimated := map[string]int{}, 0, map[string]int{}, 0
	seen := map[string]int{}
	for i, r := range rows {
		cell := cellOf(r, c.at)
		v, u := readNumber(cell, comma)
		if u == "e" {
			estimated++
		} else if u != "" {
			seen[u]++
		}
		if c.quality >= 0 && (v.st == known || v.st == traced) {
			v = t.flagged(c, v, cellOf(r, c.quality), refused)
		}
		switch v.st {
		case unreadable:
			ps = append(ps, t.problem(r.line, "leave the cell empty if it was not read, or write the number alone", "%s: %q is no number", clip(c.header), clip(cell)))
		case missing:
			if cell == "" {
				cell = "blank"
			}
			gone[cell]++
		case traced:
			traces++
		}
		c.values[i] = v
	}
	name := fmt.Sprintf("column %d", c.at+1)
	if c.header != "" {
		name = fmt.Sprintf("%q", clip(c.header))
	}
	name += ", " + quantityNames[c.q]
	if len(seen) == 1 && len(ps) == 0 {
		for u := range seen {
			for _, k := range units {
				if k.name == u {
					c.unit, c.why = k, "it stands behind the numbers"
				}
			}
		}
	} else if len(seen) > 1 {
		ps = append(ps, t.problem(t.headerLine, "write one unit throughout", "%s: the numbers carry different units: %s", clip(c.header), words(seen)))
	}
	if len(gone) > 0 {
		t.find(name+": missing is "+words(gone), "gaps, not 0")
	}
	if traces > 0 {
		t.find(fmt.Sprintf("%s: %s of trace", name, measure.Plural(traces, "row", "rows")), "counted as 0 and noted")
	}
	if estimated > 0 {
		t.find(fmt.Sprintf("%s: %s estimated by the service", name, measure.Plural(estimated, "value is", "values are")), "taken as they stand")
	}
	if len(refused) > 0 {
		t.find(name+": refused by the service's own check, by flag: "+words(refused), "taken for missing")
	}
	return ps
}

// words lists what stands how often, the most frequent first.
func words(count map[string]int) string {
	keys := make([]string, 0, len(count))
	for k := range count {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int {
		if count[a] != count[b] {
			return count[b] - count[a]
		}
		return strings.Compare(a, b)
	})
	var out []string
	for i, k := range keys {
		if i == 6 {
			out = append(out, "…")
			break
		}
		out = append(out, fmt.Sprintf("%s (%s)", k, often(count[k])))
	}
	return strings.Join(out, ", ")
}

func often(n int) string {
	if n == 1 {
		return "once"
	}
	return measure.Count(n) + " times"
}

// flagged applies a service's flags to a value. Of GHCN-Daily the cell is
// measurement, quality and source flag, commas between [GHCN]; a quality flag
// means that a check failed. Of a table with a column of letters, R, S, I and M
// refuse a value; they stand for far out of the historical range, sensor out of
// service, ignore, and missing (from memory).
func (t *table) flagged(c *column, v value, flags string, refused map[string]int) value {
	if flags == "" {
		return v
	}
	if parts := strings.Split(flags, ","); len(parts) >= 3 {
		if trim(parts[1]) != "" {
			refused[trim(parts[1])]++
			return value{st: failed}
		}
		if trim(parts[0]) == "T" {
			return value{st: traced}
		}
		return v
	}
	switch strings.ToUpper(flags) {
	case "R", "S", "I", "M":
		refused[flags]++
		return value{st: failed}
	case "T":
		return value{st: traced}
	}
	return v
}

// remarkTotals reads "total of 7 days" in the remarks into the rain beside
// them.
func (t *table) remarkTotals() {
	notes := t.texts[note]
	i := slices.IndexFunc(t.columns, func(c *column) bool { return c.q == rain })
	if notes == nil || i < 0 {
		return
	}
	c := t.columns[i]
	n, told := 0, ""
	for k, text := range notes {
		if text == "" || c.values[k].st != known && c.values[k].st != totalled {
			continue
		}
		m := totalOfDays.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		days := num(m[1] + m[2])
		if days > 1 && days <= 366 {
			c.values[k].st, c.values[k].days = totalled, int16(days)
			n++
			told = text
		}
	}
	if n > 0 {
		t.find("totals of several days by the remarks: "+measure.Count(n), "such as: "+clip(told))
	}
}

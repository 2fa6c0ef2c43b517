package site

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"time"

	"sunrill/sim/files"
)

const logFile = "log.csv"

// LogEntry is an outlook that was kept: how full the bank was, what the creek
// gave, and what was decided.
type LogEntry struct {
	At      time.Time // of the site's clock, in UTC
	SoC     float64   // 0 to 1
	FlowM3S float64   // NaN: not read
	Decided string
}

// stamp is a date, or a date and a time of day.
type stamp struct{ time.Time }

func (s *stamp) UnmarshalCSV(cell string) error {
	if len(cell) <= len(time.DateOnly) {
		var d files.Day
		err := d.UnmarshalCSV(cell)
		s.Time = d.Time
		return err
	}
	var h files.Hour
	err := h.UnmarshalCSV(cell)
	s.Time = h.Time
	return err
}

type logRow struct {
	Date    stamp        `csv:"date"`
	SoC     files.Number `csv:"soc_pct"`
	FlowLPS files.Maybe  `csv:"flow_lps"`
	Decided string       `csv:"decided"`
}

var logColumns = files.Columns{}.Must("date", "soc_pct", "flow_lps", "decided")

// Log reads the log.csv of a site folder; none is no error. The error is a
// [files.Problems].
func Log(dir string) ([]LogEntry, error) {
	if _, err := os.Stat(filepath.Join(dir, logFile)); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return logOf(files.New(os.DirFS(dir)))
}

func logOf(l *files.Folder) ([]LogEntry, error) {
	rows, s, ok := files.Rows[logRow](l, logFile, "it may be left out", logColumns)
	if s == nil {
		return nil, l.Problems
	}
	var all []LogEntry
	for i, r := range rows {
		e := LogEntry{At: r.Date.Time, SoC: float64(r.SoC) / 100, FlowM3S: math.NaN(), Decided: r.Decided}
		if r.FlowLPS.Given {
			e.FlowM3S = r.FlowLPS.Value / 1000
		}
		if e.SoC < 0 || e.SoC > 1 {
			s.Wrong(i, "soc_pct", "", "%g is outside 0 to 100", float64(r.SoC))
		}
		if e.FlowM3S < 0 {
			s.Wrong(i, "flow_lps", "", "is negative")
		}
		all = append(all, e)
	}
	if !ok || len(l.Problems) > 0 {
		return nil, l.Problems
	}
	return all, nil
}

// AppendLog adds an entry to the log.csv of a site folder, and begins the file
// if there is none. The whole file is written anew beside the old, read again
// and then put in its place, so that the log is never half a row.
func AppendLog(dir string, e LogEntry) error {
	path := filepath.Join(dir, logFile)
	if _, err := os.Stat(filepath.Join(dir, descriptionFile)); err != nil {
		return files.Problems{{What: fmt.Sprintf("%s: is no site folder: it has no %s", dir, descriptionFile)}}
	}
	var old []byte
	if info, err := os.Lstat(path); err == nil && info.Size() > 0 {
		if !info.Mode().IsRegular() {
			return files.Problems{{File: logFile, What: "is no regular file", Hint: "links, devices and pipes are not written to"}}
		}
		if _, err := Log(dir); err != nil {
			return err
		}
		if old, err = os.ReadFile(path); err != nil {
			return err
		}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	text, err := withRow(old, []string{"date", "soc_pct", "flow_lps", "decided"}, e.cells)
	if err != nil {
		return err
	}

	try, err := os.MkdirTemp(dir, ".log-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(try)
	if err := os.WriteFile(filepath.Join(try, logFile), text, 0o644); err != nil {
		return err
	}
	switch all, err := Log(try); {
	case err != nil:
		return err
	case len(all) == 0 || all[len(all)-1].Decided != e.Decided:
		return files.Problems{{File: logFile, What: fmt.Sprintf("would give %q back as %q", e.Decided, all[len(all)-1].Decided), Hint: "use plain letters"}}
	}
	return ReplaceFile(path, text)
}

// cells lays an entry out under the header of a log.csv.
func (e LogEntry) cells(header []string, decimalComma bool) ([]string, error) {
	row := make([]string, len(header))
	for i, name := range header {
		switch name {
		case "date":
			row[i] = e.At.Format(time.DateOnly)
			if e.At.Hour() > 0 {
				row[i] = e.At.Format("2006-01-02 15:04")
			}
		case "soc_pct":
			row[i] = numberCell(100*e.SoC, decimalComma)
		case "flow_lps":
			if !math.IsNaN(e.FlowM3S) {
				row[i] = numberCell(1000*e.FlowM3S, decimalComma)
			}
		case "decided":
			row[i] = files.AsText(e.Decided)
		}
	}
	return row, nil
}

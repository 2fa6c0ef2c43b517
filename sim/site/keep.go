package site

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"sunrill/sim/files"
	"sunrill/sources/stream"
)

// Parameter is a row of stream.csv: a fitted value and its range.
type Parameter struct {
	Name             string
	Value, Low, High float64 // Low and High are NaN where not known
}

// ParameterCSV returns the content of a stream.csv.
func ParameterCSV(model string, ps []Parameter) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# Fitted to gaugings.csv; [stream] model = %q and parameters = \"stream.csv\" use it.\nparameter,value,low,high\n", model)
	for _, p := range ps {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", p.Name, sixDigits(p.Value), sixDigits(p.Low), sixDigits(p.High))
	}
	return b.Bytes()
}

func sixDigits(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}

// AppendGauging adds a reading to the gaugings.csv of a site folder, with its
// flow in L/s, and begins the file if there is none. What stands there stays
// as it is, byte for byte; the columns of its header are kept to.
func AppendGauging(dir string, g stream.Gauging) error {
	path := filepath.Join(dir, gaugingsFile)
	if _, err := os.Stat(filepath.Join(dir, descriptionFile)); err != nil {
		return files.Problems{{What: fmt.Sprintf("%s: is no site folder: it has no %s", dir, descriptionFile)}}
	}
	l := files.New(os.DirFS(dir))
	header := []string{"date", "method", "flow_lps", "note"}
	separator, begin := ',', true
	var old []byte
	if info, err := os.Stat(path); err == nil && info.Size() > 0 {
		data, ok := l.Read(gaugingsFile, files.MaxTableBytes, files.Problem{File: gaugingsFile}, "")
		if !ok {
			return l.Problems
		}
		s := l.Sheet(gaugingsFile, data, gaugingColumns)
		if s == nil && len(l.Problems) > 0 && l.Problems[0].What != files.HeaderOnly {
			return l.Problems
		}
		var err error
		if separator, header, err = files.Header(data); err != nil {
			return l.Problems
		}
		old, begin = data, false
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	row, err := gaugingCells(header, g, separator == ';')
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if len(old) > 0 && old[len(old)-1] != '\n' {
		b.WriteByte('\n')
	}
	w := csv.NewWriter(&b)
	w.Comma = separator
	if begin {
		w.Write(header) // a bytes.Buffer takes all
	}
	w.Write(row)
	w.Flush()
	f, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	size, err := f.Seek(0, 2)
	if err == nil {
		if _, err = f.Write(b.Bytes()); err != nil {
			f.Truncate(size) // take back half a row
		}
	}
	return errors.Join(err, f.Close())
}

// gaugingCells lays a reading out under a header.
func gaugingCells(header []string, g stream.Gauging, decimalComma bool) ([]string, error) {
	if g.Note != "" && !slices.Contains(header, "note") {
		return nil, files.Problems{{File: gaugingsFile, Line: 1, What: "has no column for the note, and the reading would be kept without it",
			Hint: "write note as one more column into the header row, or save the reading without a note"}}
	}
	row := make([]string, len(header))
	flow := false
	number := func(v float64) string {
		text := strconv.FormatFloat(v, 'g', 5, 64)
		if decimalComma {
			text = strings.Replace(text, ".", ",", 1)
		}
		return text
	}
	for i, name := range header {
		switch name {
		case "date":
			row[i] = g.Date.Format("2006-01-02")
		case "method":
			row[i] = g.Method
		case "flow_lps":
			row[i], flow = number(g.FlowM3S*1e3), true
		case "flow_gpm":
			row[i], flow = number(g.FlowM3S/gallonMinM3S), true
		case "note":
			row[i] = g.Note
		}
	}
	if flow {
		return row, nil
	}
	// A file of bucket readings only: the same flow as a bucket of 20 L.
	volume, seconds := -1, -1
	for i, name := range header {
		switch name {
		case "volume_l":
			volume = i
		case "seconds":
			seconds = i
		}
	}
	if g.Method != "bucket" || volume < 0 || seconds < 0 {
		return nil, files.Problems{{File: gaugingsFile, What: "has no column for a flow", Hint: "add the column flow_lps to its header and an empty cell to each row"}}
	}
	row[volume], row[seconds] = "20", number(0.020/g.FlowM3S)
	return row, nil
}

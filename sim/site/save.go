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
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// RawReading is a reading of the creek with what was measured, to be kept.
type RawReading struct {
	stream.Gauging
	VolumeM3 float64   // of the bucket; 0: by another method
	Seconds  []float64 // in which it filled
	US       bool      // a new file is begun in US units
}

// AppendGauging adds a reading to the gaugings.csv of a site folder, and
// begins the file if there is none. What stands there stays as it is, byte for
// byte; the columns of its header are kept to. The file is replaced whole, and
// only if the reader finds the reading in the new one and nothing wrong that
// was not wrong before.
func AppendGauging(dir string, g RawReading) error {
	if _, err := os.Stat(filepath.Join(dir, descriptionFile)); err != nil {
		return files.Problems{{What: fmt.Sprintf("%s: is no site folder: it has no %s", dir, descriptionFile)}}
	}
	path, old, err := gaugingsPath(dir)
	if err != nil {
		return err
	}
	temporary, err := os.MkdirTemp(filepath.Dir(path), newPrefix)
	if err != nil {
		return err
	}
	defer os.RemoveAll(temporary)
	was, before, err := readingsIn(temporary, old)
	if err != nil {
		return err
	}
	text, err := withReading(old, g)
	if err != nil {
		return err
	}
	if text == nil {
		if before.Told() > 0 {
			return before.Tidy()
		}
		return files.Problems{{File: gaugingsFile, What: "has no header row", Hint: "begin it with " + gaugingColumns.Text()}}
	}
	is, after, err := readingsIn(temporary, text)
	switch {
	case err != nil:
		return err
	case after.Told() > before.Told():
		return after.Tidy()
	case len(is) != len(was)+1 || !sameReading(is[len(is)-1], g.Gauging):
		return files.Problems{{File: gaugingsFile, What: "the reading would not be found again in the file", Hint: "is a quote opened and not closed in it? mend the file first"}}
	}
	if info, err := os.Stat(path); err == nil {
		if err := os.Chmod(filepath.Join(temporary, gaugingsFile), info.Mode().Perm()); err != nil {
			return err
		}
	}
	return os.Rename(filepath.Join(temporary, gaugingsFile), path)
}

// GaugingsWith returns the text of a gaugings.csv with a reading more, in the
// columns of its header; without a text, that of a new file.
func GaugingsWith(old []byte, g RawReading) ([]byte, error) {
	text, err := withReading(old, g)
	if err == nil && text == nil {
		err = files.Problems{{File: gaugingsFile, What: "has no header row", Hint: "begin it with " + gaugingColumns.Text()}}
	}
	return text, err
}

// readingsIn writes a gaugings.csv into a folder and reads it.
func readingsIn(dir string, text []byte) ([]stream.Gauging, *files.Folder, error) {
	in := files.New(os.DirFS(dir))
	if len(text) == 0 {
		return nil, in, nil
	}
	f, err := os.Create(filepath.Join(dir, gaugingsFile))
	if err != nil {
		return nil, nil, err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return nil, nil, err
	}
	l := &loader{Document: &files.Document{Folder: in}, site: &Site{}}
	l.gaugings()
	return l.site.Gaugings, in, nil
}

// sameReading tells whether a reading came back: files keep five digits.
func sameReading(got, want stream.Gauging) bool {
	return got.Date.Format("2006-01-02") == want.Date.Format("2006-01-02") && got.Method == want.Method && math.Abs(got.FlowM3S-want.FlowM3S) <= 1e-3*want.FlowM3S
}

// gaugingsPath returns the path of the gaugings.csv of a folder, behind links,
// and what it holds; nothing if there is none.
func gaugingsPath(dir string) (path string, old []byte, err error) {
	path = filepath.Join(dir, gaugingsFile)
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return path, nil, nil
	}
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", nil, files.Problems{{File: gaugingsFile, What: "is a link to a file that is not there", Hint: "take the link away, and the file is begun anew"}}
	}
	in := files.New(os.DirFS(filepath.Dir(real)))
	info, err := os.Stat(real)
	if err != nil {
		return "", nil, err
	}
	if info.Mode().IsRegular() && info.Size() == 0 {
		return real, nil, nil
	}
	old, ok := in.Read(filepath.Base(real), files.MaxTableBytes, files.Problem{File: gaugingsFile}, "")
	if !ok {
		return "", nil, in.Tidy()
	}
	f, err := os.OpenFile(real, os.O_WRONLY|os.O_APPEND, 0) // may it be written?
	if err != nil {
		return "", nil, err
	}
	return real, old, f.Close()
}

// withReading returns the content of a gaugings.csv with one row more; nil if it
// has no header.
func withReading(old []byte, g RawReading) ([]byte, error) {
	header := []string{"date", "method", "volume_l", "seconds", "flow_lps", "note"}
	if g.US {
		header[2], header[4] = "volume_gal", "flow_gpm"
	}
	return withRow(old, header, func(header []string, decimalComma bool) ([]string, error) {
		return gaugingCells(header, g, decimalComma)
	})
}

// withRow returns the content of a CSV file with one row more, laid out under
// the header that it has, with its separator and line ends; what stands there
// stays as it is. An empty file is begun with a header. It returns nil for a
// file without one.
func withRow(old []byte, header []string, cells func(header []string, decimalComma bool) ([]string, error)) ([]byte, error) {
	separator, end := ',', "\n"
	text := slices.Clone(old)
	if len(old) == 0 {
		text = append(text, rowText(header, ',', end)...)
	} else {
		var err error
		if separator, header, err = files.Header(bytes.TrimPrefix(old, []byte("\ufeff"))); err != nil || len(header) == 0 {
			return nil, nil
		}
		switch {
		case bytes.Contains(old, []byte("\r\n")):
			end = "\r\n"
		case !bytes.Contains(old, []byte("\n")) && bytes.Contains(old, []byte("\r")):
			end = "\r"
		}
		if !bytes.HasSuffix(old, []byte(end)) {
			text = append(text, end...)
		}
	}
	row, err := cells(header, separator == ';')
	if err != nil {
		return nil, err
	}
	return append(text, rowText(row, separator, end)...), nil
}

// numberCell prints a value with five digits.
func numberCell(v float64, decimalComma bool) string {
	text := strconv.FormatFloat(v, 'g', 5, 64)
	if decimalComma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

// rowText writes a row of CSV. A first cell that would make the row a comment
// is put in quotes.
func rowText(cells []string, separator rune, end string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Comma = separator
	w.Write(cells) // a strings.Builder takes all
	w.Flush()
	text := strings.TrimSuffix(b.String(), "\n")
	if strings.HasPrefix(text, "#") {
		rest := strings.TrimPrefix(text, cells[0]) // it had no quotes: nothing in it was doubled
		text = `"` + cells[0] + `"` + rest
	}
	return text + end
}

// gaugingCells lays a reading out under a header.
func gaugingCells(header []string, g RawReading, decimalComma bool) ([]string, error) {
	if g.Note != "" && !slices.Contains(header, "note") {
		return nil, files.Problems{{File: gaugingsFile, Line: 1, What: "has no column for the note, and the reading would be kept without it",
			Hint: "write note as one more column into the header row, or save the reading without a note"}}
	}
	row := make([]string, len(header))
	number := func(v float64) string { return numberCell(v, decimalComma) }
	has := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool { return slices.Contains(header, n) })
	}
	var seconds []string
	for _, s := range g.Seconds {
		seconds = append(seconds, number(s))
	}
	// What was measured goes with the flow where there is room for both parts of it.
	raw := g.VolumeM3 > 0 && has("volume_l", "volume_gal") && has("seconds")
	if !raw && !has("flow_lps", "flow_gpm") {
		return nil, files.Problems{{File: gaugingsFile, What: "has no column for a flow", Hint: "add the column flow_lps to its header and an empty cell to each row"}}
	}
	for i, name := range header {
		switch name {
		case "date":
			row[i] = g.Date.Format("2006-01-02")
		case "method":
			row[i] = g.Method
		case "volume_l":
			if raw {
				row[i] = number(g.VolumeM3 * 1e3)
			}
		case "volume_gal":
			if raw && !has("volume_l") {
				row[i] = number(g.VolumeM3 * 1e3 / measure.GallonL)
			}
		case "seconds":
			if raw {
				row[i] = strings.Join(seconds, " ")
			}
		case "flow_lps":
			row[i] = number(g.FlowM3S * 1e3)
		case "flow_gpm":
			row[i] = number(g.FlowM3S / gallonMinM3S)
		case "note":
			row[i] = files.AsText(g.Note)
		}
	}
	return row, nil
}

package site_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunrill/sim/site"
	"sunrill/sources/stream"
)

// creekFolder lays a folder with a creek; gaugings is the content of its
// gaugings.csv, nil for none.
func creekFolder(t *testing.T, gaugings []byte) (dir, path string) {
	t.Helper()
	dir = lay(t, map[string]string{"site.toml": string(folder(nil)["site.toml"].Data) + "\n[stream]\nmodel = \"curve\"\nrecession_days = 30\ngain = \"1 L/s\"\n"})
	path = filepath.Join(dir, "gaugings.csv")
	if gaugings != nil {
		if err := os.WriteFile(path, gaugings, 0o640); err != nil {
			t.Fatal(err)
		}
	}
	return dir, path
}

// bucketOf is a reading of a bucket.
func bucketOf(litres float64, seconds ...float64) site.RawReading {
	r, err := stream.Bucket(litres*1e-3, seconds)
	if err != nil {
		panic(err)
	}
	day := time.Date(2019, 3, 4, 0, 0, 0, 0, time.UTC)
	return site.RawReading{Gauging: stream.Gauging{Date: day, Method: "bucket", FlowM3S: r.FlowM3S, ErrorM3S: r.ErrorM3S}, VolumeM3: litres * 1e-3, Seconds: seconds}
}

// Files as people keep them take one more reading, with what was measured as
// well as the flow, and are read again.
func TestReadingsAreKeptAsMeasured(t *testing.T) {
	for name, row := range map[string]string{
		"":                       "2019-03-04,bucket,20,14.2 13.8 14.5,1.4118,'=1+1\n",
		"returns.csv":            "2019-03-04,bucket,1.4118,'=1+1\r",
		"note-first.csv":         "'=1+1,2019-03-04,bucket,20,14.2 13.8 14.5\n",
		"semicolons.csv":         "2019-03-04;bucket;20;14,2 13,8 14,5;1,4118;'=1+1;\r\n",
		"gallons.csv":            "2019-03-04,bucket,5.2834,14.2 13.8 14.5,22.377,'=1+1\n",
		"litres-and-gallons.csv": "2019-03-04,bucket,20,,14.2 13.8 14.5\n",
	} {
		var before []byte
		if name != "" {
			var err error
			if before, err = os.ReadFile(filepath.Join("../../testdata/gaugings", name)); err != nil {
				t.Fatal(err)
			}
		}
		dir, path := creekFolder(t, before)
		old := 0
		if s, err := site.Load(dir, site.Options{}); err != nil {
			t.Fatalf("%s: %v", name, err)
		} else {
			old = len(s.Gaugings)
		}
		g := bucketOf(20, 14.2, 13.8, 14.5)
		if name != "litres-and-gallons.csv" { // which has no room for a note
			g.Note = "=1+1"
		}
		if err := site.AppendGauging(dir, g); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		after, _ := os.ReadFile(path)
		if !bytes.HasPrefix(after, before) || !strings.HasSuffix(string(after), row) {
			t.Errorf("%s: the file ends with %q, want %q", name, after[len(before):], row)
		}
		s, err := site.Load(dir, site.Options{})
		if err != nil || len(s.Gaugings) != old+1 {
			t.Fatalf("%s: it is not read again: %v", name, err)
		}
		got := s.Gaugings[old]
		if math.Abs(got.FlowM3S-0.060/42.5) > 1e-7 || got.Note != g.Note || got.Method != "bucket" {
			t.Errorf("%s: it came back as %+v", name, got)
		}
		if raw := !strings.Contains(name, "returns"); raw && got.ErrorM3S != g.ErrorM3S && math.Abs(got.ErrorM3S/g.ErrorM3S-1) > 1e-4 {
			t.Errorf("%s: its error came back as %g, was %g", name, got.ErrorM3S, g.ErrorM3S)
		}
		if info, _ := os.Stat(path); name != "" && info.Mode().Perm() != 0o640 {
			t.Errorf("%s: who may read it has changed to %o", name, info.Mode().Perm())
		}
	}
}

// A note that begins with the sign of a comment is no comment.
func TestNoteLikeAComment(t *testing.T) {
	for _, note := range []string{"#3, of \"ours\"", "#3", "# "} {
		dir, _ := creekFolder(t, []byte("note,date,method,flow_lps\nx,2019-01-02,float,3\n"))
		g := bucketOf(20, 14.2)
		g.Note = note
		if err := site.AppendGauging(dir, g); err != nil {
			t.Fatal(err)
		}
		s, err := site.Load(dir, site.Options{})
		if err != nil || len(s.Gaugings) != 2 || s.Gaugings[1].Note != strings.TrimSpace(note) {
			t.Errorf("%q: %v", note, err)
		}
	}
}

// What cannot be kept leaves the folder as it was, and says why.
func TestReadingsThatCannotBeKept(t *testing.T) {
	with := func(change func(*site.RawReading)) site.RawReading {
		g := bucketOf(20, 14.2)
		change(&g)
		return g
	}
	file := func(name string) func(t *testing.T, path string) {
		return func(t *testing.T, path string) {
			text, err := os.ReadFile("../../testdata/gaugings/" + name)
			if err == nil {
				err = os.WriteFile(path, text, 0o644)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	link := func(to string) func(t *testing.T, path string) {
		return func(t *testing.T, path string) {
			if err := os.Symlink(to, path); err != nil {
				t.Skip(err)
			}
		}
	}
	outside := filepath.Join(t.TempDir(), "outside.csv")
	for name, c := range map[string]struct {
		lay  func(t *testing.T, path string)
		g    site.RawReading
		says string
	}{
		"the year 2300":   {nil, with(func(g *site.RawReading) { g.Date = g.Date.AddDate(281, 0, 0) }), "the year 2300 is outside 1800 to 2200"},
		"a river":         {nil, bucketOf(99_000, 0.5), "is a river's flow"},
		"no flow":         {file("returns.csv"), with(func(g *site.RawReading) { g.FlowM3S = math.Inf(1); g.VolumeM3 = 0 }), "no number"},
		"controls":        {nil, with(func(g *site.RawReading) { g.Note = "a\x1b[31m" }), "is not seen"},
		"an open quote":   {file("open-quote.csv"), bucketOf(20, 14.2), "would not be found again"},
		"a dangling link": {link(outside), bucketOf(20, 14.2), "link to a file that is not there"},
		"a device":        {link(os.DevNull), bucketOf(20, 14.2), "is no regular file"},
		"a folder": {func(t *testing.T, path string) {
			if err := os.Mkdir(path, 0o755); err != nil {
				t.Fatal(err)
			}
		}, bucketOf(20, 14.2), "is a folder"},
	} {
		t.Run(name, func(t *testing.T) {
			dir, path := creekFolder(t, nil)
			if c.lay != nil {
				c.lay(t, path)
			}
			state := func() string {
				names, _ := filepath.Glob(filepath.Join(dir, "*"))
				hidden, _ := filepath.Glob(filepath.Join(dir, ".*"))
				text, _ := os.ReadFile(path)
				return strings.Join(append(names, hidden...), " ") + string(text)
			}
			before := state()
			err := site.AppendGauging(dir, c.g)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("it says %v, want %q", err, c.says)
			}
			if after := state(); after != before {
				t.Errorf("the folder was\n%s\nis\n%s", before, after)
			}
			if _, err := os.Lstat(outside); err == nil {
				t.Error("a file outside the folder was made")
			}
		})
	}
}

// A file that was wrong already takes a reading all the same: nothing is lost.
func TestReadingBesideAWrongOne(t *testing.T) {
	text, err := os.ReadFile("../../testdata/gaugings/wrong-already.csv")
	if err != nil {
		t.Fatal(err)
	}
	dir, path := creekFolder(t, text)
	if err := site.AppendGauging(dir, bucketOf(20, 14.2)); err != nil {
		t.Fatal(err)
	}
	if after, _ := os.ReadFile(path); !strings.HasSuffix(string(after), "2019-03-04,bucket,1.4085,\n") {
		t.Errorf("the file is\n%s", after)
	}
}

// A link to a file elsewhere is kept to, and stays a link.
func TestReadingThroughALink(t *testing.T) {
	dir, path := creekFolder(t, nil)
	elsewhere := filepath.Join(t.TempDir(), "readings.csv")
	if err := os.WriteFile(elsewhere, []byte("date,method,flow_lps\n2019-01-02,float,3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(elsewhere, path); err != nil {
		t.Skip(err)
	}
	if err := site.AppendGauging(dir, bucketOf(20, 14.2)); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(path); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Error("the link has become a file")
	}
	if text, _ := os.ReadFile(elsewhere); !strings.HasSuffix(string(text), "2019-03-04,bucket,1.4085\n") {
		t.Errorf("the file is\n%s", text)
	}
}

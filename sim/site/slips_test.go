package site_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunrill/sim/site"
)

// The real record of Seattle, with slips of the kinds that people make.
func TestSlipsAreTold(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "seattle", "rain.csv"))
	if err != nil {
		t.Fatal(err)
	}
	real := string(data)
	base := map[string]string{"rain.csv": real}
	if s := mustLoad(t, folder(base), site.Options{}); len(s.Warnings) > 0 {
		t.Errorf("the record as it is: %q", s.Warnings)
	}
	for name, c := range map[string]struct{ from, to, says string }{
		"45 in for 0.45": {"2013-03-19,", "2013-03-19,1143.0,5,11\n2013-03-00,", "1143 mm (45.0 in) of rain on 2013-03-19"},
		"inches as mm":   {"rain_mm", "rain_in", "is the record in mm, or in tenths"},
	} {
		text := strings.Replace(real, c.from, c.to, 1)
		if i := strings.Index(text, "2013-03-00"); i >= 0 {
			text = text[:i] + text[i+strings.IndexByte(text[i:], '\n')+1:]
		}
		s := mustLoad(t, folder(map[string]string{"rain.csv": text}), site.Options{})
		if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], c.says) {
			t.Errorf("%s: warnings %q, want %q", name, s.Warnings, c.says)
		}
	}
	south := strings.Replace(string(folder(nil)["site.toml"].Data), "latitude = 43", "latitude = -43", 1)
	mustRefuse(t, folder(map[string]string{"site.toml": south}), "sun.csv: the sun hours run against the year: January has 1.3, July 7, at latitude -43", "south negative")
}

func TestRowsAMonthApartAreNoDays(t *testing.T) {
	rain := "date,rain_mm\n"
	for m := range 24 {
		rain += time.Date(2014, time.Month(10+m), 1, 0, 0, 0, 0, time.UTC).Format("2006-01-02") + ",80\n"
	}
	mustRefuse(t, folder(map[string]string{"rain.csv": rain}), "rain.csv:3:1: date: the rows are a month apart")
}

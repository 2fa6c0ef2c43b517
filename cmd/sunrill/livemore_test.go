package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"sunrill/cmd/sunrill/live"
)

// The fit on the page is the command's, takes the place of what the site says of
// the creek, and is written with it.
func TestLiveFit(t *testing.T) {
	dir, p := dataSite(t)
	c, err := p.Fit(context.Background(), nil, "")
	if err != nil {
		t.Fatal(err)
	}
	out := t.TempDir()
	if code, _, errOut := sunrillTo(t, "fit", dir, "--out", filepath.Join(out, "r")); code != exitOK {
		t.Fatal(errOut)
	}
	if _, err := p.Write(c.Settings, "fitted"); err != nil {
		t.Fatal(err)
	}
	fitted := filepath.Join(filepath.Dir(dir), "fitted")
	written, byCommand := filesIn(t, fitted), filepath.Join(out, "r")
	for _, name := range []string{"stream.csv", "stream-draws.csv"} {
		want, err := os.ReadFile(filepath.Join(byCommand, name))
		if err != nil || written[name] != string(want) {
			t.Errorf("%s is not what the command writes: %v", name, err)
		}
	}
	toml := written["site.toml"]
	if !strings.Contains(toml, `parameters = "stream.csv"`) || strings.Contains(toml, "recession_days") || !strings.Contains(toml, `area = "8 ha"`) {
		t.Errorf("%s", toml)
	}
	if code, _, errOut := sunrillTo(t, "check", fitted); code != exitOK {
		t.Error(errOut)
	}
	if _, err := p.Fit(context.Background(), []string{"stream.model=record"}, ""); problems(err) == "" {
		t.Error("a record was fitted")
	}
}

// The numbers behind a chart are those of the command's file.
func TestLiveNumbers(t *testing.T) {
	dir, p := dataSite(t)
	q := live.Asked{Question: "year", Settings: []string{"year.first=2017"}}
	a, err := p.Ask(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "r")
	if code, _, errOut := sunrillTo(t, "year", dir, "--draws", "1", "--set", "year.first=2017", "--out", out); code != exitOK {
		t.Fatal(errOut)
	}
	for name, file := range map[string]string{"energy-by-month": "months.csv", "charge": "days.csv", "unmet-by-year": "charts/unmet-by-year.csv"} {
		data, err := os.ReadFile(filepath.Join(out, file))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil || !strings.Contains(a.HTML, `data-name="`+name+`"`) {
			t.Fatal(name, err)
		}
		got, err := p.Numbers(context.Background(), q, name)
		if err != nil || strings.Count(got.HTML, "<tr>") != len(rows) {
			t.Fatalf("%s: %v, %d rows for %d", name, err, strings.Count(got.HTML, "<tr>"), len(rows))
		}
		for _, row := range rows {
			if cells := ">" + row[0] + "</th><td>" + strings.Join(row[1:], "</td><td>") + "</td>"; !strings.Contains(got.HTML, cells) && row[0] != rows[0][0] {
				t.Errorf("%s: %v is not in the table", name, row)
			}
		}
	}
	if _, err := p.Numbers(context.Background(), q, "<b>none"); problems(err) == "" {
		t.Error("numbers of no chart")
	}
}

// A double click opens the site that lies there, else the one in a folder there
// that was changed last, else the built-in one.
func TestDoubleClickFindsTheSite(t *testing.T) {
	here := t.TempDir()
	if got := siteIn([]string{here}); !slices.Equal(got, []string{"live"}) {
		t.Error(got)
	}
	for i, name := range []string{"new", "old"} {
		dir := filepath.Join(here, name)
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(dir, "site.toml"), "")
		at := time.Now().Add(-time.Duration(i+1) * time.Hour)
		if err := os.Chtimes(filepath.Join(dir, "site.toml"), at, at); err != nil {
			t.Fatal(err)
		}
	}
	if got := siteIn([]string{here}); !slices.Equal(got, []string{"live", filepath.Join(here, "new")}) {
		t.Error(got)
	}
	put(t, filepath.Join(here, "site.toml"), "")
	if got := siteIn([]string{here}); !slices.Equal(got, []string{"live", here}) {
		t.Error(got)
	}
}

// lines is what a running program has printed.
type lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// A program that is killed loses nothing that the page had kept, and does not
// keep the site from the next one.
func TestLiveSurvivesAKill(t *testing.T) {
	dir, _ := dataSite(t)
	start := func() (url string, kill func()) {
		t.Helper()
		cmd, _, errOut := process(t, filepath.Dir(dir), "live", dir, "--no-browser")
		out := &lines{}
		cmd.Stdout = out
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		var once sync.Once
		kill = func() { once.Do(func() { cmd.Process.Kill(); cmd.Wait() }) }
		t.Cleanup(kill)
		for end := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
			if _, rest, ok := strings.Cut(out.String(), "http://"); ok && strings.Contains(rest, "\n") {
				return "http://" + strings.Fields(rest)[0], kill
			}
			if time.Now().After(end) {
				kill()
				t.Fatal("no link: " + out.String() + errOut.String())
			}
		}
	}
	send := func(method, url, body string) string {
		t.Helper()
		r, err := http.NewRequest(method, url, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/json")
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		data, err := io.ReadAll(resp.Body)
		if err != nil || resp.StatusCode != 200 {
			t.Fatalf("%d %s %v", resp.StatusCode, data, err)
		}
		return string(data)
	}
	before := filesIn(t, dir)
	url, kill := start()
	edit := send("POST", url+"edit", `{"Name":"horizon","Head":["bearing_deg","height_deg"],"Rows":[["90","3"],["180","33"]]}`)
	_, rest, _ := strings.Cut(edit, `"file.horizon.csv=`)
	id, _, _ := strings.Cut(rest, `"`)
	draft := fmt.Sprintf(`{"settings":["bank.capacity=21 kWh","file.horizon.csv=%s"],"plans":[{"name":"steep","settings":[]}]}`, id)
	send("POST", url+"keep", draft)
	kill()
	url, kill = start()
	if got := send("GET", url+"draft", ""); got != draft {
		t.Errorf("the draft is %q", got)
	}
	if got := send("POST", url+"difference", `{"Settings":["bank.capacity=21 kWh","file.horizon.csv=`+id+`"]}`); !strings.Contains(got, "180,33") || !strings.Contains(got, "21 kWh") {
		t.Errorf("the difference is %s", got)
	}
	kill()
	if !mapsEqual(filesIn(t, dir), before) {
		t.Error("the site's files changed")
	}
}

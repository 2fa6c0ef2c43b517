package live_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"sunrill/cmd/sunrill/live"
)

// house is a homestead that keeps what it was asked.
type house struct {
	asked []string
	kept  string
}

func (h *house) Name() (string, string) { return "Alder <b>Bend</b>", "" }
func (h *house) Values(units string) ([]live.Group, string, error) {
	return []live.Group{{Name: "bank", Values: []live.Value{
		{Key: "bank.capacity", Label: "capacity", Text: `14 kWh"><script>alert(1)</script>`, Slides: true, High: 40, Step: 1, Number: 14, Unit: "kWh", Default: true, Reason: "<i>why</i>"}}}}, "metric", nil
}
func (h *house) Questions() []live.Question { return []live.Question{{Name: "year", Label: "year"}} }
func (h *house) Ask(ctx context.Context, q live.Asked) (*live.Answer, error) {
	h.asked = append(h.asked, q.Question+" "+strings.Join(q.Settings, ";"))
	switch q.Question {
	case "wrong":
		return nil, live.Problem{Lines: []string{"bank.capacity: has no unit"}}
	case "fault":
		return nil, errors.New("a fault")
	case "long":
		return nil, fmt.Errorf("year 2016: %w", context.DeadlineExceeded)
	}
	return &live.Answer{Headline: "carried"}, nil
}
func (h *house) Compare(context.Context, []live.Plan, string) (*live.Answer, error) {
	return &live.Answer{Headline: "side by side"}, nil
}
func (h *house) Difference([]string) ([]string, error) { return []string{"a line"}, nil }
func (h *house) Write([]string, string) (live.Written, error) {
	return live.Written{Said: "written"}, nil
}
func (h *house) note(what string) (*live.Change, error) {
	h.asked = append(h.asked, what)
	return &live.Change{Said: what}, nil
}
func (h *house) Sheets() []live.Question {
	return []live.Question{{Name: "rain", Label: "<i>rain</i>"}}
}
func (h *house) Sheet(name string, settings []string) (*live.Sheet, error) {
	h.note("sheet")
	return &live.Sheet{}, nil
}
func (h *house) Edit(string, []string, [][]string, []string) (*live.Change, error) {
	return h.note("edit")
}
func (h *house) Cells(text string, head []string) ([][]string, error) {
	h.note("cells")
	return [][]string{{text}}, nil
}
func (h *house) Import(context.Context, live.Dropped) (*live.Change, error)  { return h.note("import") }
func (h *house) Reading(live.Reading) (*live.Change, error)                  { return h.note("reading") }
func (h *house) Fit(context.Context, []string, string) (*live.Change, error) { return h.note("fit") }
func (h *house) Numbers(context.Context, live.Asked, string) (*live.Answer, error) {
	h.note("numbers")
	return &live.Answer{}, nil
}
func (h *house) Hills([][2]float64, []string) (*live.Change, error) { return h.note("hills") }
func (h *house) Draft() ([]byte, error)                             { return []byte(h.kept), nil }
func (h *house) Keep(b []byte) error                                { h.kept = string(b); return nil }

func serve(t *testing.T) (url string, h *house, done <-chan error) {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	h = &house{}
	s, err := live.New(ln, h, "Made for a test.")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	t.Cleanup(cancel)
	return s.URL(), h, ended
}

// send asks with a request that change may alter.
func send(t *testing.T, method, url, body string, change func(*http.Request)) (int, string, http.Header) {
	t.Helper()
	r, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if method == "POST" {
		r.Header.Set("Content-Type", "application/json")
	}
	if change != nil {
		change(r)
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	data, _ := io.ReadAll(resp.Body)
	return resp.StatusCode, string(data), resp.Header
}

func TestAnswers(t *testing.T) {
	url, h, _ := serve(t)
	code, text, _ := send(t, "POST", url+"ask", `{"Question":"year","Settings":["bank.capacity=20 kWh"]}`, nil)
	if code != 200 || !strings.Contains(text, "carried") || len(h.asked) != 1 || h.asked[0] != "year bank.capacity=20 kWh" {
		t.Errorf("%d %s %v", code, text, h.asked)
	}
	if code, text, _ := send(t, "POST", url+"ask", `{"Question":"wrong"}`, nil); code != 422 || !strings.Contains(text, "has no unit") {
		t.Errorf("a problem of the owner's: %d %s", code, text)
	}
	if code, text, _ := send(t, "POST", url+"ask", `{"Question":"fault"}`, nil); code != 500 || !strings.Contains(text, "A fault of the program") {
		t.Errorf("a fault: %d %s", code, text)
	}
	if code, text, _ := send(t, "POST", url+"ask", `{"Question":"long"}`, nil); code != 422 || !strings.Contains(text, "takes longer") {
		t.Errorf("an answer that takes too long: %d %s", code, text)
	}
	send(t, "POST", url+"keep", `{"plans":[]}`, nil)
	if code, text, _ := send(t, "GET", url+"draft", "", nil); code != 200 || text != `{"plans":[]}` {
		t.Errorf("draft: %d %s", code, text)
	}
}

// Nobody else's page and no other program gets through.
func TestGuard(t *testing.T) {
	url, h, _ := serve(t)
	host := strings.Split(url, "/")[2]
	bare := "http://" + host + "/"
	body := `{"Question":"year"}`
	for name, c := range map[string]struct {
		method, url string
		change      func(*http.Request)
		want        int
	}{
		"no token":              {"GET", bare, nil, 404},
		"another token":         {"GET", bare + strings.Repeat("0", 32) + "/", nil, 404},
		"a part of the token":   {"GET", url[:len(url)-3] + "/", nil, 404},
		"another host":          {"POST", url + "ask", func(r *http.Request) { r.Host = "evil.example:80" }, 421},
		"the host by its name":  {"POST", url + "ask", func(r *http.Request) { r.Host = "localhost" }, 421},
		"another origin":        {"POST", url + "ask", func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }, 403},
		"origin null":           {"POST", url + "ask", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		"another site":          {"GET", url, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		"a form":                {"POST", url + "ask", func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
		"a method not used":     {"DELETE", url + "draft", nil, 405},
		"asking by GET":         {"GET", url + "ask", nil, 405},
		"a file outside":        {"GET", url + "../../../etc/passwd", nil, 404},
		"a file by its code":    {"GET", url + "..%2f..%2fetc%2fpasswd", nil, 404},
		"something that is not": {"GET", url + "page.html", nil, 404},
	} {
		code, text, head := send(t, c.method, c.url, body, c.change)
		if code != c.want {
			t.Errorf("%s: %d, want %d: %.80s", name, code, c.want, text)
		}
		if head.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: other origins are allowed", name)
		}
	}
	if len(h.asked) != 0 {
		t.Errorf("a refused request was answered: %v", h.asked)
	}
	if code, _, _ := send(t, "OPTIONS", url+"ask", "", func(r *http.Request) {
		r.Header.Set("Origin", "http://evil.example")
		r.Header.Set("Access-Control-Request-Method", "POST")
	}); code < 400 {
		t.Errorf("a preflight of another origin: %d", code)
	}
}

func TestLimits(t *testing.T) {
	url, _, _ := serve(t)
	if code, _, _ := send(t, "POST", url+"ask", `{"Question":"`+strings.Repeat("x", 2<<20)+`"}`, nil); code != http.StatusRequestEntityTooLarge {
		t.Errorf("2 MB: %d", code)
	}
	if code, _, _ := send(t, "POST", url+"ask", `{"Question"`, nil); code != 400 {
		t.Errorf("half a question: %d", code)
	}
	many, _ := json.Marshal(map[string]any{"Question": "year", "Settings": make([]string, 501)})
	if code, _, _ := send(t, "POST", url+"ask", string(many), nil); code != 400 {
		t.Errorf("501 settings: %d", code)
	}
	plans, _ := json.Marshal(map[string]any{"Plans": make([]live.Plan, 8)})
	if code, _, _ := send(t, "POST", url+"compare", string(plans), nil); code != 422 {
		t.Errorf("eight plans: %d", code)
	}
}

// What takes in data is guarded as everything else, and takes so much and no more.
func TestDataIsGuarded(t *testing.T) {
	url, h, _ := serve(t)
	for _, route := range []string{"sheet", "edit", "cells", "import", "reading", "hills", "fit", "numbers", "write", "keep", "stop", "difference", "compare"} {
		for name, c := range map[string]struct {
			change func(*http.Request)
			want   int
		}{
			"another host":   {func(r *http.Request) { r.Host = "evil.example" }, 421},
			"another origin": {func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }, 403},
			"another site":   {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
			"a form":         {func(r *http.Request) { r.Header.Set("Content-Type", "multipart/form-data; boundary=x") }, 415},
			"no token":       {func(r *http.Request) { r.URL.Path = "/" + route }, 404},
			"not JSON":       {nil, 400},
		} {
			body := "{}"
			if c.change == nil {
				body = "{"
			}
			if code, text, _ := send(t, "POST", url+route, body, c.change); code != c.want {
				t.Errorf("%s, %s: %d %.80s, want %d", route, name, code, text, c.want)
			}
		}
		if code, _, _ := send(t, "GET", url+route, "", nil); code != 405 {
			t.Errorf("%s by GET: %d", route, code)
		}
	}
	text := func(v any) string { b, _ := json.Marshal(v); return string(b) }
	type m = map[string]any
	wide := make([]string, 41)
	for name, c := range map[string]struct {
		route, body string
		want        int
	}{
		"a table of 9 MB":    {"edit", `{"Name":"` + strings.Repeat("x", 9<<20) + `"}`, 413},
		"41,000 rows":        {"edit", text(m{"Rows": make([][]string, 41_000)}), 422},
		"41 columns":         {"edit", text(m{"Rows": [][]string{wide}}), 422},
		"a long cell":        {"edit", text(m{"Rows": [][]string{{strings.Repeat("x", 2001)}}}), 422},
		"a long header":      {"edit", text(m{"Head": wide}), 422},
		"4.1 MB pasted":      {"cells", text(m{"Text": strings.Repeat("x", 4_100_000)}), 422},
		"no file":            {"import", `{}`, 422},
		"101 files":          {"import", text(m{"Files": make([]m, 101)}), 422},
		"a file over 20 MB":  {"import", text(m{"Files": []m{{"Name": "rain.csv", "Data": make([]byte, 20<<20+1)}}}), 422},
		"a file of 40 MB":    {"import", text(m{"Files": []m{{"Name": "rain.csv", "Data": make([]byte, 40<<20)}}}), 413},
		"no times":           {"reading", `{"Volume":"20 L"}`, 422},
		"51 times":           {"reading", text(m{"Seconds": make([]float64, 51)}), 422},
		"5,001 points":       {"hills", text(m{"Stroke": make([][2]float64, 5001)}), 422},
		"a point of words":   {"hills", `{"Stroke":[["a","b"]]}`, 400},
		"settings of 2 MB":   {"sheet", text(m{"Settings": []string{strings.Repeat("x", 2<<20)}}), 413},
		"a file not encoded": {"import", `{"Files":[{"Name":"x","Data":"***"}]}`, 400},
	} {
		if code, text, _ := send(t, "POST", url+c.route, c.body, nil); code != c.want {
			t.Errorf("%s: %d %.80s, want %d", name, code, text, c.want)
		}
	}
	if len(h.asked) != 0 {
		t.Errorf("a refused request was answered: %v", h.asked)
	}
	if code, text, _ := send(t, "POST", url+"reading", `{"Volume":"20 L","Seconds":[10,11,10]}`, nil); code != 200 || !strings.Contains(text, "reading") {
		t.Errorf("a good one: %d %s", code, text)
	}
}

// The page escapes what comes from files, and its policy loads nothing else.
func TestPageIsSafe(t *testing.T) {
	url, _, _ := serve(t)
	code, page, head := send(t, "GET", url, "", nil)
	if code != 200 || strings.Contains(page, "<script>alert") || strings.Contains(page, "<i>why") || strings.Contains(page, "<i>rain") || strings.Contains(page, "<b>Bend") {
		t.Errorf("%d: %.300s", code, page)
	}
	if strings.Contains(page, " style=") || strings.Contains(page, "onclick") || strings.Contains(page, "http://") || strings.Contains(page, "https://") {
		t.Error("the page holds style, handlers or links of other places")
	}
	policy := head.Get("Content-Security-Policy")
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy %q lacks %q", policy, part)
		}
	}
	if strings.Contains(policy, "unsafe") || head.Get("Referrer-Policy") != "no-referrer" || head.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%v", head)
	}
}

func TestStops(t *testing.T) {
	url, _, done := serve(t)
	send(t, "POST", url+"stop", "{}", nil)
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("it does not stop")
	}
}

// It listens to this machine alone.
func TestLoopbackOnly(t *testing.T) {
	ln, err := net.Listen("tcp", "0.0.0.0:0")
	if err != nil {
		t.Skip(err)
	}
	defer ln.Close()
	if _, err := live.New(ln, &house{}, ""); err == nil {
		t.Error("an address for everybody was taken")
	}
}

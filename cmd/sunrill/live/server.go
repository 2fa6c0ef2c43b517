package live

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/subtle"
	"embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
)

// Limits of a request.
const (
	maxBody     = 1 << 20
	maxSettings = 500
	askTime     = 2 * time.Minute
)

//go:embed page.html live.css live.js
var files embed.FS

var pageTemplate = template.Must(template.New("page.html").ParseFS(files, "page.html"))

// Homestead answers what the page asks. Its methods may be called at the same
// time. Settings are "key=value" as on the command line. An error whose chain
// holds a [Problem] is the owner's to cure and shown on the page; any other is a
// fault.
type Homestead interface {
	Data
	// Name returns the site's name and its folder, "" for the built-in one.
	Name() (name, folder string)
	// Values lists what may be moved, as the site's files have it, in units as
	// [Asked] has them; it returns those that the site has by itself too.
	Values(units string) (groups []Group, own string, err error)
	// Questions lists what may be asked, the first one when the page opens.
	Questions() []Question
	// Ask answers a question.
	Ask(ctx context.Context, q Asked) (*Answer, error)
	// Numbers returns what a chart of an answer draws, as a table.
	Numbers(ctx context.Context, q Asked, figure string) (*Answer, error)
	// Compare runs plans side by side, in units as [Asked] has them.
	Compare(ctx context.Context, plans []Plan, units string) (*Answer, error)
	// Difference says what writing the settings would change in the site's
	// files, a line each; Write does it: into the site, the old kept, or, with
	// a name, into a new folder beside it. It returns what it wrote.
	Difference(settings []string) ([]string, error)
	Write(settings []string, newFolder string) (Written, error)
	// Draft returns what Keep kept last, nil if nothing.
	Draft() ([]byte, error)
	Keep(draft []byte) error
}

// Problem is an error that the owner can cure.
type Problem struct{ Lines []string }

func (p Problem) Error() string { return strings.Join(p.Lines, "\n") }

// Group is the values of one part of the homestead.
type Group struct {
	Name   string
	Values []Value
	Table  *Table // of rows that all have the same keys; nil: none
}

// Title is the name as a heading has it.
func (g Group) Title() string {
	if g.Name == "" {
		return ""
	}
	return strings.ToUpper(g.Name[:1]) + g.Name[1:]
}

// Given are the values that the site's files give.
func (g Group) Given() []Value { return g.those(false) }

// Usual are the values that were not given.
func (g Group) Usual() []Value { return g.those(true) }

func (g Group) those(usual bool) (vs []Value) {
	for _, v := range g.Values {
		if v.Default == usual {
			vs = append(vs, v)
		}
	}
	return vs
}

// Value is one value that may be moved.
type Value struct {
	Key     string // as a setting has it
	Label   string
	Text    string // "20 kWh"
	Default bool
	Reason  string   // of the default
	Choices []string // nil: any text
	// A number with a unit behind it may be slid from Low to High.
	Slides          bool
	Low, High, Step float64
	Number          float64
	Unit            string
}

// Table is values by row and column.
type Table struct {
	Head []string
	Rows []Row
}

// Row is one row; its first cell names it.
type Row struct {
	Name  string
	Cells []Value
}

// Written says what was written, and whether the page is of another site now.
type Written struct {
	Said   string `json:"wrote"`
	Opened bool   `json:"opened"`
}

// Question is something that may be asked.
type Question struct {
	Name, Label string
	Slow        bool // takes seconds: asked by a button, not by every move
	Sure        bool // answered at once by the middle values, and then under draws
}

// Asked is a question and the state that it is asked of.
type Asked struct {
	Question string
	Settings []string
	Units    string // in which the answer is written: metric or us; "": as the site says
	Sure     bool   // the answer of the draws, of a question that has both
}

// Answer is what the page shows. HTML is trusted.
type Answer struct {
	Headline string `json:"headline"`
	Bad      bool   `json:"bad"`
	HTML     string `json:"html"`
}

// Plan is a state that was kept under a name.
type Plan struct {
	Name     string   `json:"name"`
	Settings []string `json:"settings"`
}

// Server serves one homestead on one address.
type Server struct {
	h     Homestead
	ln    net.Listener
	token string
	stop  chan struct{}
	once  sync.Once
	made  string // by which program
}

// New prepares a server on a loopback listener. made says by which program.
func New(ln net.Listener, h Homestead, made string) (*Server, error) {
	addr, ok := ln.Addr().(*net.TCPAddr)
	if !ok || !addr.IP.IsLoopback() {
		return nil, fmt.Errorf("%s is not an address of this machine alone", ln.Addr())
	}
	var random [16]byte
	if _, err := rand.Read(random[:]); err != nil {
		return nil, err
	}
	return &Server{h: h, ln: ln, token: hex.EncodeToString(random[:]), stop: make(chan struct{}), made: made}, nil
}

// URL is the address to open.
func (s *Server) URL() string { return "http://" + s.ln.Addr().String() + "/" + s.token + "/" }

// Serve answers until ctx ends or the page's button stops it.
func (s *Server) Serve(ctx context.Context) error {
	server := &http.Server{
		Handler: s.guard(s.routes()), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: askTime + 10*time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10,
	}
	done := make(chan error, 1)
	go func() { done <- server.Serve(s.ln) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	case <-s.stop:
	}
	quiet, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := server.Shutdown(quiet); err != nil {
		return server.Close()
	}
	return nil
}

// guard lets through what comes from the page itself: the right host, the
// right origin, the token, a method that is used.
func (s *Server) guard(next http.Handler) http.Handler {
	host := s.ln.Addr().String()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src data:; connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'")
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("Referrer-Policy", "no-referrer")
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Cross-Origin-Resource-Policy", "same-origin")
		head.Set("Cache-Control", "no-store")
		refuse := func(status int, why string) { http.Error(w, why, status) }
		if r.Host != host {
			refuse(http.StatusMisdirectedRequest, "not the host of this page")
			return
		}
		if o := r.Header.Get("Origin"); o != "" && o != "http://"+host {
			refuse(http.StatusForbidden, "not the origin of this page")
			return
		}
		if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
			refuse(http.StatusForbidden, "asked for by another page")
			return
		}
		token, rest, ok := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
		if !ok || subtle.ConstantTimeCompare([]byte(token), []byte(s.token)) != 1 {
			refuse(http.StatusNotFound, "no page here: use the whole link that the program printed")
			return
		}
		r.URL.Path = "/" + rest
		r.Body = http.MaxBytesReader(w, r.Body, bodyLimit(r.URL.Path))
		next.ServeHTTP(w, r)
	})
}

func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.page)
	for name, kind := range map[string]string{"live.css": "text/css; charset=utf-8", "live.js": "text/javascript; charset=utf-8"} {
		mux.HandleFunc("GET /"+name, func(w http.ResponseWriter, r *http.Request) {
			data, err := files.ReadFile(name)
			if err != nil {
				http.NotFound(w, r)
				return
			}
			w.Header().Set("Content-Type", kind)
			w.Write(data)
		})
	}
	post(mux, "ask", func(r *http.Request, q Asked) (any, error) {
		ctx, cancel := context.WithTimeout(r.Context(), askTime)
		defer cancel()
		return s.h.Ask(ctx, q)
	})
	post(mux, "numbers", func(r *http.Request, q struct {
		Asked
		Figure string
	}) (any, error) {
		ctx, cancel := context.WithTimeout(r.Context(), askTime)
		defer cancel()
		return s.h.Numbers(ctx, q.Asked, q.Figure)
	})
	post(mux, "compare", func(r *http.Request, q struct {
		Plans []Plan
		Units string
	}) (any, error) {
		if len(q.Plans) < 1 || len(q.Plans) > 7 {
			return nil, Problem{[]string{"up to six plans are compared"}}
		}
		ctx, cancel := context.WithTimeout(r.Context(), askTime)
		defer cancel()
		return s.h.Compare(ctx, q.Plans, q.Units)
	})
	post(mux, "difference", func(r *http.Request, q Asked) (any, error) {
		lines, err := s.h.Difference(q.Settings)
		return map[string][]string{"lines": lines}, err
	})
	post(mux, "write", func(r *http.Request, q struct {
		Settings  []string
		NewFolder string
	}) (any, error) {
		return s.h.Write(q.Settings, q.NewFolder)
	})
	post(mux, "keep", func(r *http.Request, q json.RawMessage) (any, error) {
		return map[string]bool{"kept": true}, s.h.Keep(q)
	})
	mux.HandleFunc("GET /draft", func(w http.ResponseWriter, r *http.Request) {
		data, err := s.h.Draft()
		if err != nil || data == nil {
			data = []byte("null")
		}
		w.Header().Set("Content-Type", "application/json")
		w.Write(data)
	})
	dataRoutes(mux, s.h)
	post(mux, "stop", func(r *http.Request, q json.RawMessage) (any, error) {
		s.once.Do(func() { close(s.stop) })
		return map[string]bool{"stopped": true}, nil
	})
	return mux
}

// post answers a JSON body with JSON. Only application/json is taken: a form of
// another page cannot send that without asking first.
func post[Q any](mux *http.ServeMux, name string, answer func(r *http.Request, q Q) (any, error)) {
	mux.HandleFunc("POST /"+name, func(w http.ResponseWriter, r *http.Request) {
		if kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";"); kind != "application/json" {
			http.Error(w, "send application/json", http.StatusUnsupportedMediaType)
			return
		}
		var q Q
		d := json.NewDecoder(r.Body)
		if err := d.Decode(&q); err != nil {
			var large *http.MaxBytesError
			if errors.As(err, &large) {
				http.Error(w, fmt.Sprintf("more than %d bytes", large.Limit), http.StatusRequestEntityTooLarge)
				return
			}
			http.Error(w, "this is not what the page sends", http.StatusBadRequest)
			return
		}
		if a, ok := any(q).(Asked); ok && len(a.Settings) > maxSettings {
			http.Error(w, "too many settings", http.StatusBadRequest)
			return
		}
		result, err := answer(r, q)
		w.Header().Set("Content-Type", "application/json")
		var p Problem
		if errors.Is(err, context.DeadlineExceeded) {
			err = problem("this takes longer than %v here: ask it of fewer years (year.first), or by the command", askTime)
		}
		switch {
		case errors.As(err, &p):
			w.WriteHeader(http.StatusUnprocessableEntity)
			result = map[string][]string{"problems": p.Lines}
		case err != nil:
			w.WriteHeader(http.StatusInternalServerError)
			result = map[string][]string{"problems": {"A fault of the program: " + err.Error()}}
		}
		json.NewEncoder(w).Encode(result) // a reader that has gone needs no answer
	})
}

// page writes the page with the values as the site's files have them.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	units := r.URL.Query().Get("units")
	groups, own, err := s.h.Values(units)
	var p Problem
	if err != nil && !errors.As(err, &p) {
		http.Error(w, "the values cannot be read: "+err.Error(), http.StatusInternalServerError)
		return
	}
	name, folder := s.h.Name()
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	err = pageTemplate.Execute(w, struct {
		Name, Folder, Made string
		Units              string
		Groups             []Group
		Questions, Sheets  []Question
		Problems           []string
		MegaBytes          int
		Today              string
	}{name, folder, s.made, cmp.Or(units, own), groups, s.h.Questions(), s.h.Sheets(), p.Lines, maxDropped >> 20, time.Now().Format("2006-01-02")})
	if err != nil {
		panic(http.ErrAbortHandler)
	}
}

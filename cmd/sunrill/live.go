package main

import (
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"sunrill/cmd/sunrill/live"
	"sunrill/sim/files"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

func liveCommand() command {
	return command{
		name:  "live",
		args:  "[SITE] [flags]",
		brief: "all of it in the browser, on this machine alone",
		long: `Serves the site as a page on this machine and opens the browser: values can be
moved and the years answer at once, states kept as plans, laid side by side, and
written to the site or to a new one when you ask for it. What you moved is kept
in a draft beside the site's folder, named like it. The page is served to this
machine alone, by a link that nobody can guess; Ctrl-C or the page's button
ends it. A double click on the program does the same.`,
		example: "sunrill live my-place",
		flags: func(fs *pflag.FlagSet) {
			fs.Bool("no-browser", false, "print the link and open no browser")
			fs.Int("port", 0, "port on the loopback address; 0: any that is free")
		},
		run: runLive,
	}
}

func runLive(c *call) error {
	if len(c.args) > 1 {
		return usageError{fmt.Sprintf("live takes one site folder, not %d", len(c.args))}
	}
	port, err := c.flags.GetInt("port")
	if err != nil {
		return err
	}
	if port < 0 || port > 65535 {
		return usageError{fmt.Sprintf("--port: %d is outside 0 to 65535", port)}
	}
	p := &livePage{}
	if p.parent, err = os.Getwd(); err != nil {
		return err
	}
	if len(c.args) == 1 {
		if p.folder, err = filepath.Abs(c.args[0]); err != nil {
			return err
		}
		if info, err := os.Stat(filepath.Join(p.folder, "site.toml")); err != nil || info.IsDir() {
			return files.Problems{{What: fmt.Sprintf("%s: is no site folder: it has no site.toml", c.args[0]), Hint: "\"sunrill new " + c.args[0] + "\" lays one to start from"}}
		}
	}
	release, err := p.claim(p.folder)
	if err != nil {
		return err
	}
	p.release = release
	defer func() { p.release() }()
	ln, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return usageError{fmt.Sprintf("--port %d: cannot be listened on: %v", port, err)}
	}
	server, err := live.New(ln, p, "Made by "+version()+".")
	if err != nil {
		ln.Close()
		return err
	}
	if err := p.sign(server.URL()); err != nil {
		ln.Close()
		return err
	}
	fmt.Fprintf(c.out, "The page is at\n\n  %s\n\nCtrl-C here, or the button on the page, ends the program.\n", server.URL())
	if quiet, _ := c.flags.GetBool("no-browser"); !quiet {
		if err := openBrowser(server.URL()); err != nil {
			c.warn("no browser could be opened (" + err.Error() + "): open the link yourself")
		}
	}
	return server.Serve(c.ctx)
}

// livePage answers the page by the functions of the commands.
type livePage struct {
	folder string // "": the built-in homestead
	parent string // folder for sites that are begun from that
	url    string // of the page
	draws  int    // of each answer; 0: as many as the commands take
	cache  files.Cache

	mu    sync.Mutex        // of folder, and of what follows
	last  *series.Homestead // that was asked, with its hourly parts
	asked int

	drafts     map[string]drafted // edited files, by their sum
	draftBytes int
	importing  sync.Mutex
	told       []answered // the last answers, the newest last
	release    func()     // gives the site free
}

// dir is the site's folder; "": the built-in homestead.
func (p *livePage) dir() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.folder
}

// begin has the page go on with a site that was begun from the built-in one.
func (p *livePage) begin(dir string) error {
	release, err := p.claim(dir)
	if err != nil {
		return err
	}
	p.mu.Lock()
	p.folder, p.release, p.last = dir, release, nil
	p.mu.Unlock()
	return p.sign(p.url)
}

const todayKey = "today." // of values that the outlook asks for and no file holds

// load reads the site as a state has it, to be told in units; "": in its own.
func (p *livePage) load(settings []string, units string) (*site.Site, map[string]string, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, nil, err
	}
	s, err := p.read(st, units)
	return s, st.today, curable(err)
}

// read is load of a state that was taken apart.
func (p *livePage) read(st liveState, units string) (*site.Site, error) {
	return p.readAs(st, units, site.Options{})
}

func (p *livePage) readAs(st liveState, units string, o site.Options) (*site.Site, error) {
	c := call{opts: options{units: units}}
	if units != "metric" && units != "us" && units != "" {
		return nil, usageError{fmt.Sprintf("units: %q is none of metric, us", units)}
	}
	o.Set, o.Instead, o.Cache = st.set, st.instead, &p.cache
	return c.read(p.dir(), o)
}

// curable marks what the owner can cure.
func curable(err error) error {
	var ps files.Problems
	var u usageError
	switch {
	case errors.As(err, &ps):
		var lines []string
		for _, q := range ps {
			lines = append(lines, q.String())
		}
		return live.Problem{Lines: lines}
	case errors.As(err, &u):
		return live.Problem{Lines: []string{u.Error()}}
	}
	return err
}

// Name implements [live.Homestead].
func (p *livePage) Name() (name, folder string) {
	if s, _, err := p.load(nil, ""); err == nil {
		return s.Name, p.dir()
	}
	return filepath.Base(p.dir()), p.dir()
}

// Questions implements [live.Homestead].
func (p *livePage) Questions() []live.Question {
	return []live.Question{
		{Name: "year", Label: "Will it carry us?", Sure: true},
		{Name: "outlook", Label: "The days ahead", Slow: true},
		{Name: "changeover", Label: "When to open and close", Slow: true},
		{Name: "drywinter", Label: "A dry winter", Slow: true},
		{Name: "bank", Label: "How big a bank", Slow: true},
		{Name: "worth", Label: "Is hydro worth it?", Slow: true},
		{Name: "improve", Label: "What would help", Slow: true},
		{Name: "understood", Label: "What was understood"},
	}
}

func (p *livePage) edit(settings []string) (*site.Edit, error) {
	st, err := p.state(settings)
	if err != nil {
		return nil, err
	}
	e, err := site.EditFolder(p.dir(), st.set, st.instead)
	return e, curable(err)
}

// Difference implements [live.Homestead].
func (p *livePage) Difference(settings []string) ([]string, error) {
	e, err := p.edit(settings)
	if err != nil {
		return nil, err
	}
	return append([]string{}, e.Lines...), nil
}

var folderName = regexp.MustCompile(`^[\pL\pN][\pL\pN _-]{0,59}$`)

// Write implements [live.Homestead].
func (p *livePage) Write(settings []string, newFolder string) (w live.Written, err error) {
	e, err := p.edit(settings)
	if err != nil {
		return w, err
	}
	if newFolder == "" {
		if p.dir() == "" {
			return w, live.Problem{Lines: []string{"The built-in homestead has no folder: write it as a new site."}}
		}
		kept, err := e.Into()
		if err != nil {
			return w, curable(err)
		}
		w.Said = "Written."
		if len(kept) > 0 {
			w.Said += " The files as they were are kept: " + strings.Join(kept, ", ") + "."
		}
		return w, nil
	}
	if !folderName.MatchString(newFolder) {
		return w, live.Problem{Lines: []string{fmt.Sprintf("%q is no name for a folder here: letters, digits, spaces, - and _ only", newFolder)}}
	}
	beside := p.parent
	if p.dir() != "" {
		beside = filepath.Dir(p.dir())
	}
	dir := filepath.Join(beside, newFolder)
	if err := e.AsNew(dir); err != nil {
		return w, curable(err)
	}
	w.Said = "Written to " + dir + "."
	if p.dir() == "" {
		w.Opened = true
		return w, p.begin(dir)
	}
	return w, nil
}

// beside names a file beside the site's folder.
func (p *livePage) beside(ending string) string { return p.dir() + ending }

// Draft implements [live.Homestead].
func (p *livePage) Draft() ([]byte, error) { return draftOf(p.dir()) }

func draftOf(dir string) ([]byte, error) {
	if dir == "" {
		return nil, nil
	}
	info, err := os.Lstat(dir + ".draft.json")
	if err != nil || !info.Mode().IsRegular() || info.Size() > 1<<20 {
		return nil, nil //nolint:nilerr // no draft is no fault
	}
	return os.ReadFile(dir + ".draft.json")
}

// Keep implements [live.Homestead].
func (p *livePage) Keep(draft []byte) error {
	if p.dir() == "" {
		return nil
	}
	return site.ReplaceFile(p.beside(".draft.json"), draft)
}

// claim makes sure that one program at a time works on a site's folder; it
// returns what gives the site free.
func (p *livePage) claim(dir string) (release func(), err error) {
	if dir == "" {
		return func() {}, nil
	}
	lock := dir + ".live"
	for range 2 {
		f, err := os.OpenFile(lock, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err == nil {
			forgetDrafts(dir)
			return func() { os.Remove(lock) }, f.Close()
		}
		if !errors.Is(err, os.ErrExist) {
			return nil, fmt.Errorf("open the site for the page: %w", err)
		}
		link, _ := os.ReadFile(lock)
		if alive(string(link)) {
			return nil, usageError{fmt.Sprintf("the site is open already, at %s; use that page, or stop that program first", strings.TrimSpace(string(link)))}
		}
		if err := os.Remove(lock); err != nil {
			return nil, err
		}
	}
	return nil, usageError{"the site is being opened by another program"}
}

// sign writes the page's link where the next program looks for it; only the
// owner can read it.
func (p *livePage) sign(url string) error {
	p.url = url
	if p.dir() == "" {
		return nil
	}
	return os.WriteFile(p.beside(".live"), []byte(url+"\n"), 0o600)
}

// alive tells whether a program answers on the address of a link.
func alive(link string) bool {
	rest, ok := strings.CutPrefix(strings.TrimSpace(link), "http://")
	if !ok {
		return false
	}
	addr, _, _ := strings.Cut(rest, "/")
	host, _, err := net.SplitHostPort(addr)
	if err != nil || host != "127.0.0.1" {
		return false
	}
	conn, err := net.DialTimeout("tcp", addr, 500*time.Millisecond)
	if err != nil {
		return false
	}
	conn.Close()
	return true
}

// quiet is a progress that nobody sees.
func quiet(done, total int) {}

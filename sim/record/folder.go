package record

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Folder collects the result files of one command under temporary names and
// puts them in place together, each whole: a run that dies leaves the last
// good files as they were.
//
// Write as many files as needed, then [Folder.Commit]; defer [Folder.Discard]
// to clear away what was not committed.
type Folder struct {
	dir, tmp string

	mu    sync.Mutex // files may be written side by side
	names []string
}

// tmpPrefix begins the name of the temporary folder; the number behind it is
// the process that writes there.
const tmpPrefix = ".sunrill-partial-"

// staleAfter is the age at which a temporary folder is cleared away even if
// its process number is in use (by another program, then).
const staleAfter = 24 * time.Hour

// Open makes dir if it is missing and clears away what runs that died have
// left there under temporary names.
func Open(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, explain(err, dir)
	}
	clearStale(dir)
	tmp, err := os.MkdirTemp(dir, tmpPrefix+strconv.Itoa(os.Getpid())+"-")
	if err != nil {
		return nil, explain(err, dir)
	}
	return &Folder{dir: dir, tmp: tmp}, nil
}

// Names returns the files written so far.
func (f *Folder) Names() []string { return f.names }

// Write makes one file under a temporary name and has fill write it. The name
// may hold a slash: "charts/soc.svg". Several files may be written at the same
// time.
func (f *Folder) Write(name string, fill func(io.Writer) error) error {
	f.mu.Lock()
	twice := slices.Contains(f.names, name)
	f.names = append(f.names, name)
	f.mu.Unlock()
	if twice {
		panic("record: " + name + " is written twice")
	}
	return f.writeTemp(name, fill)
}

func (f *Folder) writeTemp(name string, fill func(io.Writer) error) error {
	path := filepath.Join(f.tmp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return explain(err, f.dir)
	}
	file, err := os.Create(path)
	if err != nil {
		return explain(err, f.dir)
	}
	w := bufio.NewWriterSize(file, 1<<16)
	err = fill(w)
	if err == nil {
		err = w.Flush()
	}
	if err == nil {
		err = file.Sync()
	}
	if cerr := file.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", name, explain(err, f.dir))
	}
	return nil
}

// Commit puts every file in place. Each is renamed whole, so that a reader
// sees the old file or the new one and never a part.
func (f *Folder) Commit() error {
	for _, name := range f.names {
		to := filepath.Join(f.dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return explain(err, f.dir)
		}
		if err := os.Rename(filepath.Join(f.tmp, filepath.FromSlash(name)), to); err != nil {
			return fmt.Errorf("put %s in place: %w", name, explain(err, f.dir))
		}
	}
	return os.RemoveAll(f.tmp)
}

// Discard clears away what was written and not committed. After Commit it
// does nothing.
func (f *Folder) Discard() { os.RemoveAll(f.tmp) }

// WriteError says that results could not be written, in words for a person.
type WriteError struct {
	Dir  string
	Hint string
	Err  error
}

func (e *WriteError) Error() string {
	return fmt.Sprintf("cannot write results to %s: %v\n    %s", e.Dir, plain(e.Err), e.Hint)
}

func (e *WriteError) Unwrap() error { return e.Err }

// plain strips the call and the path from an error of the file system.
func plain(err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	var le *os.LinkError
	if errors.As(err, &le) {
		return le.Err
	}
	return err
}

func explain(err error, dir string) error {
	var we *WriteError
	if errors.As(err, &we) {
		return err
	}
	hint := "choose another folder with --out"
	switch {
	case errors.Is(err, os.ErrPermission):
		hint = "you may not write there; choose another folder with --out"
	case isFull(err):
		hint = "the disk is full: make room, or choose another disk with --out; earlier results are untouched"
	}
	return &WriteError{Dir: dir, Hint: hint, Err: err}
}

// clearStale removes the temporary folders of processes that no longer run.
// What cannot be removed is left: the next run tries again.
func clearStale(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), tmpPrefix)
		if !ok || !e.IsDir() {
			continue
		}
		number, _, _ := strings.Cut(rest, "-")
		pid, err := strconv.Atoi(number)
		info, ierr := e.Info()
		old := ierr == nil && time.Since(info.ModTime()) > staleAfter
		if old || err != nil || (pid != os.Getpid() && !running(pid)) {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

package record

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Folder collects the result files of one command in a new folder beside the
// one that was asked for, and puts it in that one's place when it is whole: a
// run that dies leaves the earlier results, all of them, as they were.
//
// A folder of results is this program's alone. What is in it is listed in its
// manifest ([ManifestName]); where something else stands, or something that was
// changed since, nothing is replaced ([ForeignError]).
//
// Write as many files as needed, then [Folder.Commit]; defer [Folder.Discard]
// to clear away what was not committed.
type Folder struct {
	asked  string // as the person wrote it
	dir    string // where it really is
	tmp    string
	inputs []string

	mu       sync.Mutex // files may be written side by side
	names    []string
	manifest Manifest
	replaced *Manifest // of what stood there before
}

// The names of the folders that are made beside the one asked for begin with
// these; the number behind is the process that works there.
const (
	tmpPrefix = ".sunrill-partial-" // is being written
	oldPrefix = ".sunrill-old-"     // was taken out of its place
)

// staleAfter is the age at which a temporary folder is cleared away even if
// its process number is in use (by another program, then).
const staleAfter = 24 * time.Hour

// Check tells whether results may be written to dir, before any work is done
// for them. It leaves nothing behind, and clears away what runs that died have
// left beside it. The inputs are the files that were read for the results.
func Check(dir string, inputs []string) error {
	real, _, err := claim(dir, inputs)
	if err != nil {
		return err
	}
	// The nearest folder that is there already has to bear a new one.
	parent := filepath.Dir(real)
	for {
		info, err := os.Stat(parent)
		if err == nil && !info.IsDir() {
			err = fmt.Errorf("%s is a file", parent)
		}
		up := filepath.Dir(parent)
		if errors.Is(err, os.ErrNotExist) && up != parent {
			parent = up
			continue
		}
		if err != nil {
			return explain(err, dir)
		}
		break
	}
	clearStale(parent)
	trial, err := makeBeside(parent)
	if err != nil {
		return explain(err, dir)
	}
	// A name that is too long shows here and not when all is done.
	err = os.Mkdir(filepath.Join(trial, filepath.Base(real)), 0o777)
	if rerr := os.RemoveAll(trial); err == nil {
		err = rerr
	}
	if err != nil {
		return explain(err, dir)
	}
	return nil
}

// Open begins a folder of results, once more with all that [Check] looks at.
func Open(dir string, inputs []string, by Manifest) (*Folder, error) {
	real, before, err := claim(dir, inputs)
	if err != nil {
		return nil, err
	}
	parent := filepath.Dir(real)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return nil, explain(err, dir)
	}
	clearStale(parent)
	tmp, err := makeBeside(parent)
	if err != nil {
		return nil, explain(err, dir)
	}
	if info, err := os.Stat(real); err == nil {
		os.Chmod(tmp, info.Mode().Perm()) // as open to others as the one it replaces
	}
	by.Files = nil
	return &Folder{asked: dir, dir: real, tmp: tmp, inputs: inputs, manifest: by, replaced: before}, nil
}

// makeBeside makes a folder of a new name.
func makeBeside(parent string) (string, error) {
	for range 100 {
		path := filepath.Join(parent, fmt.Sprintf("%s%d-%08x", tmpPrefix, os.Getpid(), rand.Uint32()))
		if err := os.Mkdir(path, 0o777); !errors.Is(err, os.ErrExist) {
			return path, err
		}
	}
	return "", errors.New("no new name is free")
}

// claim finds where a folder really is, mends what a run that died while it
// swapped has left, and tells whether what is there is ours to replace. The
// manifest is nil where nothing is.
func claim(dir string, inputs []string) (real string, before *Manifest, err error) {
	real, err = resolve(dir)
	if err != nil {
		return "", nil, explain(err, dir)
	}
	restore(real)
	for _, input := range inputs {
		if path, err := resolve(input); err == nil && within(real, path) {
			return "", nil, &ForeignError{Dir: dir, What: fmt.Sprintf("holds %s, which was read for these results", filepath.Base(input)), Hint: "no input is ever written over: choose another folder with --out"}
		}
	}
	if here, err := os.Getwd(); err == nil {
		if here, err = resolve(here); err == nil && within(real, here) {
			return "", nil, &ForeignError{Dir: dir, What: "is the folder you stand in", Hint: "a folder of results is replaced whole: give the name of another, such as --out results"}
		}
	}
	before, err = look(real)
	var foreign *ForeignError
	if errors.As(err, &foreign) {
		foreign.Dir = dir
		return "", nil, foreign
	}
	if err != nil {
		return "", nil, explain(err, dir)
	}
	return real, before, nil
}

// resolve returns the absolute path of what is at a path, links followed as
// far as there is something.
func resolve(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	real, err := filepath.EvalSymlinks(path)
	if err == nil {
		return real, nil
	}
	if _, lerr := os.Lstat(path); !errors.Is(err, os.ErrNotExist) || lerr == nil {
		return "", err // a link to nothing, or what may not be looked at
	}
	parent := filepath.Dir(path)
	if parent == path {
		return path, nil
	}
	if parent, err = resolve(parent); err != nil {
		return "", err
	}
	return filepath.Join(parent, filepath.Base(path)), nil
}

// within tells whether path is dir or lies in it.
func within(dir, path string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && filepath.IsLocal(rel)
}

// Names returns the files written so far.
func (f *Folder) Names() []string { return f.names }

// Replaced returns the manifest of the results that stood there before, nil
// where there were none.
func (f *Folder) Replaced() *Manifest { return f.replaced }

// Write makes one file and has fill write it. The name may hold a slash:
// "charts/soc.svg". Several files may be written at the same time.
func (f *Folder) Write(name string, fill func(io.Writer) error) error {
	size, sum, err := f.writeFile(name, fill)
	if err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.manifest.file(name) != nil || name == ManifestName {
		panic("record: " + name + " is written twice")
	}
	f.names = append(f.names, name)
	f.manifest.Files = append(f.manifest.Files, File{name, size, sum})
	return nil
}

func (f *Folder) writeFile(name string, fill func(io.Writer) error) (size int64, sum string, err error) {
	path := filepath.Join(f.tmp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return 0, "", explain(err, f.asked)
	}
	file, err := os.Create(path)
	if err != nil {
		return 0, "", explain(err, f.asked)
	}
	hash := sha256.New()
	count := &counter{w: io.MultiWriter(file, hash)}
	w := bufio.NewWriterSize(count, 1<<16)
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
		return 0, "", fmt.Errorf("write %s: %w", name, explain(err, f.asked))
	}
	return count.n, hex.EncodeToString(hash.Sum(nil)), nil
}

// counter counts what goes through it.
type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += int64(n)
	return n, err
}

// Commit puts the folder in place, whole, and clears away the one that it
// replaces. On an error the earlier results are there as they were.
func (f *Folder) Commit() error {
	f.manifest.sort()
	if _, _, err := f.writeFile(ManifestName, func(w io.Writer) error { return WriteJSON(w, f.manifest) }); err != nil {
		return err
	}
	// Somebody may have put something there since.
	if _, _, err := claim(f.asked, f.inputs); err != nil {
		return err
	}
	syncFolder(f.tmp)
	if err := swap(f.tmp, f.dir); err != nil {
		return fmt.Errorf("put the results in place: %w", explain(err, f.asked))
	}
	return nil
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
	var fe *ForeignError
	if errors.As(err, &we) || errors.As(err, &fe) {
		return err
	}
	hint := "choose another folder with --out; earlier results are untouched"
	switch {
	case isFull(err):
		hint = "the disk is full: make room, or choose another disk with --out; earlier results are untouched"
	case isBusy(err):
		hint = "another program has something in it open, or it is where a disk is mounted: close that program, or choose a folder below it with --out; earlier results are untouched"
	case errors.Is(err, os.ErrPermission):
		hint = "you may not write there or beside it; choose another folder with --out; earlier results are untouched"
	}
	return &WriteError{Dir: dir, Hint: hint, Err: err}
}

// clearStale removes the folders that processes which no longer run have left
// beside results. What cannot be removed is left: the next run tries again.
func clearStale(parent string) {
	entries, err := os.ReadDir(parent)
	if err != nil {
		return
	}
	for _, e := range entries {
		path := filepath.Join(parent, e.Name())
		if !e.IsDir() || !left(e) {
			continue
		}
		if strings.HasPrefix(e.Name(), tmpPrefix) {
			if m, err := readManifest(path); err == nil && m == nil {
				os.RemoveAll(path) // it was being written
			} else {
				remove(path)
			}
		} else if _, name, ok := cutOld(e.Name()); ok {
			// It is the last good one until there is another in its place.
			if _, err := os.Lstat(filepath.Join(parent, name)); err == nil {
				remove(path)
			}
		}
	}
}

// left tells whether the process that made a temporary folder is gone.
func left(e os.DirEntry) bool {
	rest, ok := strings.CutPrefix(e.Name(), tmpPrefix)
	if !ok {
		if rest, ok = strings.CutPrefix(e.Name(), oldPrefix); !ok {
			return false
		}
	}
	number, _, _ := strings.Cut(rest, "-")
	pid, err := strconv.Atoi(number)
	if err != nil {
		return true
	}
	info, ierr := e.Info()
	old := ierr == nil && time.Since(info.ModTime()) > staleAfter
	return old || pid != os.Getpid() && !running(pid)
}

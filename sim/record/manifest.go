package record

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// ManifestName is the file that says whose a folder of results is.
const ManifestName = "sunrill-results.json"

// Manifest tells what wrote a folder of results, and lists what it wrote: only
// that is ever replaced.
type Manifest struct {
	About   string   `json:"about"`
	Command string   `json:"command"`       // "year"
	Site    string   `json:"site"`          // its name
	Set     []string `json:"set,omitempty"` // what was set otherwise than in the site's files
	Files   []File   `json:"files"`
}

// File is one line of the manifest.
type File struct {
	Name   string `json:"name"` // with slashes
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// aboutManifest tells a person who finds the file what it is.
const aboutManifest = "Results that sunrill wrote. The next run into this folder replaces the files listed here; add none of your own."

// Made returns the head of a manifest.
func Made(command, site string, set []string) Manifest {
	return Manifest{About: aboutManifest, Command: command, Site: site, Set: set}
}

func (m *Manifest) sort() {
	slices.SortFunc(m.Files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
}

func (m *Manifest) file(name string) *File {
	for i := range m.Files {
		if m.Files[i].Name == name {
			return &m.Files[i]
		}
	}
	return nil
}

// ForeignError says that a folder holds what is not this program's.
type ForeignError struct {
	Dir, What, Hint string
}

func (e *ForeignError) Error() string {
	return fmt.Sprintf("--out %s %s\n    %s", e.Dir, e.What, e.Hint)
}

// systemFiles are put into folders by file managers, unasked.
var systemFiles = []string{".DS_Store", "Thumbs.db", "desktop.ini", ".directory"}

// look reads the manifest of a folder and holds what is there against it. It
// returns nil where there is no folder or an empty one, and [ForeignError]
// where something is not ours or was changed since.
func look(dir string) (*Manifest, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.IsDir():
		return nil, errors.New("it is a file")
	}
	m, err := readManifest(dir)
	if err != nil {
		return nil, err
	}
	var foreign, changed []string
	err = filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		name := filepath.ToSlash(rel)
		switch {
		case e.IsDir():
			if m.holds(name) {
				return nil
			}
			foreign = append(foreign, name+"/")
			return fs.SkipDir
		case slices.Contains(systemFiles, e.Name()), m != nil && name == ManifestName:
			return nil
		}
		f := (*File)(nil)
		if m != nil && e.Type().IsRegular() {
			f = m.file(name)
		}
		if f == nil {
			foreign = append(foreign, name)
			return nil
		}
		same, err := f.is(path)
		if err == nil && !same {
			changed = append(changed, name)
		}
		return err
	})
	switch {
	case err != nil:
		return nil, err
	case len(foreign) > 0:
		return nil, &ForeignError{What: "holds what this program did not write: " + some(foreign), Hint: "a folder of results is replaced whole: move these elsewhere, or choose a new folder with --out; nothing was written"}
	case len(changed) > 0:
		return nil, &ForeignError{What: "holds results that were changed since they were written: " + some(changed), Hint: "move them elsewhere to keep them, delete them if not, or choose a new folder with --out; nothing was written"}
	}
	return m, nil
}

// holds tells whether a folder of that name has files of the manifest in it.
func (m *Manifest) holds(name string) bool {
	return m != nil && slices.ContainsFunc(m.Files, func(f File) bool { return strings.HasPrefix(f.Name, name+"/") })
}

// is tells whether what is at a path is what was written.
func (f *File) is(path string) (bool, error) {
	file, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer file.Close()
	if info, err := file.Stat(); err != nil || info.Size() != f.Bytes {
		return false, err
	}
	hash := sha256.New()
	if _, err := io.Copy(hash, file); err != nil {
		return false, err
	}
	return hex.EncodeToString(hash.Sum(nil)) == f.SHA256, nil
}

// maxManifestBytes is far more than any run writes.
const maxManifestBytes = 1 << 20

// readManifest returns nil where there is no manifest of ours.
func readManifest(dir string) (*Manifest, error) {
	path := filepath.Join(dir, ManifestName)
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && (!info.Mode().IsRegular() || info.Size() > maxManifestBytes) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var m Manifest
	if json.Unmarshal(data, &m) != nil || m.Command == "" {
		return nil, nil
	}
	for _, f := range m.Files {
		if !filepath.IsLocal(filepath.FromSlash(f.Name)) {
			return nil, nil
		}
	}
	return &m, nil
}

// some names a few of many.
func some(names []string) string {
	const few = 4
	if len(names) > few+1 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:few], ", "), len(names)-few)
	}
	return strings.Join(names, ", ")
}

package site

import (
	"io/fs"
	"path/filepath"
	"slices"
)

// Inputs returns the paths of the files that were read, so that nobody writes
// there; none for the built-in homestead.
func (s *Site) Inputs() []string {
	if s == nil || s.Folder == "" {
		return nil
	}
	paths := make([]string, len(s.read))
	for i, name := range s.read {
		paths[i] = filepath.Join(s.Folder, filepath.FromSlash(name))
	}
	return paths
}

// noting is a file system that notes which files were opened.
type noting struct {
	fs.FS
	names []string
}

func (n *noting) Open(name string) (fs.File, error) {
	if !slices.Contains(n.names, name) {
		n.names = append(n.names, name)
	}
	return n.FS.Open(name)
}

// Stat only looks.
func (n *noting) Stat(name string) (fs.FileInfo, error) { return fs.Stat(n.FS, name) }

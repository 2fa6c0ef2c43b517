package gather

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ErrExists means that a folder has a file of that name already.
var ErrExists = errors.New("is there already")

// Keep writes outputs into a folder, all or none. A file that is there already
// stays, and is an error that wraps [ErrExists], unless replace is set: then it
// is kept beside under the name that is returned, rain.old.csv for rain.csv.
func Keep(dir string, outputs []Output, replace bool) (kept []string, err error) {
	for _, o := range outputs {
		if _, err := os.Lstat(filepath.Join(dir, o.Name)); err == nil && !replace {
			return nil, fmt.Errorf("%s %w", filepath.Join(dir, o.Name), ErrExists)
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	temporary := make([]string, len(outputs))
	defer func() {
		for _, name := range temporary {
			if name != "" {
				os.Remove(name)
			}
		}
	}()
	for i, o := range outputs {
		f, err := os.CreateTemp(dir, ".sunrill-import-")
		if err != nil {
			return nil, err
		}
		temporary[i] = f.Name()
		_, err = f.Write(o.Data)
		if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
			return nil, err
		}
	}
	for i, o := range outputs {
		path := filepath.Join(dir, o.Name)
		if _, err := os.Lstat(path); err == nil {
			old, err := putAside(path)
			if err != nil {
				return kept, err
			}
			kept = append(kept, old)
		}
		if err := os.Rename(temporary[i], path); err != nil {
			return kept, err
		}
		temporary[i] = ""
	}
	return kept, nil
}

// putAside renames a file to the first free name of rain.old.csv,
// rain.old-2.csv and so on.
func putAside(path string) (string, error) {
	ext := filepath.Ext(path)
	for n := 1; n < 10000; n++ {
		tail := ".old"
		if n > 1 {
			tail = fmt.Sprintf(".old-%d", n)
		}
		old := strings.TrimSuffix(path, ext) + tail + ext
		if _, err := os.Lstat(old); errors.Is(err, fs.ErrNotExist) {
			return old, os.Rename(path, old)
		}
	}
	return "", fmt.Errorf("%s: too many old files beside it", path)
}

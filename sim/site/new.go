package site

import (
	"bytes"
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"sunrill/loads"
	"sunrill/sim/files"
	"sunrill/sim/measure"
)

//go:embed blank/*.toml blank/*.csv
var blankFiles embed.FS

// WriteNew lays a site folder to start from, as [Template] does: a copy of the
// built-in homestead or a blank one, in metric units.
func WriteNew(dir string, with []string, blank bool) error {
	return Template{With: with, Blank: blank, LatDeg: math.NaN(), LonDeg: math.NaN()}.Write(dir)
}

// applianceList writes appliances of the built-in list as a loads.csv.
func applianceList(keys []string) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# From the built-in list: the label on your own appliance, or a plug-in meter, is better.\n" +
		"# hours: windows (\"06-08 18-23\"), \"all\", or so many a day or a week (\"2.5/day\", \"6/week\").\n" +
		"# flexible: takes only what would be thrown away; a need by the week waits for a good day.\n")
	w := csv.NewWriter(&b)
	w.Write([]string{"name", "watts", "count", "hours", "days", "months", "supply", "flexible"}) // a bytes.Buffer takes all
	for _, key := range keys {
		a, ok := loads.FindTypical(strings.TrimSpace(key))
		if !ok {
			var known []string
			for _, t := range loads.Typicals() {
				known = append(known, t.Key)
			}
			return nil, fmt.Errorf("%q is not in the list of appliances; %s", files.Short(key), files.DidYouMean(key, known))
		}
		supply, flexible := "ac", "no"
		if a.DC {
			supply = "dc"
		}
		if a.Flexible {
			flexible = "yes"
		}
		w.Write([]string{a.Name, measure.Trim(a.Watts), measure.Trim(a.Count), a.Hours, "all", a.Months, supply, flexible})
	}
	w.Flush()
	return b.Bytes(), nil
}

// ErrExists means that a folder has something in it already.
var ErrExists = errors.New("is there already and not empty; give the name of a new folder")

// newPrefix begins the name of a folder that is being laid.
const newPrefix = ".sunrill-new-"

// clearStale removes what runs that died an hour ago or more have left in a
// folder. What cannot be removed is left.
func clearStale(parent string) {
	entries, _ := os.ReadDir(parent)
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), newPrefix) {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(parent, e.Name()))
		}
	}
}

// layFolder writes a folder beside its place and renames it when it is whole.
func layFolder(dir string, files map[string][]byte) error {
	err := layIn(filepath.Clean(dir), files)
	var inside *fs.PathError
	if errors.As(err, &inside) {
		return fmt.Errorf("cannot make the folder %s: %w", dir, inside.Err) // the temporary name is ours alone
	}
	return err
}

func layIn(dir string, files map[string][]byte) error {
	entries, err := os.ReadDir(dir)
	switch {
	case err == nil && len(entries) > 0:
		return fmt.Errorf("%s: %w", dir, ErrExists)
	case err == nil:
		return fillEmpty(dir, files)
	case !errors.Is(err, fs.ErrNotExist):
		if info, statErr := os.Stat(dir); statErr == nil && !info.IsDir() {
			return fmt.Errorf("%s: %w", dir, ErrExists)
		}
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return err
	}
	clearStale(parent)
	temporary, err := writeFiles(parent, files)
	if err != nil {
		return err
	}
	defer os.RemoveAll(temporary)
	if err := os.Chmod(temporary, 0o755); err != nil {
		return err
	}
	return os.Rename(temporary, dir)
}

// fillEmpty lays the files in a folder that is there and empty: it may be the
// one that the person is in, and its rights are the person's own.
func fillEmpty(dir string, files map[string][]byte) (err error) {
	temporary, err := writeFiles(dir, files)
	if err != nil {
		return err
	}
	defer os.RemoveAll(temporary)
	var laid []string
	defer func() {
		if err != nil {
			for _, path := range laid {
				os.Remove(path)
			}
		}
	}()
	for name := range files {
		path := filepath.Join(dir, name)
		if err := os.Rename(filepath.Join(temporary, name), path); err != nil {
			return err
		}
		laid = append(laid, path)
	}
	return nil
}

// writeFiles writes files into a new temporary folder of parent.
func writeFiles(parent string, files map[string][]byte) (temporary string, err error) {
	if temporary, err = os.MkdirTemp(parent, newPrefix); err != nil {
		return "", err
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(temporary, name), data, 0o644); err != nil {
			os.RemoveAll(temporary)
			return "", err
		}
	}
	return temporary, nil
}

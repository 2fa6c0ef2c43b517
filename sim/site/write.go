package site

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"sunrill/sim/files"
)

// Edit is a site folder with settings written into the text of its files.
type Edit struct {
	Lines []string // what changes, a line each: "site.toml: capacity = "14 kWh" → capacity = "20 kWh""

	dir   string
	files map[string][]byte // that change
}

// EditFolder writes settings into the text of a site's files, in memory: values
// are replaced where they stand, everything else stays byte for byte. What it
// has written is read again and has to be the same site that the settings make;
// else, or where a setting cannot be written so, it is an error that says what
// to write by hand.
func EditFolder(dir string, settings []files.Setting) (*Edit, error) {
	e := &Edit{dir: dir, files: map[string][]byte{}}
	want, err := Load(dir, Options{Set: settings})
	if err != nil {
		return nil, err
	}
	old, err := os.ReadFile(filepath.Join(dir, descriptionFile))
	if err != nil {
		return nil, err
	}
	var keys []files.Setting
	for _, s := range settings {
		path := s.Path()
		if path[0] == "loads" && len(path) > 2 {
			if err := e.editLoad(s, strings.Join(path[1:len(path)-1], "."), strings.ToLower(path[len(path)-1])); err != nil {
				return nil, byHand(s, err)
			}
			continue
		}
		keys = append(keys, s)
	}
	text := old
	for _, s := range keys {
		if text, err = files.EditTOML(text, []files.Setting{s}); err != nil {
			return nil, byHand(s, err)
		}
	}
	if string(text) != string(old) {
		e.files[descriptionFile] = text
		e.Lines = append(lineChanges(descriptionFile, string(old), string(text)), e.Lines...)
	}
	got, err := LoadFS(e.overlay(), Options{})
	if err != nil {
		return nil, fmt.Errorf("what would be written cannot be read again: %w", err)
	}
	if !sameGiven(got.Given, want.Given) || !reflect.DeepEqual(got.Appliances, want.Appliances) {
		return nil, files.Problems{{What: "the values cannot be written into the files without changing more than them", Hint: "write them by hand: " + settingsText(settings)}}
	}
	return e, nil
}

func byHand(s files.Setting, err error) error {
	return files.Problems{{What: fmt.Sprintf("%s=%s cannot be written for you: %v", s.Key, s.Value, err), Hint: "write it into the file by hand"}}
}

func settingsText(settings []files.Setting) string {
	var parts []string
	for _, s := range settings {
		parts = append(parts, s.Key+"="+s.Value)
	}
	return strings.Join(parts, ", ")
}

func (e *Edit) editLoad(s files.Setting, name, column string) error {
	d, ok := files.New(os.DirFS(e.dir)).Document(descriptionFile, "")
	if !ok {
		return d.Problems
	}
	file := d.FileOf("loads", "file", loadsFile)
	table := e.files[file]
	if table == nil {
		var err error
		if table, err = os.ReadFile(filepath.Join(e.dir, filepath.FromSlash(file))); err != nil {
			return err
		}
	}
	edited, was, is, err := files.EditRow(table, name, column, s.Value)
	if err != nil {
		return err
	}
	e.files[file] = edited
	e.Lines = append(e.Lines, fmt.Sprintf("%s: %s → %s", file, was, is))
	return nil
}

// overlay is the folder with the edited files in place.
func (e *Edit) overlay() fs.FS {
	return edited{os.DirFS(e.dir), e.files}
}

// edited is a file system with the content of some files replaced.
type edited struct {
	fs.FS
	files map[string][]byte
}

func (e edited) Open(name string) (fs.File, error) {
	f, err := e.FS.Open(name)
	if data, ok := e.files[name]; ok && err == nil {
		return &editedFile{f, bytes.NewReader(data)}, nil
	}
	return f, err
}

type editedFile struct {
	fs.File
	*bytes.Reader
}

func (f *editedFile) Read(p []byte) (int, error) { return f.Reader.Read(p) }

// Stat tells the edited size.
func (f *editedFile) Stat() (fs.FileInfo, error) {
	info, err := f.File.Stat()
	return sized{info, f.Reader.Size()}, err
}

type sized struct {
	fs.FileInfo
	size int64
}

func (s sized) Size() int64 { return s.size }

func sameGiven(a, b []files.Given) bool {
	values := func(gs []files.Given) map[string]string {
		m := map[string]string{}
		for _, g := range gs {
			m[g.Key] = g.Value
		}
		return m
	}
	return maps.Equal(values(a), values(b))
}

// lineChanges tells the lines that differ between two texts that share most.
func lineChanges(file, was, is string) (lines []string) {
	a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(a) > 0 && len(b) > 0 && a[0] == b[0]:
			a, b = a[1:], b[1:]
		case len(a) == 0:
			lines = append(lines, added(file, b[0])...)
			b = b[1:]
		case len(b) > 0 && slices.Contains(b, a[0]): // lines were put in before it
			lines = append(lines, added(file, b[0])...)
			b = b[1:]
		case len(b) > 0 && slices.Contains(a, b[0]): // lines were taken out before it
			lines = append(lines, fmt.Sprintf("%s: %s → taken out", file, strings.TrimSpace(a[0])))
			a = a[1:]
		case len(b) > 0:
			lines = append(lines, fmt.Sprintf("%s: %s → %s", file, strings.TrimSpace(a[0]), strings.TrimSpace(b[0])))
			a, b = a[1:], b[1:]
		default:
			lines = append(lines, fmt.Sprintf("%s: %s → taken out", file, strings.TrimSpace(a[0])))
			a = a[1:]
		}
	}
	return lines
}

func added(file, line string) []string {
	if strings.TrimSpace(line) == "" {
		return nil
	}
	return []string{fmt.Sprintf("%s: new: %s", file, strings.TrimSpace(line))}
}

// Into writes the edit into the site's folder. Each file as it was is kept
// beside it under a name that no file has, and each is replaced whole. It
// returns the names of the kept files.
func (e *Edit) Into() (kept []string, err error) {
	for _, name := range slices.Sorted(maps.Keys(e.files)) {
		path := filepath.Join(e.dir, filepath.FromSlash(name))
		old, err := os.ReadFile(path)
		if err != nil {
			return kept, err
		}
		before := ""
		for n := 1; before == ""; n++ {
			try := fmt.Sprintf("%s.before-%d", path, n)
			f, err := os.OpenFile(try, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
			if errors.Is(err, fs.ErrExist) {
				continue
			}
			if err != nil {
				return kept, err
			}
			_, err = f.Write(old)
			if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
				os.Remove(try)
				return kept, err
			}
			before = try
		}
		if err := ReplaceFile(path, e.files[name]); err != nil {
			os.Remove(before)
			return kept, err
		}
		kept = append(kept, filepath.Base(before))
	}
	return kept, nil
}

// AsNew writes a copy of the folder with the edit into a new folder, whole or
// not at all. Folders of results and kept files are left out.
func (e *Edit) AsNew(dir string) error {
	if _, err := os.Lstat(dir); err == nil {
		return files.Problems{{What: fmt.Sprintf("%s: is there already", dir), Hint: "give another name"}}
	}
	tmp, err := os.MkdirTemp(filepath.Dir(dir), ".site-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(tmp)
	entries, err := os.ReadDir(e.dir)
	if err != nil {
		return err
	}
	for _, entry := range entries {
		name := entry.Name()
		if !entry.Type().IsRegular() || strings.Contains(name, ".before-") || strings.HasPrefix(name, ".") {
			continue
		}
		data, changed := e.files[name]
		if !changed {
			if data, err = os.ReadFile(filepath.Join(e.dir, name)); err != nil {
				return err
			}
		}
		if err := os.WriteFile(filepath.Join(tmp, name), data, 0o644); err != nil {
			return err
		}
	}
	if _, err := Load(tmp, Options{}); err != nil {
		return fmt.Errorf("the copy cannot be read: %w", err)
	}
	if err := os.Chmod(tmp, 0o755); err != nil {
		return err
	}
	return os.Rename(tmp, dir)
}

// ReplaceFile replaces a file whole, or begins it: the content is written to a
// file beside it, which then takes its name.
func ReplaceFile(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	tmp := f.Name()
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close(), os.Chmod(tmp, 0o644)); err == nil {
		err = os.Rename(tmp, path)
	}
	if err != nil {
		os.Remove(tmp)
	}
	return err
}

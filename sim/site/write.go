package site

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"

	"sunrill/sim/files"
)

// Edit is a site folder with settings written into the text of its files.
type Edit struct {
	Lines []string // what changes, a line each: "site.toml: capacity = "14 kWh" → capacity = "20 kWh""

	dir   string // "": the built-in homestead
	base  fs.FS
	files map[string][]byte // that change
}

// EditFolder writes settings into the text of a site's files, in memory: values
// are replaced where they stand, everything else stays byte for byte. Files of
// which instead has another content are taken as it has them. dir is a folder, or
// "" for the built-in homestead. What
// it has written is read again and has to be the same site that the settings make;
// else, or where a setting cannot be written so, it is an error that says what
// to write by hand.
func EditFolder(dir string, settings []files.Setting, instead map[string][]byte) (*Edit, error) {
	e := &Edit{dir: dir, base: DemoFS(), files: map[string][]byte{}}
	if dir != "" {
		e.base = os.DirFS(dir)
	}
	want, err := LoadFS(e.base, Options{Set: settings, Instead: instead})
	if err != nil {
		return nil, err
	}
	for _, name := range slices.Sorted(maps.Keys(instead)) {
		if name == descriptionFile || !fs.ValidPath(name) {
			return nil, fmt.Errorf("%s is no table of a site", name)
		}
		old, err := fs.ReadFile(e.base, name)
		if errors.Is(err, fs.ErrNotExist) {
			old, err = nil, nil
		}
		if err != nil {
			return nil, err
		}
		if old == nil || !bytes.Equal(old, instead[name]) {
			e.files[name] = instead[name]
			e.Lines = append(e.Lines, tableChanges(name, old, instead[name])...)
		}
	}
	old, err := fs.ReadFile(e.base, descriptionFile)
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
	got, err := LoadFS(edited{e.base, e.files}, Options{})
	if err != nil {
		return nil, fmt.Errorf("what would be written cannot be read again: %w", err)
	}
	if !sameGiven(got.Given, want.Given) || !reflect.DeepEqual(got.Appliances, want.Appliances) {
		return nil, files.Problems{{What: "the values cannot be written into the files without changing more than them", Hint: "write them by hand: " + settingsText(settings)}}
	}
	return e, nil
}

// tableChanges tells how the lines of a table differ: how many, and the first of
// them.
func tableChanges(name string, was, is []byte) []string {
	const shown = 6
	count := func(text []byte) (lines []string, times map[string]int) {
		times = map[string]int{}
		for line := range strings.Lines(string(text)) {
			line = strings.TrimSpace(line)
			if line != "" {
				lines = append(lines, line)
				times[line]++
			}
		}
		return lines, times
	}
	old, hadTimes := count(was)
	now, hasTimes := count(is)
	only := func(lines []string, there map[string]int) (missing []string) {
		for _, line := range lines {
			if there[line] > 0 {
				there[line]--
				continue
			}
			missing = append(missing, line)
		}
		return missing
	}
	added, gone := only(now, hadTimes), only(old, hasTimes)
	if was == nil {
		return []string{fmt.Sprintf("%s: a new file of %d lines", name, len(now))}
	}
	lines := []string{fmt.Sprintf("%s: lines changed or new: %d; changed or taken out: %d", name, len(added), len(gone))}
	list := func(sign string, all []string) {
		for i, line := range all {
			if i == shown {
				lines = append(lines, fmt.Sprintf("%s: %s … and %d more", name, sign, len(all)-shown))
				return
			}
			lines = append(lines, fmt.Sprintf("%s: %s %s", name, sign, files.Short(line)))
		}
	}
	list("was:", gone)
	list("is:", added)
	return lines
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
	d, ok := files.New(e.base).Document(descriptionFile, "")
	if !ok {
		return d.Problems
	}
	file := d.FileOf("loads", "file", loadsFile)
	table := e.files[file]
	if table == nil {
		var err error
		if table, err = fs.ReadFile(e.base, file); err != nil {
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

// edited is a file system with the content of some files replaced, and some
// files more.
type edited struct {
	fs.FS
	files map[string][]byte
}

func (e edited) Open(name string) (fs.File, error) {
	if data, ok := e.files[name]; ok {
		return editedFile{bytes.NewReader(data), editedInfo{name, int64(len(data))}}, nil
	}
	return e.FS.Open(name)
}

type editedFile struct {
	*bytes.Reader
	info editedInfo
}

func (f editedFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f editedFile) Close() error               { return nil }

type editedInfo struct {
	name  string
	bytes int64
}

func (i editedInfo) Name() string       { return path.Base(i.name) }
func (i editedInfo) Size() int64        { return i.bytes }
func (i editedInfo) Mode() fs.FileMode  { return 0o644 }
func (i editedInfo) ModTime() time.Time { return time.Time{} }
func (i editedInfo) IsDir() bool        { return false }
func (i editedInfo) Sys() any           { return nil }

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
	if e.dir == "" {
		return nil, errors.New("the built-in homestead has no folder to write into")
	}
	for _, name := range slices.Sorted(maps.Keys(e.files)) {
		path := filepath.Join(e.dir, filepath.FromSlash(name))
		if err := inside(e.dir, path); err != nil {
			return kept, err
		}
		before, err := keepBefore(path)
		if err != nil {
			return kept, err
		}
		if err := ReplaceFile(path, e.files[name]); err != nil {
			if before != "" {
				os.Remove(before)
			}
			return kept, err
		}
		if before != "" {
			kept = append(kept, filepath.Base(before))
		}
	}
	return kept, nil
}

// inside refuses a file whose folder lies outside of dir, behind a link.
func inside(dir, path string) error {
	root, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return err
	}
	at, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		return err
	}
	if rest, err := filepath.Rel(root, at); err != nil || !filepath.IsLocal(rest) {
		return files.Problems{{What: fmt.Sprintf("%s: lies outside the site's folder, behind a link", path), Hint: "change it there by hand"}}
	}
	return nil
}

// keepBefore copies a file to a name beside it that no file has, and returns
// that; "" where there is no such file yet.
func keepBefore(path string) (string, error) {
	old, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		try := fmt.Sprintf("%s.before-%d", path, n)
		f, err := os.OpenFile(try, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.Write(old)
		if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
			os.Remove(try)
			return "", err
		}
		return try, nil
	}
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
	entries, err := fs.ReadDir(e.base, ".")
	if err != nil {
		return err
	}
	all := maps.Clone(e.files)
	for _, entry := range entries {
		name := entry.Name()
		if _, changed := all[name]; changed || !entry.Type().IsRegular() || strings.Contains(name, ".before-") || strings.HasPrefix(name, ".") {
			continue
		}
		if all[name], err = fs.ReadFile(e.base, name); err != nil {
			return err
		}
	}
	for name, data := range all {
		to := filepath.Join(tmp, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, data, 0o644); err != nil {
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

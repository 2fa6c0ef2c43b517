package record

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// step is called before each change to what a person sees; tests die there.
var step = func(what string) {}

// rename moves a folder; tests have it fail.
var rename = os.Rename

// exchange swaps two folders in one step where the system can; tests take it
// away.
var exchange = systemExchange

// swap puts the folder fresh in the place of dir and clears away what was
// there. Where the system cannot exchange two folders in one step there is a
// moment between two renames in which none is there; the next run puts the
// old one back ([restore]).
func swap(fresh, dir string) error {
	parent, name := filepath.Split(dir)
	if _, err := os.Lstat(dir); errors.Is(err, os.ErrNotExist) {
		step("put in place")
		if err := rename(fresh, dir); err != nil {
			return err
		}
		syncFolder(parent)
		return nil
	}
	step("exchange")
	err := exchange(fresh, dir)
	if err == nil {
		syncFolder(parent)
		step("clear")
		remove(fresh) // which is now the old one
		return nil
	}
	if !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	old := filepath.Join(parent, fmt.Sprintf("%s%d-%s", oldPrefix, os.Getpid(), name))
	step("set aside")
	if err := rename(dir, old); err != nil {
		return err
	}
	step("put in place")
	if err := rename(fresh, dir); err != nil {
		if back := rename(old, dir); back != nil {
			return fmt.Errorf("%w; the earlier results are in %s", err, old)
		}
		return err
	}
	syncFolder(parent)
	step("clear")
	remove(old)
	return nil
}

// cutOld takes the name of a folder that was set aside apart.
func cutOld(entry string) (process, name string, ok bool) {
	rest, ok := strings.CutPrefix(entry, oldPrefix)
	if !ok {
		return "", "", false
	}
	process, name, ok = strings.Cut(rest, "-")
	return process, name, ok
}

// restore puts a folder back that a run which died had set aside.
func restore(dir string) {
	if _, err := os.Lstat(dir); !errors.Is(err, os.ErrNotExist) {
		return
	}
	parent := filepath.Dir(dir)
	entries, err := os.ReadDir(parent)
	if err != nil {
		return
	}
	for _, e := range entries {
		if _, name, ok := cutOld(e.Name()); ok && name == filepath.Base(dir) && e.IsDir() && left(e) {
			rename(filepath.Join(parent, e.Name()), dir)
			return
		}
	}
}

// remove takes away the files that a folder's manifest lists and then the
// folders that are empty: what is not ours stays, whatever happened.
func remove(dir string) {
	m, err := readManifest(dir)
	if err != nil || m == nil {
		os.Remove(dir) // goes only if it is empty
		return
	}
	folders := []string{}
	for _, f := range m.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if same, err := f.is(path); err == nil && same {
			os.Remove(path)
		}
		for sub := filepath.Dir(path); within(dir, sub) && sub != dir; sub = filepath.Dir(sub) {
			if !slices.Contains(folders, sub) {
				folders = append(folders, sub)
			}
		}
	}
	slices.SortFunc(folders, func(a, b string) int { return len(b) - len(a) })
	for _, sub := range append(folders, dir) {
		for _, name := range systemFiles {
			os.Remove(filepath.Join(sub, name))
		}
		if sub == dir {
			os.Remove(filepath.Join(dir, ManifestName))
		}
		os.Remove(sub)
	}
}

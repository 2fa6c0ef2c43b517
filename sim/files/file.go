package files

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode/utf8"
)

// The stated limits of size: a hundred years of hourly sun is 40 MB.
const (
	maxDocumentBytes = 256 << 10
	MaxTableBytes    = 64 << 20
)

// Folder is one reading of one folder: its files and all that is wrong with
// them.
type Folder struct {
	fsys     fs.FS
	Problems Problems
	Changes  []Change // what was set otherwise than the files have it
	Notes    []string // how something was read that could have been read otherwise

	rowSettings []RowSetting
}

// New begins the reading of a folder.
func New(fsys fs.FS) *Folder { return &Folder{fsys: fsys} }

// Tell keeps a problem.
func (in *Folder) Tell(p Problem) { in.Problems = append(in.Problems, p) }

// Read returns the whole content of a file of the folder, or tells what keeps
// it from being read. A file is looked at before it is opened: only regular
// files of a sane size are.
func (in *Folder) Read(name string, limit int64, at Problem, missing string) ([]byte, bool) {
	fail := func(hint, format string, args ...any) ([]byte, bool) {
		at.What, at.Hint = at.What+fmt.Sprintf(format, args...), hint
		in.Tell(at)
		return nil, false
	}
	info, err := fs.Stat(in.fsys, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fail(missing, "is missing")
	case errors.Is(err, fs.ErrPermission):
		return fail("see who owns it and who may read it", "may not be read")
	case err != nil:
		return fail("", "cannot be read: %s", PlainCause(err))
	case info.IsDir():
		return fail("it has to be a file", "is a folder")
	case !info.Mode().IsRegular():
		return fail("devices, pipes and links to them are not read", "is no regular file")
	case info.Size() > limit:
		return fail(fmt.Sprintf("the limit is %s; is it the right file?", sizeText(limit)), "has %s", sizeText(info.Size()))
	case info.Size() == 0:
		return fail(missing, "is empty")
	}
	f, err := in.fsys.Open(name)
	if err != nil {
		if errors.Is(err, fs.ErrPermission) {
			return fail("see who owns it and who may read it", "may not be read")
		}
		return fail("", "cannot be read: %s", PlainCause(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return fail("", "cannot be read: %s", PlainCause(err))
	}
	if int64(len(data)) > limit {
		return fail(fmt.Sprintf("the limit is %s; does something still write to it?", sizeText(limit)), "grew while it was read")
	}
	if what, hint := notText(data); what != "" {
		return fail(hint, "%s", what)
	}
	return bytes.TrimPrefix(data, []byte("\ufeff")), true
}

// notText tells when data are no UTF-8 text.
func notText(data []byte) (what, hint string) {
	const save = "save it as UTF-8 (in a spreadsheet: \"CSV UTF-8\")"
	head := data[:min(len(data), 4096)]
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return "is UTF-16 text", save
	case bytes.Count(head, []byte{0})*3 > len(head):
		return "looks like UTF-16 text", save
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "is a spreadsheet or a zip archive, not text", "export the sheet as CSV UTF-8"
	case bytes.IndexByte(data, 0) >= 0:
		return "is not text: it has zero bytes", save
	case !utf8.Valid(data):
		line := 1
		for rest := data; len(rest) > 0; {
			r, n := utf8.DecodeRune(rest)
			if r == utf8.RuneError && n == 1 {
				break
			}
			if r == '\n' {
				line++
			}
			rest = rest[n:]
		}
		return fmt.Sprintf("is not UTF-8 text: line %d has a letter in another encoding", line), save
	}
	return "", ""
}

func sizeText(n int64) string {
	switch {
	case n >= 10<<30:
		return fmt.Sprintf("%d GB", n>>30)
	case n >= 10<<20:
		return fmt.Sprintf("%d MB", n>>20)
	case n >= 10<<10:
		return fmt.Sprintf("%d kB", n>>10)
	}
	return fmt.Sprintf("%d bytes", n)
}

// PlainCause strips the operation and the path from a file error.
func PlainCause(err error) string {
	var pathErr *fs.PathError
	if errors.As(err, &pathErr) {
		return pathErr.Err.Error()
	}
	return err.Error()
}

// inside tells whether a file name stays within the site folder.
func inside(name string) bool {
	return fs.ValidPath(name) && name != "." && !strings.ContainsAny(name, "\\:\x00")
}

// Exists tells whether the folder has something of that name.
func (in *Folder) Exists(name string) bool {
	_, err := fs.Stat(in.fsys, name)
	return !errors.Is(err, fs.ErrNotExist)
}

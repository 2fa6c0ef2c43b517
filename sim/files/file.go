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
	Problems Problems // the first of each file; [Folder.Tidy] counts the others
	Changes  []Change // what was set otherwise than the files have it
	Notes    []string // how something was read that could have been read otherwise

	told         int            // problems, whether kept or not
	kept, untold map[string]int // of each file
	muted        string         // a file whose problems are not kept
	rowSettings  []RowSetting
	cache        *Cache
}

// New begins the reading of a folder.
func New(fsys fs.FS) *Folder {
	return &Folder{fsys: fsys, kept: map[string]int{}, untold: map[string]int{}}
}

// Tell keeps a problem, or counts it where its file has enough of them.
func (in *Folder) Tell(p Problem) {
	in.told++
	if p.File == in.muted {
		return
	}
	if in.full(p.File) {
		in.untold[p.File]++
		return
	}
	in.kept[p.File]++
	in.Problems = append(in.Problems, p)
}

// Told returns how many problems were told so far, whether kept or not.
func (in *Folder) Told() int { return in.told }

// more counts problems of a file that need not be told one by one.
func (in *Folder) more(file string, n int) {
	in.told += n
	in.untold[file] += n
}

// full tells whether a file has so many problems that the next is only counted.
func (in *Folder) full(file string) bool {
	return in.kept[file] >= keptPerFile || len(in.Problems) >= keptInAll
}

// Forget takes back the last problem, which was told of a file.
func (in *Folder) Forget(file string) {
	in.told--
	in.kept[file]--
	in.Problems = in.Problems[:len(in.Problems)-1]
}

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
	data := make([]byte, info.Size()+1) // in one piece: growing would need twice the room
	n, err := io.ReadFull(f, data)
	switch {
	case err == nil:
		return fail("does something still write to it?", "grew while it was read")
	case err != io.ErrUnexpectedEOF && err != io.EOF:
		return fail("", "cannot be read: %s", PlainCause(err))
	}
	data = data[:n]
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
	}
	return oddByte(data)
}

// oddByte finds the first letter of another encoding, or character that shows
// nothing and upsets terminals, charts and spreadsheets.
func oddByte(data []byte) (what, hint string) {
	line, lines := 1, bytes.IndexByte(data, '\n') >= 0
	for i := 0; i < len(data); {
		c := data[i]
		if c >= ' ' && c < 0x7f || c == '\t' {
			i++
			continue
		}
		if c == '\n' {
			line++
			i++
			continue
		}
		r, n := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			return fmt.Sprintf("is not UTF-8 text: line %d has a letter in another encoding", line), "save it as UTF-8 (in a spreadsheet: \"CSV UTF-8\")"
		case r == '\r' && (!lines || i+1 < len(data) && data[i+1] == '\n'): // ends the line
		case Unseen(r):
			return fmt.Sprintf("line %d has a character that is not seen (U+%04X)", line, r), "take it out, or save the file as plain text"
		}
		i += n
	}
	return "", ""
}

// Unseen tells characters that no text of a site may have: controls, marks of
// direction, separators of lines and what is no character at all.
func Unseen(r rune) bool {
	switch {
	case r < ' ', r >= 0x7f && r < 0xa0, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x2028, r == 0x2029, r == 0x061c:
		return true
	}
	return r&0xfffe == 0xfffe || r >= 0xfdd0 && r <= 0xfdef
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

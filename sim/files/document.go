package files

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"sunrill/sim/measure"
)

const (
	maxDepth  = 20 // of tables and lists within each other
	maxLines  = 5000
	maxBreaks = 10 // lines that are no TOML and are told
)

// Document reads and parses a TOML file of the folder; missing is the hint if
// there is none. It returns an empty document and false if it cannot. Where
// some lines are no TOML it returns what the others say, and false: what is
// read from such a [Document.Broken] one serves to look at the other files.
func (in *Folder) Document(file, missing string) (*Document, bool) {
	d := &Document{Folder: in, file: file, tree: map[string]any{}}
	d.Head = &Table{d: d, values: d.tree}
	data, ok := in.Read(file, maxDocumentBytes, Problem{File: file}, missing)
	if !ok {
		return d, false
	}
	if line := longLine(data); line > 0 {
		in.Tell(Problem{File: file, Line: line, What: fmt.Sprintf("the line has more than %d characters", maxLineBytes), Hint: "a line is [table], key = \"text\", key = 12.5, or a # comment"})
		return d, false
	}
	if n := bytes.Count(data, []byte{'\n'}); n > maxLines {
		in.Tell(Problem{File: file, What: fmt.Sprintf("has %d lines, more than %d", n, maxLines), Hint: "records go into files of their own; is it the right file?"})
		return d, false
	}
	if line := deepLine(data); line > 0 {
		in.Tell(Problem{File: file, Line: line, What: "too many brackets or dots within each other", Hint: "a list holds texts, numbers, or pairs of them"})
		return d, false
	}
	d.parse(data)
	return d, !d.Broken
}

// parse reads the document, without those lines that are no TOML.
func (d *Document) parse(data []byte) {
	lines := bytes.SplitAfter(data, []byte{'\n'})
	last := 0 // line that was told last
	for range maxBreaks {
		tree := map[string]any{}
		err := toml.Unmarshal(bytes.Join(lines, nil), &tree)
		if err == nil {
			d.tree, d.Head.values = tree, tree
			d.places = places(bytes.Join(lines, nil))
			return
		}
		d.Broken = true
		line, sure, p := d.breakOf(err, lines)
		// A bracket or a quote that is never closed makes every line behind it
		// no TOML: that is one mistake. A line whose own fault is known is another.
		if line == 0 || line <= last || last > 0 && !sure && emptyBetween(lines, last, line) {
			if last == 0 {
				d.Tell(p)
			}
			return
		}
		d.Tell(p)
		last = line
		lines[line-1] = lineEnd(lines[line-1])
	}
}

// emptyBetween tells whether nothing but comments stands between two lines.
func emptyBetween(lines [][]byte, a, b int) bool {
	for _, l := range lines[a : b-1] {
		if t := bytes.TrimSpace(l); len(t) > 0 && t[0] != '#' {
			return false
		}
	}
	return true
}

func lineEnd(line []byte) []byte {
	if bytes.HasSuffix(line, []byte{'\n'}) {
		return []byte{'\n'}
	}
	return nil
}

var (
	unquoted     = regexp.MustCompile(`^\s*([\w-]+)\s*=\s*([^"'\[\]{}#=]*?[^"'\[\]{}#=\s])\s*(#.*)?$`)
	decimalComma = regexp.MustCompile(`^[+-]?\d+,\d+( \D*)?$`)
	bareValue    = regexp.MustCompile(`^([+-]?[\d_]+(\.[\d_]+)?([eE][+-]?\d+)?|true|false|[+-]?(inf|nan))$`)
)

// breakOf tells where a document is no TOML, and what is likely wrong there; sure
// says that the line itself is.
func (d *Document) breakOf(err error, lines [][]byte) (line int, sure bool, p Problem) {
	p = Problem{File: d.file, What: "is not written as TOML: " + err.Error()}
	var e *toml.DecodeError
	if !errors.As(err, &e) {
		return 0, false, p
	}
	p.Line, p.Column = e.Position()
	p.What = "is not written as TOML here: " + ownWords(strings.TrimPrefix(e.Error(), "toml: "))
	p.Hint = "a line is [table], key = \"text\", key = 12.5, or a # comment; quotes are closed on their line and a key stands once"
	if p.Line < 1 || p.Line > len(lines) {
		return 0, false, p
	}
	text := strings.TrimRight(string(lines[p.Line-1]), "\r\n")
	code, _, _ := strings.Cut(text, "#")
	sure = true
	if m := unquoted.FindStringSubmatch(text); m != nil && !bareValue.MatchString(m[2]) {
		p.What = "the value stands without quotes"
		plain := strings.Trim(measure.Plain(m[2]), `"'`)
		if decimalComma.MatchString(plain) {
			plain = strings.Replace(plain, ",", ".", 1)
			p.What = "a decimal comma"
		}
		if !bareValue.MatchString(plain) {
			plain = `"` + plain + `"`
		}
		p.Hint = fmt.Sprintf("write %s = %s", m[1], plain)
		if o, odd := measure.OddIn(m[2]); odd {
			p.What, p.Hint = o.What(), fmt.Sprintf("%s: %s = %s", o.Cure(), m[1], plain)
		}
	} else if o, odd := measure.OddIn(code); odd {
		p.Column = o.Byte + 1
		p.What, p.Hint = o.What(), o.Cure()
	} else if strings.Contains(p.What, "strings cannot have new lines") {
		p.What, p.Hint = "a quote is opened and not closed on its line", "close it where the text ends"
	} else if strings.Contains(p.What, "after array value") {
		sure = false
		p.What, p.Hint = "a list is not closed, here or on a line above", "close it by ]; its values are separated by commas"
	} else if strings.Contains(p.What, "to close table name") {
		p.What, p.Hint = "the name of a table is not closed", "write "+strings.TrimSpace(code)+"]"
	} else {
		sure = false
	}
	return p.Line, sure, p
}

// deepLine returns the first line that has brackets too deep within each other,
// or too many dots in a key; 0 if none has. Brackets in texts count: nobody
// writes so many.
func deepLine(data []byte) int {
	depth, dots, line := 0, 0, 1
	for _, c := range data {
		switch c {
		case '\n':
			line++
			dots = 0
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(0, depth-1)
		case '.':
			dots++
		case ' ', '=', '"', '#', ',':
			dots = 0
		}
		if depth > maxDepth || dots > maxDepth {
			return line
		}
	}
	return 0
}

package files

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// EditTOML returns a document with settings written into its text: a value
// that stands there is replaced where it stands, a new one is put at the end of
// its table, an empty one takes its line out. Comments, order and everything
// else stay byte for byte. It refuses what it cannot write without touching
// more than that; the caller reads the outcome again before it trusts it.
func EditTOML(document []byte, settings []Setting) ([]byte, error) {
	for _, s := range settings {
		var err error
		if document, err = editOne(document, s); err != nil {
			return nil, fmt.Errorf("%s: %w", s.Key, err)
		}
	}
	return document, nil
}

func editOne(document []byte, s Setting) ([]byte, error) {
	tree := map[string]any{}
	if err := toml.Unmarshal(document, &tree); err != nil {
		return nil, err
	}
	found := places(document)
	value := parseValue(s.Value)
	parts := s.Path()
	at := "" // path of the table, entries of lists by their number
	var here any = tree
	for len(parts) > 1 {
		switch next := child(here, parts[0]).(type) {
		case map[string]any:
			at, here, parts = JoinPath(at, parts[0]), next, parts[1:]
			continue
		case []any:
			i, rest, hint := pick(next, parts[1:])
			if i < 0 || len(rest) == 0 {
				return nil, fmt.Errorf("has to be written by hand (%s)", hint)
			}
			at, here, parts = JoinPath(JoinPath(at, parts[0]), strconv.Itoa(i)), next[i], rest
			continue
		case nil:
			if at != "" || len(parts) != 2 {
				return nil, fmt.Errorf("has to be written by hand: there is no such table")
			}
			if value == nil {
				return document, nil
			}
			return fmt.Appendf(closed(document), "\n[%s]\n%s = %s\n", parts[0], parts[1], show(value)), nil
		default:
			return nil, fmt.Errorf("%s is a value, not a table", parts[0])
		}
	}
	key := JoinPath(at, parts[0])
	if place, ok := found[key]; ok && place.line > 0 {
		from, to, err := valueSpan(document, place)
		if err != nil {
			return nil, err
		}
		if value == nil {
			lineFrom, lineTo := bytes.LastIndexByte(document[:from], '\n')+1, to
			if i := bytes.IndexByte(document[to:], '\n'); i >= 0 {
				lineTo = to + i + 1
			} else {
				lineTo = len(document)
			}
			return slices.Concat(document[:lineFrom], document[lineTo:]), nil
		}
		return slices.Concat(document[:from], []byte(show(value)), document[to:]), nil
	}
	if value == nil {
		return document, nil
	}
	end, err := tableEnd(document, at, found)
	if err != nil {
		return nil, err
	}
	head := closed(slices.Clone(document[:end]))
	return slices.Concat(head, fmt.Appendf(nil, "%s = %s\n", parts[0], show(value)), document[end:]), nil
}

func child(v any, key string) any {
	if table, ok := v.(map[string]any); ok {
		return table[key]
	}
	return nil
}

// closed returns text that ends in a line's end.
func closed(text []byte) []byte {
	if n := len(text); n > 0 && text[n-1] != '\n' {
		return append(text, '\n')
	}
	return text
}

// offsetOf turns line and column into an offset.
func offsetOf(document []byte, line, column int) int {
	at := 0
	for range line - 1 {
		at += bytes.IndexByte(document[at:], '\n') + 1
	}
	return at + column - 1
}

// valueSpan returns where the value of a key begins and ends.
func valueSpan(document []byte, p place) (from, to int, err error) {
	from = offsetOf(document, p.line, p.column)
	equals := bytes.IndexByte(document[from:], '=')
	if end := bytes.IndexByte(document[from:], '\n'); equals < 0 || end >= 0 && end < equals {
		return 0, 0, fmt.Errorf("stands in the file in a way that has to be changed by hand")
	}
	from += equals + 1
	for from < len(document) && (document[from] == ' ' || document[from] == '\t') {
		from++
	}
	to = from
	depth := 0
	for to < len(document) {
		switch c := document[to]; {
		case c == '"' || c == '\'':
			if bytes.HasPrefix(document[to:], bytes.Repeat([]byte{c}, 3)) {
				return 0, 0, fmt.Errorf("is a text over several lines, to be changed by hand")
			}
			to++
			for to < len(document) && document[to] != c && document[to] != '\n' {
				if c == '"' && document[to] == '\\' {
					to++
				}
				to++
			}
			to++
		case c == '[' || c == '{':
			depth++
			to++
		case c == ']' || c == '}':
			if depth == 0 {
				return from, to, nil
			}
			depth--
			to++
		case c == '#' && depth > 0: // a comment within a list
			return 0, 0, fmt.Errorf("is a list with comments in it, to be changed by hand")
		case depth == 0 && (c == '\n' || c == '\r' || c == '#' || c == ','):
			return from, from + len(bytes.TrimRight(document[from:to], " \t")), nil
		default:
			to++
		}
		if to > len(document) {
			break
		}
	}
	return from, from + len(bytes.TrimRight(document[from:min(to, len(document))], " \t")), nil
}

// tableEnd returns where a new key of a table goes: behind its last value.
func tableEnd(document []byte, at string, found map[string]place) (int, error) {
	last, header := place{}, found[at]
	for path, p := range found {
		rest, inside := strings.CutPrefix(path, at+".")
		if at == "" {
			rest, inside = path, true
		}
		if inside && !strings.Contains(rest, ".") && p.line > last.line {
			if at == "" && strings.HasPrefix(strings.TrimSpace(lineAt(document, p.line)), "[") {
				continue // a table, not a value of the top
			}
			if strings.HasPrefix(strings.TrimSpace(lineAt(document, p.line)), "[") {
				continue
			}
			last = p
		}
	}
	if last.line == 0 {
		if at == "" {
			return 0, nil
		}
		if header.line == 0 {
			return 0, fmt.Errorf("its table is not in the file")
		}
		last = header
	} else if _, to, err := valueSpan(document, last); err == nil {
		if i := bytes.IndexByte(document[to:], '\n'); i >= 0 {
			return to + i + 1, nil
		}
		return len(document), nil
	}
	at0 := offsetOf(document, last.line, 1)
	if i := bytes.IndexByte(document[at0:], '\n'); i >= 0 {
		return at0 + i + 1, nil
	}
	return len(document), nil
}

func lineAt(document []byte, line int) string {
	from := offsetOf(document, line, 1)
	text, _, _ := strings.Cut(string(document[from:]), "\n")
	return text
}

// EditRow returns a CSV table with one cell set, in the row whose cell in the
// column "name" is name, and the text of that row before and after. The other
// lines stay byte for byte.
func EditRow(table []byte, name, column, value string) (edited []byte, was, is string, err error) {
	separator, header, err := Header(bytes.TrimPrefix(table, []byte("\ufeff")))
	if err != nil {
		return nil, "", "", err
	}
	names, at := slices.Index(header, "name"), slices.Index(header, column)
	if names < 0 || at < 0 {
		return nil, "", "", fmt.Errorf("the table has no column %q: add it by hand", column)
	}
	if text, ok := parseValue(value).(string); ok {
		value = text
	}
	if separator == ';' {
		if _, err := strconv.ParseFloat(value, 64); err == nil {
			value = strings.Replace(value, ".", ",", 1)
		}
	}
	lines := bytes.SplitAfter(table, []byte("\n"))
	for i, line := range lines {
		body := bytes.TrimRight(line, "\r\n")
		r := csv.NewReader(bytes.NewReader(body))
		r.Comma, r.FieldsPerRecord = separator, -1
		cells, err := r.Read()
		if err != nil || len(cells) <= max(names, at) || !strings.EqualFold(strings.TrimSpace(cells[names]), name) {
			continue
		}
		cells[at] = value
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = separator
		w.Write(cells) // a bytes.Buffer takes all
		w.Flush()
		now := bytes.TrimRight(b.Bytes(), "\n")
		lines[i] = slices.Concat(now, line[len(body):])
		return bytes.Join(lines, nil), string(body), string(now), nil
	}
	return nil, "", "", fmt.Errorf("there is no row %q", name)
}

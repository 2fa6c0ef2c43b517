package files

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Problem is one thing that is wrong with a site folder.
type Problem struct {
	File   string // name inside the folder; empty: the folder itself
	Line   int    // from 1; 0: the problem has no line
	Column int    // from 1; 0: the problem has no column
	What   string // "bank.floor: \"120 %\" is outside 0 % to 95 %"
	Hint   string // how to put it right; may be empty
}

// String gives file, line, column and cause on one line, the cure on the next.
func (p Problem) String() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File)
		if p.Line > 0 {
			fmt.Fprintf(&b, ":%d", p.Line)
			if p.Column > 0 {
				fmt.Fprintf(&b, ":%d", p.Column)
			}
		}
		b.WriteString(": ")
	}
	b.WriteString(p.What)
	if p.Hint != "" {
		b.WriteString("\n    " + p.Hint)
	}
	return b.String()
}

// Problems is all that is wrong with a site folder, in the order of its files.
type Problems []Problem

// Error gives every problem, one after the other.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// A record with ten thousand bad rows has one cause: only so many problems of
// a file are told in full, and only so many kept to choose them from, since a
// later look at a file may find what stands further up.
const (
	problemsPerFile = 20
	keptPerFile     = 100
	keptInAll       = 1000
)

// Tidy returns the problems of all files in the order of file and place, with
// long lists cut short.
func (in *Folder) Tidy() Problems {
	ps := slices.Clone(in.Problems)
	order := map[string]int{}
	for _, p := range ps {
		if _, ok := order[p.File]; !ok {
			order[p.File] = len(order)
		}
	}
	for _, file := range slices.Sorted(maps.Keys(in.untold)) {
		if _, ok := order[file]; !ok {
			order[file] = len(order)
			ps = append(ps, Problem{File: file})
		}
	}
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(order[a.File], order[b.File]), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	var out Problems
	for i := 0; i < len(ps); {
		file := ps[i].File
		j := i
		for j < len(ps) && ps[j].File == file {
			j++
		}
		more := in.untold[file]
		if ps[i].What == "" { // none was kept
			j--
		}
		if n := j - i; n > problemsPerFile {
			more += n - problemsPerFile
			out = append(out, ps[i:i+problemsPerFile]...)
		} else {
			out = append(out, ps[i:j]...)
		}
		if more > 0 {
			out = append(out, Problem{File: file, What: fmt.Sprintf("%d more problems in this file; mend the first ones and look again", more)})
		}
		for i < len(ps) && ps[i].File == file {
			i++
		}
	}
	return out
}

// Nearest returns the known word that is closest to word, or "" if none is
// near enough to be meant.
func Nearest(word string, known []string) string {
	if len([]rune(word)) > 40 {
		return "" // no misspelling
	}
	best, bestDistance := "", 1+max(1, len([]rune(word))/3)
	for _, k := range known {
		if d := editDistance(strings.ToLower(word), strings.ToLower(k)); d < bestDistance {
			best, bestDistance = k, d
		}
	}
	for _, k := range known {
		if best == "" && (len(k) >= 4 && strings.Contains(word, k) || len(word) >= 3 && strings.Contains(k, word)) {
			best = k
		}
	}
	return best
}

// DidYouMean returns a hint that names the nearest known word, else all of
// them.
func DidYouMean(word string, known []string) string {
	if n := Nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(known) == 0 {
		return ""
	}
	return "known here: " + strings.Join(known, ", ")
}

// editDistance is the least number of letters to put in, take out, change or
// swap with a neighbour that makes b of a.
func editDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	if len(s) > 64 || len(t) > 64 {
		return 64
	}
	before, row, next := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(s); i++ {
		next[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			next[j] = min(row[j]+1, next[j-1]+1, row[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, row, next = row, next, before
	}
	return row[len(t)]
}

package files

import "strings"

// Column is a column that a CSV file may have. Columns with the same choice
// say the same in different units: a file has one of them.
type Column struct {
	name   string
	choice string
	need   bool
}

// Columns are the columns that a CSV file may have, built up by its methods.
type Columns struct {
	list    []Column
	maximum int    // rows; 0: maxRows
	why     string // the cure where there are more
}

// maxRows is the most that any table holds: more than a hundred years of
// hours.
const maxRows = 1_100_000

// Must adds columns that have to be there.
func (c Columns) Must(names ...string) Columns { return c.add(names, "", true) }

// May adds columns that may be left out.
func (c Columns) May(names ...string) Columns { return c.add(names, "", false) }

// OneOf adds columns that say the same in different units: one has to be there.
func (c Columns) OneOf(names ...string) Columns { return c.add(names, names[0], true) }

// MayOneOf adds columns that say the same in different units: one may be there.
func (c Columns) MayOneOf(names ...string) Columns { return c.add(names, names[0], false) }

// Most sets how many rows the file may have at most, and what to do where it
// has more.
func (c Columns) Most(rows int, cure string) Columns {
	c.maximum, c.why = rows, cure
	return c
}

func (c Columns) add(names []string, choice string, need bool) Columns {
	c.list = c.list[:len(c.list):len(c.list)]
	for _, n := range names {
		c.list = append(c.list, Column{n, choice, need})
	}
	return c
}

// limit is the most rows that are read.
func (c Columns) limit() int {
	if c.maximum > 0 {
		return c.maximum
	}
	return maxRows
}

// names returns the names of all columns.
func (c Columns) names() []string {
	names := make([]string, len(c.list))
	for i, col := range c.list {
		names[i] = col.name
	}
	return names
}

// Text lists the columns for a message.
func (c Columns) Text() string { return strings.Join(c.names(), ", ") }

// choices returns the columns that say the same in different units.
func (c Columns) choices(choice string) (names []string) {
	for _, col := range c.list {
		if col.choice == choice {
			names = append(names, col.name)
		}
	}
	return names
}

// needs tells whether a column has to be there.
func (c Columns) needs(name string) bool {
	for _, col := range c.list {
		if col.name == name {
			return col.need
		}
	}
	return false
}

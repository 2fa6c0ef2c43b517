package files

import (
	"bytes"
	"reflect"
	"slices"
	"sync"
)

// Cache keeps the tables that were read, for whoever reads the same folder many
// times with other settings: a table whose bytes are the same, and which had no
// fault, is not decoded again. The zero value is ready; it may be used from
// several goroutines.
type Cache struct {
	mu     sync.Mutex
	tables map[cacheKey]*cachedTable
}

type cacheKey struct {
	file string
	rows reflect.Type
}

type cachedTable struct {
	data  []byte
	rows  any
	sheet *Sheet
}

// Using has a reading use a cache; nil is none.
func (in *Folder) Using(c *Cache) *Folder {
	in.cache = c
	return in
}

// cached returns the rows of a table that was read before. They may be changed;
// the sheet tells problems to this reading.
func cached[T any](in *Folder, file string, data []byte) (rows []T, s *Sheet, ok bool) {
	if !in.caches(file) {
		return nil, nil, false
	}
	in.cache.mu.Lock()
	t := in.cache.tables[cacheKey{file, reflect.TypeFor[T]()}]
	in.cache.mu.Unlock()
	if t == nil || !bytes.Equal(t.data, data) {
		return nil, nil, false
	}
	own := *t.sheet
	own.in = in
	return slices.Clone(t.rows.([]T)), &own, true
}

func keep[T any](in *Folder, file string, data []byte, rows []T, s *Sheet) {
	if !in.caches(file) {
		return
	}
	in.cache.mu.Lock()
	defer in.cache.mu.Unlock()
	if in.cache.tables == nil {
		in.cache.tables = map[cacheKey]*cachedTable{}
	}
	in.cache.tables[cacheKey{file, reflect.TypeFor[T]()}] = &cachedTable{data, slices.Clone(rows), s}
}

// caches tells whether a file's table may be kept: one in which cells are set
// is not that of the file.
func (in *Folder) caches(file string) bool {
	return in.cache != nil && !slices.ContainsFunc(in.rowSettings, func(s RowSetting) bool { return s.File == file })
}

// Package changeover finds the days on which to open the valve in autumn and
// to close it in spring.
package changeover

// Package site reads a site folder: the description of a homestead off the
// grid as its owner writes it, in a text editor and a spreadsheet.
//
// [Load] turns the folder into a [Site]: every value checked, in SI units,
// with defaults filled in and told. [Demo] gives the homestead that is built
// in. [WriteNew] lays a folder to start from.
//
// All checking of input happens here, and all of it at once: what is wrong
// comes back as [Problems], each with file, line and column, the cause and
// the cure. What is odd but valid goes to [Site.Warnings].
//
// # Quantities
//
// A value with a unit is a string such as "48 m", "22 gal/min" or
// "2 gauge AWG". Angles are kept in degrees, shares as 0 to 1, temperatures in
// °C. A bare number where a unit is needed is an error. sim/files reads the
// tables and cells, sim/measure knows the units.
package site

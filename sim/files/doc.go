// Package files reads what a person wrote in a text editor or a spreadsheet:
// tables of a TOML document, rows of CSV files, and the cells and quantities in
// them. It knows nothing of homesteads; sim/site holds the checks of a site.
//
// A [Folder] is one reading of one folder. It collects all that is wrong as
// [Problems], each with file, line and column, the cause and the cure.
// [Folder.Document] reads a TOML file; its [Table]s give values by their key,
// hold them to a range, fill in a default and remember which keys they were
// asked for, so that the others are told. [Rows] reads a CSV file into structs
// whose fields are cells ([Number], [Maybe], [Day], [Hour] or text); it finds
// the separator, keeps true line numbers and refuses what it cannot read for
// certain.
//
// A file is read whole, after a look at its kind and size: devices, pipes and
// files above a stated limit are refused. Quantities parse to SI by
// sim/measure.
package files

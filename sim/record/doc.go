// Package record writes the result files of a run.
//
// A command opens a [Folder], writes its files into it and commits them: all
// of them appear whole or not at all. [Year] writes the files of one simulated
// year: summary.json, hours.csv, days.csv, months.csv and deficits.csv.
//
// CSV files have a header row, commas, a dot in decimal numbers and the unit
// at the end of each column's name; times are the site's standard time.
package record

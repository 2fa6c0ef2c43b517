// Package gather turns records as they come, from a spreadsheet, a weather
// service or a meter, into the CSV files of a site folder.
//
// [Read] does it in these steps, each in a file of its own: bytes to text
// (decode.go), text to rows of cells (cells.go), or one of the public formats
// with a layout of its own (ghcn.go, epw.go, tmy3.go); cells to columns of
// known meaning (shape.go, columns.go), dates (stamp.go) and numbers
// (number.go); units by evidence (units.go); then a row a day or an hour, with
// all files joined (days.go, hours.go), and the file (write.go).
//
// # Nothing is guessed silently
//
// What a file does not say is decided by evidence: a 13 in the first place of a
// date, the unit in a header, the size of a year's sum. The evidence is kept as
// a [Finding], for a person to read. Where it does not suffice there is a
// problem that names the setting that decides.
//
// # Missing is not dry
//
// A blank, an M or a mark such as -9999 makes a gap, never a 0. A trace (T)
// counts 0 and is noted. The total of several days is spread evenly over them,
// the day of the reading included, and each of these days is noted.
//
// # Sources
//
//   - [GHCN] NOAA, Global Historical Climatology Network daily, readme.txt: the
//     layout of .dly files and of the CSV files by year and by station.
//   - [EPW] EnergyPlus weather file: 8 header lines, then 35 fields an hour.
//   - [TMY3] S. Wilcox and W. Marion, Users Manual for TMY3 Data Sets,
//     NREL/TP-581-43156, 2008, table 1-2 and 1-3.
package gather

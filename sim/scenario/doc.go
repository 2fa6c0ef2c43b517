// Package scenario answers what a dry winter does to the house.
//
// [DryWinter] runs a homestead through its record as it is, through the record
// with more or less rain or with its seasons put off, and through many years
// made up from the record ([weather.Generator]), each with and without hydro, and
// gives the [Result].
//
// The package knows no site: a [Homestead] stands for it, whose workers turn
// weather into hourly series. Memory does not grow with the number of years:
// of each year only its counts are kept.
//
// # What is put off, and what stays
//
// Rain × a factor multiplies each day's rain. A season put off by some weeks
// brings the same rain so much later, every day of the record alike. Sun and
// stream follow the rain; the sun's height, the length of the day and the mean
// warmth of the season stay with the calendar. See [weather.Scaled] and
// [weather.Later].
//
// # Shares of years
//
// The 1-in-5 year (p80) is the smallest number of hours that at least 80 % of
// the years stay at or below; so is the 1-in-20 year (p95) with 95 %, and the
// median (p50) with 50 %. Few years make neither sure: beside the 1-in-5 and the
// worst year stands where they come out in 8 of 10 sets of as many years, drawn
// again from the same ([sim.CountedRange]).
//
// # Do the synthetic years fit
//
// What a house feels of the record's years (unmet hours, the deepest deficit, days
// below the smallest set) is laid beside the synthetic ones ([Beside]), with where
// it comes out in 19 of 20 sets of as many synthetic years as the record has. Where
// the record lies outside of that, the synthetic years do not fit the place, and the
// verdict goes by the record.
package scenario

// Package sim runs the hourly year on the bus: series in, balance out.
//
// [Run] takes the hourly [Input] of one year and the [Bus] that it meets and
// gives the [Year]: what was served, stored, thrown away and missed in each
// hour, with the energy balance checked. [Bus.Span] does the same hours without
// keeping them, for studies that need only the [Tally]; [Tallies] does a whole
// year for each of many banks. [Summarize] reads the headline figures from a
// year, [Spells] the deficit spells, [CompareMeter] lays a log beside it.
//
// Studies run the [Years] of a homestead side by side, under one or several
// draws, some of them as a [Variant] has them; a [Spread] tells how a result
// lies over years.
//
// # The hour
//
// A [Source] is either throttled, as panels are, or comes all the same, as hydro
// does; the hour below says hydro and panels for all that is treated like them.
// Hydro, then panels, feed the firm demand. What is left charges the bank,
// hydro first because panels can be held back; then flexible loads take their
// part; then hydro goes to the dump load up to its rating, and what is beyond
// makes a hazard hour. Panels left over are curtailed. If sources fall short,
// the bank gives, then the generator, and the rest is unmet. A generator that
// runs already goes before the bank and charges it with what it has left. The
// loop over the hours is in hours.go, and reference_test.go is the plain formula
// that it is held to.
//
// The energy balance is checked in every hour of [Run]: what came onto the bus left
// it, what was asked was served or missed, and the bank holds what it held and
// took less what it gave and lost, all to 1e-9 of the hour's throughput.
//
// Flexible loads never touch the bank: what they are served would have been
// thrown away. Those with a need a day come before those with a need a week; a
// day's need begins anew at midnight, a week's every 7 days from the start.
//
// Powers are means over the hour, in W; stocks are those at its end, in Wh.
// Every power is at the bus and none is negative.
//
// # Not modelled
//
// What happens within an hour: a kettle of ten minutes counts with its mean.
package sim

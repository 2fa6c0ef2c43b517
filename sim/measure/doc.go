// Package measure turns what a person writes into SI numbers, and SI numbers
// into what a person reads: each unit stands here and nowhere else.
//
// A [Measure], such as [Lengths] or [Flows], is a kind of quantity; it parses
// "48 m", "22 gal/min" or "2 gauge AWG" to SI and tells the units that it
// takes. A [System] is passed to whatever prints: its methods take SI numbers
// and return text in metric or in US units, with few digits and always with
// the unit. Where a chart or a table needs the number and the unit apart, the
// Axis methods ([System.FlowAxis] and the like) give a [Scale].
package measure

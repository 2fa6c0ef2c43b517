// Package measure writes SI numbers as a person reads them: in metric or in
// US units, with few digits and always with the unit.
//
// A [System] is passed to whatever prints; its methods take SI numbers and
// return text. Where a chart or a table needs the number and the unit apart,
// the Axis methods ([System.FlowAxis] and the like) give a [Scale].
package measure

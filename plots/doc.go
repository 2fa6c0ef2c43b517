// Package plots draws the charts: numbers in, pictures out.
//
// Each chart is one function in one file. It takes plain numbers and slices
// and returns a [Chart]: a title that says what is seen, a caption for the
// household, a text for those who cannot see it, and the drawing. No chart
// function reads or writes a file; [Chart.Save] and [Chart.SVG] do that for
// all of them. A plot starts as [New], gets its time axis from [YearAxis],
// is filled with marks ([Line], [Band], [Bars], [Rule], [Points], [Heat]), and
// is explained by the entries of [Chart.Legend], which stand above the data and
// never on it.
//
// # Units
//
// Chart functions take what their arguments' names say (W, Wh, m³/s, mm). Time
// along a year is counted in days from the year's start, so 0.5 is noon of the
// first day. Lengths on paper are [vg.Length]; one unit of an SVG is a point.
//
// # Colours
//
// One colour means one thing in every chart; [Quantity] holds the table. The
// colours are those of Okabe and Ito (with black and the grey beside it), which
// people with the common kinds of colour blindness tell apart. A dash, a hatch
// or a mark goes with each, so that a photocopy still reads.
//
// # Sources
//
//   - [Okabe] M. Okabe and K. Ito, Color Universal Design: how to make figures
//     and presentations that are friendly to colorblind people, 2002, rev. 2008.
package plots

// Package report writes the HTML page: one file that opens from disk, is read
// on a phone and prints on paper.
//
// A [Page] holds the verdict, sections of text, figures and tables, cautions,
// assumptions and what was not modelled; [Write] draws the figures side by
// side and writes the page. [Year] turns one simulated year into such
// sections; the studies have functions of their own, and the book of a site
// is the sections of all of them on one page.
//
// The page needs no script and asks for nothing over a network: charts are
// inline SVG, the style sheet is inside. Words are those of a household; the
// bad news comes first.
//
// # Units
//
// Results come in SI (W, Wh, m³/s, mm) and are printed in the household's
// units by package measure.
package report

// Package sizing answers how big the bank and the panels must be.
//
// [Study] runs every water year of a record on banks of many sizes and gives
// the [Result]: unmet hours against capacity ([Point]), the smallest bank that
// keeps to a number of unmet hours in four years of five, the deficit spells
// of all years ([Spell]) and the bank that leaves none. [Arrays] does the same
// over panels and banks together. The rules of thumb that tradespeople use
// ([Autonomy], [PanelSheet], [BankAh]) stand beside them, for a second opinion.
//
// # Units and signs
//
// Powers are in W at the bus, energies in Wh, times in hours or days. A deficit
// is positive.
//
// "In four years of five" is the number that the given share of the years
// stays at or below: of 4, 5 or 10 years the fourth, fourth or eighth
// smallest. It is never a number between two years.
//
// # Not modelled
//
// Banks of other sizes are more of the same: power limits grow with capacity,
// voltage and chemistry stay.
//
// # Sources
//
//   - [Rippl] W. Rippl, The capacity of storage-reservoirs for water supply,
//     Minutes of Proceedings of the Institution of Civil Engineers 71, 1883,
//     270–278: the mass curve. Its reckoning step by step is the sequent-peak
//     procedure of H. A. Thomas and M. B. Fiering, as the books on water
//     resources give it.
//   - [IEEE 1013] IEEE Std 1013, recommended practice for sizing lead-acid
//     batteries for stand-alone photovoltaic systems: as quoted in public
//     teaching material; the standard itself was not at hand.
package sizing

// Package storage models the battery bank and its wear.
//
// A [Bank] is plain numbers. [Preset] fills one in from the table of
// chemistries, whose rows hold all that is told apart by the kind of cells; [Bank.Scaled] makes a bigger or smaller one of the same kind.
// What a bank takes and gives in an hour follows one of two models: the
// bucket, one store with efficiencies and limits, and the two wells of the
// kinetic model ([Kinetic]), whose bound charge comes only slowly. Package sim
// runs them over the year. Afterwards [Rainflow] counts the cycles that the
// bank has seen and [Bank.Wear] tells what they cost it.
//
// # Units and signs
//
// Energies are in Wh. What is stored counts inside the bank; powers and what
// goes in or comes out count at the bus, with the bank's efficiencies between
// the two. SoC is stored energy as a share, 0 to 1, of the rated capacity at
// 25 °C.
//
// # Cold
//
// A cold bank keeps its charge but cannot give all of it: the floor rises so
// that the usable part shrinks to the share that the temperature leaves
// ([Bank.FloorAt]). Warming brings the charge back. A bank warmer than 25 °C
// is given no more than its rating. Some cells take less charge in the cold, or
// none ([Bank.ChargeLimitAt]). The bank is as warm as the air or
// the room about it.
//
// # Not modelled
//
// Voltage under load, heating by its own current, equalising charges, cells
// that differ, fading within the year. A household cannot measure what they
// need.
//
// # Sources
//
//   - [MM] J. F. Manwell, J. G. McGowan, Lead acid battery storage model for
//     hybrid energy systems, Solar Energy 50 (1993) 399-405.
//   - [ASTM] ASTM E1049-85, Standard practices for cycle counting in fatigue
//     analysis, section 5.4.4.
//   - [Murphy] T. W. Murphy, Blow-by-blow PV system efficiency: a case study
//     for storage, 2012-09-18, and Death of a battery, 2012-12-11: a measured
//     off-grid house.
//   - [Peukert] t = H (C/(I H))^n; exponents n of 1.2 to 1.6 for flooded and
//     1.05 to 1.15 for absorbed-glass cells as a public calculator gives them.
//     The presets' wells are fitted to it.
//   - [EN50272] EN 50272-2 and -3 (now IEC 62485), Safety requirements for
//     secondary batteries, ventilation; as quoted by a battery maker.
package storage

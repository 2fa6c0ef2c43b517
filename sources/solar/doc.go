// Package solar turns hourly sunshine into panel power at the bus.
//
// The chain is: what an array sees of the sun's way through a year and of the
// sky behind its hills, once per array and length of year ([NewView]); radiation
// on the panels ([View.Irradiance]); power at the bus ([View.Power]). [BestTilt]
// searches the fixed tilt that gathers most.
//
// # Units and signs
//
// W and W/m² are hourly means. Tilt is 0 flat to 90 upright; azimuths and bearings
// are compass degrees, 0 north, 90 east, in both hemispheres. A temperature
// coefficient is a share per K, negative.
//
// # Not modelled
//
// Rows that shade each other, shade on part of a string (a sample of sun is
// either clear of the hills or hidden), wind on the cells, spectrum, snow on the
// panels, ageing. The hills themselves are dark: they hide sky and give no
// light.
//
// # Sources
//
//   - [HD] J. Hay, J. Davies, Calculation of the solar radiation incident on an
//     inclined surface, First Canadian Solar Radiation Data Workshop, 1980.
//   - [Souka] A. Souka, H. Safwat, Determination of the optimum orientations for
//     the double-exposure flat-plate collector and its reflectors, Solar Energy
//     10, 1966; the incidence law that ASHRAE adopted, b0 = 0.05.
//   - [Meeus] J. Meeus, Astronomical Algorithms, 2nd ed., Willmann-Bell 1998,
//     chapter 16; the formula from memory.
//   - [NOCT] nominal operating cell temperature: cell temperature at 800 W/m²,
//     20 °C, 1 m/s, open rack and circuit; common practice since the flat-plate
//     module tests of the 1970s.
package solar

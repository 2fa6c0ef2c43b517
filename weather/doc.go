// Package weather turns a place, its daily rain and temperature and a table of
// sun hours into hourly sunshine and air temperature.
//
// The chain is: the sun's way through a year, once per place and length of year
// ([NewTrack]); the calibration on the whole record, once ([Calibrate]); for any
// year, one clearness factor a day ([Sky.Factors]), spread over the hours and
// split into beam and diffuse ([Sky.Hours]); the air of each hour
// ([AirTemperature], [AirFromMonths]). Where the sun was measured, [Measured]
// takes the place of factors, once [CheckClock] found nothing wrong with its
// clock; [Aligned] lays any hourly record on a year. Years that never were come
// from [FitGenerator]. Another sky for the same record is a draw ([Sky.Draw]).
// [SunSpans] tells when the sun clears the hills. Daily sun hours
// come from [Sky.SunHours] or [DayKWh], what evaporates from [Evaporation].
//
// # Units and time
//
// Radiation is in W/m², hourly means, and kWh/m² a day (sun hours);
// temperatures in °C; bearings in degrees clockwise from north; east longitude
// and north latitude are positive. Hour h begins h hours after a year's first
// midnight, in standard time all year ([Year]).
//
// # How a day gets its sun
//
// A month's mean clearness (its sun hours over the extraterrestrial radiation)
// says how its days are spread: by [Clearness], dull months have dark and clear
// days alike, clear months few dark ones. Which day is which is a matter of rank,
//
//	K = Clearness.At(Φ(z))
//	z = rain · (mm^0.3 − mean) + range · (ΔT − mean)/sd + spell + rest
//
// where means and deviations are those of the calendar month over the record. ΔT
// is the day's range of temperature, the high less the mean of the lows of the
// mornings before and after. spell changes over weeks and rest from day to day;
// both are drawn from a seed. They have what the others leave of a variance of 1
// and of the month's lag-one correlation, so that days are as spread and dull
// spells as long whether the record tells rain and temperatures, rain alone or
// nothing. The factor is K over a clear day's, at most 1. The slope of each
// month's spread is found so that its mean over the record is the table's.
//
// The constants are fitted to the days of four stations, with errors from leaving
// each out:
//
//	rain   −0.33 ± 0.05, with temperatures; without, what wet_day_share asks for
//	range  (0.65 ± 0.03) H0/(H0 + 2), H0 in kWh/m² a day outside the air
//	lag one of z   0.15 ± 0.04 + (1.43 ± 0.40)(K̄ − 0.3), from 0.1 to 0.38 ± 0.05
//	darkest day    0.05 + (0.54 ± 0.04)(K̄ − 0.3), 0.05 at least
//	spell          variance 0.05, less what the record tells of weeks
//
// Scored with the station left out, over 20 skies: the dark season's spread of
// daily clearness and the sums of the worst 3, 7 and 14 days of its winters over
// the measured (median), and the lag-one correlation less the measured. The three
// figures are for months alone / rain alone / rain and temperatures.
//
//	            spread           worst 3 days     7 days           14 days          lag one
//	Rothamsted  0.99 0.99 0.99   0.94 0.91 0.91   1.04 1.00 1.02   1.04 1.02 1.06   +0.01 +0.01 +0.01
//	Wageningen  1.04 1.03 1.04   1.35 1.26 1.26   1.06 0.99 0.99   1.05 1.00 1.04   −0.06 −0.04 −0.02
//	Lushnje     1.03 1.04 1.04   0.81 0.80 0.82   0.96 0.93 0.94   1.03 0.98 0.99   −0.05 −0.04 −0.04
//	Pergamino   0.88 0.88 0.88   1.10 1.10 1.05   1.17 1.18 1.14   1.07 1.09 1.08   −0.01 −0.01 −0.01
//
// Wageningen has four winters, and days darker than any of this law; Lushnje and
// Pergamino have their sun from hours of sunshine, which leaves no
// day darker than 0.2 and more days at both ends.
//
// The day's sun follows the clear sky's course through the hours; its beam and
// diffuse parts are those of the laws of [Erbs] ([Sky.Hours]).
//
// # Not modelled
//
// Haze and moisture (the clear sky is [ClearSky] of the sun's height alone,
// raised a little with the place's height), clouds within the day, snow on the
// ground, refraction in the hourly year but at the hills' edge (package solar).
// A site's sun hours, if given, correct the monthly sum of all of these.
//
// # Sources
//
// Those of synthetic years stand at [Generator].
//
//   - [Meeus] J. Meeus, Astronomical Algorithms, 2nd ed., Willmann-Bell 1998.
//   - [FAO56] R. Allen, L. Pereira, D. Raes, M. Smith, Crop Evapotranspiration,
//     FAO Irrigation and Drainage Paper 56, 1998, ch. 3.
//   - [Haurwitz] B. Haurwitz, Insolation in relation to cloudiness and cloud
//     density, J. Meteorology 2, 1945.
//   - [Erbs] D. Erbs, S. Klein, J. Duffie, Estimation of the diffuse radiation
//     fraction for hourly, daily and monthly-average global radiation, Solar
//     Energy 28, 1982.
//   - [BC84] K. Bristow, G. Campbell, On the relationship between incoming solar
//     radiation and daily maximum and minimum temperature, Agric. For. Meteorol.
//     31, 1984, 159–166.
//   - [BCR] P. Bendt, M. Collares-Pereira, A. Rabl, The frequency distribution
//     of daily insolation values, Solar Energy 27, 1981, 1–5; from memory.
//   - [Duffie] J. Duffie, W. Beckman, Solar Engineering of Thermal Processes,
//     4th ed., Wiley 2013, ch. 2.9; from memory.
//   - [Geng] S. Geng, F. Penning de Vries, I. Supit, A simple method for
//     generating daily rainfall data, Agric. For. Meteorol. 36, 1986, 363–376;
//     its constants from memory, held against five daily records.
//   - [Oudin] L. Oudin et al., Which potential evapotranspiration input for a
//     lumped rainfall–runoff model? Part 2, J. Hydrology 303, 2005, 290–306.
package weather

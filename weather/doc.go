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
// from [FitChain]. Another sky for the same record is a draw ([Sky.Draw]).
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
// Each day's factor is its share of a clear sky's radiation. It starts from the
// day's rain ([RainShare]) or, where the record has temperatures, from their
// range ([RangeShare]), dimmed further by much rain; a scale found for each
// calendar month brings the month's mean over the record to the table's; a
// seeded residual that remembers the day before multiplies the odds f/(1 − f),
// so that no day passes the clear sky and middling days scatter more than bright
// ones.
//
// The range law is Bristow and Campbell's above a floor of 0.2 of a clear sky,
// with a residual of logarithmic spread 0.7. The plain law, tried on a
// typical year of hourly data at 44° N, explained well which days are bright but
// gave winter 16 % too much spread, spring 25 % too little, and the seven
// darkest days of midwinter half their sun; the floor lifts the darkest days and
// the residual gives back what spring lacks.
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
// Those of made-up years stand at [Chain].
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
//   - [Oudin] L. Oudin et al., Which potential evapotranspiration input for a
//     lumped rainfall–runoff model? Part 2, J. Hydrology 303, 2005, 290–306.
//   - [KC80] F. Kasten, G. Czeplak, Solar and terrestrial radiation dependent on
//     the amount and type of cloud, Solar Energy 24, 1980; from memory.
package weather

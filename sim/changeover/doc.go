// Package changeover finds the days on which to open the valve in autumn and
// to close it in spring.
//
// A [Study] asks about one or more water years and a bus; [Study.Run] answers
// with a [Result]: the best pair of dates, the window within which there is no
// hurry, what other dates cost, the pair that holds in bad years, and a [Rule]
// to live by. Below it, [Search.Pairs] gives the [Table] of every pair of one
// year, each the same as running that year with [sim.Run].
//
// # All pairs, exactly
//
// A year has some 67,000 pairs. Their runs have much in common. Until the
// valve is opened all are one run; after that there is one run for each
// opening day; and after the closing days one for each pair, but two runs whose
// banks hold the same go on as one, and a day on which nothing is clamped moves
// all charges along one straight line. See stateSet in stateset.go for how that is known
// and not only hoped. Two states are the same here if they agree to 1e-12 of
// the capacity.
//
// Whoever opens the valve is there and sets the nozzles, so what the turbine
// does depends on the day of opening, but mostly not for longer than until the
// next round: from there on, in the same state at midnight, it does what it does
// for an earlier opening ([sim.Opening]), and the runs join that one's state set. See
// side in side.go.
//
// # Order
//
// Fewest unmet hours first, and within one hour of the least, least fuel; of
// those within 2 L or 1 % of that, fewest dry-pipe stops, then fewest visits,
// then fewest days with an open valve, then fewest hours below the comfort
// charge ([Outcome.Easier]). No valve is opened on a day on which the creek does
// not run the turbine, of several years in at least one of five.
//
// # Rules
//
// A rule sees the creek, the rain gauge and the sun up to the day before it
// acts, nothing else. Some hundred thousand are tried on every year, by looking
// their dates up in the tables, and each also with readings a fifth too high
// and too low. The one that does best is also judged as a stranger would meet
// it: found without a year and tried on that year.
//
// # Units
//
// Days are counted from the water year's start, and the valve turns at 00:00.
// Flows are in m³/s, energies in Wh, fuel in L.
//
// # Not modelled
//
// Opening or closing more than once a year.
package changeover

// Package hydro turns the flow of a creek into electrical power at the bus.
//
// The chain is: water left for the turbine ([Intake.Left]), head lost in the
// pipe ([Penstock.Loss], [Colebrook]), flow of the jets solved together with
// the pipe ([Penstock.JetFlow]), power of the machine ([Machine.At]), and the
// hours of a year through the forebay ([Forebay.Hour], [Machine.Series]).
// [Plant.Prepare] does once what does not depend on the weather: it solves
// every set of nozzles, or tables the spear valve.
//
// # Units
//
// All values are SI: m, m³/s, W, Pa, °C. Heads count down from the water
// surface at the intake. The stream's flow is one value a day, the results are
// one value an hour, hour 0 beginning at 00:00 of the first day.
//
// # How the valve is worked
//
// Nozzles are a kit: any of them, alone or together, make a set. Somebody walks
// up at 00:00 of each day ([Daily]) or of every 7th day from day 0 ([Weekly])
// and, knowing only that day's water, fits the largest set that it sustains,
// or shuts the valve if it sustains none. With [Never] all nozzles that the
// plant has stay open: who never adjusts lists only those that are fitted.
// A spear valve follows the day's water by itself.
//
// Between visits the set stays. Without a forebay the turbine stands on each
// day whose water does not sustain the set and runs again when it does. With a
// forebay it runs until the forebay is empty and reopens when the forebay is
// back at its restart level, as often as need be; and if a day's water
// sustains no set, the visitor fits the smallest and lets it run a part of the
// day, provided that a full forebay carries it for an hour.
//
// A stop that the water forces is a dry-pipe stop. It counts once: only if the
// turbine had run for a day without a break, so that a forebay that fills and
// empties several times a day is one stop and not many; and not at all where
// running a part of the day was the plan.
//
// The turbine is shut while neither the water left for it nor what it draws
// from the forebay reaches the cut-off flow.
//
// # Not modelled
//
// Ice, silt wear, trash on the screen, air carried along in the pipe, the time
// that a pipe takes to fill, and the speed of the runner: each needs data that
// a household rarely has. Surge is the pressure of one valve movement
// (Joukowsky), without reflections at branches.
//
// # Sources
//
//   - [White] F. M. White, Fluid Mechanics, 7th ed., McGraw-Hill 2011, ch. 6.
//   - [Colebrook] C. F. Colebrook, J. Inst. Civil Eng. 11 (1939), 133–156.
//   - [Haaland] S. E. Haaland, J. Fluids Eng. 105 (1983), 89–90.
//   - [Kell] G. S. Kell, J. Chem. Eng. Data 20 (1975), 97–105.
//   - [KSW] J. Kestin, M. Sokolov, W. A. Wakeham, J. Phys. Chem. Ref. Data 7
//     (1978), 941–948.
//   - [Wylie] E. B. Wylie, V. L. Streeter, Fluid Transients in Systems,
//     Prentice Hall 1993, ch. 1.
//   - [Thake] J. Thake, The Micro-Hydro Pelton Turbine Manual, ITDG 2000.
//   - [Cobb2011] B. R. Cobb, Experimental study of impulse turbines and
//     permanent magnet alternators for pico-hydropower generation, MSc thesis,
//     Oregon State University 2011 (abstract seen).
//   - [Cobb2013] B. R. Cobb, K. V. Sharp, Renewable Energy 50 (2013), 959–964
//     (abstract seen).
//   - [CPS430] USDA NRCS, Conservation Practice Standard 430, Irrigation
//     Pipeline (as quoted by others).
//   - [DOE] US Department of Energy, Energy Saver: Planning a Microhydropower
//     System.
//   - [NEC] NFPA 70, National Electrical Code, ch. 9 table 8; table
//     310.16 and 240.4(D) (as three secondary pages print them); 210.19(A) and
//     215.2, informational notes.
package hydro

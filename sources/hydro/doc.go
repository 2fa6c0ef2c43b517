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
// Nozzles are a kit: any of them, alone or together, make a set. The valve in
// front of a set may be held part closed; it then eats head, and the jet has
// (Q/CA)²/2g of it. Below half the speed of a jet under the whole head no set
// runs. Somebody walks up at 00:00 of a day ([Visits]): on rounds, after a
// stop, after rain, and to open and close the valve. They know that day's water,
// nothing of the rain to come, and how the creek recedes ([FitRecession]), and
// fit what gives the most energy until the next round of a creek that falls so:
// a set that the last day keeps open wide, the next larger held back to that
// day's water, or, with a forebay that carries it for an hour, a set that runs
// in turns. Once the water left would have halved, or nothing run, they come
// back before the round. If nothing runs at all they shut the valve.
//
// Where nobody comes between opening and closing, all nozzles that the plant
// has stay open: such a plant lists only those that are fitted. A spear valve
// is set by the visitor likewise, to any opening.
//
// Between visits the set stays. Without a forebay the turbine stands on each
// day whose water does not sustain it and runs again when it does. With a
// forebay it runs until the forebay is empty and reopens when the forebay is
// back at its restart level, as often as need be. The forebay is full when the
// valve is opened.
//
// A better plant never gives less: on a steady creek, exactly; on creeks as real
// ones are, within 1 % of the mean over years (visit_test.go). That needs the
// alternator's rating to depend on jets and head alone ([Turbine].MaxPowerW, or
// all jets under the whole head), not on the pipe. A limit of the power is an
// exception: a wider pipe may lift a set above it.
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
//   - [Brutsaert] W. Brutsaert, J. L. Nieber, Water Resources Research 13
//     (1977), 637–643.
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

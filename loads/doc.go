// Package loads turns a household's appliances into what it asks of the bus.
//
// [Build] spreads a list of appliances over the hours of a run and takes the
// AC part through the inverter ([Inverter.Draw]); [Metered] does the same with
// an own meter's record. [Uses] tells who uses what, [Seasons] how an average
// day looks in each quarter of the year, and [Typicals] lists appliances to
// begin with.
//
// # Units
//
// Powers are means over the hour, in W. What an appliance draws is told at
// its plug; a [Demand] is told at the bus, inverter losses included. DC
// appliances bypass the inverter.
//
// # Rating
//
// What is asked of the inverter beyond its rating is not served, however full
// the bank. It stands in Demand.OverW. A mean over the hour hides shorter
// peaks: a motor's start or a kettle may trip an inverter that looks big
// enough here.
//
// # Flexible loads
//
// A flexible appliance is no part of the firm demand. Its need and the power
// that it can take are told apart, and the balance serves it from what would be
// thrown away. Its windows say when it may run. What is left of a day's need at
// midnight is forgotten; a need told by the week carries over from day to day
// until the week ends. Weeks count from the first day of the run. Flexible
// appliances of one kind, by the day or by the week, share their needs and
// powers; AC ones are reckoned at the inverter's full-load efficiency.
//
// # Not modelled
//
// Chance: an appliance keeps to its calendar, and days of one kind are alike.
// Starting currents and power factor, which a household rarely knows.
//
// # Sources
//
//   - [Murphy] T. W. Murphy, Blow-by-blow PV system efficiency: a case study
//     for storage, 2012-09-18: a measured inverter as two numbers.
//   - [SS] H. Schmidt, D. U. Sauer, Wechselrichter-Wirkungsgrade,
//     Sonnenenergie 4/1996: losses as a parabola; the formula from memory.
//   - [DOE] US Department of Energy, typical wattages of appliances.
//   - [Utility] a New York utility's table of appliances with hours a month.
package loads

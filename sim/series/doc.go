// Package series turns a site and its weather into the hourly series that a
// run is given.
//
// [New] prepares once what every year shares: the calibrated sky, the sun's
// geometry and each array's view of it, the machine's table, and the stream
// through the whole record. [Homestead.Input] then makes one water year,
// gated by the valve's dates; [Homestead.Open] makes it with the valve always
// open, for whoever looks for the dates. [Homestead.Worker] runs the
// same homestead under other weather: scaled, put off, or made up.
//
// Powers are W at the bus, means over the hour.
package series

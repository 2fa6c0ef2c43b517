// Sunrill steps through a year, hour by hour, and tells a household off the grid
// whether its panels, its creek and its battery bank will carry it: when not, by
// how much, and what would help.
//
// Usage:
//
//	sunrill COMMAND [SITE] [flags]
//
// SITE is a folder that describes the homestead. Without it the commands use the
// site folder that you are in, or else an invented one that is built in. This
// page shows each command once, in the order in which one needs them; a line of
// three dots stands for output that is left out here. "sunrill COMMAND --help" tells the flags.
//
// # Before there is a site
//
// Is there power in the creek at all? A head and a flow are enough for a first
// answer; with the length and the bore of a pipe it says what the pipe takes and
// what the next sizes would.
//
//	$ sunrill reckon --head 40m --flow 2L/s
//	40.0 m (131 ft) of head, 2.00 L/s (31.7 gal/min): the 20 L bucket fills in 10 s, the 5 gal bucket fills in 9.5 s.
//
//	rule of thumb       416 W  (net head in ft x gal/min / 10; metric 5 x L/s x m: 400 W)
//	all of the water    784 W  (so the rule takes 53 % for granted)
//	likely              314 W to 549 W at the wires, day and night: 7.53 kWh to 13.2 kWh a day
//
//	Small sets turn 40 to 70 % of the water's power into electricity. The head is
//	taken as net head; a pipe takes 5 to 10 % of it if it is wide enough, and much
//	more if it is not: give --length and --bore to know.
//
// The flow comes from a bucket and a watch, from a weir, or from something that
// floats. "--save SITE" keeps the reading for later.
//
//	$ sunrill gauge bucket --volume 20L --seconds 14.2,13.8,14.5
//	1.41 L/s (22.4 gal/min), give or take 2.5 %: the 20 L bucket fills in 14 s.
//
// # A folder for the site
//
// A site begins as a copy of the invented homestead, to be changed with a text
// editor and a spreadsheet, or, with --blank, as a form to fill in. "--with
// fridge,lights,well-pump" begins the list of appliances with these, "--units us"
// writes all in feet, inches and gallons, "--latitude" and "--longitude" put the
// place into the form.
//
//	$ sunrill new my-place
//	my-place is made. Next:
//
//	  edit my-place/site.toml and the CSV files beside it
//	  sunrill check my-place
//	  sunrill year my-place
//
// In the folder, site.toml describes the place, each quantity with its unit,
// metric or US. The tables beside it hold the rain of each day (rain.csv), the
// sun hours of each month (sun.csv), the hills (horizon.csv), the appliances
// (loads.csv) and the readings of the creek (gaugings.csv). No command changes
// them, but for the reading that "gauge --save" adds and what "import --replace"
// puts in place.
//
// Records come in many shapes, and need no editing by hand: "import" reads the
// table of a gauge, a weather service, a spreadsheet or a meter, tells what it
// understood and by what evidence, and asks for what the file does not tell. With
// "--site my-place" it writes the file, with "--replace" in place of the one that
// is there, which it keeps beside.
//
// Where no gauge is near, the twelve months of a climate page will do for a
// start: rain-months.csv (month, rain_mm, wet_days) in place of rain.csv. Days are
// made up from them, and every answer says so.
//
//	$ sunrill import prcp.csv
//	Understood as a record of rain:
//
//	prcp.csv
//	  730 rows of cells parted by commas, the header on line 4
//	  1 row below the table left out (from line 736: "T: trace; M: missing")
//	  dates are in "DATE", month, day, year (line 17 has 10/13/2016)
//	  "PRCP (in)", rain: missing is M (7 times), blank (6 times) (gaps, not 0)
//	  "PRCP (in)", rain: 15 rows of trace (counted as 0 and noted)
//	  totals of several days by the remarks: 1 (such as: total of 7 days)
//	  1 total of several days spread evenly over the days without a reading of
//	    their own, and noted (1.4 of the 7 days to 2017-04-25)
//	  rain is in inches (the header says so: PRCP (in))
//	...
//
// Then ask what was understood. All mistakes are told at once, each with its
// file and line, its cause and its cure; so is every value that was not given
// and what is taken for it.
//
//	$ sunrill check my-place
//	Alder Bend (invented): latitude 43.10, longitude -122.90, 410 m above the sea.
//	The rain record has 4,383 days from 1 October 2007. Water years begin on 1
//	October; those of 2007 to 2018 can be run.
//	...
//
// When some readings of the creek are in, its behaviour on all the other days is
// found from them and the rain. Too few of them, and it says so.
//
//	$ sunrill fit my-place --rounds 0 --out fitted
//	The curve model by 26 readings, 19 October 2016 to 23 August 2019.
//
//	On readings that it had not seen, each of the 26 left out in turn, it is good,
//	0.99 of 1 (NSE of logarithms).
//	...
//
// # Will it carry us?
//
// A year is a water year: it begins before the wet season, on 1 October in the
// north, 1 April in the south, or as the site says. The result is told in words,
// the bad news first; the folder named by --out gets tables, charts and a report
// for a browser, in place of the results that an earlier run left there. With
// "--years all" each year of the record gets a line; with no --years the middling
// year is told, after what a middling year, one in five and the worst come to. A
// winter that is not over is run by "--years running", up to where the records
// end, and enters no mean of years.
//
// Nobody knows the sky, the creek and the house to the last digit, so every
// answer is worked out under --draws 20 of them: one sky that the rain and the sun
// hours allow, one creek that the readings allow, one value each of what
// [uncertainty] names. Answers are told with the range that 8 cases in 10 lie
// in, and as "likely (16 of 20)". "--draws 1" takes the middle values alone.
//
//	$ sunrill year my-place --years 2018 --out results
//	Alder Bend (invented), 1 October 2018 to 30 September 2019
//
//	Sun, creek and bank did not carry the house for 19 hours on 3 days.
//	...
//	Open results/report.html in a browser.
//
// What another value would do is tried with --set, on every command that takes a
// site and as often as one likes; no file is touched. The key is that of
// site.toml, with the name or the number of an array; a cell of the list of
// appliances is loads.NAME.COLUMN; no value behind the = leaves the key out.
//
//	$ sunrill year my-place --set bank.capacity=20kWh --set loads.freezer.count=0 --out results
//	Set otherwise than in the site's files:
//	  bank.capacity = "20kWh" (the file has "14 kWh")
//	  loads.freezer.count = 0 (the file has 1)
//
//	Alder Bend (invented): 12 water years, 2007 to 2018
//
//	...
//	Open results/report.html in a browser.
//
// When should the valve be opened in autumn and closed in spring?
//
//	$ sunrill changeover my-place --years 2017-2018 --out results
//	Alder Bend (invented): When to open and close the valve: 2 water years, 2017 to 2018
//
//	Open the valve on 18 November and close it on 21 March: the house goes short for
//	55 hours a year on average, against 1,018 hours with the valve closed all year.
//	...
//
// How big must the bank be?
//
//	$ sunrill bank my-place --out results
//	Alder Bend (invented): How big a bank: 12 water years, 2007 to 2018
//
//	In four of five of the 12 years your 14.0 kWh bank leaves you short for up to 95
//	hours (56–109), in the worst (2008) for 120 hours (95–120). 28.1 kWh bring that
//	...
//
// What does a dry winter do to us, in the record, with less rain, with a late
// season, in made-up years?
//
//	$ sunrill drywinter my-place --years 2016-2018 --made-up 0 --out results
//	Alder Bend (invented): What a dry winter does: 3 water years, 2016 to 2018
//
//	In the worst of the 3 years that were run (2017–18) you are short for 109 hours
//	(43 to 109), in one year of five for 109 hours or more (43 to 109). That is with
//	the creek at work; without it, the worst would be 1,086 hours (949 to 1,086),
//	...
//
// Is hydro worth installing, against more panels, a bigger bank, a generator?
// This needs prices, under [costs] in site.toml.
//
//	$ sunrill worth my-place --years 2016-2018 --made-up 0 --out results
//	Alder Bend (invented): Ways to live, compared
//
//	Whether hydro is worth it for at most 110 unmet hours in the one-in-five year
//	and in a mean one: open (10 of 20). By the middle values the cheapest mix is 4.0
//	kW of panels, a bank of 14.0 kWh and the creek through a pipe of 40.9 mm with
//	...
//
// On a November evening: will it get dark in the weeks ahead, and is it time to
// open the valve?
//
//	$ sunrill outlook my-place --charge 62% --flow 1.0L/s --date 2026-11-25 --out results
//	Alder Bend (invented): The days ahead, from 25 November 2026
//
//	It gets dark within 60 days in 42 of 100 futures: in a middling one not within
//	60 days, in a bad one (1 in 5) on 29 November, in a very bad one (1 in 20) on 26
//	November.
//	...
//
// What would help? A catalogue of single changes is tried over all years and
// ranked; the next three steps are taken in order, each chosen after the last.
//
//	$ sunrill improve my-place --draws 1 --out results
//	...
//	Open results/report.html in a browser.
//
// Which plan is better? Sites, or plans of one site, are laid side by side over
// the same years; a plan is a name and values that are set otherwise:
//
//	sunrill compare my-place --plan "tank: forebay.volume=5 m3" --plan "bank: bank.capacity=20 kWh"
//
// And all of it as a page in the browser, with values that can be moved and years
// that answer at once:
//
//	sunrill live my-place
//
// And all of it in one report, which takes some seconds:
//
//	sunrill book my-place
//
// # For other programs
//
// With --json a command prints one JSON object and nothing else; --quiet prints
// nothing but warnings and errors, which go to the standard error. The same
// files and the same --seed give the same bytes.
//
// Results are written into a new folder beside the one that --out names, which
// takes its place when all is whole: a run that fails, is interrupted or loses
// its power leaves the earlier results, all of them, as they were. The file
// sunrill-results.json in it says which command wrote it, for which site, and
// lists the files. Only these, and as they were written, are ever replaced:
// where something else stands, or a file that was read, the command ends before
// any work and says so.
//
// The exit code is 0 when all is done, 1 when the site's files are wrong, 2 when
// the command line is wrong, and 3 for anything else: a full disk, a folder that
// may not be written, an interruption, a fault of the program.
package main

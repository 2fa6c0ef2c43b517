package gather_test

import (
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf16"

	"sunrill/sim/gather"
)

// A shape is a file as people and services write them, with the reading that it
// has to get. All figures are invented; the shapes are those of spreadsheets in
// several languages, gauges' exports, diaries, weather services and meters.
type shape struct {
	name string
	file string // default table.csv
	in   string
	more string // a second file
	o    gather.Options
	want string // the output's rows below its comment
	ask  string // or what the problem has to say
	note string // what a finding has to say
}

func utf16LE(s string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = binary.LittleEndian.AppendUint16(b, u)
	}
	return string(b)
}

func latin1(s string) string {
	var b []byte
	for _, r := range s {
		b = append(b, byte(r))
	}
	return string(b)
}

var shapes = []shape{
	{name: "as the site wants it", in: "date,rain_mm,tmin_c,tmax_c\n2016-10-03,1.5,4.2,11\n2016-10-04,0,3,12\n",
		want: "date,rain_mm,tmin_c,tmax_c\n2016-10-03,1.5,4.2,11\n2016-10-04,0,3,12\n"},
	{name: "US gauge's export with title, station, remarks, T, M and a total",
		in:   "Rain gauge export\nStation OR-12\n\nSTATION,DATE,PRCP (in),REMARKS\nOR-12,10/11/2016,0.25,\nOR-12,10/12/2016,T,\nOR-12,10/13/2016,M,\nOR-12,10/14/2016,,away\nOR-12,10/15/2016,,away\nOR-12,10/16/2016,0.90,total of 3 days\n",
		want: "date,rain_in,note\n2016-10-11,0.25,\n2016-10-12,0,trace\n2016-10-14,0.3,share of a total of 3 days to 2016-10-16\n2016-10-15,0.3,share of a total of 3 days to 2016-10-16\n2016-10-16,0.3,share of a total of 3 days to 2016-10-16\n",
		note: "line 7 has 10/13/2016"},
	{name: "German spreadsheet", in: "Datum;Niederschlag (mm);Temperatur min (°C);Temperatur max (°C)\n13.10.2016;12,5;4,0;9,5\n14.10.2016;0,0;2,5;10,1\n",
		want: "date,rain_mm,tmin_c,tmax_c\n2016-10-13,12.5,4,9.5\n2016-10-14,0,2.5,10.1\n", note: "decimal comma"},
	{name: "the same in Latin-1", in: latin1("Datum;Niederschlag (mm);Temperatur min (°C);Temperatur max (°C)\n13.10.2016;12,5;4,0;9,5\n14.10.2016;0,0;2,5;10,1\n"),
		want: "date,rain_mm,tmin_c,tmax_c\n2016-10-13,12.5,4,9.5\n2016-10-14,0,2.5,10.1\n", note: "Latin-1"},
	{name: "UTF-16 with tabs, as a spreadsheet's Unicode text", in: "\xff\xfe" + utf16LE("date\train (mm)\r\n2016-10-03\t1.5\r\n2016-10-04\t2\r\n"),
		want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "UTF-16"},
	{name: "UTF-16 without a mark", in: utf16LE("date,rain mm\n2016-10-03,1.5\n2016-10-04,2\n"), want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "UTF-16"},
	{name: "UTF-8 with a byte order mark and Windows line ends", in: "\xef\xbb\xbfDate,Rain (mm)\r\n2016-10-03,1.5\r\n2016-10-04,2\r\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "old Mac line ends", in: "date,rain mm\r2016-10-03,1.5\r2016-10-04,2\r", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "all cells quoted", in: "\"Date\",\"Precipitation, mm\"\n\"2016-10-03\",\"1.5\"\n\"2016-10-04\",\"2\"\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "thousands in quotes", in: "date,flow (L/min)\n2016-10-03,\"1,260.0\"\n2016-10-04,\"1,320.0\"\n", want: "date,flow_lps\n2016-10-03,21\n2016-10-04,22\n"},
	{name: "thousands with a decimal comma", in: "date;flow (L/min)\n2016-10-03;1.260,0\n2016-10-04;1.320,0\n", want: "date,flow_lps\n2016-10-03,21\n2016-10-04,22\n"},
	{name: "thousands with thin spaces", in: "date;flow (L/min)\n2016-10-03;1\u202f260,0\n2016-10-04;1 320,0\n", want: "date,flow_lps\n2016-10-03,21\n2016-10-04,22\n"},
	{name: "a comma that may be either", in: "date,flow (L/min)\n2016-10-03,\"1,260\"\n2016-10-04,\"1,320\"\n", ask: "--decimal"},
	{name: "and its answer", in: "date,flow (L/min)\n2016-10-03,\"1,260\"\n2016-10-04,\"1,320\"\n", o: gather.Options{Decimal: "point"}, want: "date,flow_lps\n2016-10-03,21\n2016-10-04,22\n"},
	{name: "comma and point both decimal", in: "date;rain mm\n2016-10-03;1,5\n2016-10-04;1.5\n", ask: "\"1,5\" on line 2 has a decimal comma, \"1.5\" on line 3 a decimal point"},
	{name: "decimal comma in a comma file", in: "date,rain_mm\n2016-10-03,1,5\n2016-10-04,2,0\n", ask: "the row has 3 cells, the header 2"},
	{name: "bars between", in: "date | rain (mm)\n2016-10-03 | 1.5\n2016-10-04 | 2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "spaces between, year month day apart", in: "YEAR MO DY PRECIP_MM\n2016 10 3 1.5\n2016 10 4 2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "year and day of the year", in: "year,doy,rain_mm\n2016,60,1.5\n2016,61,2\n2017,60,3\n", want: "date,rain_mm\n2016-02-29,1.5\n2016-03-01,2\n2017-03-01,3\n"},
	{name: "month by its name in a column", in: "Year,Month,Day,Rain (mm)\n2016,Oct,3,1.5\n2016,October,4,2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "day first by a 13", in: "Date,Rain (mm)\n12/10/2016,1.5\n13/10/2016,2\n", want: "date,rain_mm\n2016-10-12,1.5\n2016-10-13,2\n", note: "line 3 has 13/10/2016"},
	{name: "order that nothing tells", in: "Date,Rain (mm)\n5/10/2016,1.5\n8/11/2016,2\n", ask: "--dates"},
	{name: "and its answer", in: "Date,Rain (mm)\n5/10/2016,1.5\n8/11/2016,2\n", o: gather.Options{Dates: "dmy"}, want: "date,rain_mm\n2016-10-05,1.5\n2016-11-08,2\n"},
	{name: "an answer that cannot be", in: "Date,Rain (mm)\n5/13/2016,1.5\n", o: gather.Options{Dates: "dmy"}, ask: "line 2"},
	{name: "order by rows a day apart", in: "Date,Rain (mm)\n1/2/2016,1\n2/2/2016,2\n3/2/2016,3\n4/2/2016,4\n", want: "date,rain_mm\n2016-02-01,1\n2016-02-02,2\n2016-02-03,3\n2016-02-04,4\n", note: "a day or less apart"},
	{name: "two orders in one file", in: "Date,Rain (mm)\n13/2/2016,1\n2/14/2016,2\n", ask: "cannot both be dates in one order"},
	{name: "month names and years of two digits", in: "Date,Rain (mm)\n3-Oct-16,1.5\n4-Oct-16,2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "1969 to 2068"},
	{name: "weekday, month name, ordinal", in: "Date,Rain (mm)\n\"Monday, October 3rd, 2016\",1.5\n\"Tuesday, October 4th, 2016\",2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "compact dates", in: "Datum,Regen mm\n20161003,1.5\n20161004,2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n"},
	{name: "a spreadsheet's day numbers", in: "Date,Rain (mm)\n42646,1.5\n42647,2\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "as a spreadsheet counts days"},
	{name: "units in a row of their own", in: "Date,Rain,Min Temp,Max Temp\n,in,°F,°F\n2016-10-03,0.5,41,52\n2016-10-04,0,40,50\n", want: "date,rain_in,tmin_f,tmax_f\n2016-10-03,0.5,41,52\n2016-10-04,0,40,50\n"},
	{name: "a header on two rows", in: "Date,Rain,Temperature (C),\n,mm,min,max\n2016-10-03,5,4,9\n2016-10-04,0,3,8\n", want: "date,rain_mm,tmin_c,tmax_c\n2016-10-03,5,4,9\n2016-10-04,0,3,8\n"},
	{name: "unit behind the numbers", in: "date,rain\n2016-10-03,1.5 mm\n2016-10-04,2 mm\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "behind the numbers"},
	{name: "unit in a title", in: "Units: inches\ndate,rain\n2016-10-03,0.5\n2016-10-04,2\n", want: "date,rain_in\n2016-10-03,0.5\n2016-10-04,2\n"},
	{name: "no unit and too few days to tell", in: "date,rain\n2016-10-03,0.5\n2016-10-04,2\n", ask: "--unit mm or --unit in"},
	{name: "and its answer", in: "date,rain\n2016-10-03,0.5\n2016-10-04,2\n", o: gather.Options{Unit: "in"}, want: "date,rain_in\n2016-10-03,0.5\n2016-10-04,2\n"},
	{name: "cm", in: "date,rain (cm)\n2016-10-03,0.5\n2016-10-04,2\n", want: "date,rain_mm\n2016-10-03,5\n2016-10-04,20\n"},
	{name: "a footer with sum and source", in: "date,rain mm\n2016-10-03,1.5\n2016-10-04,2\nTotal,3.5\nSource: my own gauge\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "below the table"},
	{name: "a sum after each month, the header again", in: "date,rain mm\n2016-10-30,1.5\n2016-10-31,2\nTotal October,3.5\n\ndate,rain mm\n2016-11-01,4\n", want: "date,rain_mm\n2016-10-30,1.5\n2016-10-31,2\n2016-11-01,4\n"},
	{name: "a row that is neither", in: "date,rain mm\n2016-10-03,1.5\n2016-10-0x,2\n2016-10-05,3\n", ask: "\"2016-10-0x\" is no date"},
	{name: "words for a number", in: "date,rain mm\n2016-10-03,gauge frozen\n2016-10-04,2\n", ask: "\"gauge frozen\" is no number"},
	{name: "marks for missing", in: "date,rain mm\n2016-10-03,-9999\n2016-10-04,n/a\n2016-10-05,--\n2016-10-06,0\n2016-10-07,-99.9\n2016-10-08,1\n", want: "date,rain_mm\n2016-10-06,0\n2016-10-08,1\n", note: "-9999 (once)"},
	{name: "a negative rain that is no mark", in: "date,rain mm\n2016-10-03,-3\n2016-10-04,1\n", ask: "rain cannot be negative"},
	{name: "less than can be measured", in: "date,rain mm\n2016-10-03,<0.1\n2016-10-04,Trace\n2016-10-05,0.0T\n", want: "date,rain_mm,note\n2016-10-03,0,trace\n2016-10-04,0,trace\n2016-10-05,0,trace\n"},
	{name: "estimated values", in: "date,rain mm\n2016-10-03,1.5E\n2016-10-04,2*\n", want: "date,rain_mm\n2016-10-03,1.5\n2016-10-04,2\n", note: "estimated"},
	{name: "accumulated over days marked S", in: "date,rain (in)\n2016-10-03,0.10\n2016-10-04,S\n2016-10-05,S\n2016-10-06,0.60A\n", want: "date,rain_in,note\n2016-10-03,0.1,\n2016-10-04,0.2,share of a total of 3 days to 2016-10-06\n2016-10-05,0.2,share of a total of 3 days to 2016-10-06\n2016-10-06,0.2,share of a total of 3 days to 2016-10-06\n"},
	{name: "a diary of wet days alone", in: "date,rain mm\n2016-10-03,1\n2016-10-09,2\n2016-10-19,3\n2016-10-21,3\n2016-10-29,3\n2016-11-05,1\n", ask: "--unlisted dry"},
	{name: "and its answer", in: "date,rain mm\n2016-10-03,1\n2016-10-06,2\n2016-10-07,\n2016-10-08,4\n", o: gather.Options{Unlisted: "dry"}, want: "date,rain_mm\n2016-10-03,1\n2016-10-04,0\n2016-10-05,0\n2016-10-06,2\n2016-10-08,4\n"},
	{name: "two columns of rain", in: "date,rain gauge A (mm),rain gauge B (mm)\n2016-10-03,1,2\n", ask: "--column"},
	{name: "and its answer", in: "date,rain gauge A (mm),rain gauge B (mm)\n2016-10-03,1,2\n2016-10-04,3,4\n", o: gather.Options{Columns: map[string]string{"rain": "rain gauge B (mm)"}}, want: "date,rain_mm\n2016-10-03,2\n2016-10-04,4\n"},
	{name: "names that nobody knows", in: "date,foo,bar\n2016-10-03,1,2\n2016-10-04,3,4\n", ask: "--as rain"},
	{name: "one column of numbers and --as", in: "when,mm\n2016-10-03,1\n2016-10-04,3\n", o: gather.Options{As: gather.Rain, Unit: "mm"}, want: "date,rain_mm\n2016-10-03,1\n2016-10-04,3\n"},
	{name: "no header at all", in: "2016-10-03,1\n2016-10-04,3\n", o: gather.Options{As: gather.Rain, Unit: "mm"}, want: "date,rain_mm\n2016-10-03,1\n2016-10-04,3\n"},
	{name: "the newest row first", in: "date,rain mm\n2016-10-05,3\n2016-10-04,2\n2016-10-03,1\n", want: "date,rain_mm\n2016-10-03,1\n2016-10-04,2\n2016-10-05,3\n"},
	{name: "two files that overlap", in: "date,rain mm\n2016-10-03,1\n2016-10-04,2\n", more: "Date,Rain (mm)\n2016-10-04,2\n2016-10-05,\n2016-10-06,4\n", want: "date,rain_mm\n2016-10-03,1\n2016-10-04,2\n2016-10-06,4\n"},
	{name: "one file in °F, the next in °C, a third unit in K", in: "date,rain mm,Min Temp (F),Max Temp (F)\n2016-10-03,1,41,59\n", more: "date,rain mm,Min Temp (C),Max Temp (K)\n2016-10-04,2,4,283.15\n", want: "date,rain_mm,tmin_c,tmax_c\n2016-10-03,1,5,15\n2016-10-04,2,4,10\n"},
	{name: "two files that differ", in: "date,rain mm\n2016-10-03,1\n", more: "date,rain mm\n2016-10-03,2\n", ask: "2016-10-03 is 2 here and 1 on line 2 of table.csv"},
	{name: "a day twice in one file", in: "date,rain mm\n2016-10-03,1\n2016-10-03,2\n", ask: "2016-10-03 is 2 here and 1 on line 2"},
	{name: "an open quote", in: "date,rain mm\n2016-10-03,\"1\n" + strings.Repeat("2016-10-04,2\n", 30), ask: "a double quote is opened"},
	{name: "a web page", in: "<!DOCTYPE html><html>please log in</html>", ask: "web page"},
	{name: "nothing", in: "  \n", ask: "is empty"},
	{name: "a header alone", in: "date,rain_mm\n", ask: "no column holds dates"},
	{name: "a row too far away", in: "date,rain mm\n1816-10-03,1\n2199-10-04,1\n2216-10-04,1\n", ask: "is no date"},

	{name: "SCAN-like daily table under comments", in: "#------\n# Some network\n# Reporting Frequency: Daily\n#\nDate,Hill Creek (123) Precipitation Accumulation (in) Start of Day Values,Hill Creek (123) Precipitation Increment (in),Hill Creek (123) Air Temperature Maximum (degF),Hill Creek (123) Air Temperature Minimum (degF)\n2016-10-03,0.0,0.5,52,41\n2016-10-04,0.5,0.0,50,40\n",
		want: "date,rain_in,tmin_f,tmax_f\n2016-10-03,0.5,41,52\n2016-10-04,0,40,50\n"},
	{name: "the same with what has accumulated alone", in: "Date,Precipitation Accumulation (in) Start of Day Values\n2016-09-29,30.1\n2016-09-30,30.4\n2016-10-01,0.1\n2016-10-02,0.6\n", want: "date,rain_in\n2016-09-29,0.3\n2016-09-30,0.1\n2016-10-01,0.5\n", note: "counts up"},
	{name: "CIMIS-like daily table with letters of quality", in: "Stn Id,Stn Name,Date,Jul,ETo (in),qc,Precip (in),qc,Sol Rad (Ly/day),qc,Max Air Temp (F),qc,Min Air Temp (F),qc,Avg Soil Temp (F),qc\n2,Hill,10/13/2016,287,0.1, ,0.50, ,400, ,70,Y,41, ,60,\n2,Hill,10/14/2016,288,0.1, ,9.99,R,380, ,68, ,40, ,60,\n",
		want: "date,rain_in,tmin_f,tmax_f\n2016-10-13,0.5,41,70\n2016-10-14,,40,68\n", note: "refused by the service's own check"},
	{name: "GHCN-Daily by station, CSV with attributes", in: "\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"PRCP\",\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\"USC00350001\",\"2016-10-03\",\"43.1\",\"-122.9\",\"410.0\",\"HILL, OR US\",\"  127\",\",,7,0700\",\"  110\",\",,7\",\"   42\",\",,7\"\n\"USC00350001\",\"2016-10-04\",\"43.1\",\"-122.9\",\"410.0\",\"HILL, OR US\",\"    0\",\"T,,7,0700\",\"  120\",\",,7\",\"   30\",\",I,7\"\n",
		want: "date,rain_mm,tmin_c,tmax_c,note\n2016-10-03,12.7,4.2,11,\n2016-10-04,0,,12,trace\n", note: "tenths of mm"},
	{name: "GHCN-Daily an element a row", in: "USC00350001,20161003,TMAX,110,,,7,0700\nUSC00350001,20161003,TMIN,42,,,7,0700\nUSC00350001,20161003,PRCP,127,,,7,0700\nUSC00350001,20161004,PRCP,0,T,,7,0700\nUSC00350001,20161004,SNOW,0,,,7,0700\nUSC00350001,20161007,MDPR,300,,,7,0700\nUSC00350001,20161007,DAPR,3,,,7,0700\nUSC00350001,20161008,PRCP,999,,K,7,0700\n",
		want: "date,rain_mm,tmin_c,tmax_c,note\n2016-10-03,12.7,4.2,11,\n2016-10-04,0,,,trace\n2016-10-05,10,,,share of a total of 3 days to 2016-10-07\n2016-10-06,10,,,share of a total of 3 days to 2016-10-07\n2016-10-07,10,,,share of a total of 3 days to 2016-10-07\n"},
	{name: "hourly rain to days", in: hourlyRain(), want: "date,rain_mm\n2016-10-03,24\n2016-10-04,12\n", note: "added up to days"},
	{name: "a rain calendar on one page", file: "rain 2015.csv", in: rainCalendar(), want: calendarWant(), note: "a calendar of 2015"},

	{name: "a meter's minutes in kW", in: minutes(), want: "time,demand_w\n2016-10-03 00:00,500\n2016-10-03 01:00,1500\n", note: "averaged over each hour"},
	{name: "a meter's quarter hours in kWh", in: "Timestamp,Consumption (kWh)\n2016-10-03 00:00,0.1\n2016-10-03 00:15,0.1\n2016-10-03 00:30,0.2\n2016-10-03 00:45,0.2\n2016-10-03 01:00,0.05\n2016-10-03 01:15,0.05\n2016-10-03 01:30,0.05\n2016-10-03 01:45,0.05\n", want: "time,demand_w\n2016-10-03 00:00,600\n2016-10-03 01:00,200\n"},
	{name: "a meter with 12-hour clock", in: "Date,Time,Load (W)\n10/13/2016,11:00 PM,300\n10/14/2016,12:00 AM,200\n10/14/2016,1:00 AM,100\n", want: "time,demand_w\n2016-10-13 23:00,300\n2016-10-14 00:00,200\n2016-10-14 01:00,100\n"},
	{name: "a meter whose stamps tell Greenwich", in: "time,load (W)\n2016-10-03T08:00:00Z,300\n2016-10-03T09:00:00Z,200\n", o: gather.Options{UTCOffsetH: -8}, want: "time,demand_w\n2016-10-03 00:00,300\n2016-10-03 01:00,200\n"},
	{name: "a meter without a unit", in: "time,load\n2016-10-03 00:00,300\n2016-10-03 01:00,200\n", ask: "--unit W, kW, Wh or kWh"},
	{name: "a clock put back", in: "time,load (W)\n2016-10-30 00:00,300\n2016-10-30 01:00,200\n2016-10-30 01:00,210\n2016-10-30 02:00,200\n", ask: "standard time all year"},
	{name: "a bank monitor", in: "time,SoC (%),Hydro power (W),PV power (kW)\n2016-10-03 00:00,80,310,0\n2016-10-03 01:00,,305,0.25\n", want: "time,soc_pct,hydro_w,pv_w\n2016-10-03 00:00,80,310,0\n2016-10-03 01:00,,305,250\n"},
	{name: "a flow record in cfs", in: "agency_cd,site_no,datetime,discharge (cfs)\nXX,1,2016-10-03,1.0\nXX,1,2016-10-04,2.0\n", want: "date,flow_lps\n2016-10-03,28.3168\n2016-10-04,56.6337\n"},
	{name: "a flow record in gal/min stays so", in: "date,flow (gpm)\n2016-10-03,30\n2016-10-04,32.5\n", want: "date,flow_gpm\n2016-10-03,30\n2016-10-04,32.5\n"},
	{name: "bucket readings with several timings", in: "Date,Bucket volume (gal),Seconds,Notes\n10/13/2016,5,\"14.2, 13.8, 14.5\",below the spring\n10/20/2016,5,9.1/9.3,\n", want: "date,method,volume_l,seconds,flow_lps,note\n2016-10-13,bucket,18.927,14.2 13.8 14.5,,below the spring\n2016-10-20,bucket,18.927,9.1 9.3,,\n"},
	{name: "sun hours by month across", in: "Month,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep,Oct,Nov,Dec\nSun hours (kWh/m2/day),1.2,2,3.1,4.2,5.3,5.9,6.4,5.5,4.2,2.6,1.5,1\nMean temperature (C),4,5,7,9,13,16,20,20,16,11,6,4\n",
		want: "month,sun_hours,temp_c\n1,1.2,4\n2,2,5\n3,3.1,7\n4,4.2,9\n5,5.3,13\n6,5.9,16\n7,6.4,20\n8,5.5,20\n9,4.2,16\n10,2.6,11\n11,1.5,6\n12,1,4\n"},
	{name: "a climate page's rain by month", in: "Climate of Hill Creek 1991-2020\nMonth,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep,Oct,Nov,Dec\nAverage rainfall (mm),150,110,90,70,50,30,10,15,40,90,160,170\nAverage rainy days,18,15,14,12,9,6,2,3,6,12,18,19\n",
		want: "month,rain_mm,wet_days\n1,150,18\n2,110,15\n3,90,14\n4,70,12\n5,50,9\n6,30,6\n7,10,2\n8,15,3\n9,40,6\n10,90,12\n11,160,18\n12,170,19\n"},
	{name: "months without wet days", in: "Month,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep,Oct,Nov,Dec\nRainfall (in),5,4,3,3,2,1,1,1,2,3,5,6\nLow (F),30,31,33,36,41,46,50,50,45,39,34,31\n", o: gather.Options{As: gather.Rain}, ask: "no column of wet days"},
	{name: "sun by month in MJ", in: "month,solar radiation (MJ/m2/day)\nJanuary,3.6\nFebruary,7.2\nMarch,10.8\nApril,14.4\nMay,18\nJune,21.6\nJuly,23.4\nAugust,19.8\nSeptember,14.4\nOctober,9\nNovember,5.4\nDecember,3.6\n",
		want: "month,sun_hours\n1,1\n2,2\n3,3\n4,4\n5,5\n6,6\n7,6.5\n8,5.5\n9,4\n10,2.5\n11,1.5\n12,1\n"},
}

func hourlyRain() string {
	var b strings.Builder
	b.WriteString("time,rain (mm)\n")
	for d, mm := range []string{"1", "0.5"} {
		for h := range 24 {
			b.WriteString("2016-10-0" + string(rune('3'+d)) + " " + two(h) + ":00," + mm + "\n")
		}
	}
	return b.String()
}

func two(n int) string { return string(rune('0'+n/10)) + string(rune('0'+n%10)) }

func minutes() string {
	var b strings.Builder
	b.WriteString("time,power (kW)\n")
	for h, kw := range []string{"0.5", "1.5"} {
		for m := range 60 {
			b.WriteString("2016-10-03 " + two(h) + ":" + two(m) + ":00," + kw + "\n")
		}
	}
	return b.String()
}

// A calendar in which it rained 5 mm on every 13th.
func rainCalendar() string {
	var b strings.Builder
	b.WriteString("Rain in mm\n,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep,Oct,Nov,Dec\n")
	for d := 1; d <= 31; d++ {
		b.WriteString(two(d))
		for range 12 {
			b.WriteString(map[bool]string{true: ",5", false: ",0"}[d == 13])
		}
		b.WriteString("\n")
	}
	return b.String()
}

func calendarWant() string {
	var b strings.Builder
	b.WriteString("date,rain_mm\n")
	for m, n := range []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		for d := 1; d <= n; d++ {
			b.WriteString("2015-" + two(m+1) + "-" + two(d) + map[bool]string{true: ",5\n", false: ",0\n"}[d == 13])
		}
	}
	return b.String()
}

func TestShapes(t *testing.T) {
	if len(shapes) < 50 {
		t.Errorf("%d shapes", len(shapes))
	}
	for _, s := range shapes {
		t.Run(s.name, func(t *testing.T) {
			if s.o.UTCOffsetH == 0 {
				s.o.UTCOffsetH = math.NaN()
			}
			s.o.LatDeg = math.NaN()
			file := s.file
			if file == "" {
				file = "table.csv"
			}
			in := []gather.Source{{Name: file, Data: []byte(s.in)}}
			if s.more != "" {
				in = append(in, gather.Source{Name: "more.csv", Data: []byte(s.more)})
			}
			g, err := gather.Read(in, s.o)
			if s.ask != "" {
				var ps gather.Problems
				if err == nil {
					t.Fatalf("no problem is told; it is read as\n%s", g.Outputs[0].Data)
				}
				if !errors.As(err, &ps) || !strings.Contains(err.Error(), s.ask) {
					t.Fatalf("the problem does not say %q:\n%v", s.ask, err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			_, got, _ := strings.Cut(string(g.Outputs[0].Data), "\n")
			if got != s.want {
				t.Errorf("it is read as\n%s\nwant\n%s", got, s.want)
			}
			if s.note != "" {
				var all strings.Builder
				for _, f := range g.Findings {
					all.WriteString(f.What + " (" + f.Evidence + ")\n")
				}
				if !strings.Contains(all.String(), s.note) {
					t.Errorf("no finding says %q:\n%s", s.note, all.String())
				}
			}
		})
	}
}

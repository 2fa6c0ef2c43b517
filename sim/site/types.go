package site

import (
	"time"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/worth"
	"sunrill/sources/hydro"
	"sunrill/sources/solar"
	"sunrill/sources/stream"
	"sunrill/storage"
	"sunrill/weather"
)

// Site is a homestead as its folder describes it: every value checked, in SI
// units, with defaults filled in.
type Site struct {
	Folder string   // as given; "" for the built-in demo
	read   []string // files of it that were read
	Name   string
	Place  weather.Place
	US     bool // print in US units

	YearMonth           time.Month // the water year starts on this month and day
	YearDay             int
	FirstYear, LastYear int // which water years of the record to use; 0: all

	Sun  Sun
	Rain weather.Record
	// RainFromMonths tells that the days of Rain are made up from the months.
	RainFromMonths bool
	Arrays         []solar.Array

	Stream          *Stream      // nil: no water
	Hydro           *hydro.Plant // nil: no water
	Open            *Date        // nil: open whenever the flow allows
	Close           *Date
	HouseWaterAsM3S float64

	Bank       storage.Bank
	Inverter   loads.Inverter
	Appliances []loads.Appliance
	DemandW    *Hourly // an own meter's record instead of appliances; nil: none

	DumpW           float64
	UsefulHeatWhDay float64
	Generator       *sim.Generator
	Prices          *worth.Prices // nil: no [costs]
	MaxPanelsW      float64       // what roof and ground hold; 0: not told

	Uncertainty Uncertainty

	Gaugings []stream.Gauging // nil without gaugings.csv
	Meter    *sim.Log         // nil without meter.csv

	Defaults []files.Default   // values that were not given, in the order of the file
	Values   map[string]string // what site.toml gives, by key, as it was set
	Given    []files.Given     // the same, in the order of the file
	Changes  []files.Change    // what Options.Set set otherwise than the files
	Warnings []string          // odd but valid
}

// Date is a day of the calendar without a year.
type Date struct {
	Month time.Month
	Day   int
}

// ParseDate reads a day of the calendar, month first: "11-05" is 5 November.
// There is no 29 February: it would be missing in most years.
func ParseDate(text string) (Date, error) {
	month, day, err := files.ParseDayOfYear(text)
	return Date{month, day}, err
}

// Sun is what the site knows of its sunshine.
type Sun struct {
	SunHours       [12]float64 // kWh/m² a day, January first; unused with Hourly
	TempC          [12]float64 // mean air temperature; that of the standard atmosphere unless HasTemp
	HasTemp        bool
	OnPanel        bool // sun hours were observed on the panels
	WetDayFraction float64
	Variability    float64
	Seed           uint64
	Horizon        solar.Horizon        // of the whole site, for arrays without their own
	Hourly         *weather.MeasuredSun // nil: none
}

// Hourly is an hourly record of one quantity.
type Hourly struct {
	Start  time.Time
	Values []float64
}

// Stream is what the site knows of its creek: one of the three models.
type Stream struct {
	Curve     *stream.Curve
	Catchment *stream.Catchment
	Record    *stream.FlowRecord
	Draws     []stream.Draw // creeks that the readings allow, of the fit; nil without one
	Fitted    []Parameter   // as a fit left them; nil: the site tells them itself
}

package sim

import (
	"time"

	"sunrill/storage"
)

// Input is what a run is given: hourly series at the bus for one water year,
// all equally long, in W, and beside them what files and charts show of the
// weather and the water. Hour h begins h hours after Start.
type Input struct {
	Start   time.Time
	Sources []Source  // what could give power at the bus, the creek already gated by open and close dates; each kind once
	DemandW []float64 // firm demand at the bus

	OverW      []float64 // the part of DemandW that the inverter cannot carry: always unmet; nil: none
	FlexibleW  []float64 // greatest power of the flexible loads with a need a day; nil: no flexible loads at all
	FlexibleWh []float64 // their need of each day, one value a day
	WeeklyW    []float64 // greatest power of the flexible loads with a need a week; nil: none; with it, FlexibleW and TogetherW must be there
	WeeklyWh   []float64 // their need of each 7 days from Start, one value a week
	TogetherW  []float64 // greatest power of both together
	BankC      []float64 // bank temperature; nil: the bank's indoor temperature

	// Not used by the balance.
	RainMM      []float64 // a value a day
	SunHours    []float64 // a value a day, kWh/m² on the horizontal (on the panels where they were observed there)
	AirC        []float64 // a value an hour; may be nil
	FlowM3S     []float64 // stream flow, a value a day; nil without a stream
	TurbineM3S  []float64 // what the turbine takes, a value an hour; nil without hydro
	DryStopHour []int     // hours in which a dry-pipe stop began, rising
	VisitDay    []int     // days on which somebody walks up to the turbine, rising
	NozzleSet   []int     // which set of nozzles is fitted on each day, −1: the valve is shut; empty with a spear valve
	Openings    []Opening // what becomes of a valve that is opened on each day; nil: not asked for
	CutoffM3S   float64
	OpenHour    int // [OpenHour, CloseHour) is when the valve is open; both 0: never
	CloseHour   int
}

// Opening is what becomes of a valve that is opened on a day and stays open, up
// to the midnight from which on all goes as if it had been opened on an earlier
// day.
type Opening struct {
	Day    int       // on which it is opened
	Until  int       // the day from whose 00:00 on it goes as opening As does
	As     int       // an earlier day; −1: it goes its own way to the year's end, Until
	Runs   bool      // it gives power on the day of opening
	PowerW []float64 // at the bus, an hour each, from Day to Until

	DryStopHour []int // from Day to Until, hours of the year
	VisitDay    []int // likewise, the day of opening first
}

// Hours returns the length of the run.
func (in *Input) Hours() int { return len(in.DemandW) }

// Bus is what stands at the bus and does not change from hour to hour.
type Bus struct {
	Bank      storage.Bank
	DumpW     float64    // rating of the dump load
	Generator *Generator // nil: none
}

// Generator starts when the bank is low, cannot cover the house or has been
// disconnected, runs for a minimum time and until the bank is at StopSoC.
type Generator struct {
	RatedW       float64
	StartSoC     float64 // 0 to 1
	StopSoC      float64
	MinRunH      int
	QuietFromH   int // hours of the day in which it may not start or run; equal: none
	QuietToH     int
	FuelIdleLH   float64 // L an hour while it runs
	FuelLPerKWh  float64 // L more for each kWh given
	ServiceHours float64 // hours between services; 0: not told
}

// State is what one hour hands to the next.
type State struct {
	StoredWh    float64 // in the whole bank
	AvailableWh float64 // in the available well; equals StoredWh in a bucket
	Off         bool    // the low-voltage disconnect is open
	GeneratorH  int     // hours that the generator has been running; 0: it stands
	FlexibleWh  float64 // of today's flexible need, not yet served
	WeeklyWh    float64 // the same of this week's
}

// Tally is what the studies count of a run, or of a part of one.
type Tally struct {
	Hours                                   int
	UnmetHours, LowHours, HazardHours       int
	GeneratorHours, GeneratorStarts         int
	OverHours                               int
	GeneratorWh                             float64
	DemandWh, ServedWh, UnmetWh, FlexibleWh float64
	BankInWh, BankOutWh, DumpWh, OverDumpWh float64
	CurtailedWh, LostWh, FuelL              float64
	MinSoC                                  float64

	leakWh float64 // of LostWh, what went by self-discharge
}

// Year is the full outcome of a run: a slice per quantity, a value an hour. The
// slices are to be read only: those that cannot be but zero share memory.
type Year struct {
	In  *Input
	Bus Bus

	ServedW, UnmetW, FlexibleW []float64
	BankInW, BankOutW          []float64 // at the bus
	GeneratorW                 []float64
	DumpW, OverDumpW           []float64
	CurtailedW                 []float64
	StoredWh                   []float64 // at the end of the hour
	SoC                        []float64 // at the end of the hour, 0 to 1

	Tally Tally

	memory []float64 // of all slices
}

// UnmetThresholdW is the power above which an hour counts as unmet: half of
// the last digit that the result files carry.
const UnmetThresholdW = 0.05

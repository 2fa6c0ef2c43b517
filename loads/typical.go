package loads

// Typical is an appliance to begin with, as a row of a household's list: the
// columns of loads.csv, with where the numbers come from.
type Typical struct {
	Key      string // what a person asks for
	Name     string
	Watts    float64
	Count    float64
	Hours    string
	Months   string // "all" or a span such as "06-09"
	DC       bool
	Flexible bool
	Source   string
}

const (
	utility   = "a utility's table (New York): watts and hours a month"
	doeWatts  = "US DOE typical watts; hours from memory"
	allMemory = "from memory"
)

// The figures are those of [Utility] and [DOE] where they say so, of
// grid-connected houses as a rule; the label on one's own
// appliance or a plug-in meter is better than any of them.
var typicals = []Typical{
	{"fridge", "refrigerator", 120, 1, "8/day", "all", false, false, "modern, about 1 kWh a day, from memory; runs a third of the time (US DOE)"},
	{"old-fridge", "old refrigerator", 600, 1, "8/day", "all", false, false, "4.8 kWh a day by " + utility + "; runs a third of the time (US DOE)"},
	{"freezer", "freezer", 100, 1, "8/day", "all", false, false, allMemory},
	{"lights", "lights, LED", 10, 6, "06-08 17-22", "all", false, false, "watts by " + utility + "; number and hours from memory"},
	{"laptop", "laptop", 60, 1, "4/day", "all", false, false, utility},
	{"desktop", "desktop computer", 100, 1, "5/day", "all", false, false, utility},
	{"monitor", "screen", 150, 1, "4/day", "all", false, false, doeWatts},
	{"tv", "television", 100, 1, "18-23", "all", false, false, utility},
	{"router", "router and modem", 12, 1, "all", "all", false, false, allMemory},
	{"phone", "phone charger", 5, 2, "3/day", "all", false, false, utility},
	{"radio", "clock radio", 10, 1, "all", "all", false, false, doeWatts},
	{"washer", "clothes washer, cold", 255, 1, "0.6/day", "all", false, false, utility},
	{"dishwasher", "dishwasher", 1400, 1, "0.6/day", "all", false, false, utility},
	{"microwave", "microwave oven", 1100, 1, "0.2/day", "all", false, false, utility},
	{"coffee", "coffee maker", 1000, 1, "0.33/day", "all", false, false, utility},
	{"toaster", "toaster", 1100, 1, "0.1/day", "all", false, false, doeWatts},
	{"kettle", "kettle", 1500, 1, "0.2/day", "all", false, false, allMemory},
	{"vacuum", "vacuum cleaner", 1400, 1, "0.1/day", "all", false, false, utility},
	{"iron", "iron", 1200, 1, "0.1/day", "all", false, false, doeWatts},
	{"hair-dryer", "hair dryer", 1500, 1, "0.1/day", "all", false, false, doeWatts},
	{"blanket", "electric blanket", 60, 1, "21-24", "11-03", false, false, doeWatts},
	{"well-pump", "well pump", 750, 1, "0.7/day", "all", false, false, allMemory},
	{"heating-pump", "circulation pump of the heating", 40, 1, "12/day", "10-04", false, false, allMemory},
	{"furnace-fan", "furnace fan", 750, 1, "4/day", "10-04", false, false, doeWatts},
	{"ceiling-fan", "ceiling fan", 65, 1, "6/day", "06-09", false, false, doeWatts},
	{"window-fan", "window fan", 200, 1, "4/day", "06-09", false, false, "US DOE worked example: 200 W, 4 h, 120 days"},
	{"dehumidifier", "dehumidifier", 785, 1, "14/week", "all", false, true, doeWatts},
	{"tools", "workshop tools", 1000, 1, "0.3/day", "all", false, false, allMemory},
	{"water-heater", "water heater, second element", 1000, 1, "4/day", "all", false, true, allMemory},
	{"controls", "controllers and meters", 9, 1, "all", "all", true, false, "measured in one off-grid house (Murphy 2012)"},
}

// Typicals returns the built-in list of appliances.
func Typicals() []Typical { return append([]Typical(nil), typicals...) }

// FindTypical returns the appliance of the built-in list with a key, and
// whether there is one.
func FindTypical(key string) (Typical, bool) {
	for _, t := range typicals {
		if t.Key == key {
			return t, true
		}
	}
	return Typical{}, false
}

package report

// Caution is a warning with what it is about.
type Caution struct{ Title, Text string }

// Dangers says what a site has that can hurt.
type Dangers struct {
	Hydro  bool
	Bank   []Caution // those of its chemistry
	Dump   bool
	Tank   bool // the dump load heats a water tank
	Engine bool // a generator
}

// Cautions returns the usual cautions, those that a site has cause for.
//
// Most follow the rules for workplaces and makers' common practice:
//   - hydrogen, vents, eye protection, drenching, acid and tools at lead-acid
//     banks: US 29 CFR 1926.441(a) and 1910.178(g);
//   - no disconnecting of a running turbine, pipe rating with surge, air vents,
//     no charging of lithium iron phosphate below 0 °C: makers' manuals;
//   - water rights before digging, residual flow: job sheets of public
//     agricultural services;
//   - the order of starting and stopping, direct-current switches, a tank's
//     thermostat, air while equalising, a generator out of doors: common
//     practice.
func Cautions(d Dangers) []Caution {
	cs := []Caution{{"Estimates, not a guarantee.",
		"The numbers come from models and from the site’s own figures. A year can be worse than any on record. Check them against a meter before money is spent."}}
	if d.Hydro {
		cs = append(cs,
			Caution{"Load before water.", "Connect and check the load and the dump load before the valve is opened, slowly. Shut the valve slowly before anything is disconnected. " +
				"A turbine that loses its load runs away within seconds, and its voltage climbs to what destroys equipment and kills."},
			Caution{"Dump load.", "It must always be connected, take at least the machine’s greatest output with a margin, and stand where its heat harms nothing."},
			Caution{"Pipe pressure and surge.", "Static pressure and the surge of a fast-shut valve together stay below the pipe’s rating everywhere. Fill the pipe slowly with the vent open; " +
				"let air out at high points and in below the intake. Never let the intake run dry."},
			Caution{"Falling water and slopes.", "Creeks rise fast, wet rock and banks give way, and people are drawn into intakes. Do not go alone; keep children away."},
			Caution{"Water rights.", "Rights to the water, permits and the flow that must stay in the creek come before digging. Leave the creek its own."})
	}
	if d.Tank {
		cs = append(cs, Caution{"The tank’s thermostat.", "It must never disconnect the dump load: the turbine would run away. When the tank is hot, the power goes to a second load, such as an air heater; " +
			"the tank has a relief valve and a tempering valve of its own, since it can boil and scald."})
	}
	if d.Engine {
		cs = append(cs, Caution{"Carbon monoxide.", "A generator’s exhaust kills without smell or warning. It stands out of doors, far from windows and doors and never in a cellar, garage or shed joined to the house; " +
			"a carbon monoxide alarm hangs where people sleep. Fuel goes into a cold engine only."})
	}
	cs = append(cs, Caution{"Direct current and fire.", "A bank can feed thousands of amperes into a fault, and an arc of direct current does not go out by itself. " +
		"Fuses and switches rated for direct current stand close to the bank. Panels are live as long as light falls on them."})
	cs = append(cs, d.Bank...)
	return append(cs, Caution{"Who decides.", "Local codes and licensed electricians decide what is built and how, not this report."})
}

// NotModelled lists what a year leaves out and what follows from it.
func NotModelled(hydro bool) []string {
	list := []string{
		"What happens within an hour: a kettle of ten minutes counts with its mean. Short peaks can still trip an inverter.",
		"Snow and dirt on panels, and shadows of single trees, unless they are in the horizon or the losses.",
		"Daylight saving: all hours are the site’s standard time.",
		"Breakdowns and repairs. Every machine works every hour of the year.",
	}
	if hydro {
		list = append(list,
			"Leaves, silt and ice at the intake, and the wear of nozzles and runner by sand.",
			"Water hammer in motion; only the greatest surge of a shut valve is reckoned.")
	}
	return append(list, "A change of climate: the years of the record stand for the years to come.")
}

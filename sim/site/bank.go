package site

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/storage"
)

// bank reads [bank].
func (l *loader) bank() {
	t := l.Table("bank")
	if t == nil {
		if !l.Given("bank") {
			l.MissingTable("bank", "write [bank] and below it chemistry and capacity; capacity = \"0 kWh\" means that there is none")
		}
		return
	}
	name := t.Choice("chemistry", storage.Chemistries(), files.Need(chemistries()))
	voltage := 0.0
	hasVoltage := t.Has("voltage")
	if hasVoltage {
		voltage = t.Quantity("voltage", measure.Voltages, 6, 1000, files.Optional)
	}
	capacity, u := t.QuantityUnit("capacity", measure.Capacities, 0, 1e7, files.Need("rated: capacity = \"9.6 kWh\", or in Ah with a voltage"))
	if u.Name == "Ah" {
		if !hasVoltage {
			t.Wrong("capacity", "add voltage = \"48 V\" to [bank], or give the capacity in kWh", "a capacity in Ah needs the bank's voltage")
		}
		capacity *= voltage
	}
	if !hasVoltage {
		voltage = 48
		if u.Name != "Ah" {
			l.ByDefault(t.Key("voltage"), "48 V", "the usual bank of a house")
		}
	}
	b, ok := storage.Preset(name, capacity, voltage)
	if ok {
		l.bankValues(t, &b)
		l.site.Bank = b
		c := &l.site.Hydro
		if *c != nil && (*c).Cable.LengthM > 0 && (*c).Cable.VoltageV == 0 {
			(*c).Cable.VoltageV = voltage
			l.ByDefault("cable.voltage", measure.Trim(voltage)+" V", "the bank's")
		}
		t.Done()
	}
}

// bankValues reads what a site may say in place of the chemistry's values.
func (l *loader) bankValues(t *files.Table, b *storage.Bank) {
	percent := func(v float64) string { return measure.Trim(100*v) + " %" }
	why := func(text, key string) files.Absent {
		return files.Or(text, b.Chemistry+": "+storage.Why(b.Chemistry, key))
	}

	switch t.Choice("model", []string{"bucket", "two-well"}, files.Or(map[storage.Model]string{storage.Bucket: "bucket", storage.TwoWell: "two-well"}[b.Model], map[storage.Model]string{storage.Bucket: "one store", storage.TwoWell: "two wells, of which one gives slowly"}[b.Model]+": usual for "+b.Chemistry)) {
	case "bucket":
		b.Model = storage.Bucket
	case "two-well":
		b.Model = storage.TwoWell
	}
	b.FollowsAir = t.Choice("place", []string{"indoors", "shed"}, files.Or("indoors", "not given")) == "shed"
	if s := l.site; b.FollowsAir && s.Rain.RainMM != nil && s.Rain.TMinC == nil && l.sunRead && !s.Sun.HasTemp && (s.Sun.Hourly == nil || s.Sun.Hourly.TempC == nil) {
		t.Wrong("place", "add tmin_c and tmax_c to rain.csv, or temp_c to sun.csv", "a bank in a shed follows the air, whose temperature is not known")
	}
	indoor := files.Or(measure.Trim(b.IndoorC)+" C", "a lived-in house")
	if b.FollowsAir {
		indoor = files.Optional
		t.Has("indoor_temp")
	}
	if v := t.Quantity("indoor_temp", measure.Temperatures, -20, 45, indoor); !b.FollowsAir {
		b.IndoorC = v
	}

	floor := why(percent(b.FloorSoC), "floor")
	b.FloorSoC = t.Quantity("floor", measure.Fractions, 0, 0.95, floor)
	b.ReconnectSoC = t.Quantity("reconnect", measure.Fractions, 0, 1, files.Optional)
	comfort := files.Or(percent(math.Min(1, b.FloorSoC+0.2)), "20 points above the floor")
	if math.IsNaN(b.FloorSoC) {
		comfort = files.Or("70 %", "20 points above the floor")
	}
	b.ComfortSoC = t.Quantity("comfort_soc", measure.Fractions, 0, 1, comfort)
	b.StartSoC = t.Quantity("start_soc", measure.Fractions, 0, 1, files.Or("100 %", "the sunny season has just ended"))
	for _, k := range []struct {
		key string
		v   float64
	}{{"reconnect", b.ReconnectSoC}, {"comfort_soc", b.ComfortSoC}, {"start_soc", b.StartSoC}} {
		if t.Has(k.key) && k.v < b.FloorSoC {
			t.Wrong(k.key, "raise it, or lower the floor", "%s is below the floor of %s", percent(k.v), percent(b.FloorSoC))
		}
	}
	b.ChargeEfficiency = t.Quantity("charge_efficiency", measure.Fractions, 0.3, 1, why(percent(b.ChargeEfficiency), "charge_efficiency"))
	b.DischargeEfficiency = t.Quantity("discharge_efficiency", measure.Fractions, 0.3, 1, why(percent(b.DischargeEfficiency), "discharge_efficiency"))
	b.MaxChargeW = l.bankPower(t, "max_charge", b.MaxChargeW, b, why("", "charge_rate"))
	b.MaxDischargeW = l.bankPower(t, "max_discharge", b.MaxDischargeW, b, why("", "discharge_rate"))
	leak := math.Pow(1-b.SelfDischargePerH, measure.YearH/12)
	if t.Has("self_discharge") {
		b.SelfDischargePerH = t.Quantity("self_discharge", measure.FractionsPerHour, 0, 0.01, files.Optional)
	} else {
		a := why(fmt.Sprintf("%s %%/month", measure.Trim(100*(1-leak))), "self_discharge")
		l.ByDefault(t.Key("self_discharge"), a.Text, a.Reason)
	}
	if b.Model == storage.TwoWell {
		b.WellFraction = t.Quantity("well_share", measure.Factors, 0.01, 1, why(measure.Trim(b.WellFraction), "well_share"))
		b.WellRatePerH = t.Number("well_rate", 1e-3, 100, why(measure.Trim(b.WellRatePerH), "well_rate"))
	} else {
		// They have no meaning here, but a wrong one is wrong all the same.
		t.Quantity("well_share", measure.Factors, 0.01, 1, files.Optional)
		t.Number("well_rate", 1e-3, 100, files.Optional)
	}
	if t.Has("charge_above") {
		b.ChargeAboveC = t.Quantity("charge_above", measure.Temperatures, -60, 40, files.Optional)
	} else if b.ChargeAboveC > -100 {
		a := why(measure.Trim(b.ChargeAboveC)+" C", "charge_above")
		l.ByDefaultOf(t.Key("charge_above"), measure.Temperatures, a.Text, a.Reason)
	}
	l.chargeByTemp(t, b)
	b.CalendarYears = t.Quantity("calendar_life", measure.YearCounts, 0.5, 60, why(measure.Trim(b.CalendarYears)+" years", "calendar_life"))
	l.bankCurves(t, b)
}

// bankPower reads a limit in W or, at the bank's voltage, in A.
func (l *loader) bankPower(t *files.Table, key string, preset float64, b *storage.Bank, a files.Absent) float64 {
	if !t.Has(key) {
		if b.CapacityWh > 0 {
			l.ByDefault(t.Key(key), measure.Trim(math.Round(preset))+" W", a.Reason)
		}
		return preset
	}
	v, u := t.QuantityUnit(key, measure.PowersOrCurrents, 0.1, 1e6, files.Optional)
	if u.Name == "A" {
		v *= b.VoltageV
	}
	return v
}

// chargeByTemp reads what the bank may be charged with as it gets colder or
// warmer.
func (l *loader) chargeByTemp(t *files.Table, b *storage.Bank) {
	if t.Has("charge_by_temperature") {
		const example = `[["0 C", 0.1], ["5 C", 0.2], ["10 C", 1]]: from this temperature on, and the share of the capacity an hour`
		xs, ys := t.Curve("charge_by_temperature", measure.Temperatures, measure.Factors, [2]float64{-60, 80}, [2]float64{0, 10}, example)
		b.ChargeByTemp = nil
		for i := range xs {
			b.ChargeByTemp = append(b.ChargeByTemp, storage.RateStep{FromC: xs[i], PerHour: ys[i]})
		}
	} else if len(b.ChargeByTemp) > 0 {
		l.ByDefault(t.Key("charge_by_temperature"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "charge_by_temperature"))
	}
}

func (l *loader) bankCurves(t *files.Table, b *storage.Bank) {
	if t.Has("cycle_life") {
		const example = `[["30 %", 2000], ["80 %", 700]]: the depth of discharge, and how many cycles it lasts`
		xs, ys := t.Curve("cycle_life", measure.Fractions, measure.CycleCounts, [2]float64{0.01, 1}, [2]float64{10, 1e6}, example)
		b.CycleLife = nil
		for i := range xs {
			if i > 0 && ys[i] > ys[i-1] {
				t.Wrong("cycle_life", "deeper cycles wear more", "the cycles rise with the depth")
			}
			b.CycleLife = append(b.CycleLife, storage.CyclePoint{Depth: xs[i], Cycles: ys[i]})
		}
	} else {
		l.ByDefault(t.Key("cycle_life"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "cycle_life"))
	}
	if t.Has("capacity_by_temperature") {
		const example = `[["0 C", "84 %"], ["25 C", "100 %"]]`
		xs, ys := t.Curve("capacity_by_temperature", measure.Temperatures, measure.Fractions, [2]float64{-60, 60}, [2]float64{0.05, 1.2}, example)
		b.CapacityByTemp = nil
		for i := range xs {
			b.CapacityByTemp = append(b.CapacityByTemp, storage.TempPoint{TempC: xs[i], Fraction: ys[i]})
		}
	} else {
		l.ByDefault(t.Key("capacity_by_temperature"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "capacity_by_temperature"))
	}
}

// chemistries says what each name of a chemistry stands for.
func chemistries() string {
	var words []string
	for _, name := range storage.Chemistries() {
		c, _ := storage.ChemistryOf(name)
		words = append(words, name+": "+c.Cells)
	}
	return strings.Join(words, "; ")
}

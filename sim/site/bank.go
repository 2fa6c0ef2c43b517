package site

import (
	"fmt"
	"math"

	"sunrill/storage"
)

// bank reads [bank].
func (l *loader) bank() {
	t := l.table("bank")
	if t == nil {
		if _, there := l.tree["bank"]; !there {
			l.missingTable("bank", "write [bank] and below it chemistry and capacity; capacity = \"0 kWh\" means that there is none")
		}
		return
	}
	name := t.choice("chemistry", storage.Chemistries(), need("flooded and agm are lead-acid, lfp is lithium iron phosphate"))
	voltage := 0.0
	hasVoltage := t.has("voltage")
	if hasVoltage {
		voltage = t.quantity("voltage", Voltage, 6, 1000, optional)
	}
	capacity, u := t.quantityUnit("capacity", bankCapacity, 0, 1e7, need("rated: capacity = \"9.6 kWh\", or in Ah with a voltage"))
	if u.name == "Ah" {
		if !hasVoltage {
			t.wrong("capacity", "add voltage = \"48 V\" to [bank], or give the capacity in kWh", "a capacity in Ah needs the bank's voltage")
		}
		capacity *= voltage
	}
	if !hasVoltage {
		voltage = 48
		if u.name != "Ah" {
			l.byDefault(t.key("voltage"), "48 V", "the usual bank of a house")
		}
	}
	b, ok := storage.Preset(name, capacity, voltage)
	if ok {
		l.bankValues(t, &b)
		l.site.Bank = b
		c := &l.site.Hydro
		if *c != nil && (*c).Cable.LengthM > 0 && (*c).Cable.VoltageV == 0 {
			(*c).Cable.VoltageV = voltage
			l.byDefault("cable.voltage", trimNumber(voltage)+" V", "the bank's")
		}
		t.done()
	}
}

// bankValues reads what a site may say in place of the chemistry's values.
func (l *loader) bankValues(t *table, b *storage.Bank) {
	percent := func(v float64) string { return trimNumber(100*v) + " %" }
	why := func(text, key string) absent { return or(text, b.Chemistry+": "+storage.Why(b.Chemistry, key)) }

	switch t.choice("model", []string{"bucket", "two-well"}, or(map[storage.Model]string{storage.Bucket: "bucket", storage.TwoWell: "two-well"}[b.Model], "usual for "+b.Chemistry)) {
	case "bucket":
		b.Model = storage.Bucket
	case "two-well":
		b.Model = storage.TwoWell
	}
	b.FollowsAir = t.choice("place", []string{"indoors", "shed"}, or("indoors", "not given")) == "shed"
	if s := l.site; b.FollowsAir && s.Rain.RainMM != nil && s.Rain.TMinC == nil && l.sunRead && !s.Sun.HasTemp && (s.Sun.Hourly == nil || s.Sun.Hourly.TempC == nil) {
		t.wrong("place", "add tmin_c and tmax_c to rain.csv, or temp_c to sun.csv", "a bank in a shed follows the air, whose temperature is not known")
	}
	indoor := or(trimNumber(b.IndoorC)+" C", "a lived-in house")
	if b.FollowsAir {
		indoor = optional
		t.has("indoor_temp")
	}
	if v := t.quantity("indoor_temp", Temperature, -20, 45, indoor); !b.FollowsAir {
		b.IndoorC = v
	}

	floor := why(percent(b.FloorSoC), "floor")
	b.FloorSoC = t.quantity("floor", Share, 0, 0.95, floor)
	b.ReconnectSoC = t.quantity("reconnect", Share, 0, 1, optional)
	comfort := or(percent(math.Min(1, b.FloorSoC+0.2)), "20 points above the floor")
	if math.IsNaN(b.FloorSoC) {
		comfort = or("70 %", "20 points above the floor")
	}
	b.ComfortSoC = t.quantity("comfort_soc", Share, 0, 1, comfort)
	b.StartSoC = t.quantity("start_soc", Share, 0, 1, or("100 %", "the sunny season has just ended"))
	for _, k := range []struct {
		key string
		v   float64
	}{{"reconnect", b.ReconnectSoC}, {"comfort_soc", b.ComfortSoC}, {"start_soc", b.StartSoC}} {
		if t.has(k.key) && k.v < b.FloorSoC {
			t.wrong(k.key, "raise it, or lower the floor", "%s is below the floor of %s", percent(k.v), percent(b.FloorSoC))
		}
	}
	b.ChargeEfficiency = t.quantity("charge_efficiency", Share, 0.3, 1, why(percent(b.ChargeEfficiency), "charge_efficiency"))
	b.DischargeEfficiency = t.quantity("discharge_efficiency", Share, 0.3, 1, why(percent(b.DischargeEfficiency), "discharge_efficiency"))
	b.MaxChargeW = l.bankPower(t, "max_charge", b.MaxChargeW, b, why("", "charge_rate"))
	b.MaxDischargeW = l.bankPower(t, "max_discharge", b.MaxDischargeW, b, why("", "discharge_rate"))
	leak := math.Pow(1-b.SelfDischargePerH, yearH/12)
	if t.has("self_discharge") {
		b.SelfDischargePerH = t.quantity("self_discharge", SharePerHour, 0, 0.01, optional)
	} else {
		a := why(fmt.Sprintf("%s %%/month", trimNumber(100*(1-leak))), "self_discharge")
		l.byDefault(t.key("self_discharge"), a.text, a.reason)
	}
	if b.Model == storage.TwoWell {
		b.WellShare = t.quantity("well_share", Factor, 0.01, 1, why(trimNumber(b.WellShare), "well_share"))
		b.WellRatePerH = t.number("well_rate", 1e-3, 100, why(trimNumber(b.WellRatePerH), "well_rate"))
	} else {
		t.has("well_share")
		t.has("well_rate")
	}
	if t.has("charge_above") {
		b.ChargeAboveC = t.quantity("charge_above", Temperature, -60, 40, optional)
	} else if b.ChargeAboveC > -100 {
		a := why(trimNumber(b.ChargeAboveC)+" C", "charge_above")
		l.byDefault(t.key("charge_above"), a.text, a.reason)
	}
	l.chargeByTemp(t, b)
	b.CalendarYears = t.quantity("calendar_life", Years, 0.5, 60, why(trimNumber(b.CalendarYears)+" years", "calendar_life"))
	l.bankCurves(t, b)
}

// bankPower reads a limit in W or, at the bank's voltage, in A.
func (l *loader) bankPower(t *table, key string, preset float64, b *storage.Bank, a absent) float64 {
	if !t.has(key) {
		if b.CapacityWh > 0 {
			l.byDefault(t.key(key), trimNumber(math.Round(preset))+" W", a.reason)
		}
		return preset
	}
	v, u := t.quantityUnit(key, bankPower, 0.1, 1e6, optional)
	if u.name == "A" {
		v *= b.VoltageV
	}
	return v
}

// chargeByTemp reads what the bank may be charged with as it gets colder or
// warmer.
func (l *loader) chargeByTemp(t *table, b *storage.Bank) {
	if t.has("charge_by_temperature") {
		const example = `[["0 C", 0.1], ["5 C", 0.2], ["10 C", 1]]: from this temperature on, and the share of the capacity an hour`
		xs, ys := t.curve("charge_by_temperature", Temperature, Factor, [2]float64{-60, 80}, [2]float64{0, 10}, example)
		b.ChargeByTemp = nil
		for i := range xs {
			b.ChargeByTemp = append(b.ChargeByTemp, storage.RateStep{FromC: xs[i], PerHour: ys[i]})
		}
	} else if len(b.ChargeByTemp) > 0 {
		l.byDefault(t.key("charge_by_temperature"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "charge_by_temperature"))
	}
}

func (l *loader) bankCurves(t *table, b *storage.Bank) {
	if t.has("cycle_life") {
		const example = `[["30 %", 2000], ["80 %", 700]]: the depth of discharge, and how many cycles it lasts`
		xs, ys := t.curve("cycle_life", Share, cycles, [2]float64{0.01, 1}, [2]float64{10, 1e6}, example)
		b.CycleLife = nil
		for i := range xs {
			if i > 0 && ys[i] > ys[i-1] {
				t.wrong("cycle_life", "deeper cycles wear more", "the cycles rise with the depth")
			}
			b.CycleLife = append(b.CycleLife, storage.CyclePoint{Depth: xs[i], Cycles: ys[i]})
		}
	} else {
		l.byDefault(t.key("cycle_life"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "cycle_life"))
	}
	if t.has("capacity_by_temperature") {
		const example = `[["0 C", "84 %"], ["25 C", "100 %"]]`
		xs, ys := t.curve("capacity_by_temperature", Temperature, Share, [2]float64{-60, 60}, [2]float64{0.05, 1.2}, example)
		b.CapacityByTemp = nil
		for i := range xs {
			b.CapacityByTemp = append(b.CapacityByTemp, storage.TempPoint{TempC: xs[i], Share: ys[i]})
		}
	} else {
		l.byDefault(t.key("capacity_by_temperature"), "table of "+b.Chemistry, storage.Why(b.Chemistry, "capacity_by_temperature"))
	}
}

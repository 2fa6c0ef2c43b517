package gather

import (
	"regexp"
	"strings"
	"unicode"
)

// quantity is what a column holds.
type quantity uint8

const (
	nothing quantity = iota
	rain
	rainSoFar // accumulated since the season began
	tmin
	tmax
	tmean
	ghi
	dni
	dhi
	daySun // a day's or a month's sun
	demand
	flow
	soc
	hydroW
	pvW
	volume
	seconds
	method
	note
	totalDays // how many days the rain of a row covers
	severalDaysRain
	wetDays // of a month
	quality // the service's flags of the column before
	dateCell
	yearCell
	monthCell
	dayCell
	dayOfYear
	clockCell
)

var quantityNames = map[quantity]string{
	rain: "rain", rainSoFar: "rain", tmin: "lowest temperature", tmax: "highest temperature", tmean: "mean temperature",
	ghi: "sun, global", dni: "sun, direct", dhi: "sun, diffuse", daySun: "sun", demand: "demand", flow: "flow", soc: "charge of the bank", hydroW: "hydro", pvW: "panels",
	volume: "volume", seconds: "seconds", method: "method", note: "note", totalDays: "days of a total", severalDaysRain: "totals of several days", wetDays: "wet days",
}

var socWord = regexp.MustCompile(`(?i)\bsoc(_|\b)`)

// unitKinds are the kinds of unit that a quantity may have.
var unitKinds = map[quantity][]string{
	rain: {"depth"}, rainSoFar: {"depth"}, severalDaysRain: {"depth"}, tmin: {"temp"}, tmax: {"temp"}, tmean: {"temp"},
	ghi: {"sun", "day sun"}, dni: {"sun"}, dhi: {"sun"}, daySun: {"day sun", "sun"}, demand: {"power", "energy"}, flow: {"flow"}, soc: {"share"}, hydroW: {"power"}, pvW: {"power"},
	volume: {"volume"}, seconds: {"time"},
}

// wordsOf cuts the name of a column into words: "Max Air Temp (F)", "tempMax",
// "TMAX_ATTRIBUTES".
func wordsOf(header string) []string {
	var b strings.Builder
	before := ' '
	for _, r := range header {
		if unicode.IsUpper(r) && unicode.IsLower(before) {
			b.WriteByte(' ')
		}
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '%' {
			b.WriteRune(unicode.ToLower(r))
		} else {
			b.WriteByte(' ')
		}
		before = r
	}
	return strings.Fields(b.String())
}

// quantityOf tells what a column holds by its name.
func quantityOf(header string) quantity {
	words := wordsOf(header)
	if len(words) == 0 {
		return nothing
	}
	has := func(list string) bool {
		for _, w := range words {
			for _, known := range strings.Fields(list) {
				if w == known {
					return true
				}
			}
		}
		return false
	}
	begins := func(list string) bool {
		for _, w := range words {
			for _, known := range strings.Fields(list) {
				if strings.HasPrefix(w, known) {
					return true
				}
			}
		}
		return false
	}
	one := words[0]
	whole := strings.Join(words, " ")
	low, high := has("min minimum lowest low tmin mintemp tempmin mini minima minimale mín mínima minimo"), has("max maximum highest high tmax maxtemp tempmax maxi maxima maximale máx máxima massimo")
	temperature := begins("temp air tmin tmax mintemp maxtemp lufttemp")
	switch {
	case has("qc qual quality flag flags attributes attribute"):
		return quality
	case has("station stn id latitude lat longitude lon long elevation elev region county state name uid") && !begins("precip rain temp prcp charge"):
		return nothing
	case has("days") && begins("rain wet precip prcp") && !begins("accum dry"):
		return wetDays
	case has("probability chance normal departure anomaly"):
		return nothing
	case has("dapr") && len(words) == 1:
		return totalDays
	case has("mdpr") && len(words) == 1:
		return severalDaysRain
	case begins("days") && has("accum accumulated total included") || whole == "number of days":
		return totalDays
	case begins("rain precip prcp pcp ppt niederschlag regen pluie pluvio lluvia pioggia precipitaz chuva neerslag nedbør nederbörd prec") || len(words) <= 2 && (one == "rr" || one == "rrr" || one == "rs" || one == "rsk"):
		switch {
		case has("days hours duration type intensity rate evap evapotranspiration snow minutes count event wet dauer art form"):
			return nothing
		case begins("accum cumul") && !begins("increment"):
			return rainSoFar
		case begins("year month mtd ytd season"):
			return nothing
		}
		return rain
	case has("tmin mintemp tn tnk") && len(words) <= 3, low && temperature && !high:
		if has("soil dew grass ground water rel humidity hum dewpoint wet") {
			return nothing
		}
		return tmin
	case has("tmax maxtemp tx txk") && len(words) <= 3, high && temperature && !low:
		if has("soil dew grass ground water rel humidity hum dewpoint wet") {
			return nothing
		}
		return tmax
	case len(words) <= 2 && (one == "low" || one == "high") && (len(words) == 1 || has("c f")):
		return map[string]quantity{"low": tmin, "high": tmax}[one]
	case has("tavg tmean temp temperature tempc tempf tas tobs") && !has("soil dew ground water dewpoint wet wetbulb bank battery panel module cell max min"), len(words) <= 2 && one == "t" && has("c f"):
		return tmean
	case has("dni dirnormirr") || has("direct beam dir") && has("normal norm"):
		return dni
	case has("dhi dhr") || begins("diff") && begins("horiz sun solar rad irr"):
		return dhi
	case has("ghi srad glo") || begins("glob") && begins("horiz sun solar rad irr"):
		return ghi
	case begins("sunhour peaksun insol") || has("sun") && has("hours") || has("psh"):
		return daySun
	case has("sol solar") && begins("rad irr") || one == "radiation" || one == "irradiance" || one == "irradiation" || begins("globalstrahlung"):
		return daySun
	case socWord.MatchString(header) || begins("charge") && has("state"):
		return soc
	case begins("hydro turbine"):
		return hydroW
	case has("pv") || has("solar panel panels array") && begins("power watt w kw"):
		return pvW
	case begins("flow discharge streamflow débit debit caudal abfluss") || whole == "q":
		return flow
	case begins("demand load consumption usage verbrauch consumo") || has("power watts kw kwh wh energy leistung"):
		return demand
	case begins("volume bucket") || has("vol"):
		return volume
	case begins("seconds sec timing fill") && !has("section"):
		return seconds
	case whole == "method" || whole == "how":
		return method
	case begins("remark comment note bemerkung observa notes obs anmerkung"):
		return note
	}
	return dateQuantity(words)
}

// dateQuantity tells which part of a date a column holds.
func dateQuantity(words []string) quantity {
	one := words[0]
	in := func(list string) bool {
		for _, known := range strings.Fields(list) {
			if one == known {
				return true
			}
		}
		return false
	}
	switch {
	case in("date datum fecha data dato dag tag datetime timestamp jour dia día giorno") && !(in("day") && len(words) == 1):
		return dateCell
	case in("doy jday julian jul yday dayofyear") || strings.Join(words, " ") == "day of year":
		return dayOfYear
	case in("year yr yyyy jahr año ano année anno yy"):
		return yearCell
	case in("month mon mo mm monat mes mois mese m"):
		return monthCell
	case in("day dd dy d"):
		return dayCell
	case in("time hour hr hh uhrzeit hora heure ora zeit"):
		return clockCell
	case in("local utc gmt lst observed observation reading read when"):
		for _, w := range words[1:] {
			switch w {
			case "date", "day", "datetime", "timestamp":
				return dateCell
			case "time", "hour":
				return clockCell
			}
		}
		return dateCell
	}
	for _, w := range words {
		if w == "date" || w == "timestamp" || w == "datetime" {
			return dateCell
		}
	}
	return nothing
}

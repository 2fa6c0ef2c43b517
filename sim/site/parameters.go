package site

import (
	"math"

	"sunrill/sim/files"
)

type parameterRow struct {
	Parameter string       `csv:"parameter"`
	Value     files.Number `csv:"value"`
	Low       files.Maybe  `csv:"low"`
	High      files.Maybe  `csv:"high"`
}

var (
	parameterColumns = files.Columns{}.Must("parameter", "value").May("low", "high").Most(1000, "is it the right file?")
	curveColumns     = []string{"soil_depth_mm", "quick_share", "quick_days", "recession_days", "floor_lps", "gain_lps", "exponent"}
	catchmentColumns = []string{"x1_mm", "x2_mm_day", "x3_mm", "x4_days"}
)

// areaColumn stands in stream.csv where the site does not tell the area and it
// was fitted with the rest.
const areaColumn = "area_km2"

// parameters reads the fitted parameters of a model, and their ranges into list.
func (l *loader) parameters(file, model string, list *[]Parameter) map[string]float64 {
	rows, s, ok := files.Rows[parameterRow](l.Folder, file, "\"sunrill fit\" writes it from gaugings.csv", parameterColumns)
	if s == nil || !ok {
		return nil
	}
	known, other := curveColumns, catchmentColumns
	if model == "catchment" {
		known, other = other, known
	}
	fitted := map[string]float64{}
	stranger := false // told once: a whole file of another model is one mistake
	for i, r := range rows {
		name := r.Parameter
		if _, twice := fitted[name]; twice {
			s.Wrong(i, "parameter", "keep one of them", "%q stands there twice", name)
		}
		if !contains(known, name) && name != areaColumn {
			hint := files.DidYouMean(name, known)
			if contains(other, name) {
				if stranger {
					continue
				}
				stranger = true
				hint = "it belongs to another model than [stream] model = \"" + model + "\""
			}
			s.Wrong(i, "parameter", hint, "%q is no parameter of the model", files.Short(name))
			continue
		}
		fitted[name] = float64(r.Value)
		p := Parameter{Name: name, Value: float64(r.Value), Low: math.NaN(), High: math.NaN()}
		if r.Low.Given && r.High.Given {
			p.Low, p.High = r.Low.Value, r.High.Value
		}
		*list = append(*list, p)
	}
	return fitted
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

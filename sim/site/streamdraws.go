package site

import (
	"bytes"
	"fmt"
	"path"
	"strings"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// drawRow is a row of stream-draws.csv: one creek of those that a fit allows.
type drawRow struct {
	SoilDepthMM   files.Number `csv:"soil_depth_mm"`
	QuickFraction files.Number `csv:"quick_share"`
	QuickDays     files.Number `csv:"quick_days"`
	RecessionDays files.Number `csv:"recession_days"`
	FloorLPS      files.Number `csv:"floor_lps"`
	GainLPS       files.Number `csv:"gain_lps"`
	Exponent      files.Number `csv:"exponent"`
	X1MM          files.Number `csv:"x1_mm"`
	X2MMDay       files.Number `csv:"x2_mm_day"`
	X3MM          files.Number `csv:"x3_mm"`
	X4Days        files.Number `csv:"x4_days"`
	AreaKM2       files.Maybe  `csv:"area_km2"`
	ErrorSD       files.Number `csv:"error_sd"`
	ErrorDay      files.Number `csv:"error_next_day"`
	ErrorGrowth   files.Number `csv:"error_growth"`
	ErrorAtLPS    files.Number `csv:"error_at_lps"`
	ErrorAddLPS   files.Number `csv:"error_add_lps"`
}

var errorColumns = []string{"error_sd", "error_next_day", "error_growth", "error_at_lps", "error_add_lps"}

// drawRanges are what the columns may hold.
var drawRanges = map[string][2]float64{
	"soil_depth_mm": {1, 5000}, "quick_share": {0, 1}, "quick_days": {0.05, 60}, "recession_days": {0.5, 1000},
	"floor_lps": {0, 1e5}, "gain_lps": {0, 1e5}, "exponent": {0.1, 10},
	"x1_mm": {1, 1e4}, "x2_mm_day": {-50, 50}, "x3_mm": {0.1, 5000}, "x4_days": {0.5, 20}, areaColumn: {1e-4, 1e4},
	"error_sd": {0, 10}, "error_next_day": {0, 1}, "error_growth": {-5, 5}, "error_at_lps": {0, 1e6}, "error_add_lps": {0, 1e6},
}

// DrawFile is the name of the draws that belong to a file of parameters:
// stream-draws.csv to stream.csv.
func DrawFile(parameters string) string {
	return strings.TrimSuffix(parameters, path.Ext(parameters)) + "-draws.csv"
}

// DrawCSV returns the content of a stream-draws.csv: a row a draw, its
// parameters under names, and its daily error.
func DrawCSV(model string, names []string, values [][]float64, draws []stream.Draw) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %d creeks of the model %q that the readings allow, a row each; belongs to stream.csv.\n", len(draws), model)
	b.WriteString("# error_sd: how far a day's flow strays from the model, on its logarithm; error_next_day: how much of that lasts to the next day;\n")
	b.WriteString("# error_growth: how it grows with flow, from error_at_lps on; error_add_lps: flows far below this count as none.\n")
	b.WriteString(strings.Join(append(append([]string(nil), names...), errorColumns...), ",") + "\n")
	for i, d := range draws {
		for _, v := range values[i] {
			b.WriteString(sixDigits(v) + ",")
		}
		e := d.Error
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", sixDigits(e.SD), sixDigits(e.Correlation), sixDigits(e.Growth), sixDigits(1e3*e.ReferenceM3S), sixDigits(1e3*e.AddM3S))
	}
	return b.Bytes()
}

// draws reads the draws that belong to a file of parameters, if they are
// there. The area is the site's where the draws have none.
func (l *loader) draws(parameters, model string, areaM2 float64, fitted map[string]float64) []stream.Draw {
	file := DrawFile(parameters)
	if !l.Exists(file) {
		return nil
	}
	names := curveColumns
	if model == "catchment" {
		names = catchmentColumns
	}
	asked := append(append([]string(nil), names...), errorColumns...)
	columns := files.Columns{}.Must(asked...).May(areaColumn)
	rows, s, ok := files.Rows[drawRow](l.Folder, file, "\"sunrill fit\" writes it with "+parameters, columns)
	if s == nil || !ok {
		return nil
	}
	minimum, maximum := map[string]float64{}, map[string]float64{}
	var draws []stream.Draw
	for i, r := range rows {
		d := stream.Draw{Error: stream.DailyError{SD: float64(r.ErrorSD), Correlation: float64(r.ErrorDay), Growth: float64(r.ErrorGrowth),
			ReferenceM3S: float64(r.ErrorAtLPS) / 1e3, AddM3S: float64(r.ErrorAddLPS) / 1e3}}
		area := areaM2
		if r.AreaKM2.Given {
			area = r.AreaKM2.Value * 1e6
		}
		if model == "catchment" {
			d.Model = stream.Catchment{AreaM2: area, X1MM: float64(r.X1MM), X2MMD: float64(r.X2MMDay), X3MM: float64(r.X3MM), X4D: float64(r.X4Days)}
		} else {
			d.Model = stream.Curve{SoilDepthMM: float64(r.SoilDepthMM), QuickFraction: float64(r.QuickFraction), QuickDays: float64(r.QuickDays), RecessionDays: float64(r.RecessionDays),
				FloorM3S: float64(r.FloorLPS) / 1e3, GainM3S: float64(r.GainLPS) / 1e3, Exponent: float64(r.Exponent), AreaM2: area}
		}
		by := r.byName(model)
		for _, name := range append(asked, areaColumn) {
			v, there := by[name]
			if !there {
				continue
			}
			if in := drawRanges[name]; !(v >= in[0] && v <= in[1]) {
				s.Wrong(i, name, "copy the file from \"sunrill fit\" anew", "%s is outside %s to %s", measure.Trim(v), measure.Trim(in[0]), measure.Trim(in[1]))
			}
			if i == 0 || v < minimum[name] {
				minimum[name] = v
			}
			if i == 0 || v > maximum[name] {
				maximum[name] = v
			}
		}
		draws = append(draws, d)
	}
	for _, name := range names {
		v, low := fitted[name], minimum[name]
		if (v < low || v > maximum[name]) && len(rows) >= 20 {
			l.warn("%s seems to belong to another fit than %s: %s = %s is outside all its rows; copy both files from one fit", file, parameters, name, measure.Trim(v))
			break
		}
	}
	return draws
}

// byName returns the numbers of a row that its model uses.
func (r drawRow) byName(model string) map[string]float64 {
	v := map[string]float64{"error_sd": float64(r.ErrorSD), "error_next_day": float64(r.ErrorDay), "error_growth": float64(r.ErrorGrowth),
		"error_at_lps": float64(r.ErrorAtLPS), "error_add_lps": float64(r.ErrorAddLPS)}
	if r.AreaKM2.Given {
		v[areaColumn] = r.AreaKM2.Value
	}
	if model == "catchment" {
		v["x1_mm"], v["x2_mm_day"], v["x3_mm"], v["x4_days"] = float64(r.X1MM), float64(r.X2MMDay), float64(r.X3MM), float64(r.X4Days)
		return v
	}
	v["soil_depth_mm"], v["quick_share"], v["quick_days"], v["recession_days"] = float64(r.SoilDepthMM), float64(r.QuickFraction), float64(r.QuickDays), float64(r.RecessionDays)
	v["floor_lps"], v["gain_lps"], v["exponent"] = float64(r.FloorLPS), float64(r.GainLPS), float64(r.Exponent)
	return v
}

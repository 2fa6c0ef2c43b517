package site

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
)

// Parameter is a row of stream.csv: a fitted value and its range.
type Parameter struct {
	Name             string
	Value, Low, High float64 // Low and High are NaN where not known
}

// ParameterCSV returns the content of a stream.csv.
func ParameterCSV(model string, ps []Parameter) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# Fitted to gaugings.csv; [stream] model = %q and parameters = \"stream.csv\" use it.\nparameter,value,low,high\n", model)
	for _, p := range ps {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", p.Name, sixDigits(p.Value), sixDigits(p.Low), sixDigits(p.High))
	}
	return b.Bytes()
}

func sixDigits(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}

package plots_test

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"sunrill/plots"
)

// A new chart is a function of plain numbers: a plot, its marks, and words.
func ExampleChart() {
	start := time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)
	bucketS := []float64{31, 30, 22, 14, 12, 11, 13, 16, 19, 24, 28, 30}

	p := plots.New("", "s for 20 L")
	readings := plots.Points{Color: plots.Measured.Color(), Y: bucketS}
	for month := range bucketS {
		readings.X = append(readings.X, start.AddDate(0, month, 14).Sub(start).Hours()/24)
	}
	p.Add(readings)
	plots.YearAxis(p, start, 365)
	c := plots.Chart{
		Name:    "bucket",
		Title:   "How long the bucket takes to fill",
		Caption: "One reading a month, in the middle of it.",
		Alt:     "Twelve readings between 11 and 31 seconds.",
		Legend:  []plots.LegendEntry{{Label: "measured", Mark: readings}},
		Plot:    p,
	}

	dir, err := os.MkdirTemp("", "sunrill")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	fmt.Println(c.Save(filepath.Join(dir, c.Name+".svg"), "svg"))
	fmt.Println(p.X.Label.Text)
	// Output:
	// <nil>
	// month, 2016–17
}

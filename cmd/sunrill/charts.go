package main

import (
	"io"
	"math"
	"strconv"

	"golang.org/x/sync/errgroup"

	"sunrill/plots"
	"sunrill/sim/record"
)

// writeCharts draws charts into charts/, as many at a time as there are
// processors, and writes the numbers that are in no other file beside them.
func (c *call) writeCharts(f *record.Folder, charts []plots.Chart) error {
	var group errgroup.Group
	group.SetLimit(workers())
	for _, chart := range charts {
		group.Go(func() error {
			name := "charts/" + chart.Name + "."
			if chart.Numbers != nil {
				if err := f.Write(name+"csv", func(w io.Writer) error { return writeDrawn(w, chart.Numbers) }); err != nil {
					return err
				}
			}
			return f.Write(name+c.opts.format, func(w io.Writer) error { return chart.WriteTo(w, c.opts.format) })
		})
	}
	return group.Wait()
}

// writeDrawn writes what a chart draws as a table.
func writeDrawn(w io.Writer, drawn []plots.Column) error {
	rows := 0
	columns := make([]record.Column, len(drawn))
	for i, c := range drawn {
		if c.Texts != nil {
			rows, columns[i] = len(c.Texts), record.Texts(c.Name, c.Texts)
		} else {
			rows, columns[i] = len(c.Values), shortNumbers(c.Name, c.Values)
		}
	}
	return record.WriteTable(w, rows, columns)
}

// shortNumbers is a column without needless zeros.
func shortNumbers(name string, values []float64) record.Column {
	return record.Column{Name: name, Cell: func(dst []byte, row int) []byte {
		if math.IsNaN(values[row]) {
			return dst
		}
		return strconv.AppendFloat(dst, record.Round(values[row], 3), 'f', -1, 64)
	}}
}

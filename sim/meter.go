package sim

import (
	"math"
	"time"
)

// Reading is one quantity as an owner's meter logged it. Values are means
// over the time until the next one, or spot values; missing ones are NaN.
type Reading struct {
	Time   []time.Time
	Values []float64
}

// Log is what really happened, as an owner's meters recorded it. Missing values
// are NaN.
type Log struct {
	Time []time.Time
	SoC  []float64            // a value for each time, 0 to 1; nil: not recorded
	W    map[string][]float64 // of the sources that were recorded, by key
}

// Comparison is a log laid beside the run, hour by hour.
type Comparison struct {
	Hours []int     // hours of the run that the meter covers, rising
	Meter []float64 // the log's mean in each of them
	Model []float64 // the run's value in each of them

	MeterMean, ModelMean float64
	Bias                 float64 // mean of model less meter
	MeanError            float64 // mean of the absolute difference
	RMSError             float64
	Correlation          float64 // NaN if either does not vary
}

// CompareMeter lays a log beside an hourly series of the run that begins at
// start: y.SoC, in.W(Creek), or in.W(Panels) less y.CurtailedW. Several readings in an
// hour are averaged; readings outside the run and NaN are left out. Bias above
// 0 means that the model promises more than the meter saw.
func CompareMeter(start time.Time, model []float64, r Reading) Comparison {
	var c Comparison
	sum := make([]float64, len(model))
	count := make([]int, len(model))
	for i, at := range r.Time {
		since := at.Sub(start)
		v := r.Values[i]
		if since < 0 || math.IsNaN(v) {
			continue
		}
		if h := int(since / time.Hour); h < len(model) {
			sum[h] += v
			count[h]++
		}
	}
	for h, n := range count {
		if n > 0 {
			c.Hours = append(c.Hours, h)
			c.Meter = append(c.Meter, sum[h]/float64(n))
			c.Model = append(c.Model, model[h])
		}
	}
	n := float64(len(c.Hours))
	if n == 0 {
		return c
	}
	for i := range c.Hours {
		d := c.Model[i] - c.Meter[i]
		c.MeterMean += c.Meter[i] / n
		c.ModelMean += c.Model[i] / n
		c.Bias += d / n
		c.MeanError += math.Abs(d) / n
		c.RMSError += d * d / n
	}
	c.RMSError = math.Sqrt(c.RMSError)
	var xx, yy, xy float64
	for i := range c.Hours {
		x, y := c.Meter[i]-c.MeterMean, c.Model[i]-c.ModelMean
		xx, yy, xy = xx+x*x, yy+y*y, xy+x*y
	}
	flat := func(squares, mean float64) bool { return squares <= n*mean*mean*1e-18 } // but for rounding
	if c.Correlation = xy / math.Sqrt(xx*yy); flat(xx, c.MeterMean) || flat(yy, c.ModelMean) {
		c.Correlation = math.NaN()
	}
	return c
}

// Spread returns the log's means as a value for each of the run's hours, NaN
// where the meter says nothing.
func (c *Comparison) Spread(hours int) []float64 {
	vs := make([]float64, hours)
	for h := range vs {
		vs[h] = math.NaN()
	}
	for i, h := range c.Hours {
		vs[h] = c.Meter[i]
	}
	return vs
}

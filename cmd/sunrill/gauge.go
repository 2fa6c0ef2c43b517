package main

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/pflag"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

// gaugeFlags lists the flags of each way to gauge.
var gaugeFlags = map[string][]string{
	"bucket": {"volume", "seconds"},
	"weir":   {"notch", "width", "height", "sill", "pool", "below"},
	"float":  {"width", "depths", "distance", "seconds", "bed"},
}

func gaugeCommand() command {
	return command{
		name:  "gauge",
		args:  "bucket|weir|float [flags]",
		brief: "turn readings of the creek into a flow with its error",
		long: `Turns what was read at the creek into a flow and its error.

bucket  --volume --seconds: the vessel and the times in which it filled
weir    --notch --height (V-notch), or --width --height (rectangular); the height
        of the water over the notch, read some steps upstream
float   --width --depths --distance --seconds --bed: a float timed along a
        straight reach

--save keeps the reading in the site's gaugings.csv, for "sunrill fit".`,
		example: "sunrill gauge bucket --volume 20L --seconds 14.2,13.8,14.5",
		groups:  withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.String("volume", "", "bucket: its volume up to the mark, such as 20L or 5gal")
			fs.Float64Slice("seconds", nil, "bucket, float: the times taken, in s, such as 14.2,13.8,14.5")
			fs.Float64("notch", 0, "weir: angle of a V-notch in degrees")
			fs.String("height", "", "weir: height of the water over the notch, such as 12cm or 5in")
			fs.String("width", "", "weir: width of a rectangular notch; float: width of the creek")
			fs.String("sill", "", "weir: from the bed of the pool up to the notch, if known")
			fs.String("pool", "", "weir: width of the pool behind it, if known")
			fs.String("below", "", "weir: from the notch down to the water downstream, if known")
			fs.String("depths", "", "float: depths at equal steps from bank to bank, such as 12,20,15cm")
			fs.String("distance", "", "float: length of the reach, such as 5m")
			fs.String("bed", "gravel", "float: bed of the reach: "+strings.Join(stream.Beds[:], ", "))
			fs.String("save", "", "site folder in whose gaugings.csv to keep the reading")
			fs.String("date", "", "day of the reading to keep, such as 2016-11-05 (default today)")
			fs.String("note", "", "a word to keep with the reading")
		},
		run: runGauge,
	}
}

func runGauge(c *call) error {
	const ways = "bucket, weir or float"
	if len(c.args) != 1 {
		return usageError{"gauge needs the way of gauging: " + ways + ", such as: sunrill gauge bucket --volume 20L --seconds 14.2,13.8,14.5"}
	}
	method := c.args[0]
	mine, ok := gaugeFlags[method]
	if !ok {
		return usageError{fmt.Sprintf("gauge: %q is none of %s%s", method, ways, didYouMean(method, []string{"bucket", "weir", "float"}))}
	}
	if err := c.strangers(method, mine); err != nil {
		return err
	}
	date, err := c.gaugingDate()
	if err != nil {
		return err
	}
	r, raw, err := c.gauged(method)
	if err != nil {
		return err
	}
	if r.FlowM3S > site.GreatestFlowM3S {
		return usageError{fmt.Sprintf("gauge %s: %s is a river's flow: above %s this program is of no use", method, measure.Metric.Flow(r.FlowM3S), measure.Metric.Flow(site.GreatestFlowM3S))}
	}
	for _, text := range r.Cautions {
		c.warn(text)
	}
	c.say("%s, give or take %s: %s.", both(func(s measure.System) string { return s.Flow(r.FlowM3S) }),
		measure.Percent(r.ErrorM3S/r.FlowM3S), c.fills(r, raw))
	if method == "float" {
		c.say("%s", wrap("A float runs faster than the creek as a whole: the flow is taken down by the usual factor of the bed, quoted from memory. A bucket or a weir is surer."))
	}
	if dir, _ := c.flags.GetString("save"); dir != "" {
		note, _ := c.flags.GetString("note")
		raw.Gauging = stream.Gauging{Date: date, Method: r.Method, FlowM3S: r.FlowM3S, ErrorM3S: r.ErrorM3S, Note: note}
		if err := site.AppendGauging(dir, raw); err != nil {
			return fmt.Errorf("keep the reading: %w", err)
		}
		c.say("Kept in gaugings.csv of %s for %s.", dir, date.Format("2 January 2006"))
	}
	return c.emit(record.SummarizeReading(r))
}

// strangers refuses flags that belong to another way of gauging.
func (c *call) strangers(method string, mine []string) error {
	var err error
	c.flags.Visit(func(f *pflag.Flag) {
		for other, names := range gaugeFlags {
			if slices.Contains(names, f.Name) && !slices.Contains(mine, f.Name) {
				err = usageError{fmt.Sprintf("--%s belongs to gauge %s, not to gauge %s", f.Name, other, method)}
			}
		}
	})
	return err
}

// gaugingDate reads --date, which goes with --save.
func (c *call) gaugingDate() (time.Time, error) {
	text, _ := c.flags.GetString("date")
	save, _ := c.flags.GetString("save")
	if c.flags.Changed("save") && save == "" {
		return time.Time{}, usageError{"--save needs the name of a site folder"}
	}
	for _, name := range []string{"date", "note"} {
		if c.flags.Changed(name) && save == "" {
			return time.Time{}, usageError{fmt.Sprintf("--%s goes with --save SITE, which keeps the reading", name)}
		}
	}
	if text == "" {
		return time.Now(), nil
	}
	day, err := time.Parse("2006-01-02", text)
	if err != nil {
		return time.Time{}, usageError{fmt.Sprintf("--date: %q is no day; write year-month-day, such as 2016-11-05", text)}
	}
	if y := day.Year(); y < files.FirstYear || y > files.LastYear {
		return time.Time{}, usageError{fmt.Sprintf("--date: the year %d is outside %d to %d", y, files.FirstYear, files.LastYear)}
	}
	return day, nil
}

// gauged reckons the flow.
func (c *call) gauged(method string) (r stream.Reading, raw site.RawReading, err error) {
	switch method {
	case "bucket":
		r, raw, err = c.bucket()
	case "weir":
		r, err = c.weir()
	case "float":
		r, err = c.float()
	}
	if _, ours := err.(usageError); err != nil && !ours {
		err = usageError{fmt.Sprintf("gauge %s: %v", method, err)}
	}
	return r, raw, err
}

func (c *call) bucket() (r stream.Reading, raw site.RawReading, err error) {
	if err := c.needs("bucket", "volume", "seconds"); err != nil {
		return r, raw, err
	}
	if raw.VolumeM3, err = c.quantity("volume", measure.Volumes, 1e-5, 100, "0.01 L to 100 m3"); err != nil {
		return r, raw, err
	}
	if raw.Seconds, err = c.flags.GetFloat64Slice("seconds"); err != nil {
		return r, raw, err
	}
	text, _ := c.flags.GetString("volume")
	raw.US = strings.Contains(strings.ToLower(text), "gal")
	r, err = stream.Bucket(raw.VolumeM3, raw.Seconds)
	return r, raw, err
}

// fills tells the flow as a time in which a bucket fills: the one that was
// used, else the usual one.
func (c *call) fills(r stream.Reading, raw site.RawReading) string {
	if raw.VolumeM3 == 0 {
		return measure.Metric.BucketFills(r.FlowM3S)
	}
	volume, unit := raw.VolumeM3*1e3, "L"
	if raw.US {
		volume, unit = volume/measure.GallonL, "gal"
	}
	return fmt.Sprintf("the %s %s bucket fills in %s", measure.Trim(volume), unit, measure.Seconds(raw.VolumeM3/r.FlowM3S))
}

func (c *call) weir() (stream.Reading, error) {
	if !c.flags.Changed("notch") && !c.flags.Changed("width") {
		return stream.Reading{}, usageError{"gauge weir needs --notch (degrees of a V-notch) or --width (of a rectangular one)"}
	}
	if err := c.needs("weir", "height"); err != nil {
		return stream.Reading{}, err
	}
	w := stream.Weir{BelowTold: c.flags.Changed("below")}
	w.NotchDeg, _ = c.flags.GetFloat64("notch")
	if c.flags.Changed("notch") && !(w.NotchDeg > 0) {
		return stream.Reading{}, usageError{"--notch must be above 0 degrees"}
	}
	for _, f := range []struct {
		name string
		to   *float64
		low  float64
		span string
	}{
		{"height", &w.HeadM, 0, "0 to 50 m"}, {"width", &w.WidthM, 1e-3, "1 mm to 50 m"}, {"sill", &w.SillM, 1e-3, "1 mm to 50 m"},
		{"pool", &w.PoolWidthM, 1e-3, "1 mm to 50 m"}, {"below", &w.BelowM, -50, "-50 m to 50 m"},
	} {
		if !c.flags.Changed(f.name) {
			continue
		}
		v, err := c.quantity(f.name, measure.Lengths, f.low, 50, f.span)
		if err != nil {
			return stream.Reading{}, err
		}
		*f.to = v
	}
	return w.Gauge()
}

func (c *call) float() (stream.Reading, error) {
	if err := c.needs("float", "width", "depths", "distance", "seconds"); err != nil {
		return stream.Reading{}, err
	}
	var f stream.FloatRun
	var err error
	if f.WidthM, err = c.quantity("width", measure.Lengths, 0.01, 200, "1 cm to 200 m"); err != nil {
		return stream.Reading{}, err
	}
	if f.DistanceM, err = c.quantity("distance", measure.Lengths, 0.1, 1000, "0.1 m to 1 km"); err != nil {
		return stream.Reading{}, err
	}
	if f.Seconds, err = c.flags.GetFloat64Slice("seconds"); err != nil {
		return stream.Reading{}, err
	}
	text, _ := c.flags.GetString("depths")
	if f.DepthsM, err = depths(text); err != nil {
		return stream.Reading{}, err
	}
	f.Bed, _ = c.flags.GetString("bed")
	return stream.Float(f)
}

// depths reads "12,20,15cm" or "12cm,20cm,15cm" in m: a number without a unit
// takes that of the last.
func depths(list string) ([]float64, error) {
	words := strings.Split(list, ",")
	last := strings.TrimSpace(words[len(words)-1])
	unit := strings.TrimLeftFunc(last, func(r rune) bool { return !unicode.IsLetter(r) })
	var all []float64
	for _, word := range words {
		word = strings.TrimSpace(word)
		if word != "" && !strings.ContainsFunc(word, unicode.IsLetter) {
			word += unit
		}
		m, err := measure.Lengths.Parse(word)
		if err != nil {
			return nil, usageError{fmt.Sprintf("--depths: %v", err)}
		}
		all = append(all, m)
	}
	return all, nil
}

var gaugeExamples = map[string]string{
	"bucket": "bucket --volume 20L --seconds 14.2,13.8,14.5",
	"weir":   "weir --notch 90 --height 12cm",
	"float":  "float --width 1.2m --depths 12,20,15cm --distance 5m --seconds 12,11,13 --bed rocky",
}

// needs refuses a call that lacks flags.
func (c *call) needs(method string, names ...string) error {
	for _, name := range names {
		if !c.flags.Changed(name) {
			return usageError{fmt.Sprintf("gauge %s needs --%s, such as: sunrill gauge %s", method, strings.Join(names, " --"), gaugeExamples[method])}
		}
	}
	return nil
}

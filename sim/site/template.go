package site

import (
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"

	"sunrill/sim/measure"
)

// Template says what a new site folder begins as. The zero value, but for
// LatDeg and LonDeg, is a copy of the built-in homestead.
type Template struct {
	With           []string // appliances of the built-in list; nil: those of the template
	Blank          bool     // comments to fill in, in place of the homestead
	US             bool     // written in US units
	LatDeg, LonDeg float64  // of a blank site; NaN: left to be filled in
}

// Write lays the folder. It refuses one that has something in it, and writes
// all or nothing.
func (t Template) Write(dir string) error {
	from, with := DemoFS(), t.With
	if t.Blank {
		var err error
		if from, err = fs.Sub(blankFiles, "blank"); err != nil {
			panic("site: " + err.Error())
		}
		if with == nil {
			with = []string{"fridge", "lights", "laptop", "router", "controls"}
		}
	}
	texts := map[string][]byte{}
	err := fs.WalkDir(from, ".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			texts[path], err = fs.ReadFile(from, path)
		}
		return err
	})
	if err != nil {
		return err
	}
	if with != nil {
		if texts[loadsFile], err = applianceList(with); err != nil {
			return err
		}
	}
	toml := string(texts[descriptionFile])
	if t.Blank {
		toml = fillIn(toml, "latitude", t.LatDeg)
		toml = fillIn(toml, "longitude", t.LonDeg)
	}
	if t.US {
		toml = describeUS(toml, map[bool]int{true: 2, false: 3}[t.Blank])
		for name, text := range texts {
			if strings.HasSuffix(name, ".csv") {
				texts[name] = []byte(tableUS(string(text)))
			}
		}
	}
	texts[descriptionFile] = []byte(toml)
	return layFolder(dir, texts)
}

// fillIn takes the comment sign off a key and gives it a value.
func fillIn(toml, key string, v float64) string {
	if math.IsNaN(v) {
		return toml
	}
	line := regexp.MustCompile(`(?m)^# ` + key + ` = \S+ *`)
	return line.ReplaceAllStringFunc(toml, func(old string) string {
		line := key + " = " + strconv.FormatFloat(v, 'f', -1, 64)
		return line + strings.Repeat(" ", max(1, len(old)-len(line)))
	})
}

var (
	quotedText = regexp.MustCompile(`"[^"\n]*"`)
	keyLine    = regexp.MustCompile(`(?m)^((?:# )?\w+ = )([^#\n]*?)( *)(#.*)?$`)
)

// describeUS writes the quantities of a description in US units, to some
// digits, and keeps its comments in their column.
func describeUS(toml string, digits int) string {
	toml = strings.NewReplacer(`section = "25 mm2"               # of one wire, or gauge = "2 AWG"`, `gauge = "3 AWG"                  # of one wire, or section = "25 mm2"`, `section = "25 mm2"`, `gauge = "3 AWG"`,
		"penstock_per_m =                  # or penstock_per_ft", "penstock_per_ft =                 # or penstock_per_m", "digging_per_m =                   # of the pipe's trench; or digging_per_ft", "digging_per_ft =                  # of the pipe's trench; or digging_per_m", "fuel_per_l =                      # or fuel_per_gal", "fuel_per_gal =                    # or fuel_per_l",
		`units = "metric"                  # or "us"`, `units = "us"                      # or "metric"`, `units = "metric"`, `units = "us"`, `# currency = "EUR"`, `# currency = "USD"`).Replace(toml)
	toml = strings.Replace(toml, `# units = "us"  `, `units = "us"    `, 1)
	return keyLine.ReplaceAllStringFunc(toml, func(line string) string {
		m := keyLine.FindStringSubmatch(line)
		value := quotedText.ReplaceAllStringFunc(m[2], func(q string) string {
			return `"` + measure.US.Respell(strings.Trim(q, `"`), digits) + `"`
		})
		if m[4] == "" {
			return m[1] + value
		}
		gap := max(1, len(m[2])+len(m[3])-len(value))
		return m[1] + value + strings.Repeat(" ", gap) + m[4]
	})
}

// columnsUS are the columns of tables that have a US spelling.
var columnsUS = map[string]struct {
	name           string
	factor, offset float64
	decimals       int
}{
	"rain_mm": {"rain_in", 1 / measure.MMPerInch, 0, 3}, "tmin_c": {"tmin_f", 1.8, 32, 1}, "tmax_c": {"tmax_f", 1.8, 32, 1}, "temp_c": {"temp_f", 1.8, 32, 1},
	"volume_l": {"volume_gal", 1 / measure.GallonL, 0, 2}, "flow_lps": {"flow_gpm", 60 / measure.GallonL, 0, 1},
}

// tableUS writes a table in US units, the examples in its comments too.
func tableUS(csv string) string {
	lines := strings.Split(csv, "\n")
	at := -1
	var header []string
	for i, l := range lines {
		if !strings.HasPrefix(l, "#") && l != "" {
			at, header = i, strings.Split(l, ",")
			break
		}
	}
	for i, l := range lines {
		mark := ""
		if rest, ok := strings.CutPrefix(l, "# "); ok {
			if len(rest) < 11 || rest[4] != '-' || rest[10] != ',' {
				continue
			}
			mark, l = "# ", rest
		}
		cells := strings.Split(l, ",")
		if i < at && mark == "" || len(cells) < len(header) {
			continue
		}
		for c, name := range header {
			to, ok := columnsUS[name]
			switch {
			case !ok:
			case i == at:
				cells[c] = to.name
			default:
				if v, err := strconv.ParseFloat(cells[c], 64); err == nil {
					cells[c] = fmt.Sprintf("%.*f", to.decimals, v*to.factor+to.offset)
				}
			}
		}
		lines[i] = mark + strings.Join(cells, ",")
	}
	return strings.Join(lines, "\n")
}

package site_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/site"
)

// rows writes a table of about so many bytes.
func rows(header string, bytes int, row func(b *strings.Builder, i int)) string {
	var b strings.Builder
	b.Grow(bytes + 1000)
	b.WriteString(header + "\n")
	for i := 0; b.Len() < bytes; i++ {
		row(&b, i)
	}
	return b.String()
}

const (
	hourlySun = "\n[sun]\nhourly = \"sun-hourly.csv\"\n"
	ownMeter  = "\n[loads]\nhourly = \"demand.csv\"\n"
)

// shapes make folders with tables and descriptions of about so many bytes with
// something wrong in most of them, or in all: what a person might get from a program
// that went wrong, or put there by mistake. The last ones are right.
func shapes() map[string]func(bytes int) map[string]string {
	day0 := time.Date(1805, 1, 1, 0, 0, 0, 0, time.UTC)
	day := func(i int) string { return day0.AddDate(0, 0, i%140_000).Format("2006-01-02") }
	hour := func(i int) string {
		return day0.Add(time.Duration(i) * time.Hour).Format("2006-01-02 15:04")
	}
	describe := func(more string) string {
		toml := string(folder(nil)["site.toml"].Data)
		for _, table := range []string{"[sun]", "[loads]"} {
			if strings.Contains(more, table) {
				toml = strings.Replace(toml, table+"\n", "", 1)
			}
		}
		return toml + more
	}
	creek := describe("\n[stream]\nmodel = \"curve\"\nrecession_days = 30\ngain = \"1 L/s\"\n")
	type shape = func(bytes int) map[string]string
	rain := func(row func(b *strings.Builder, i int)) shape {
		return func(bytes int) map[string]string {
			return map[string]string{"rain.csv": rows("date,rain_mm,tmin_c,tmax_c", bytes, row)}
		}
	}
	sun := func(header string, row func(b *strings.Builder, i int)) shape {
		return func(bytes int) map[string]string {
			return map[string]string{"site.toml": describe(hourlySun), "sun-hourly.csv": rows(header, bytes, row)}
		}
	}
	table := func(description, file, header string, row func(b *strings.Builder, i int)) shape {
		return func(bytes int) map[string]string {
			return map[string]string{"site.toml": description, file: rows(header, bytes, row)}
		}
	}
	text := func(file string, of func(bytes int) string) shape {
		return func(bytes int) map[string]string { return map[string]string{file: of(bytes)} }
	}
	// A description is never larger than 256 kB.
	toml := func(of func(bytes int) string) shape {
		return func(bytes int) map[string]string {
			return map[string]string{"site.toml": of(min(bytes, 250<<10))}
		}
	}
	plain := describe("")
	return map[string]shape{
		"rows of x":            rain(func(b *strings.Builder, i int) { b.WriteString("x,\n") }),
		"rows of four x":       rain(func(b *strings.Builder, i int) { b.WriteString("x,x,x,x\n") }),
		"one day":              rain(func(b *strings.Builder, i int) { b.WriteString("2016-11-05,1,2,3\n") }),
		"days backwards":       rain(func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,1,2,3\n", day(139_999-i%140_000)) }),
		"empty columns":        rain(func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,1,,\n", day(i)) }),
		"empty rain":           rain(func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,,2,3\n", day(i)) }),
		"rain below 0":         rain(func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,-999,9,3\n", day(i)) }),
		"every other day":      rain(func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,1,2,3\n", day(5*i)) }),
		"commas":               rain(func(b *strings.Builder, i int) { b.WriteString(strings.Repeat(",", 99) + "1\n") }),
		"open quote":           rain(func(b *strings.Builder, i int) { b.WriteString("\"2016-11-05,1,2,3\n") }),
		"quotes within":        rain(func(b *strings.Builder, i int) { b.WriteString("2016-11-05,1\"2,2,3\n") }),
		"one quote":            text("rain.csv", func(bytes int) string { return "date,rain_mm\n\"" + strings.Repeat("2016-11-05,1\n", bytes/13) }),
		"one line":             text("rain.csv", func(bytes int) string { return "date,rain_mm\n" + strings.Repeat("1,", bytes/2) }),
		"comments":             rain(func(b *strings.Builder, i int) { b.WriteString("#\n") }),
		"line ends":            text("rain.csv", func(bytes int) string { return strings.Repeat("\n", bytes) }),
		"returns":              text("rain.csv", func(bytes int) string { return strings.Repeat("\r", bytes) }),
		"hours of x":           sun("time,ghi_w_m2", func(b *strings.Builder, i int) { b.WriteString("x,x\n") }),
		"one hour":             sun("time,ghi_w_m2", func(b *strings.Builder, i int) { b.WriteString("2016-11-05 14:00,1\n") }),
		"hours backwards":      sun("time,ghi_w_m2", func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,1\n", hour(3_000_000-i)) }),
		"hours without values": sun("time,ghi_w_m2,dni_w_m2,temp_c", func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,,,\n", hour(i)) }),
		"hours with gaps":      sun("time,ghi_w_m2,dni_w_m2,temp_c", func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,1,,5\n", hour(6*i)) }),
		"meter backwards": func(bytes int) map[string]string {
			return map[string]string{"site.toml": describe(ownMeter),
				"demand.csv": rows("time,demand_w", bytes, func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,-5\n", hour(3_000_000-i)) }),
				"meter.csv":  rows("time,soc_pct", bytes/4, func(b *strings.Builder, i int) { fmt.Fprintf(b, "%s,500\n", hour(3_000_000-i)) })}
		},
		"readings of one day": table(creek, "gaugings.csv", "date,method,volume_l,seconds,flow_lps", func(b *strings.Builder, i int) {
			fmt.Fprintf(b, "2015-11-05,%s,,,%d\n", []string{"float", "weir", "meter"}[i%3], i%100)
		}),
		"unknown methods": table(creek, "gaugings.csv", "date,method,flow_lps", func(b *strings.Builder, i int) { b.WriteString("2015-11-05,buckett,1\n") }),
		"many timings": table(creek, "gaugings.csv", "date,method,volume_l,seconds", func(b *strings.Builder, i int) {
			b.WriteString("2015-11-05,bucket,20," + strings.Repeat("14.2 ", 1900) + "\n")
		}),
		"appliances": table(plain, "loads.csv", "name,watts,hours", func(b *strings.Builder, i int) { b.WriteString("lights,forty,25-26\n") }),
		"many hours": table(plain, "loads.csv", "name,watts,hours", func(b *strings.Builder, i int) { b.WriteString("lights,40," + strings.Repeat("06-08 ", 1600) + "\n") }),
		"hills": table(strings.Replace(plain, "[sun]", "[sun]\nhorizon = \"horizon.csv\"", 1), "horizon.csv", "bearing_deg,height_deg", func(b *strings.Builder, i int) {
			fmt.Fprintf(b, "%d.%07d,5\n", i%360, i)
		}),
		"months":         table(plain, "sun.csv", "month,sun_hours", func(b *strings.Builder, i int) { b.WriteString("1,2\n") }),
		"letters":        text("rain.csv", func(bytes int) string { return strings.Repeat("a", bytes) }),
		"other encoding": text("rain.csv", func(bytes int) string { return strings.Repeat("a\n", bytes/2) + "\xe9" }),
		"one long key":   toml(func(few int) string { return plain + strings.Repeat("k", few) + " = 1\n" }),
		"one dotted key": toml(func(few int) string { return plain + strings.Repeat("k.", few/2) + "k = 1\n" }),
		"dotted keys": toml(func(few int) string {
			return rows("", few, func(b *strings.Builder, i int) { fmt.Fprintf(b, "[%sk%d]\n", strings.Repeat("k.", 15), i) })
		}),
		"unknown keys": toml(func(few int) string {
			return rows("", few, func(b *strings.Builder, i int) { fmt.Fprintf(b, "k%d=1\n", i) })
		}),
		"unknown tables": toml(func(few int) string {
			return rows("", few, func(b *strings.Builder, i int) { fmt.Fprintf(b, "[t%d]\n", i) })
		}),
		"arrays": toml(func(few int) string {
			return describe(rows("", few, func(b *strings.Builder, i int) { b.WriteString("[[array]]\n") }))
		}),
		"brackets": toml(func(few int) string { return plain + "x = " + strings.Repeat("[\n", few/2) }),
		"brackets closed": toml(func(few int) string {
			return plain + "x = " + strings.Repeat("[\n", few/4) + strings.Repeat("]\n", few/4)
		}),
		"lines of a list": toml(func(few int) string {
			return describe("[turbine]\nnozzles = [\n" + strings.Repeat("\"6 mm\",\n", few/8) + "]\n")
		}),
		"no TOML": toml(func(few int) string {
			return rows("", few, func(b *strings.Builder, i int) { b.WriteString("“\n\n[a]\n") })
		}),
		"long name": toml(func(few int) string {
			return describe("\n[costs]\ncurrency = \"\"\"\n" + strings.Repeat(strings.Repeat("c", 99)+"\n", few/100) + "\"\"\"\n")
		}),

		"right days": rain(func(b *strings.Builder, i int) {
			fmt.Fprintf(b, "%s,1.25,2.25,13.75\n", day0.AddDate(0, 0, i).Format("2006-01-02"))
		}),
		"right hours": table(describe(ownMeter), "demand.csv", "time,demand_w", func(b *strings.Builder, i int) {
			fmt.Fprintf(b, "%s,%d.123456789012345678901234567890\n", hour(i), i%500)
		}),
	}
}

// lay writes a folder of a shape.
func lay(t testing.TB, shape map[string]string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	for name, f := range folder(shape) {
		if err := os.WriteFile(filepath.Join(dir, name), f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Whatever is wrong with a file, the time that its reading takes grows with
// its size and not faster, and no more problems and warnings are kept than
// anybody reads.
func TestTimeGrowsWithSize(t *testing.T) {
	const small, factor = 50 << 10, 4
	for name, shape := range shapes() {
		took := func(shape map[string]string) time.Duration {
			dir := lay(t, shape)
			best := time.Hour
			for range 3 {
				began := time.Now()
				s, err := site.Load(dir, site.Options{})
				best = min(best, time.Since(began))
				var ps files.Problems
				switch {
				case err == nil:
					if len(s.Warnings) > 201 {
						t.Errorf("%s: %d warnings", name, len(s.Warnings))
					}
				case !errors.As(err, &ps) || len(ps) > 200 || len(err.Error()) > 50_000:
					t.Errorf("%s: %d problems, %d bytes", name, len(ps), len(err.Error()))
				}
			}
			return best
		}
		// A square would take 16 times as long, every time; what takes no time
		// at all is not measured, and a busy machine may try again.
		const minimum = 4 * time.Millisecond
		for try := 1; ; try++ {
			a, b := took(shape(small)), took(shape(factor*small))
			if b <= 10*max(a, minimum) {
				break
			}
			if try == 3 {
				t.Errorf("%s: %v for %d kB, %v for %d kB", name, a, small>>10, b, factor*small>>10)
				break
			}
		}
	}
}

// BenchmarkLargeFiles reads 50 MB of each shape; the resident memory is the
// greatest so far in the process: run one shape at a time to know its own.
func BenchmarkLargeFiles(b *testing.B) {
	for name, shape := range shapes() {
		b.Run(name, func(b *testing.B) {
			dir := lay(b, shape(50<<20))
			for b.Loop() {
				site.Load(dir, site.Options{})
			}
		})
	}
}

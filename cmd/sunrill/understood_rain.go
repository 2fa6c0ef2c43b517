package main

import (
	"fmt"
	"math"
	"time"

	"sunrill/plots/report"
	"sunrill/weather"
)

// rain is the chapter on the rain record: its years and months, its extremes.
func (k *checked) rain() report.Section {
	s, u := k.h.Site, units(k.h.Site)
	r := s.Rain
	axis := u.RainAxis()
	sec := report.Section{ID: "rain", Title: "The rain"}
	e := r.Extremes()
	at := func(i int) string { return r.Start.AddDate(0, 0, i).Format("2 January 2006") }
	text := fmt.Sprintf("Wettest day: %s on %s.", u.Rain(r.RainMM[e.Wettest]), at(e.Wettest))
	if e.Coldest >= 0 {
		text += fmt.Sprintf(" Temperatures run from %s (%s) to %s (%s).", u.Temp(r.TMinC[e.Coldest]), at(e.Coldest), u.Temp(r.TMaxC[e.Hottest]), at(e.Hottest))
	}
	sec.Text = []string{text}
	t := report.Table{Caption: fmt.Sprintf("Rain by year and month, %s", axis.Unit), Head: []string{""}}
	for m := time.January; m <= time.December; m++ {
		t.Head = append(t.Head, m.String()[:3])
	}
	t.Head = append(t.Head, "year")
	amount := func(mm float64) string {
		if axis.Unit == "in" {
			return fmt.Sprintf("%.1f", axis.Of(mm))
		}
		return fmt.Sprintf("%.0f", mm)
	}
	row := func(name string, y weather.RainYear) []string {
		cells := []string{name}
		for m := range 12 {
			if y.Days[m] < 28 {
				cells = append(cells, "")
				continue
			}
			cells = append(cells, amount(y.MM[m]))
		}
		total, whole := y.TotalMM()
		if !whole {
			return append(cells, "")
		}
		return append(cells, amount(total))
	}
	years := r.RainYears()
	const most = 15
	shown := years
	if len(years) > most {
		shown = years[len(years)-most+3:]
	}
	for _, y := range shown {
		t.Rows = append(t.Rows, row(fmt.Sprint(y.Year), y))
	}
	mean, driest, wettest := meanYear(years)
	if len(shown) < len(years) && driest >= 0 {
		t.Rows = append(t.Rows, row(fmt.Sprintf("driest, %d", years[driest].Year), years[driest]), row(fmt.Sprintf("wettest, %d", years[wettest].Year), years[wettest]))
	}
	if len(years) > 1 {
		t.Rows = append(t.Rows, row("mean", mean))
	}
	t.Note = "Calendar years; months that the record has not whole are left blank."
	sec.Tables = []report.Table{t}
	return sec
}

// meanYear is the mean of each month over its whole years, and which whole year
// is the driest and which the wettest; -1 if none is whole.
func meanYear(years []weather.RainYear) (mean weather.RainYear, driest, wettest int) {
	driest, wettest = -1, -1
	low, high := math.Inf(1), math.Inf(-1)
	for m := range 12 {
		n := 0.0
		for _, y := range years {
			if y.Days[m] >= 28 {
				mean.MM[m] += y.MM[m]
				n++
			}
		}
		if n > 0 {
			mean.MM[m] /= n
			mean.Days[m] = 31
		}
	}
	for i, y := range years {
		total, whole := y.TotalMM()
		if whole && total < low {
			low, driest = total, i
		}
		if whole && total > high {
			high, wettest = total, i
		}
	}
	return mean, driest, wettest
}

// rainResult is the rain in check's --json, in mm whatever the site's units.
type rainResult struct {
	WettestMM   float64     `json:"wettest_day_mm"`
	WettestDay  string      `json:"wettest_day"`
	LowestC     *float64    `json:"lowest_c"`
	HighestC    *float64    `json:"highest_c"`
	Years       []yearOfMM  `json:"years"`
	MeanMonthMM [12]float64 `json:"mean_month_mm"`
}

type yearOfMM struct {
	Year    int         `json:"year"`
	Days    int         `json:"days"`
	WetDays int         `json:"wet_days"`
	MM      float64     `json:"mm"`
	Months  [12]float64 `json:"months_mm"`
}

func (k *checked) rainResult() rainResult {
	r := k.h.Site.Rain
	e := r.Extremes()
	out := rainResult{WettestMM: r.RainMM[e.Wettest], WettestDay: r.Start.AddDate(0, 0, e.Wettest).Format("2006-01-02")}
	if e.Coldest >= 0 {
		out.LowestC, out.HighestC = &r.TMinC[e.Coldest], &r.TMaxC[e.Hottest]
	}
	years := r.RainYears()
	for _, y := range years {
		total, _ := y.TotalMM()
		days := 0
		for _, d := range y.Days {
			days += d
		}
		for m := range y.MM {
			y.MM[m] = tenth(y.MM[m])
		}
		out.Years = append(out.Years, yearOfMM{y.Year, days, y.Wet, tenth(total), y.MM})
	}
	mean, _, _ := meanYear(years)
	for m, mm := range mean.MM {
		out.MeanMonthMM[m] = tenth(mm)
	}
	return out
}

func tenth(mm float64) float64 { return math.Round(10*mm) / 10 }

// Package ruletest plays the text of a rule to live by, word for word, on what a
// person can see, so that tests can tell whether the text says all.
package ruletest

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Day is what a person notes of a day.
type Day struct {
	Date    time.Time
	RainMM  float64
	FlowLPS float64 // of the creek
}

const (
	gallonL = 3.785411784
	inchMM  = 25.4
)

var (
	bucket = regexp.MustCompile(`^the (20 L|5 gal) bucket has filled in ([\d.]+) (s|min) or (less|more) \(about [^)]*\) (.*)$`)
	creek  = regexp.MustCompile(`^the creek has run at ([\d.]+) (L/s|gal/min) or (more|less) (.*)$`)
	meter  = regexp.MustCompile(`^the bank's meter has shown ([\d.]+) % or more at noon (.*), from (\d+ \w+) on$`)
	rain   = regexp.MustCompile(`^Open the valve on the day after the rain since (\d+ \w+) has come to ([\d.]+) (mm|in)$`)
	often  = regexp.MustCompile(`^on (a day|(\d+) days running)$`)
	date   = regexp.MustCompile(`^on (\d+ \w+)$`)
)

// Play returns the days on which the text opens and closes the valve in a year
// that begins with it closed; len(days) is the year's end, and -1 stands for
// a valve that is never opened. noonPct gives what the bank's meter shows at
// noon of each day of a year whose valve is opened on a day and stays open.
func Play(text string, days []Day, noonPct func(open int) []float64) (open, close int, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%v: %s", p, text)
		}
	}()
	if strings.HasPrefix(text, "Leave the valve open all year") {
		return 0, len(days), nil
	}
	sentences := strings.Split(strings.TrimSuffix(text, "."), ". ")
	first, stays := strings.CutSuffix(sentences[0], ", and leave it open until "+days[len(days)-1].Date.AddDate(0, 0, 1).Format("2 January"))

	open = -1
	if m := regexp.MustCompile(`^From (\d+ \w+) on, open the valve when (.*)$`).FindStringSubmatch(first); m != nil {
		open = running(m[2], days, on(m[1], days), nil)
	} else if m := rain.FindStringSubmatch(first); m != nil {
		maximum, sum := number(m[2]), 0.0
		if m[3] == "in" {
			maximum *= inchMM
		}
		for d, day := range days {
			if sum += day.RainMM; sum >= maximum-1e-6 {
				open = d + 1
				break
			}
		}
	} else if m := regexp.MustCompile(`^Open the valve on (\d+ \w+)$`).FindStringSubmatch(first); m != nil {
		open = on(m[1], days)
	} else {
		panic("no opening is understood")
	}
	if open < 0 || open >= len(days) {
		return -1, -1, nil
	}
	close = len(days)
	if stays {
		return open, close, nil
	}
	whys, ok := strings.CutPrefix(sentences[1], "Close it ")
	if !ok {
		panic("no closing is told")
	}
	for _, why := range strings.Split(strings.TrimSuffix(whys, ", whichever comes first"), ", or ") {
		at := -1
		if m := date.FindStringSubmatch(why); m != nil {
			if at = on(m[1], days); at <= open {
				at = -1
			}
		} else {
			at = running(strings.TrimPrefix(why, "when "), days, open, noonPct)
		}
		if at >= 0 {
			close = min(close, at)
		}
	}
	return open, close, nil
}

// running returns the day after the last of the days running, from a day on, on
// which what is told holds; -1 for none.
func running(what string, days []Day, from int, noonPct func(open int) []float64) int {
	var ok func(d int) bool
	var times string
	if m := bucket.FindStringSubmatch(what); m != nil {
		litres, seconds := 20.0, number(m[2])
		if m[1] == "5 gal" {
			litres = 5 * gallonL
		}
		if m[3] == "min" {
			seconds *= 60
		}
		times = m[5]
		ok = func(d int) bool {
			fills := litres / days[d].FlowLPS
			return m[4] == "less" && fills <= seconds || m[4] == "more" && fills > seconds
		}
	} else if m := creek.FindStringSubmatch(what); m != nil {
		flow := number(m[1])
		if m[2] == "gal/min" {
			flow *= gallonL / 60
		}
		times = m[4]
		ok = func(d int) bool {
			return m[3] == "more" && days[d].FlowLPS >= flow || m[3] == "less" && days[d].FlowLPS < flow
		}
	} else if m := meter.FindStringSubmatch(what); m != nil {
		shown, minimum := noonPct(from), number(m[1])
		from = max(from, on(m[3], days))
		times = m[2]
		ok = func(d int) bool { return shown[d] >= minimum }
	} else {
		panic("not understood: " + what)
	}
	m := often.FindStringSubmatch(times)
	if m == nil {
		panic("how often? " + times)
	}
	n := 1
	if m[2] != "" {
		n, _ = strconv.Atoi(m[2])
	}
	run := 0
	for d := from; d < len(days); d++ {
		if run++; !ok(d) {
			run = 0
		}
		if run == n {
			return d + 1
		}
	}
	return -1
}

// on returns the day of a date.
func on(spoken string, days []Day) int {
	for d := range days {
		if days[d].Date.Format("2 January") == spoken {
			return d
		}
	}
	panic("no such date: " + spoken)
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	return v
}

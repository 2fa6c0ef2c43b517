package report

import (
	"fmt"
	"html/template"
	"strings"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// Front is the page for somebody who reads nothing else: one printed page.
type Front struct {
	Answers []Answer
	Next    []string // what to do next, three things at most
	Sure    string   // how sure it is
	Care    string   // the cautions in one line
	Figure  *Figure  // the year with its range; nil: none
}

// Answer is a question and what was found.
type Answer struct {
	Question, Text string
	Bad            bool
}

// drawnFront is what the template sees of it.
type drawnFront struct {
	Front
	SVG template.HTML
}

// drawn draws the front page's chart; nil of nil.
func (f *Front) drawn() (*drawnFront, error) {
	if f == nil {
		return nil, nil
	}
	d := &drawnFront{Front: *f}
	if f.Figure != nil {
		svg, err := f.Figure.SVG()
		if err != nil {
			return nil, err
		}
		d.SVG = template.HTML(svg)
	}
	return d, nil
}

// Studies are what a front page is made from. What the site does not have is nil.
type Studies struct {
	Year       Year
	Carried    Carried // the years together, with draws where there are any
	Winter     DryWinter
	Bank       Bank
	Worth      *Worth
	Changeover *Changeover
	Gauged     bool // the creek rests on readings or a record of its own
}

// NewFront puts the front page together.
func NewFront(s Studies) Front {
	var f Front
	ask := func(question string, said Verdict, sure string) {
		if len(said.Sentences) > 0 {
			f.Answers = append(f.Answers, Answer{question, strings.TrimSpace(said.Sentences[0] + " " + sure), said.Bad})
		}
	}
	if len(s.Carried.Lines) > 1 {
		ask("Will it carry us?", s.Carried.Verdict(), s.Carried.odds())
	} else {
		ask("Will it carry us?", s.Winter.Verdict(), "")
	}
	if s.Worth != nil {
		ask("Is hydro worth it?", s.Worth.Verdict(), s.Worth.odds())
	} else {
		f.Answers = append(f.Answers, Answer{Question: "Is hydro worth it?", Text: NothingToWeigh().Text[0]})
	}
	ask("How big a bank?", s.Bank.Verdict(), s.Bank.odds())
	if s.Changeover != nil {
		ask("When to open and close the valve?", s.Changeover.Verdict(), s.Changeover.odds())
	}
	f.Next = s.next()
	f.Sure = s.sure()
	f.Care = "Take care: estimates, not a guarantee; load before water; DC, fire and gas at the bank; local codes and licensed electricians decide. All cautions stand at the end."
	if s.Worth == nil {
		f.Care = strings.Replace(f.Care, " load before water;", "", 1)
	}
	f.Figure = s.figure()
	return f
}

// maxSteps is how many next steps a front page holds.
const maxSteps = 3

// next returns what to do next, what helps most to know first.
func (s Studies) next() []string {
	var steps []string
	if s.Changeover != nil && !s.Gauged {
		steps = append(steps, "Gauge the creek: time a bucket at the intake once a week and after each rain from autumn on, then run “sunrill fit”. No reading stands behind its flow yet.")
	}
	if b := s.Carried.Doubts.Blames; b != nil {
		for _, c := range b.Dark.Fractions {
			gauging := c.Cause == sim.TheCreek && s.Changeover != nil && !s.Gauged // said above
			if how, ok := learn[c.Cause]; ok && c.Fraction >= 0.1 && !gauging {
				steps = append(steps, fmt.Sprintf("%s%s: of what can be measured it narrows the range of dark hours most.", strings.ToUpper(how[:1]), how[1:]))
				break
			}
		}
	}
	r := s.Bank.Result
	bigger := r.SizeWh != nil && *r.SizeWh > 1.05*r.PresentWh
	if d := s.Year.Why; d != nil && len(d.Causes) > 0 && !(bigger && d.Causes[0].Limit == sim.SizeLimit) {
		w := limitWords[d.Causes[0].Limit]
		steps = append(steps, fmt.Sprintf("See to what leaves the house dark in the year shown: %s; %s.", w.short, w.cure))
	}
	if bigger {
		steps = append(steps, fmt.Sprintf("Ask for the price of a bank of %s kWh in place of %s kWh: it keeps four years of five to %s in the dark.", short(*r.SizeWh), short(r.PresentWh), measure.Hours(r.TargetHours)))
	}
	if s.Worth != nil {
		if turns := s.Worth.Result.Turns; len(turns) > 0 {
			name, given, at := s.Worth.turnWords(turns[0])
			steps = append(steps, fmt.Sprintf("Make sure of this: %s, %s as given. At %s it alone turns whether hydro is worth it.", name, given, at))
		}
	}
	if n := s.Winter.Result.Record.Years; n < 10 {
		steps = append(steps, fmt.Sprintf("Find a longer record of rain: %s tell little of a bad one.", measure.Plural(n, "year", "years")))
	}
	steps = append(steps,
		"Write down the bank's charge once a day through a winter and lay it beside the run (meter.csv): it shows at once where the description is off.",
		"Look at the assumptions at the end and write your own values where you know better.")
	return steps[:min(maxSteps, len(steps))]
}

// sure says how far to trust the answers.
func (s Studies) sure() string {
	n := s.Winter.Result.Record.Years
	text := fmt.Sprintf("These answers rest on %s of weather and on the site as described.", measure.Plural(n, "year", "years"))
	if n > 1 {
		text += " " + inBrackets
	}
	if c := s.Carried.Carried; c.Draws > 0 {
		text += fmt.Sprintf(" They were worked out under %d draws of %s; a count such as 16 of 20 is of draws.", c.Draws, s.Carried.Doubts.What())
	}
	if s.Winter.Result.Synthetic != nil {
		text += " " + fmt.Sprintf("%s made-up years stand beside them. ", measure.Count(s.Winter.Result.Synthetic.Years)) + s.Winter.fitText()
	}
	return text
}

// figure is the year with its range: how low the bank gets, week by week, or the
// hours in the dark by the winter's rain where no years were made up.
func (s Studies) figure() *Figure {
	r := s.Winter.Result
	switch {
	case r.FanWith != nil:
		return &Figure{plots.ChargeFans(r.Synthetic.Years, fan(r.FanWith, "with the creek")), ""}
	case r.FanWithout != nil:
		return &Figure{plots.ChargeFans(r.Synthetic.Years, fan(r.FanWithout, "")), ""}
	}
	return &Figure{plots.DryWinters(s.Winter.rows(), withoutCreek(r.Sources)), "drywinter.csv"}
}

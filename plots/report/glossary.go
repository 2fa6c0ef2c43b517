package report

import (
	"regexp"
	"strings"
)

// Word is a term of the trade and what it means.
type Word struct{ Term, Says string }

// words are the terms that a report may use, in the order of the alphabet, each
// with how it shows in a text where that is not the term itself.
var words = []struct {
	Word
	shows string
}{
	{Word{"1 in 5", "one year in five is at least as bad as this; 1 in 20 likewise"}, `1 (year )?in (5|20)`},
	{Word{"bus", "the wires of direct current where panels, turbine, bank and house meet; watts “at the bus” have the losses of the way there behind them"}, `\bbus\b`},
	{Word{"comfort charge", "the charge of the bank below which a house begins to save; a choice, not a limit"}, `comfort(_soc| charge|, \d)`},
	{Word{"curtailed", "what panels could have given and nothing could take; it is lost without harm"}, `curtailed|held back`},
	{Word{"cut-off", "the flow below which the turbine stands still"}, `cut-off|cutoff`},
	{Word{"cycle", "once down and up again; a bank stands so many of them, more of shallow ones than of deep ones"}, `full cycles|cycle life|cycle_life`},
	{Word{"deficit spell", "a time in which the sources give less than the house asks for, until what was missing has been made up; its depth is what a bank must give to carry it"}, `deficit spells?|deepest deficit`},
	{Word{"dry-pipe stop", "the turbine stops because the water cannot keep the pipe full"}, `dry-pipe stops?`},
	{Word{"dump load", "the heater that takes the turbine’s power when nothing else can: without a load a turbine runs away"}, `[Dd]ump load`},
	{Word{"floor", "the charge below which the bank gives nothing, so that it is not ruined"}, `\bfloor\b`},
	{Word{"forebay", "the tank or pond from which the pipe to the turbine is fed"}, `[Ff]orebay`},
	{Word{"generator’s service", "oil, filters, plug: after so many hours of running"}, `due for service`},
	{Word{"GR4J", "a published model of how a valley turns rain into flow, with four numbers to be found"}, `GR4J`},
	{Word{"gross head, net head", "the height from the water’s surface to the nozzle; the same less what the pipe’s friction takes"}, `(gross|net)[ _]head`},
	{Word{"hazard hour", "an hour in which the turbine gave more than house, bank and dump load can take"}, `[Hh]azard hours?`},
	{Word{"K", "kelvin, a degree Celsius of difference; “%/K” is a change for each degree"}, `%/K`},
	{Word{"KGE", "Kling-Gupta efficiency: how well modelled flows match read ones in mean, spread and timing; 1 is perfect"}, `\bKGE\b`},
	{Word{"made-up years", "years of weather drawn at random so that they resemble the record’s: they show what a short record has not yet seen"}, `[Mm]ade-up years?`},
	{Word{"mass curve", "adding up what comes and goes, day by day, to see how big a store must be that never runs dry"}, `mass curve`},
	{Word{"NOCT", "how warm a panel’s cells get in 20 °C of air and a sun of 800 W/m², as data sheets tell"}, `NOCT|noct`},
	{Word{"NSE", "Nash-Sutcliffe efficiency: how well modelled flows match read ones; 1 is perfect, 0 no better than the mean. Of logarithms: so that low flows count"}, `\bNSE\b`},
	{Word{"penstock", "the pressure pipe from intake to turbine"}, `[Pp]enstock`},
	{Word{"pencil sheet", "a reckoning with rules of thumb, for a second opinion"}, `[Pp]encil`},
	{Word{"residual flow", "what must stay in the creek"}, `residual[ _]flow`},
	{Word{"self-discharge", "what a bank loses by standing"}, `self[-_]discharge`},
	{Word{"sun hours", "the day’s sunshine as hours of full sun, 1 kW on each square metre"}, `[Ss]un[ _]hours?`},
	{Word{"surge", "the blow in the pipe when a valve is shut fast"}, `\bsurges?\b`},
	{Word{"two-well", "a model of a bank that gives one part of its charge at once and the other only slowly, as lead-acid does"}, `two-well`},
	{Word{"unmet hour", "an hour in which something that was asked for stayed dark"}, `[Uu]nmet`},
	{Word{"water year", "twelve months that begin in autumn, so that a wet season is not cut in two"}, `water years?`},
	{Word{"wet-day share", "how bright a rainy day is beside a dry one"}, `wet_day_share`},
}

var shows = func() []*regexp.Regexp {
	var all []*regexp.Regexp
	for _, w := range words {
		all = append(all, regexp.MustCompile(w.shows))
	}
	return all
}()

// Glossary returns the terms that a page uses, with what they mean.
func (p Page) Glossary() []Word {
	all := p.text()
	var used []Word
	for i, w := range words {
		if shows[i].MatchString(all) {
			used = append(used, w.Word)
		}
	}
	return used
}

// text strings together what a reader of the page sees.
func (p Page) text() string {
	var b strings.Builder
	add := func(texts ...string) {
		for _, s := range texts {
			b.WriteString(s)
			b.WriteByte('\n')
		}
	}
	add(p.Subtitle)
	if f := p.Front; f != nil {
		for _, a := range f.Answers {
			add(a.Question, a.Text)
		}
		add(f.Next...)
		add(f.Sure, f.Care)
	}
	add(p.Verdict.Sentences...)
	add(p.Warnings...)
	add(p.Notes...)
	add(p.NotModelled...)
	for _, s := range p.Sections {
		add(s.Title)
		add(s.Text...)
		for _, f := range s.Figures {
			add(f.Title, f.Caption, f.Alt)
			for _, k := range f.Legend {
				add(k.Label)
			}
			if f.Plot != nil {
				add(f.Plot.X.Label.Text, f.Plot.Y.Label.Text)
			}
		}
		for _, t := range s.Tables {
			add(t.Caption, t.Note)
			add(t.Head...)
			for _, r := range t.Rows {
				add(r...)
			}
		}
	}
	for _, c := range p.Cautions {
		add(c.Title, c.Text)
	}
	for _, a := range p.Assumptions {
		add(a.What, a.Value, a.Why)
	}
	return b.String()
}

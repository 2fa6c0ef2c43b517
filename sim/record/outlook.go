package record

import (
	"io"
	"math"
	"strconv"
	"time"

	"sunrill/sim/scenario"
	"sunrill/sources/stream"
)

// OutlookFile is the object of outlook.json.
type OutlookFile struct {
	Name        string        `json:"name"`
	From        string        `json:"from"`
	Days        int           `json:"days"`
	Futures     int           `json:"futures"`
	ChargePct   float64       `json:"charge_pct"`
	FlowReadLPS *float64      `json:"flow_read_lps"` // null: none
	FlowLPS     *float64      `json:"flow_lps"`      // that the creek starts from; null without a stream
	StateFrom   string        `json:"creek_state"`   // record, gap, seasons or none
	Moved       string        `json:"creek_moved"`   // nothing, slow, quick or beyond
	Best        string        `json:"best"`
	Plans       []OutlookPlan `json:"plans"`
	Sets        []OutlookSet  `json:"sets"`
	Uses        []OutlookUse  `json:"without"` // the most helpful first
	PutOff      []OutlookUse  `json:"put_off"` // in turn, each with those before it
	BearPct     float64       `json:"bear_pct"`
	Met         bool          `json:"bear_met"`
	Judged      *OutlookJudge `json:"judged,omitempty"`
}

// OutlookPlan is what a plan for the valve leads to.
type OutlookPlan struct {
	Plan           string             `json:"plan"` // dates, open, wait, closed or none
	OpenNow        bool               `json:"open_now"`
	UnmetHours     float64            `json:"unmet_hours"`
	UnmetP80       float64            `json:"unmet_hours_p80"`
	UnmetP95       float64            `json:"unmet_hours_p95"`
	DryStops       float64            `json:"dry_pipe_stops"`
	FuelL          float64            `json:"fuel_l"`
	ChancePct      map[string]float64 `json:"chance_pct"` // by the days within which
	DarkMedian     string             `json:"dark_middling"`
	DarkOneIn5     string             `json:"dark_one_in_5"`
	DarkOneIn20    string             `json:"dark_one_in_20"`
	GeneratorPct   float64            `json:"generator_pct"`
	GeneratorFirst string             `json:"generator_middling"`
}

// OutlookSet is when the creek carries a set of nozzles.
type OutlookSet struct {
	TurbineLPS float64 `json:"turbine_lps"`
	PowerW     float64 `json:"power_w"`
	Now        bool    `json:"now"`
	ChancePct  float64 `json:"chance_pct"`
	Early      string  `json:"early"`
	Median     string  `json:"middling"`
	Late       string  `json:"late"`
}

// OutlookUse is what putting an appliance off does.
type OutlookUse struct {
	Name       string  `json:"name"`
	ChancePct  float64 `json:"chance_pct"`
	UnmetHours float64 `json:"unmet_hours"`
}

// OutlookJudge is how outlooks of the past came out.
type OutlookJudge struct {
	Dates int           `json:"dates"`
	From  string        `json:"from"`
	To    string        `json:"to"`
	Leads []OutlookLead `json:"leads"`
	Rise  struct {
		Dates     int     `json:"dates"`
		ErrorDays float64 `json:"error_days"`
		BiasDays  float64 `json:"bias_days"`
		Missed    int     `json:"missed"`
		False     int     `json:"false"`
	} `json:"creek_rise"`
}

// OutlookLead scores the chances of one lead.
type OutlookLead struct {
	Days         int          `json:"days"`
	Dates        int          `json:"dates"`
	CamePct      float64      `json:"came_pct"`
	Brier        float64      `json:"brier"`
	BrierClimate float64      `json:"brier_season"`
	BrierRepeat  float64      `json:"brier_last_week"`
	Bins         []OutlookBin `json:"reliability"`
}

// OutlookBin is a row of a reliability table.
type OutlookBin struct {
	LowPct  float64 `json:"low_pct"`
	HighPct float64 `json:"high_pct"`
	Dates   int     `json:"dates"`
	ToldPct float64 `json:"told_pct"`
	CamePct float64 `json:"came_pct"`
}

var (
	planWords  = map[scenario.PlanKind]string{scenario.ByDates: "dates", scenario.OpenNow: "open", scenario.Wait: "wait", scenario.CloseNow: "closed", scenario.WithoutIt: "none"}
	stateWords = map[stream.StateFrom]string{stream.NoState: "none", stream.FromRecord: "record", stream.FromGap: "gap", stream.FromSeasons: "seasons"}
	movedWords = map[stream.Moved]string{stream.MovedNothing: "nothing", stream.MovedSlow: "slow", stream.MovedQuick: "quick", stream.Beyond: "beyond"}
)

// OutlookObject is the object of outlook.json and of what outlook prints with
// --json; uses names the appliances, readM3S is NaN without a reading.
func OutlookObject(name string, o *scenario.Outlook, j *scenario.Judged, uses []string, creek stream.Today, readM3S float64) *OutlookFile {
	pct := func(p float64) float64 { return Round(100*p, 2) }
	when := func(days float64) string {
		if math.IsInf(days, 1) {
			return ""
		}
		return o.Start.Add(time.Duration(days * 24 * float64(time.Hour))).Format(time.DateOnly)
	}
	lps := func(q float64) *float64 {
		if math.IsNaN(q) {
			return nil
		}
		v := Round(1000*q, 4)
		return &v
	}
	f := &OutlookFile{Name: name, From: o.Start.Format("2006-01-02T15:04"), Days: o.Days, Futures: o.Futures, ChargePct: pct(o.StartSoC),
		FlowReadLPS: lps(readM3S), FlowLPS: lps(creek.GivesM3S), StateFrom: stateWords[creek.From], Moved: movedWords[creek.Moved],
		Best: planWords[o.Plans[o.Best].Plan.Kind], BearPct: pct(o.Borne), Met: o.Met,
		Plans: []OutlookPlan{}, Sets: []OutlookSet{}, Uses: []OutlookUse{}, PutOff: []OutlookUse{}}
	for _, p := range o.Plans {
		q := OutlookPlan{Plan: planWords[p.Plan.Kind], OpenNow: p.Plan.OpenNow, UnmetHours: Round(p.UnmetHours, 2), UnmetP80: Round(p.UnmetP80, 0), UnmetP95: Round(p.UnmetP95, 0),
			DryStops: Round(p.DryStops, 2), FuelL: Round(p.FuelL, 2), ChancePct: map[string]float64{},
			DarkMedian: when(p.Dark.Median), DarkOneIn5: when(p.Dark.OneIn5), DarkOneIn20: when(p.Dark.OneIn20),
			GeneratorPct: pct(p.Generator.Fraction), GeneratorFirst: when(p.Generator.Median)}
		for i, c := range p.Chance {
			q.ChancePct[strconv.Itoa(scenario.Leads[i])] = pct(c)
		}
		f.Plans = append(f.Plans, q)
	}
	for _, s := range o.Sets {
		f.Sets = append(f.Sets, OutlookSet{TurbineLPS: Round(1000*s.Need.FlowM3S, 4), PowerW: Round(s.Need.PowerW, 1), Now: s.NowYes, ChancePct: pct(s.Fraction),
			Early: when(s.Early), Median: when(s.Median), Late: when(s.Late)})
	}
	use := func(us []scenario.UseOutlook, to *[]OutlookUse) {
		for _, u := range us {
			*to = append(*to, OutlookUse{Name: uses[u.Use], ChancePct: pct(u.Chance), UnmetHours: Round(u.UnmetHours, 2)})
		}
	}
	use(o.Uses, &f.Uses)
	use(o.PutOff, &f.PutOff)
	if j != nil {
		f.Judged = judgeObject(j)
	}
	return f
}

func judgeObject(j *scenario.Judged) *OutlookJudge {
	pct := func(p float64) float64 { return Round(100*p, 2) }
	o := &OutlookJudge{Dates: j.Dates, From: j.From.Format(time.DateOnly), To: j.To.Format(time.DateOnly), Leads: []OutlookLead{}}
	for _, l := range j.Leads {
		lead := OutlookLead{Days: l.Days, Dates: l.Dates, CamePct: pct(l.Came), Brier: Round(l.Brier, 5), BrierClimate: Round(l.BrierClimate, 5), BrierRepeat: Round(l.BrierRepeat, 5)}
		for _, b := range l.Bins {
			lead.Bins = append(lead.Bins, OutlookBin{LowPct: pct(b.Low), HighPct: pct(b.High), Dates: b.Dates, ToldPct: pct(b.Told), CamePct: pct(b.Came)})
		}
		o.Leads = append(o.Leads, lead)
	}
	r := j.Rise
	o.Rise.Dates, o.Rise.ErrorDays, o.Rise.BiasDays, o.Rise.Missed, o.Rise.False = r.Dates, Round(r.ErrorDays, 2), Round(r.BiasDays, 2), r.Missed, r.False
	return o
}

// Outlook writes the files of an outlook: outlook.csv, a row a day with the
// best plan's charge and the creek's flow, and outlook.json.
func Outlook(f *Folder, o *scenario.Outlook, object *OutlookFile) error {
	if err := f.Write("outlook.csv", func(w io.Writer) error { return outlookDays(w, o) }); err != nil {
		return err
	}
	return f.Write("outlook.json", func(w io.Writer) error { return WriteJSON(w, object) })
}

func outlookDays(w io.Writer, o *scenario.Outlook) error {
	best := o.Plans[o.Best]
	columns := []Column{{"date", func(dst []byte, d int) []byte { return o.Start.AddDate(0, 0, d).AppendFormat(dst, time.DateOnly) }}}
	number := func(name string, decimals int, of func(d int) float64) {
		columns = append(columns, Column{name, func(dst []byte, d int) []byte { return appendNumber(dst, of(d), decimals) }})
	}
	for _, q := range []struct {
		name string
		of   func(scenario.Quantiles) float64
	}{
		{"p10", func(q scenario.Quantiles) float64 { return q.P10 }}, {"p20", func(q scenario.Quantiles) float64 { return q.P20 }},
		{"p50", func(q scenario.Quantiles) float64 { return q.P50 }}, {"p80", func(q scenario.Quantiles) float64 { return q.P80 }},
		{"p90", func(q scenario.Quantiles) float64 { return q.P90 }},
	} {
		number("charge_pct_"+q.name, 2, func(d int) float64 { return 100 * q.of(best.Charge[d]) })
		if o.Flow != nil {
			number("flow_lps_"+q.name, 4, func(d int) float64 { return 1000 * q.of(o.Flow[d]) })
		}
	}
	for _, p := range o.Plans {
		number("dark_pct_"+planWords[p.Plan.Kind], 2, func(d int) float64 { return 100 * p.ChanceByDay[d] })
	}
	return WriteTable(w, o.Days, columns)
}

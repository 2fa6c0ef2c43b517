package main

import (
	"fmt"
	"math"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/sizing"
	"sunrill/sources/hydro"
)

func reckonCommand() command {
	return command{
		name:  "reckon",
		args:  "--head HEAD --flow FLOW [--length LENGTH --bore BORE] [flags]",
		brief: "reckon a creek's power by pencil, without a site",
		long: `Reckons what a head and a flow would give: by the rule of thumb, with the
efficiency that the rule takes for granted, and as an honest range. With the
length and the bore of the pipe it also reckons what the pipe takes, and what the
next sizes of pipe would give. Results are in metric and US units.`,
		example: "sunrill reckon --head 40m --flow 2L/s --length 250m --bore 50mm --material pe",
		flags: func(fs *pflag.FlagSet) {
			fs.String("head", "", "height of the water over the nozzle, such as 40m or 130ft")
			fs.String("flow", "", "flow through the turbine, such as 2L/s or 30gal/min")
			fs.String("length", "", "length of the pipe, such as 250m")
			fs.String("bore", "", "inside diameter of the pipe, such as 50mm or 2in")
			fs.String("material", "pe", "material of the pipe: "+materialNames())
			fs.String("roughness", "", "roughness of the pipe's wall, such as 0.05mm (default that of the material)")
			fs.Float64("minor-loss", hydro.DefaultMinorLoss, "sum of the K of entrance, bends and valves")
			fs.String("water-temp", fmt.Sprintf("%g C", hydro.DefaultWaterC), "temperature of the water")
		},
		groups: withResult,
		run:    runReckon,
	}
}

func runReckon(c *call) error {
	if err := c.noArgs(); err != nil {
		return err
	}
	pipe, flowM3S, err := c.reckonInput()
	if err != nil {
		return err
	}
	r := hydro.Reckon(pipe, flowM3S)
	if c.opts.json {
		return c.emit(record.ReckoningObject(r))
	}
	c.printReckoning(r)
	if pipe.BoreM > 0 {
		c.printReckonedPipe(pipe, r)
	}
	return nil
}

// reckonInput reads the flags. A pipe that was not described has no bore.
func (c *call) reckonInput() (pipe hydro.Penstock, flowM3S float64, err error) {
	fail := func(err error) (hydro.Penstock, float64, error) { return hydro.Penstock{}, 0, err }
	for _, need := range []string{"head", "flow"} {
		if !c.flags.Changed(need) {
			return fail(usageError{"reckon needs --head and --flow, such as: sunrill reckon --head 40m --flow 2L/s"})
		}
	}
	if pipe.GrossHeadM, err = c.quantity("head", measure.Heads, 0.1, 2000, "0.1 m to 2000 m"); err != nil {
		return fail(err)
	}
	if flowM3S, err = c.quantity("flow", measure.Flows, 1e-6, 100, "0.001 L/s to 100 m3/s"); err != nil {
		return fail(err)
	}
	if pipe.WaterC, err = c.quantity("water-temp", measure.Temperatures, 0, 40, "0 C to 40 C"); err != nil {
		return fail(err)
	}
	hasLength, hasBore := c.flags.Changed("length"), c.flags.Changed("bore")
	if hasLength != hasBore {
		return fail(usageError{"a pipe needs both --length and --bore"})
	}
	if !hasLength {
		for _, name := range []string{"material", "roughness", "minor-loss"} {
			if c.flags.Changed(name) {
				return fail(usageError{fmt.Sprintf("--%s describes a pipe, which needs --length and --bore too", name)})
			}
		}
		return pipe, flowM3S, nil
	}
	if pipe.LengthM, err = c.quantity("length", measure.Lengths, 0.1, 5e4, "0.1 m to 50 km"); err != nil {
		return fail(err)
	}
	if pipe.BoreM, err = c.quantity("bore", measure.Lengths, 4e-3, 3, "4 mm to 3 m"); err != nil {
		return fail(err)
	}
	pipe.Material, _ = c.flags.GetString("material")
	m, ok := hydro.MaterialOf(pipe.Material)
	if !ok {
		return fail(usageError{fmt.Sprintf("--material: %q is none of %s", pipe.Material, materialNames())})
	}
	pipe.RoughnessM = m.RoughnessM
	if c.flags.Changed("roughness") {
		if pipe.RoughnessM, err = c.quantity("roughness", measure.Lengths, 0, 0.02, "0 mm to 20 mm"); err != nil {
			return fail(err)
		}
		if pipe.RoughnessM > hydro.MaxRoughness*pipe.BoreM {
			return fail(usageError{"--roughness is more than a twentieth of the bore, beyond what the friction formula knows"})
		}
	}
	if pipe.MinorLoss, _ = c.flags.GetFloat64("minor-loss"); !(pipe.MinorLoss >= 0 && pipe.MinorLoss <= 1000) {
		return fail(usageError{fmt.Sprintf("--minor-loss: %g is outside 0 to 1000", pipe.MinorLoss)})
	}
	if pipe.LengthM < pipe.GrossHeadM {
		return fail(usageError{"--length is shorter than --head is high; the pipe is measured along the ground"})
	}
	return pipe, flowM3S, nil
}

func materialNames() string {
	s := ""
	for i, m := range hydro.Materials() {
		if i > 0 {
			s += ", "
		}
		s += m.Name
	}
	return s
}

func (c *call) printReckoning(r hydro.Reckoning) {
	length := func(m float64) string { return both(func(s measure.System) string { return s.Length(m) }) }
	c.say("%s of head, %s: %s, %s.\n", length(r.HeadM), both(func(s measure.System) string { return s.Flow(r.FlowM3S) }),
		measure.Metric.BucketFills(r.FlowM3S), measure.US.BucketFills(r.FlowM3S))
	if r.HeadLossM != nil && r.NetHeadM <= 0 {
		c.say("%s", wrap(fmt.Sprintf("This pipe cannot carry that flow: it alone would take %s of head. Open at its end it passes %s, and gives nothing.",
			length(*r.HeadLossM), both(func(s measure.System) string { return s.Flow(r.FullFlowM3S) }))))
		return
	}
	if r.HeadLossM != nil {
		c.say("%s\n", wrap(fmt.Sprintf("The pipe takes %s of it, %s, and leaves a net head of %s; the water runs at %s in it.",
			length(*r.HeadLossM), measure.Percent(r.LossFraction), length(r.NetHeadM), both(func(s measure.System) string { return s.Velocity(*r.VelocityMS) }))))
	}
	c.say("rule of thumb       %s  (net head in ft x gal/min / 10; metric 5 x L/s x m: %s)", measure.Power(r.RuleW), measure.Power(r.MetricRuleW))
	c.say("all of the water    %s  (so the rule takes %s for granted)", measure.Power(r.WaterW), measure.Percent(r.HiddenEfficiency))
	c.say("likely              %s to %s at the wires, day and night: %s to %s a day\n", measure.Power(r.LikelyW.Low), measure.Power(r.LikelyW.High),
		measure.Energy(24*r.LikelyW.Low), measure.Energy(24*r.LikelyW.High))
	text := "Small sets turn 40 to 70 % of the water's power into electricity."
	if r.HeadLossM == nil {
		text += " The head is taken as net head; a pipe takes 5 to 10 % of it if it is wide enough, and much more if it is not: give --length and --bore to know."
	}
	c.say("%s", wrap(text))
}

func (c *call) printReckonedPipe(pipe hydro.Penstock, r hydro.Reckoning) {
	flow := func(m3S float64) string { return both(func(s measure.System) string { return s.Flow(m3S) }) }
	switch {
	case r.NetHeadM <= 0:
	case r.LossFraction > 1.0/3:
		c.say("\n%s", wrap(fmt.Sprintf("More than a third of the head is lost: a smaller flow of %s would give more power through this pipe.", flow(r.BestFlowM3S))))
	case !math.IsInf(r.BestFlowM3S, 1):
		c.say("\n%s", wrap(fmt.Sprintf("This pipe gives most at %s; beyond that, more water gives less power.", flow(r.BestFlowM3S))))
	}
	for _, us := range []bool{false, true} {
		s := measure.Of(us)
		t := report.Table{Head: []string{"pipe", "bore, " + s.BoreAxis().Unit, "speed", "head lost", "net head", "likely"}}
		if !us {
			t.Caption = "\nThe same flow through the next sizes of pipe (<- yours):"
		}
		for _, p := range nextPipes(pipe, r, us) {
			name := p.Name
			if p.Present {
				name += " <-"
			}
			likely := "cannot carry it"
			if p.NetHeadM > 0 {
				likely = measure.Power(p.LikelyW.Low) + " to " + measure.Power(p.LikelyW.High)
			}
			t.Rows = append(t.Rows, []string{name, measure.Digits(s.BoreAxis().Of(p.BoreM), 3), s.Velocity(*p.VelocityMS), measure.Percent(min(p.LossFraction, 1)), s.Length(p.NetHeadM), likely})
		}
		c.say("%s", tableText(t))
	}
}

// nextPipes are two sizes down and two up or, where the pipe cannot carry the
// flow, the pipe and the four smallest that can.
func nextPipes(pipe hydro.Penstock, r hydro.Reckoning, us bool) []sizing.ReckonedPipe {
	sizes := sizing.PipeSizes(pipe.Material, us)
	if r.NetHeadM > 0 {
		return sizing.ReckonPipes(pipe, r.FlowM3S, sizes, 2)
	}
	var next []sizing.ReckonedPipe
	for _, p := range sizing.ReckonPipes(pipe, r.FlowM3S, sizes, len(sizes)) {
		if p.Present || p.NetHeadM > 0 && len(next) < 5 {
			next = append(next, p)
		}
	}
	return next
}

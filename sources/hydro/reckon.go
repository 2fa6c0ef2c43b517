package hydro

// The share of the water's power that reaches the wires of small sets, as an
// honest range: [DOE] gives 50 to 70 %, and badly matched home-built ones reach
// 40 % (judgement).
const (
	likelyLow  = 0.40
	likelyHigh = 0.70
)

// ruleWSM4 is the US rule of thumb in SI, W for each m of head and m³/s of
// flow: a tenth of a W for each ft and gal/min, by their definitions.
const ruleWSM4 = 5200.237251144654

// LikelyW is a range of power.
type LikelyW struct {
	Low  float64
	High float64
}

// Reckoning is a pencil reckoning of a site that nobody has measured yet.
type Reckoning struct {
	RuleW            float64 // net head in ft × flow in gal/min / 10
	HiddenEfficiency float64 // that the rule takes for granted
	LikelyW          LikelyW
	NetHeadM         float64 // the head as given where the pipe is not known
	HeadLossM        *float64
	VelocityMS       *float64 // nil, as the loss, where the pipe is not known
	WaterW           float64  // all the power of the water at that head

	HeadM        float64
	FlowM3S      float64
	MetricRuleW  float64 // 5 × L/s × m
	LossFraction float64
	BestFlowM3S  float64 // that gives the most power through this pipe; +Inf without losses; 0 without a pipe
	FullFlowM3S  float64 // that the open pipe passes; 0 without a pipe
}

// Rule returns the power in W by the US rule of thumb, net head in ft times
// flow in gal/min divided by 10. Ref: [DOE].
func Rule(netHeadM, flowM3S float64) float64 {
	return ruleWSM4 * netHeadM * flowM3S
}

// MetricRule returns the power in W by the metric rule of thumb, 5 times flow
// in L/s times net head in m (common practice, from memory).
func MetricRule(netHeadM, flowM3S float64) float64 { return 5 * 1000 * flowM3S * netHeadM }

// Reckon reckons a flow through a pipe. A pipe without a bore is not known:
// then its gross head is taken for the net head.
func Reckon(pipe Penstock, flowM3S float64) Reckoning {
	w := WaterAt(pipe.WaterC)
	r := Reckoning{HeadM: pipe.GrossHeadM, FlowM3S: flowM3S, NetHeadM: pipe.GrossHeadM}
	if pipe.BoreM > 0 {
		l := pipe.Loss(flowM3S, w)
		loss := l.TotalM()
		r.HeadLossM, r.VelocityMS = &loss, &l.VelocityMS
		r.NetHeadM = max(pipe.GrossHeadM-loss, 0)
		if pipe.GrossHeadM > 0 {
			r.LossFraction = loss / pipe.GrossHeadM
		}
		r.BestFlowM3S, r.FullFlowM3S = pipe.BestFlow(w), pipe.FullFlow(w)
	}
	r.WaterW = w.WaterPower(flowM3S, r.NetHeadM)
	r.RuleW, r.MetricRuleW = Rule(r.NetHeadM, flowM3S), MetricRule(r.NetHeadM, flowM3S)
	r.HiddenEfficiency = Rule(1, 1) / w.WaterPower(1, 1)
	r.LikelyW = LikelyW{likelyLow * r.WaterW, likelyHigh * r.WaterW}
	return r
}

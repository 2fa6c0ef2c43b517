package record

import "sunrill/sources/hydro"

// Reckoning is the object that reckon prints with --json.
type Reckoning struct {
	RuleW            float64   `json:"rule_w"`            // net head in ft × flow in gal/min / 10
	HiddenEfficiency float64   `json:"hidden_efficiency"` // that the rule takes for granted
	LikelyW          rangeFile `json:"likely_w"`
	NetHeadM         float64   `json:"net_head_m"` // the head as given where the pipe is not known
	HeadLossM        *float64  `json:"head_loss_m"`
	VelocityMS       *float64  `json:"velocity_m_s"` // null, as the loss, where the pipe is not known
	WaterW           float64   `json:"water_w"`      // all the power of the water at that head
}

// ReckoningObject returns the object to the digits that mean something: watts to
// a tenth, heads to a centimetre, the rest to a thousandth.
func ReckoningObject(r hydro.Reckoning) Reckoning {
	o := Reckoning{
		RuleW: Round(r.RuleW, 1), HiddenEfficiency: Round(r.HiddenEfficiency, 3), LikelyW: rangeFile{Round(r.LikelyW.Low, 1), Round(r.LikelyW.High, 1)},
		NetHeadM: Round(r.NetHeadM, 2), WaterW: Round(r.WaterW, 1),
	}
	if r.HeadLossM != nil {
		loss, velocity := Round(*r.HeadLossM, 2), Round(*r.VelocityMS, 3)
		o.HeadLossM, o.VelocityMS = &loss, &velocity
	}
	return o
}

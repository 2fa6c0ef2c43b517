package solar

import (
	"math"

	"sunrill/weather"
)

// UsualAlbedo is the fraction of light that the ground throws back: grass and bare
// soil, common practice. Snow throws back three to four times as much.
const UsualAlbedo = 0.2

// View is what one array sees of the sun's way through a year and of the sky,
// computed once and used for every year of that length.
type View struct {
	array Array
	hours []viewHour // the hours with any sun, rising
	total int        // hours of the year

	sky, skyGlass       float64 // fraction of the sky's diffuse light, and what the glass leaves of it
	ground, groundGlass float64 // of the ground's light
	horizontalSky       float64 // fraction of the sky that the ground before the panels sees
}

// viewHour is one daylight hour's geometry.
type viewHour struct {
	hour                int32
	perExtraterrestrial float64 // 1 / extraterrestrial radiation facing the sun, m²/W
	perCosZ             float64 // 1 / mean cosine of the zenith angle, held below 1/cos 89°
	beam                float64 // mean of cos θ where the sun is seen; on the panel
	beamGlass           float64 // the same times IAM
	groundLoss          float64 // mean of cos z where the hills hide the sun
}

// cosLowest holds the circumsolar light's 1/cos z finite: 89°.
const cosLowest = 0.0174524

// NewView computes what the array a sees of the sun's path p.
func NewView(a Array, p weather.Path) *View {
	if a.Albedo == 0 {
		a.Albedo = UsualAlbedo
	}
	v := &View{array: a, total: len(p.CosZenith)}
	ne, nn, nu := normal(a.TiltDeg, a.AzimuthDeg)
	clear := a.Horizon.top()
	for h, cosZ := range p.CosZenith {
		from, to := p.FirstSample[h], p.FirstSample[h+1]
		if from == to {
			continue
		}
		q := viewHour{
			hour:                int32(h),
			perExtraterrestrial: 1 / p.ExtraterrestrialNormalWM2[h/24],
			perCosZ:             1 / math.Max(cosZ, cosLowest),
		}
		for i := from; i < to; i++ {
			if p.Up[i] < clear && hidden(a.Horizon, p.East[i], p.North[i], p.Up[i]) {
				q.groundLoss += p.Up[i]
				continue
			}
			if cos := ne*p.East[i] + nn*p.North[i] + nu*p.Up[i]; cos > 0 {
				q.beam += cos
				q.beamGlass += cos * IAM(cos)
			}
		}
		n := float64(to - from)
		q.beam /= n
		q.beamGlass /= n
		q.groundLoss /= n
		v.hours = append(v.hours, q)
	}
	v.sky = SkyView(a.TiltDeg, a.AzimuthDeg, a.Horizon)
	v.ground = (1 - math.Cos(a.TiltDeg*degree)) / 2
	v.horizontalSky = SkyView(0, 0, a.Horizon)
	skyIAM, groundIAM := diffuseIAM(a.TiltDeg, a.AzimuthDeg, a.Horizon)
	v.skyGlass, v.groundGlass = v.sky*skyIAM, v.ground*groundIAM
	return v
}

// top returns the sine of the horizon's greatest height: any sun above it is
// clear of the hills, which spares most of the looking up.
func (h Horizon) top() float64 {
	highest := 0.0
	for _, p := range h {
		highest = math.Max(highest, p.HeightDeg)
	}
	return math.Sin(highest * degree)
}

// hidden tells whether the sun's centre, at its true place, is seen behind the
// hills.
func hidden(h Horizon, east, north, up float64) bool {
	hill := h.Height(math.Atan2(east, north) / degree)
	return up < math.Sin(hill*degree) && up < math.Sin((hill-lift(hill))*degree)
}

// lift returns by how many degrees the air lifts what is seen at an apparent
// height above the level, at the sea's level and 10 °C: 34′ at 0, 5′ at 10°.
//
//	R = 1′ / tan(h + 7.31/(h + 4.4))
//
// Ref: [Meeus] eq. 16.3 (after Bennett).
func lift(apparentDeg float64) float64 {
	h := math.Max(0, apparentDeg)
	return math.Max(0, 1.0/60/math.Tan((h+7.31/(h+4.4))*degree))
}

// Array returns the array whose view it is.
func (v *View) Array() Array { return v.array }

// Irradiance fills dst with the radiation on the panels, before the glass, in
// W/m²: the level's radiation split into beam, circumsolar, sky and ground.
//
//	A = DNI / extraterrestrial radiation facing the sun
//	I = (DNI + DHI A / cos z) cos θ + DHI (1 − A) F + albedo · ground's light (1 − cos tilt)/2
//
// cos θ is that of the angle on the panel, its mean over the part of the hour
// in which the sun clears the hills; F is [SkyView]. The circumsolar light is
// hidden with the sun. The ground before the panels is behind the same hills.
// ghi, dni and dhi are hourly means; night hours give 0. Ref: [HD].
func (v *View) Irradiance(dst, ghi, dni, dhi []float64) []float64 {
	dst = v.start(dst, ghi, dni, dhi)
	for i := range v.hours {
		q := &v.hours[i]
		h := q.hour
		g, b, d := ghi[h], dni[h], dhi[h]
		if g <= 0 {
			continue
		}
		a := math.Min(1, b*q.perExtraterrestrial)
		dst[h] = (b+d*a*q.perCosZ)*q.beam + d*(1-a)*v.sky + v.reflected(q, g, b, d)*v.ground
	}
	return dst
}

// reflected returns the light that the ground before the panels throws back,
// in W/m²: what it gets less what the hills take.
func (v *View) reflected(q *viewHour, ghi, dni, dhi float64) float64 {
	light := ghi - dni*q.groundLoss - dhi*(1-v.horizontalSky)
	if light <= 0 {
		return 0
	}
	return v.array.Albedo * light
}

// Power fills dst with the array's power at the bus in W: what passes the glass
// heats and drives the cells ([CellTemperature]), less the losses and the
// controller's, up to the controller's limit. ghi, dni, dhi in W/m² and airC are
// means of the hour.
func (v *View) Power(dst, ghi, dni, dhi, airC []float64) []float64 {
	dst = v.start(dst, ghi, dni, dhi)
	if len(airC) != v.total {
		panic("solar: airC and the view differ in length")
	}
	a := &v.array
	perWM2 := a.PowerW / 1000 * (1 - a.Losses) * a.ControllerEfficiency
	heat := a.heatK() // K of cell over air per W/m²
	limit := a.ControllerMaxW
	if limit <= 0 {
		limit = math.Inf(1)
	}
	for i := range v.hours {
		q := &v.hours[i]
		h := q.hour
		light := v.light(q, ghi[h], dni[h], dhi[h])
		if light <= 0 {
			continue
		}
		w := light * perWM2 * (1 + a.TempCoefPerK*(airC[h]+heat*light-25))
		if w < 0 {
			w = 0
		}
		if w > limit {
			w = limit
		}
		dst[h] = w
	}
	return dst
}

// light returns what passes the glass in W/m²: [View.Irradiance] with the
// glass's share of the beam, the sky and the ground.
func (v *View) light(q *viewHour, ghi, dni, dhi float64) float64 {
	if ghi <= 0 {
		return 0
	}
	a := dni * q.perExtraterrestrial
	if a > 1 {
		a = 1
	}
	return (dni+dhi*a*q.perCosZ)*q.beamGlass + dhi*(1-a)*v.skyGlass + v.reflected(q, ghi, dni, dhi)*v.groundGlass
}

// start checks lengths and returns dst with a zero for each hour.
func (v *View) start(dst, ghi, dni, dhi []float64) []float64 {
	if len(ghi) != v.total || len(dni) != v.total || len(dhi) != v.total {
		panic("solar: the sky and the view differ in length")
	}
	if cap(dst) < v.total {
		return make([]float64, v.total)
	}
	dst = dst[:v.total]
	clear(dst)
	return dst
}

package beam

import (
	"fmt"
	"math"
	"strconv"
)

// CPM returns the frequency, in cycles a minute, of the beam clamped over its
// first clamp metres with a point mass, kg, at its tip end.
func (b Beam) CPM(clamp, tipMass float64) (float64, error) {
	if err := b.reaches(clamp, 0); err != nil {
		return math.NaN(), err
	}
	modes, err := Cantilever{Beam: b, Clamp: clamp, Tip: Body{Mass: tipMass}}.Modes(1)
	if err != nil {
		return math.NaN(), err
	}
	return modes[0].CPM(), nil
}

// Sag returns how far a force, N, across the beam bends the beam, clamped over
// its first clamp metres, where it acts, reach metres beyond the clamp. Of a
// shaft held by its butt end that is its butt deflection; that of the Reversed
// beam is the tip deflection.
//
// Slopes are not taken to be small: small-slope theory is a percent off at a
// deflection of a tenth of the reach. The force keeps its direction. It returns
// an error if the beam is too short for the set-up.
func (b Beam) Sag(clamp, reach, force float64) (float64, error) {
	if err := b.reaches(clamp, reach); err != nil {
		return math.NaN(), err
	}
	y, _ := b.Until(min(clamp+reach, b.Length)).Elastica(clamp, force).Tip()
	return y, nil
}

func (b Beam) reaches(clamp, reach float64) error {
	if !(clamp >= 0 && clamp < b.Length) || !(reach >= 0 && clamp+reach <= b.Length*(1+1e-12)) {
		return fmt.Errorf("beam: a clamp of %v m and a reach of %v m do not fit a beam of %v m", clamp, reach, b.Length)
	}
	return nil
}

// A ThreePoint is a bend test on two supports: a load midway between them and
// the deflection there.
type ThreePoint struct {
	Station    float64 // of the load, m
	Span       float64 // between the supports, m
	Load       float64 // N
	Deflection float64 // m
}

// EI returns F S³/48y, N m²: exact for a uniform beam. Of a beam that tapers it
// is low, see Bias.
func (t ThreePoint) EI() float64 { return t.Load * t.Span * t.Span * t.Span / 48 / t.Deflection }

// Of returns the test with the deflection of a beam whose EI by station is ei:
// by virtual work, the integral of M m/EI with M = F x/2 and m = x/2 from
// either support.
func (t ThreePoint) Of(ei func(station float64) float64) ThreePoint {
	const n = 100 // of Simpson's rule on each side; an even number
	half := t.Span / 2
	sum := 0.0
	for i := range n + 1 {
		w := 2.0 + 2*float64(i%2)
		if i == 0 || i == n {
			w = 1
		}
		x := half * float64(i) / n
		sum += w * x * x * (1/ei(t.Station-half+x) + 1/ei(t.Station+half-x))
	}
	t.Deflection = t.Load / 4 * sum * half / n / 3
	return t
}

// Bias returns by what share of EI the formula F S³/48y misses the EI under the
// load, for a beam whose EI by station is ei: negative where it reads low.
//
// A straight taper of slope e reads low by about (e S/EI)²/40: the softer side
// gives way more than the stiffer one holds.
func (t ThreePoint) Bias(ei func(station float64) float64) float64 {
	return t.Of(ei).EI()/ei(t.Station) - 1
}

// Buckle returns the push, N, under which the beam bows out when compressed end
// to end, both ends free to turn, and the shape it takes then, of any size.
func (b Beam) Buckle() (push float64, shape Shape) {
	m := newMesh(b, 0, b.Length)
	last := 2*len(m.node) - 2 // deflection of the end
	k := without(m.matrix(2, b.EI.At), 0, last)
	g := without(m.matrix(1, func(float64) float64 { return 1 }), 0, last)
	values, vectors, ok := lowest(k, g, 1, elements)
	if !ok {
		panic("beam: a beam on two supports is stiff against bending") // unless it is not valid
	}
	return values[0], m.shape(vectors.ColView(0), 0, last)
}

// BendPointCompressed returns the bend point (kick point) in the form of the
// crest of the shaft when it is compressed end to end: its station, m. That
// there are two forms and no standard is common practice.
func (b Beam) BendPointCompressed() float64 {
	_, s := b.Buckle()
	return s.Crest()
}

// BendPointRatio returns the bend point in the form of the ratio
// 100 F2/(F1+F2) of two deflections under one load and reach: F1 of the shaft
// held by its butt end, F2 of the shaft held by its tip end (as in US patent
// 10,213,668). A soft tip makes it small, a soft butt large; a uniform shaft has
// 50.
func BendPointRatio(butt, tip float64) float64 { return 100 * tip / (butt + tip) }

// Fulcrum is where the swing weight scale carries a club: 14 in from the butt
// end, m. Common practice, no source.
const Fulcrum = 14 * inch

const (
	inch  = 0.0254
	ounce = 0.028349523125 // kg

	// SwingWeightZero is the swing weight called D0, oz in. Common practice, no
	// source; scales differ.
	SwingWeightZero = 213.5
	swingPoint      = 1.75 // oz in, one step of the letter scale
)

// SwingWeightOzIn returns the swing weight of a club of a mass, kg, that
// balances at a distance from its butt end, m: mass in ounces times inches
// beyond the fulcrum.
func SwingWeightOzIn(mass, balance float64) float64 { return mass / ounce * (balance - Fulcrum) / inch }

// SwingWeightLetter returns a swing weight on the letter scale, ten points to a
// letter from A to G, "D2.5", for a scale whose D0 is at zero oz in; "" off the
// scale and for NaN.
func SwingWeightLetter(ozIn, zero float64) string {
	tenths := math.Round(((ozIn-zero)/swingPoint + 30) * 10)
	if !(tenths >= 0 && tenths < 700) {
		return ""
	}
	t := int(tenths)
	return fmt.Sprintf("%c%d.%d", 'A'+t/100, t/10%10, t%10)
}

// ParseSwingWeight returns a swing weight on the letter scale, "D2" or "C9.5",
// in oz in, for a scale whose D0 is at zero oz in; ok is false for another text.
func ParseSwingWeight(letter string, zero float64) (ozIn float64, ok bool) {
	if letter == "" || letter[0] < 'A' || letter[0] > 'G' {
		return 0, false
	}
	points, err := strconv.ParseFloat(letter[1:], 64)
	if err != nil || !(points >= 0 && points < 10) {
		return 0, false
	}
	return zero + (10*float64(int(letter[0])-'D')+points)*swingPoint, true
}

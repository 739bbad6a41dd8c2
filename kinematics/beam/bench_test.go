package beam

import (
	"math"
	"testing"
)

// φ = T L/GJ: 4.5° over 1 m, 6.0° over 43 in and 4.3° over 34 in under one
// pound-foot (1.35582 N m) are mean GJ of 17.26, 14.14 and 15.60 N m². A torsion
// taper by the integral in closed form, L ln(a/b)/(a − b).
func TestTwist(t *testing.T) {
	const torque = 1.35582
	for _, is := range []struct{ deg, length, gj float64 }{{4.5, 1, 17.26}, {6.0, 43 * inch, 14.14}, {4.3, 34 * inch, 15.60}} {
		b := Beam{Length: 2, GJ: Constant(is.gj)}
		near(t, "twist, deg", b.Twist(torque, 0.3, 0.3+is.length)*180/math.Pi, is.deg, 5e-3)
	}
	b := Beam{Length: 1.2, GJ: Curve{[]float64{0.1, 1.1}, []float64{36, 8}}}
	near(t, "taper, rad", b.Twist(2, 0.1, 1.1), 2*math.Log(36./8)/28, 1e-12)
	near(t, "harmonic mean", b.GJ.HarmonicMean(0.1, 1.1), 28/math.Log(36./8), 1e-12)
	near(t, "beyond the table, rad", b.Twist(2, 0, 1.2), 2*(math.Log(36./8)/28+0.1/36+0.1/8), 1e-12)
	near(t, "the other way round, rad", b.Reversed().Twist(2, 0.1, 1.1), b.Twist(2, 0.1, 1.1), 1e-12)
}

// Seven stations of a bowed taper, linear between, give frequency and torque
// within 0.2 %.
func TestSevenStations(t *testing.T) {
	const length, clamp = 1.13, 0.127
	bowed := func(butt, tip, bow float64, n int) Curve {
		var c Curve
		for i := range n {
			x := float64(i) / float64(n-1)
			c.Station, c.Value = append(c.Station, x*length), append(c.Value, butt+(tip-butt)*x-4*bow*x*(1-x))
		}
		return c
	}
	at := func(n int) Beam {
		return Beam{length, bowed(75, 20, 6, n), bowed(36, 8, 1.5, n), Constant(0.064 / length)}
	}
	fine, coarse := at(400), at(7)
	f, err := fine.CPM(clamp, 0.205)
	if err != nil {
		t.Fatal(err)
	}
	c, err := coarse.CPM(clamp, 0.205)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "frequency", c/f, 1, 2e-3)
	near(t, "torque", coarse.Twist(1.356, 0.076, 1.092)/fine.Twist(1.356, 0.076, 1.092), 1, 2e-3)
}

// F S³/48y of a uniform beam; a taper of 40 N m²/m at 25 N m² reads 0.257 % low
// over 200 mm and 0.582 % over 300 mm:
//
//	python3 -c "from scipy.integrate import quad as q
//	for S in (.2,.3):
//	  h=S/2; f=lambda x:x*x*(1/(25+40*(h-x))+1/(25-40*(h-x)))
//	  print(h**3/3*2/25/q(f,0,h,epsabs=1e-15)[0]-1)"
func TestThreePoint(t *testing.T) {
	uniform := ThreePoint{Station: 0.5, Span: 0.3, Load: 50}.Of(func(float64) float64 { return 30 })
	near(t, "deflection, m", uniform.Deflection, 50*0.027/48/30, 1e-15)
	near(t, "EI", uniform.EI(), 30, 1e-10)
	taper := func(s float64) float64 { return 25 - 40*(s-0.6) }
	for span, bias := range map[float64]float64{0.2: -0.0025722932, 0.3: -0.0058230309} {
		p := ThreePoint{Station: 0.6, Span: span, Load: 50}
		near(t, "bias", p.Bias(taper), bias, 1e-8)
		near(t, "bias by its first term", p.Bias(taper), -math.Pow(40*span/25, 2)/40, 1e-4)
	}
}

// Butt and tip deflection of a uniform shaft are one; small ones are P L³/3EI.
func TestSag(t *testing.T) {
	b := Beam{Length: 1.13, EI: Constant(40)}
	for _, is := range []Beam{b, b.Reversed()} {
		y, err := is.Sag(0.1, 0.9, 1)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sag, m", y, 0.9*0.9*0.9/3/40, 1e-5)
	}
	// Linear theory is a percent high at a tenth of the reach.
	y, err := b.Sag(0.13, 1, 12)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "linear over large deflection", 12./3/40/y, 1.01, 2e-3)

	soft := tapered(0, 1.1, 60, 20)
	butt, _ := soft.Sag(0.1, 0.9, 10)
	tip, _ := soft.Reversed().Sag(0.1, 0.9, 10)
	if !(tip > butt) {
		t.Errorf("the soft end held bends less: %v m, the stiff one held %v m", tip, butt)
	}
	for _, set := range [][2]float64{{-0.1, 0.5}, {1.13, 0}, {0.2, 1}, {math.NaN(), 0.5}} {
		if _, err := b.Sag(set[0], set[1], 1); err == nil {
			t.Errorf("clamp %v and reach %v fit", set[0], set[1])
		}
	}
}

// Euler's load π²EI/L², with its crest in the middle. Under a taper the crest
// lies on the soft side, at the same place from either end.
func TestBuckle(t *testing.T) {
	push, _ := Beam{Length: 1.2, EI: Constant(40)}.Buckle()
	near(t, "push", push, math.Pi*math.Pi*40/1.44, 1e-5)
	near(t, "crest", Beam{Length: 1.2, EI: Constant(40)}.BendPointCompressed(), 0.6, 1e-7)
	// The crest of y” + F/EI y = 0 with EI = 60 − 40 s, by SciPy:
	//
	//	python3 -c "from scipy.integrate import solve_ivp; from scipy.optimize import brentq
	//	f=lambda F,n=0: solve_ivp(lambda s,y:[y[1],-F*y[0]/(60-40*s)],(0,1),[0,1],rtol=1e-12,atol=1e-14,dense_output=True)
	//	F=brentq(lambda F:f(F).y[0,-1],200,500,xtol=1e-12)
	//	print(F,brentq(lambda s:f(F).sol(s)[1],.4,.8))"
	push, _ = tapered(0, 1, 60, 20).Buckle()
	near(t, "push on a taper", push, 376.609903, 1e-4)
	near(t, "crest of a taper", tapered(0, 1, 60, 20).BendPointCompressed(), 0.5392194, 5e-5)
	near(t, "crest of the reversed taper", tapered(0, 1, 60, 20).Reversed().BendPointCompressed(), 1-0.5392194, 5e-5)
	near(t, "ratio", BendPointRatio(0.1, 0.1), 50, 0)
	near(t, "ratio of a soft tip", BendPointRatio(0.12, 0.08), 40, 1e-12)
}

// 349.8 g balanced at 824 mm are 227.5 oz in, D8.0 where D0 is 213.5 oz in.
func TestSwingWeight(t *testing.T) {
	w := SwingWeightOzIn(0.3498, 0.824)
	near(t, "swing weight", w, 349.8/28.349523125*(824/25.4-14), 1e-10)
	near(t, "swing weight", w, 227.5, 0.05)
	for w, want := range map[float64]string{
		w: "D8.0", 213.5: "D0.0", 213.5 - 0.5*1.75: "C9.5", 213.5 - 30*1.75: "A0.0",
		213.5 + 39.9*1.75: "G9.9", 213.5 + 40*1.75: "", 100: "",
	} {
		if got := SwingWeightLetter(w, SwingWeightZero); got != want {
			t.Errorf("%v oz in is %q, want %q", w, got, want)
		}
	}
	if got := SwingWeightLetter(math.NaN(), SwingWeightZero); got != "" {
		t.Errorf("NaN is %q", got)
	}
}

// Mass and balance of a density that falls linearly: m (a + 2b)/3(a + b) L.
func TestMass(t *testing.T) {
	b := Beam{Length: 1.2, Density: Curve{[]float64{0, 1.2}, []float64{0.08, 0.03}}}
	mass, balance := b.Mass()
	near(t, "mass", mass, 0.055*1.2, 1e-12)
	near(t, "balance", balance, 1.2*(0.08+0.06)/3/0.11, 1e-12)
	if m, at := (Beam{Length: 1}).Mass(); m != 0 || !math.IsNaN(at) {
		t.Errorf("no mass: %v at %v", m, at)
	}
}

func TestValidate(t *testing.T) {
	ok := Beam{Length: 1, EI: Constant(40)}
	if err := ok.Validate(); err != nil {
		t.Error(err)
	}
	for name, b := range map[string]Beam{
		"length":       {EI: Constant(40)},
		"no stiffness": {Length: 1},
		"EI of zero":   {Length: 1, EI: Constant(0)},
		"EI NaN":       {Length: 1, EI: Constant(math.NaN())},
		"outside":      {Length: 1, EI: Curve{[]float64{1.1}, []float64{40}}},
		"order":        {Length: 1, EI: Curve{[]float64{0.5, 0.4}, []float64{40, 40}}},
		"values":       {Length: 1, EI: Curve{[]float64{0.5}, []float64{40, 40}}},
		"GJ":           {Length: 1, EI: Constant(40), GJ: Constant(-1)},
		"density":      {Length: 1, EI: Constant(40), Density: Constant(-1)},
	} {
		if b.Validate() == nil {
			t.Errorf("%s: nothing is wrong", name)
		}
	}
}

func BenchmarkCPM(b *testing.B) {
	s := tapered(0.127, 1.143, 60, 20)
	s.Density = Constant(0.05)
	for b.Loop() {
		if _, err := s.CPM(0.127, 0.205); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSag(b *testing.B) {
	s := tapered(0.127, 1.143, 60, 20)
	for b.Loop() {
		if _, err := s.Sag(0.127, 1, 10); err != nil {
			b.Fatal(err)
		}
	}
}

package beam

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate"
)

// near fails the test unless got is want to within tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

// uniform returns a beam of 1 m with a density that makes frequencies (b)².
func uniform(ei float64) Beam { return Beam{Length: 1, EI: Constant(ei), Density: Constant(ei)} }

// tapered returns a beam of a length whose EI falls linearly from a clamp on.
func tapered(clamp, length, butt, tip float64) Beam {
	return Beam{Length: length, EI: Curve{[]float64{clamp, length}, []float64{butt, tip}}}
}

func (c Cantilever) mustDeflect(t testing.TB, l Load) (y, slope float64) {
	t.Helper()
	s, err := c.Deflect(l)
	if err != nil {
		t.Fatal(err)
	}
	return s.Tip()
}

func (c Cantilever) mustModes(t testing.TB, n int) []Mode {
	t.Helper()
	m, err := c.Modes(n)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Uniform cantilever (Roark's Formulas for Stress and Strain; Gere & Timoshenko,
// Mechanics of Materials): P L³/3EI and P L²/2EI; M L²/2EI and M L/EI; w L⁴/8EI
// and w L³/6EI.
func TestUniformCantilever(t *testing.T) {
	const ei, l = 37.0, 0.9
	c := Cantilever{Beam: Beam{Length: 1.1, EI: Constant(ei)}, Clamp: 0.2}
	for _, is := range []struct {
		load     Load
		y, slope float64
	}{
		{Load{Force: 3}, 3 * l * l * l / 3 / ei, 3 * l * l / 2 / ei},
		{Load{Couple: 3}, 3 * l * l / 2 / ei, 3 * l / ei},
		{Load{Spread: 3}, 3 * l * l * l * l / 8 / ei, 3 * l * l * l / 6 / ei},
	} {
		y, slope := c.mustDeflect(t, is.load)
		near(t, "deflection", y/is.y, 1, 1e-7)
		near(t, "slope", slope/is.slope, 1, 1e-7)
	}
}

// A cantilever whose EI falls linearly to a share of that at the clamp. The
// expected values are the integrals of M m/EI in closed form, with M and m the
// moments of the load and of a unit load at the tip; u = 1 − x, d = 1 − r:
//
//	python3 -c "from scipy.integrate import quad as q
//	for r in (1,.5,1/3,.25):
//	  e=lambda u: r+(1-r)*u
//	  print(*(q(lambda u:f(u)/e(u),0,1,epsabs=1e-13)[0] for f in (lambda u:u*u,lambda u:u,lambda u:1,lambda u:u**3/2)))"
func TestTaperedCantilever(t *testing.T) {
	for _, is := range []struct{ r, force, forceSlope, coupleSlope, spread float64 }{
		{1, 0.333333333333, 0.5, 1, 0.125},
		{0.5, 0.386294361120, 0.613705638880, 1.386294361120, 0.140186152773},
		{1. / 3, 0.411979608251, 0.676040783499, 1.647918433002, 0.147005097937},
		{0.25, 0.427599164610, 0.717202506169, 1.848392481493, 0.150955694787},
	} {
		c := Cantilever{Beam: tapered(0, 1, 1, is.r)}
		y, slope := c.mustDeflect(t, Load{Force: 1})
		near(t, "deflection under a force", y, is.force, 5e-8)
		near(t, "slope under a force", slope, is.forceSlope, 1e-7)
		y, slope = c.mustDeflect(t, Load{Couple: 1})
		near(t, "deflection under a couple", y, is.forceSlope, 1e-7) // Maxwell and Betti
		near(t, "slope under a couple", slope, is.coupleSlope, 1e-7)
		y, _ = c.mustDeflect(t, Load{Spread: 1})
		near(t, "deflection under a spread load", y, is.spread, 2e-8)
	}
	y, slope := Cantilever{Beam: tapered(0, 1, 60, 20)}.mustDeflect(t, Load{Force: 10})
	near(t, "deflection, mm", y*1e3, 68.6633, 5e-5)
	near(t, "slope, deg", slope*180/math.Pi, 6.45571, 5e-6)
}

// Roots b of 1 + cos b cosh b + μ b (cos b sinh b − sin b cosh b) = 0, for a tip
// mass μ times that of the beam (μ = 1 as in Math. Probl. Eng. 2017, 1568019,
// Table 1):
//
//	python3 -c "from scipy.optimize import brentq
//	from numpy import cos,cosh,sin,sinh
//	for m in (0,.1,.5,1,2,4,10):
//	  f=lambda b: 1/cosh(b)+cos(b)+m*b*(cos(b)*sinh(b)/cosh(b)-sin(b))
//	  print(m,*(round(brentq(f,*i),6) for i in ((.1,2.5),(3.9,4.8),(7,7.9))))"
func TestTipMass(t *testing.T) {
	for mu, want := range map[float64][3]float64{
		0:   {1.875104, 4.694091, 7.854757},
		0.1: {1.722742, 4.399523, 7.451057},
		0.5: {1.419964, 4.111133, 7.190335},
		1:   {1.247917, 4.031139, 7.134132},
		2:   {1.076196, 3.982573, 7.102650},
		4:   {0.917358, 3.955612, 7.085957},
		10:  {0.735782, 3.938466, 7.075616},
	} {
		c := Cantilever{Beam: uniform(40), Tip: Body{Mass: mu * 40}}
		for i, m := range c.mustModes(t, 3) {
			near(t, "root", math.Sqrt(m.Rate), want[i], 1e-6)
		}
	}
}

// A rigid body at the tip end: mass M, inertia J about its centre, d ahead of
// the end. The frequency equation follows from y = A (cosh − cos) + B (sinh −
// sin) and, at the end, EI y” = ω² (J y' + M d (y + d y')) and EI y”' = −ω² M
// (y + d y'); its first two roots for EI = density = length = 1, M = 3, J = 0.05,
// d = 0.1:
//
//	python3 -c "from scipy.optimize import brentq
//	from numpy import cos,cosh,sin,sinh,linalg
//	M,J,d=3,.05,.1
//	def f(b):
//	  r=[]
//	  for y,y1,y2,y3 in (((cosh(b)-cos(b)),b*(sinh(b)+sin(b)),b*b*(cosh(b)+cos(b)),b**3*(sinh(b)-sin(b))),(sinh(b)-sin(b),b*(cosh(b)-cos(b)),b*b*(sinh(b)+sin(b)),b**3*(cosh(b)+cos(b)))):
//	    r.append((y2-b**4*(J*y1+M*d*(y+d*y1)),y3+b**4*M*(y+d*y1)))
//	  return linalg.det(r)
//	print(brentq(f,.3,1.2,xtol=1e-14)**2,brentq(f,1.2,4,xtol=1e-14)**2)"
func TestTipBody(t *testing.T) {
	c := Cantilever{Beam: uniform(1), Tip: Body{Mass: 3, Inertia: 0.05, Ahead: 0.1}}
	m := c.mustModes(t, 2)
	near(t, "first", m[0].Rate, 0.831274964762, 1e-7)
	near(t, "second", m[1].Rate, 8.337001156999, 1e-6)
}

// Without mass of its own a beam with a point mass swings as √(3EI/ML³), and
// only so.
func TestMasslessBeam(t *testing.T) {
	c := Cantilever{Beam: Beam{Length: 1.2, EI: Constant(40)}, Clamp: 0.2, Tip: Body{Mass: 0.2}}
	m := c.mustModes(t, 3)
	if len(m) != 1 {
		t.Fatalf("%d modes, want 1", len(m))
	}
	near(t, "rate", m[0].Rate, math.Sqrt(3*40/0.2), 3e-6)
	c.Tip = Body{}
	if _, err := c.Modes(1); err == nil {
		t.Error("nothing with mass swings")
	}
}

// Cycles a minute of a shaft of 60 g over 1.143 m with a free length of 1.016 m,
// EI linear from clamp to tip, and a point mass at the tip. The values are from
// another method, shooting y, y', M, V from clamp to tip:
//
//	python3 -c "from scipy.integrate import solve_ivp; from scipy.optimize import brentq; from math import pi
//	def cpm(a,b,m,L=1.016,q=.06/1.143):
//	  def f(w):
//	    e=lambda s:a+(b-a)*s/L
//	    g=lambda s,z:[z[1],z[2]/e(s),z[3],q*w*w*z[0]]
//	    r=[solve_ivp(g,(0,L),y,rtol=1e-11,atol=1e-13).y[:,-1] for y in ([0,0,1,0],[0,0,0,1])]
//	    (p,s)=[(z[2],z[3]+w*w*m*z[0]) for z in r]
//	    return p[0]*s[1]-p[1]*s[0]
//	  return brentq(f,5,150,xtol=1e-10)*60/2/pi
//	for ab in ((60,20),(70,25),(50,18),(40,40)): print(*(cpm(*ab,m) for m in (0,.205,.254)))"
func TestCPM(t *testing.T) {
	const free, length = 1.016, 1.143
	for _, is := range []struct {
		butt, tip float64
		want      [3]float64
	}{
		{60, 20, [3]float64{1017.496561, 241.680797, 218.271674}},
		{70, 25, [3]float64{1102.767766, 262.317557, 236.913928}},
		{50, 18, [3]float64{932.385321, 221.826206, 200.344314}},
		{40, 40, [3]float64{897.867402, 218.977519, 197.833883}},
	} {
		b := tapered(length-free, length, is.butt, is.tip)
		b.Density = Constant(0.060 / length)
		for i, mass := range []float64{0, 0.205, 0.254} {
			got, err := b.CPM(length-free, mass)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "frequency", got, is.want[i], 2e-4) // of the method compared with: it shoots
		}
	}
}

// spun returns c under the tension that holds it on its circle when it turns at
// rate rad/s about its clamp; its modes are then those of flapping.
func (c Cantilever) spun(rate float64) Cantilever {
	c.Tension = func(station float64) float64 {
		mass, first := c.Beam.Density.moments(station, c.Beam.Length)
		return rate * rate * (first - c.Clamp*mass)
	}
	return c
}

// Flapping of a uniform beam that turns with eta = Ω √(mL⁴/EI) about its clamp
// (Wright, Smith, Thresher & Wang, J Appl Mech 49:197-202, 1982, whose printed
// third frequencies are about 2 units of the fifth decimal above those of SciPy's
// solve_ivp and brentq for the same equation).
func TestSpinningBeam(t *testing.T) {
	for eta, want := range map[float64][3]float64{
		0:  {3.51602, 22.03449, 61.69723},
		1:  {3.68165, 22.18101, 61.84178},
		3:  {4.79728, 23.32026, 62.98498},
		6:  {7.36037, 26.80908, 66.68393},
		12: {13.17015, 37.60311, 79.61449},
	} {
		c := Cantilever{Beam: uniform(40)}.spun(eta)
		for i, m := range c.mustModes(t, 3) {
			near(t, "rate", m.Rate, want[i], 2.5e-5)
		}
	}
}

// e (1 − sech kL) and e k tanh kL; a lateral force at the tip (P/Fk)(kL − tanh
// kL); and a taper by another method (boundary value problem):
//
//	python3 -c "import numpy as n; from scipy.integrate import solve_bvp
//	F,e=250,.036; x=n.linspace(0,1,400)
//	r=solve_bvp(lambda s,z:[z[1],F*(e-(z[2]-z[0]))/(60-40*s),0*s],lambda a,b:[a[0],a[1],b[0]-b[2]],x,n.zeros((3,400)),tol=1e-10)
//	print(r.y[0,-1]*1e3,n.degrees(r.y[1,-1]))"
func TestPull(t *testing.T) {
	p := Pull{Force: 250, Offset: 0.036}
	y, slope := p.Uniform(40, 1)
	near(t, "closed form, mm", y*1e3, 30.129, 5e-4)
	near(t, "closed form, deg", slope*180/math.Pi, 5.088, 5e-4)
	s, err := p.On(Beam{Length: 1.2, EI: Constant(40)}, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	fy, fslope := s.Tip()
	near(t, "beam against closed form, m", fy, y, 1e-9)
	near(t, "beam against closed form, rad", fslope, slope, 1e-8)
	if s, err = p.On(tapered(0, 1, 60, 20), 0); err != nil {
		t.Fatal(err)
	}
	y, slope = s.Tip()
	near(t, "taper, mm", y*1e3, 29.688, 5e-4)
	near(t, "taper, deg", slope*180/math.Pi, 6.369, 5e-4)

	// Without the tension the same couple would give F e L²/2EI.
	y, _ = Cantilever{Beam: uniform(40)}.mustDeflect(t, Load{Couple: 250 * 0.036})
	near(t, "tension left out, mm", y*1e3, 112.5, 1e-4)

	k := math.Sqrt(250. / 40)
	y, _ = Cantilever{Beam: uniform(40)}.Pulled(250).mustDeflect(t, Load{Force: 7})
	near(t, "under a force, m", y, 7/(250*k)*(k-math.Tanh(k)), 1e-9)
	near(t, "head pull, N", HeadPull(0.2, 45, 1.5, 0).Force, 270, 1e-9)
}

// A push above π²EI/4L², Euler's load of a cantilever, buckles it; one just
// below does not.
func TestCompression(t *testing.T) {
	c := Cantilever{Beam: uniform(40)}
	euler := math.Pi * math.Pi * 40 / 4
	if _, err := c.Pulled(-0.9999 * euler).Deflect(Load{Force: 1}); err != nil {
		t.Error(err)
	}
	for _, push := range []float64{1.0001 * euler, 1.0001 * 9 * euler} {
		if _, err := c.Pulled(-push).Deflect(Load{Force: 1}); err != ErrBuckled {
			t.Errorf("error %v, want %v", err, ErrBuckled)
		}
		if _, err := c.Pulled(-push).Modes(1); err != ErrBuckled {
			t.Errorf("error %v, want %v", err, ErrBuckled)
		}
	}
}

// shortening is how much nearer bending brings the two ends, ∫ (1 − cos θ) ds.
func shortening(s Shape) float64 {
	less := make([]float64, len(s.Slope))
	for i, angle := range s.Slope {
		less[i] = 1 - math.Cos(angle)
	}
	return integrate.Simpsons(s.Station, less)
}

// Tip load a = PL²/EI on a uniform cantilever: deflection, shortening and slope
// (Mattiasson, Int J Numer Meth Eng 17:145-153, 1981, Table 1; a = 0.5 from the
// elliptic integrals given there).
func TestElastica(t *testing.T) {
	for a, want := range map[float64][3]float64{
		0.5: {0.162144, 0.015919, 0.244534},
		1:   {0.301721, 0.056433, 0.461352},
		2:   {0.493457, 0.160642, 0.781750},
		5:   {0.713792, 0.387628, 1.215368},
		10:  {0.810609, 0.554996, 1.430286},
	} {
		s := uniform(40).Elastica(0, 40*a)
		y, slope := s.Tip()
		near(t, "deflection", y, want[0], 1e-6)
		near(t, "shortening", shortening(s), want[1], 1e-6)
		near(t, "slope", slope, want[2], 1e-6)
		mirror := uniform(40).Elastica(0, -40*a)
		my, mslope := mirror.Tip()
		near(t, "mirror image", my+y, 0, 0)
		near(t, "mirror image", shortening(mirror), shortening(s), 0)
		near(t, "mirror image", mslope+slope, 0, 0)
	}
	// Under a small load it is the small-slope solution.
	small, _ := tapered(0.1, 1.1, 60, 20).Elastica(0.1, 0.01).Tip()
	near(t, "small load", small, 0.01*0.411979608/60, 1e-11)
}

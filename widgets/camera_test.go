package widgets

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// anyCamera returns cameras all round, with and without perspective.
func anyCamera(r *rand.Rand) Camera {
	return Camera{
		Azimuth:      (2*r.Float64() - 1) * math.Pi,
		Elevation:    (r.Float64() - 0.5) * math.Pi,
		Distance:     math.Exp(4*r.Float64() - 2),
		Target:       anyPoint(r),
		Orthographic: r.IntN(2) == 0,
	}
}

func anyPoint(r *rand.Rand) r3.Vec {
	return r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
}

// near compares up to rounding in a handful of operations on numbers of size.
func near(a, b, size float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(1, size) }

func TestCameraAxesAreOrthonormal(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		c := anyCamera(r)
		right, up, back := c.Axes()
		for _, pair := range []struct{ got, want float64 }{
			{r3.Norm(right), 1}, {r3.Norm(up), 1}, {r3.Norm(back), 1},
			{r3.Dot(right, up), 0}, {r3.Dot(up, back), 0}, {r3.Dot(back, right), 0},
			{r3.Dot(r3.Cross(right, up), back), 1},
		} {
			if !near(pair.got, pair.want, 1) {
				t.Fatalf("%+v: axes %v %v %v", c, right, up, back)
			}
		}
	}
}

func TestTargetIsInTheMiddle(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		c := anyCamera(r)
		l := c.lens(700, 420)
		x, y, scale, depth, ok := l.project(c.Target)
		if !ok || !near(x, 350, 1e3) || !near(y, 210, 1e3) || depth != 0 {
			t.Fatalf("%+v: target at %v, %v, depth %v", c, x, y, depth)
		}
		if !near(scale*c.span(), 420, 1e3) {
			t.Fatalf("%+v: the shorter side shows %v m, want %v", c, 420/scale, c.span())
		}
	}
}

// From any direction but straight up or down, what is higher is higher in the
// picture and not to a side.
func TestUpIsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		c := anyCamera(r)
		l := c.lens(700, 420)
		x, y, _, _, _ := l.project(r3.Add(c.Target, r3.Vec{Z: 0.1 * c.Distance}))
		if !near(x, 350, 1e3) || y >= 210 {
			t.Fatalf("%+v: a point above the target is at %v, %v", c, x, y)
		}
	}
}

func TestStandardViews(t *testing.T) {
	for _, c := range []struct {
		name  string
		from  r3.Vec // direction of the eye
		right r3.Vec // what lies to the right of the target
	}{
		{"face on", r3.Vec{Y: 3}, r3.Vec{X: -1}},
		{"from behind", r3.Vec{Y: -2}, r3.Vec{X: 1}},
		{"down the line", r3.Vec{X: -1}, r3.Vec{Y: -1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			camera := LookFrom(r3.Vec{X: 1, Y: 2, Z: 3}, c.from, 4)
			right, up, back := camera.Axes()
			if r3.Norm(r3.Sub(right, c.right)) > 1e-12 || r3.Norm(r3.Sub(up, r3.Vec{Z: 1})) > 1e-12 ||
				r3.Norm(r3.Sub(back, r3.Unit(c.from))) > 1e-12 {
				t.Errorf("axes %v %v %v", right, up, back)
			}
		})
	}
}

// Looking along a shaft makes it a point.
func TestLookAlong(t *testing.T) {
	butt, tip := r3.Vec{X: 0.1, Z: 1}, r3.Vec{X: 0.3, Y: -0.4, Z: 0.1}
	c := LookFrom(tip, r3.Sub(butt, tip), 3)
	c.Orthographic = true
	l := c.lens(400, 400)
	if x, y, _, _, _ := l.project(butt); !near(x, 200, 1e3) || !near(y, 200, 1e3) {
		t.Errorf("the butt is at %v, %v, want the middle", x, y)
	}
}

func TestOrbitStopsAtThePoles(t *testing.T) {
	c := Camera{Distance: 1}
	if got := c.Orbit(0, 5).Elevation; got != math.Pi/2 {
		t.Errorf("elevation %v, want π/2", got)
	}
	if got := c.Orbit(0, -5).Elevation; got != -math.Pi/2 {
		t.Errorf("elevation %v, want -π/2", got)
	}
	if got := c.Orbit(5*math.Pi, 0).Azimuth; !near(math.Abs(got), math.Pi, 1) {
		t.Errorf("azimuth %v, want within a turn", got)
	}
}

func TestPerspectiveAgreesAtTheTarget(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		c := anyCamera(r)
		right, up, _ := c.Axes()
		p := r3.Add(c.Target, r3.Add(r3.Scale(0.2*r.NormFloat64(), right), r3.Scale(0.2*r.NormFloat64(), up)))
		c.Orthographic = false
		in := c.lens(500, 300)
		c.Orthographic = true
		out := c.lens(500, 300)
		x, y, _, _, _ := in.project(p)
		u, v, _, _, _ := out.project(p)
		if !near(x, u, 1e4) || !near(y, v, 1e4) {
			t.Fatalf("%+v: %v, %v in perspective, %v, %v without", c, x, y, u, v)
		}
	}
}

func TestBehindTheEye(t *testing.T) {
	c := Camera{Distance: 2}
	l := c.lens(100, 100)
	if _, _, _, _, ok := l.project(r3.Vec{X: 2.1}); ok {
		t.Error("a point behind the eye is in the picture")
	}
	if _, _, _, _, ok := l.project(r3.Vec{X: math.NaN()}); ok {
		t.Error("a gap is in the picture")
	}
}

func TestFitShowsAll(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 200 {
		points := []r3.Vec{{X: math.NaN()}}
		for range 1 + r.IntN(30) {
			points = append(points, r3.Scale(3, anyPoint(r)))
		}
		c := anyCamera(r).Fit(points)
		l := c.lens(700, 420)
		for _, p := range points[1:] {
			if x, y, _, _, ok := l.project(p); !ok || x < 0 || x > 700 || y < 0 || y > 420 {
				t.Fatalf("%+v: %v is at %v, %v", c, p, x, y)
			}
		}
	}
	c := Camera{Distance: 2}
	if got := c.Fit([]r3.Vec{{Z: math.NaN()}}); got != c {
		t.Errorf("fit of nothing changed the camera to %+v", got)
	}
}

func ExampleLookFrom() {
	c := LookFrom(r3.Vec{Z: 0.5}, r3.Vec{X: -1}, 3)
	right, up, _ := c.Axes()
	fmt.Printf("right is y %+.0f, up is z %+.0f\n", right.Y, up.Z)
	// Output: right is y -1, up is z +1
}

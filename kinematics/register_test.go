package kinematics

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %g", what, got, want, tol)
	}
}

func nearVec(t *testing.T, what string, got, want r3.Vec, tol float64) {
	t.Helper()
	if !(r3.Norm(r3.Sub(got, want)) <= tol) {
		t.Errorf("%s = %v, want %v within %g", what, got, want, tol)
	}
}

func randomFrame(rng *rand.Rand) Frame {
	f := rotation(r3.Vec{X: 2 * rng.NormFloat64(), Y: 2 * rng.NormFloat64(), Z: 2 * rng.NormFloat64()})
	f.Origin = r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
	return f
}

var cluster = []r3.Vec{{X: 0.043, Y: 0.003, Z: -0.029}, {X: -0.023, Y: 0.034, Z: -0.022}, {X: -0.022, Y: -0.038, Z: -0.025}, {X: 0.005, Y: 0.002, Z: -0.064}}

// Umeyama (1991), IEEE Trans. PAMI 13:376, the example of its section III, in
// the plane z = 0; without its scale, which a rigid motion does not have.
func TestRegisterUmeyama(t *testing.T) {
	from := []r3.Vec{{}, {X: 1}, {Y: 2}}
	to := []r3.Vec{{}, {X: -1}, {Y: 2}}
	reg, err := Register(from, to, nil)
	if err != nil {
		t.Fatal(err)
	}
	// In the plane a mirror image would fit best; in space a half turn about y
	// reaches it, as a rotation, and leaves nothing.
	near(t, "rms", reg.RMS, 0, 1e-12)
	// Held to the plane by points off it on both sides, the paper's matrix comes out.
	from = append(from, r3.Vec{X: 1.0 / 3, Y: 2.0 / 3, Z: 100}, r3.Vec{X: 1.0 / 3, Y: 2.0 / 3, Z: -100})
	to = append(to, r3.Vec{X: -1.0 / 3, Y: 2.0 / 3, Z: 100}, r3.Vec{X: -1.0 / 3, Y: 2.0 / 3, Z: -100})
	if reg, err = Register(from, to, nil); err != nil {
		t.Fatal(err)
	}
	near(t, "R11", reg.X.X, 0.83205, 1e-4)
	near(t, "R21", reg.X.Y, -0.55470, 1e-4)
	near(t, "R12", reg.Y.X, 0.55470, 1e-4)
	near(t, "R22", reg.Y.Y, 0.83205, 1e-4)
}

// SciPy 1.10: scipy.spatial.transform.Rotation.align_vectors on the points less
// their weighted means, weights 1, 2, 1, 0.5.
func TestRegisterAgainstSciPy(t *testing.T) {
	to := []r3.Vec{
		{X: 0.2736874433044984, Y: -0.15605278986658375, Z: 1.1077784769124794},
		{X: 0.2903132992127291, Y: -0.2035111782794267, Z: 1.0545761921037695},
		{X: 0.34559914555956023, Y: -0.17941728322946288, Z: 1.0939656651118834},
		{X: 0.30170351260324546, Y: -0.14588708806109033, Z: 1.0650863990457513},
	}
	reg, err := Register(cluster, to, []float64{1, 2, 1, 0.5})
	if err != nil {
		t.Fatal(err)
	}
	nearVec(t, "X", reg.X, r3.Vec{X: -0.6262208990572202, Y: 0.4960114605208086, Z: 0.601514768410536}, 1e-12)
	nearVec(t, "Y", reg.Y, r3.Vec{X: -0.7730582802707, Y: -0.2949549224126143, Z: -0.5615892529682849}, 1e-12)
	nearVec(t, "Z", reg.Z, r3.Vec{X: -0.10113496373101755, Y: -0.8166848993195495, Z: 0.5681527033593545}, 1e-12)
	near(t, "rms", reg.RMS, 0.00016595263144609184, 1e-14)
}

func TestRegisterRecoversAnyMotion(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		f := randomFrame(rng)
		to := make([]r3.Vec, len(cluster))
		for i, p := range cluster {
			to[i] = f.ToLab(p)
		}
		if rng.IntN(2) == 0 {
			to[rng.IntN(len(to))] = nan3 // three are enough
		}
		reg, err := Register(cluster, to, nil)
		if err != nil {
			t.Fatal(err)
		}
		// Rounding: a turn is known to some 1e-16 over the spread of 0.03 m.
		nearVec(t, "Z", reg.Z, f.Z, 1e-12)
		nearVec(t, "origin", reg.Origin, f.Origin, 1e-12)
	}
}

func TestRegisterNeverMirrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for range 100 {
		to := make([]r3.Vec, len(cluster))
		for i, p := range cluster {
			to[i] = r3.Vec{X: -p.X + 0.01*rng.NormFloat64(), Y: p.Y, Z: p.Z}
		}
		reg, err := Register(cluster, to, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "determinant", r3.Dot(reg.X, r3.Cross(reg.Y, reg.Z)), 1, 1e-12)
	}
}

func TestRegisterRefusesPoorSpread(t *testing.T) {
	line := []r3.Vec{{}, {Z: 1}, {Z: 2.5}, {X: 1e-5, Z: 3}}
	for name, pts := range map[string][]r3.Vec{
		"two":  {{}, {X: 1}},
		"seen": {{}, {X: 1}, nan3, nan3},
		"line": line,
	} {
		if _, err := Register(pts, pts, nil); !errors.Is(err, ErrPoorSpread) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func TestFrames(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 100 {
		f, g := randomFrame(rng), randomFrame(rng)
		p := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		nearVec(t, "there and back", f.ToClub(f.ToLab(p)), p, 1e-14)
		nearVec(t, "chain", f.Then(g).ToLab(p), f.ToLab(g.ToLab(p)), 1e-14)
		nearVec(t, "inverse", f.Inverse().ToLab(f.ToLab(p)), p, 1e-14)
	}
	// A turn of 30° about z, then small turns by the series.
	q := rotation(r3.Vec{Z: math.Pi / 6})
	nearVec(t, "X", q.X, r3.Vec{X: math.Sqrt(3) / 2, Y: 0.5}, 1e-15)
	for _, a := range []float64{0.0999, 0.1001} { // either side of the series
		nearVec(t, "small", rotation(r3.Vec{Z: a}).X, r3.Vec{X: math.Cos(a), Y: math.Sin(a)}, 1e-15)
	}
}

func BenchmarkRegister(b *testing.B) {
	f := randomFrame(rand.New(rand.NewPCG(4, 1)))
	to := make([]r3.Vec, len(cluster))
	for i, p := range cluster {
		to[i] = f.ToLab(p)
	}
	for b.Loop() {
		if _, err := Register(cluster, to, nil); err != nil {
			b.Fatal(err)
		}
	}
}

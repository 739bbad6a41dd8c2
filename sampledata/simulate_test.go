package sampledata

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// quiet returns the nth random config without noise.
func quiet(n uint64) Config {
	cfg := RandomConfig(rand.New(rand.NewPCG(1, n)))
	cfg.Noise, cfg.Gaps = Noise{}, nil
	return cfg
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, tolerance)
	}
}

func TestSameSeedSameCapture(t *testing.T) {
	one := func(seed uint64) Capture {
		rng := rand.New(rand.NewPCG(seed, 0))
		cfg := RandomConfig(rng)
		cfg.Noise = Noise{White: 1e-4, Wander: 1e-4, Time: 4e-3}
		return Simulate(cfg, rng)
	}
	if a, b := one(1), one(1); !reflect.DeepEqual(a, b) {
		t.Error("two captures of one seed differ")
	}
	if a, b := one(1), one(2); reflect.DeepEqual(a, b) {
		t.Error("two seeds give one capture")
	}
}

// Every marker without noise is where the true grip and rod put it, and the
// truth can be read off the markers by plain geometry.
func TestMarkersShowTheTruth(t *testing.T) {
	for n := range uint64(6) {
		cfg := quiet(n)
		c := Simulate(cfg, nil)
		club := cfg.Club
		for i, s := range c.Truth.Frames {
			near(t, "time", s.Time, c.Recording.Time(i), 1e-12)
			for j, name := range club.Markers.Grip {
				p := clubPoint(club.Hand, s.Grip, c.Recording.Track(name)[i])
				near(t, name, r3.Norm(r3.Sub(p, club.Grip[j])), 0, 1e-12)
			}
			// The tip section from the head cluster: its axes are differences of
			// head markers solved for, the tip end lies behind them.
			tip := r3.NewMat(nil)
			base := r3.NewMat(nil)
			var centre r3.Vec
			for j, name := range club.Markers.Head {
				p := clubPoint(club.Hand, s.Grip, c.Recording.Track(name)[i])
				centre = r3.Add(centre, r3.Scale(1./4, p))
				if j == 3 {
					break
				}
				last := clubPoint(club.Hand, s.Grip, c.Recording.Track(club.Markers.Head[3])[i])
				column(tip, j, r3.Sub(p, last))
				column(base, j, r3.Sub(club.Head[j], club.Head[3]))
			}
			rotation := rotate(tip, base)
			at := r3.Sub(centre, rotation.MulVec(club.headPoint()))
			z := rotation.MulVec(r3.Vec{Z: 1})
			near(t, "lead", s.Lead, at.X, 1e-11)
			near(t, "droop", s.Droop, -at.Y, 1e-11)
			near(t, "lead angle", s.LeadAngle, math.Atan2(z.X, z.Z), 1e-10)
			near(t, "droop angle", s.DroopAngle, math.Atan2(-z.Y, z.Z), 1e-10)
			// Undo the smallest rotation from z to the tangent; a turn about z is left.
			axis := r3.Cross(r3.Vec{Z: 1}, z)
			back := r3.NewRotation(-math.Atan2(r3.Norm(axis), z.Z), axis)
			x := back.Rotate(rotation.MulVec(r3.Vec{X: 1}))
			near(t, "twist", s.Twist, -math.Atan2(x.Y, x.X), 1e-10)
			near(t, "left of the turn", x.Z, 0, 1e-10)
		}
		if t.Failed() {
			t.Fatalf("config %d", n)
		}
	}
}

// clubPoint returns a lab point in the frame of the grip with x along lead.
func clubPoint(h kinematics.Hand, grip kinematics.Frame, p r3.Vec) r3.Vec {
	q := grip.ToClub(p)
	if h == kinematics.Left {
		q.X = -q.X
	}
	return q
}

func column(m *r3.Mat, j int, v r3.Vec) {
	m.Set(0, j, v.X)
	m.Set(1, j, v.Y)
	m.Set(2, j, v.Z)
}

// rotate returns the rotation R with R from = to, for three independent
// columns.
func rotate(to, from *r3.Mat) *r3.Mat {
	// The inverse has the cross products of the columns as rows, over the
	// determinant.
	a, b, c := vector(from, 0), vector(from, 1), vector(from, 2)
	det := r3.Dot(a, r3.Cross(b, c))
	inverse := r3.NewMat(nil)
	for i, v := range []r3.Vec{r3.Cross(b, c), r3.Cross(c, a), r3.Cross(a, b)} {
		inverse.Set(i, 0, v.X/det)
		inverse.Set(i, 1, v.Y/det)
		inverse.Set(i, 2, v.Z/det)
	}
	r := r3.NewMat(nil)
	r.Mul(to, inverse)
	return r
}

func vector(m *r3.Mat, j int) r3.Vec { return r3.Vec{X: m.At(0, j), Y: m.At(1, j), Z: m.At(2, j)} }

// A shaft marker keeps its distance from the axis and turns with its section.
func TestShaftMarkersRideWithTheirSection(t *testing.T) {
	cfg := quiet(3)
	m := newModel(&cfg)
	points := make([]r3.Vec, len(cfg.Club.Markers.Names()))
	for _, at := range []float64{-0.2, -0.05, 0, 0.03} {
		p := m.at(at, true)
		m.markers(p, points)
		for i, s := range cfg.Club.Markers.Shaft {
			q := p.grip.ToClub(mirrored(points[4+i], cfg.Club.Hand))
			local := m.sections[i].ToClub(q)
			near(t, s.Name+" across", math.Hypot(local.X, local.Y), s.Offset, 1e-12)
			near(t, s.Name+" along", local.Z, 0, 1e-12)
			near(t, s.Name+" around", math.Remainder(math.Atan2(local.Y, local.X)-cfg.Club.Around[i], 2*math.Pi), 0, 1e-9)
		}
	}
}

func TestLeftIsTheMirrorOfRight(t *testing.T) {
	cfg := quiet(4)
	cfg.Club.Hand = kinematics.Right
	right := Simulate(cfg, nil)
	cfg.Club.Hand = kinematics.Left
	left := Simulate(cfg, nil)
	for _, name := range right.Recording.Markers() {
		for i, p := range right.Recording.Track(name) {
			p.Y = -p.Y
			if q := left.Recording.Track(name)[i]; q != p {
				t.Fatalf("%s in frame %d is at %v, want %v", name, i, q, p)
			}
		}
	}
	for i, r := range right.Truth.Frames {
		l := left.Truth.Frames[i]
		f := l.Grip
		near(t, "handedness of the left grip frame", r3.Dot(r3.Cross(f.X, f.Y), f.Z), 1, 1e-12)
		r.Grip, r.Head, l.Grip, l.Head = kinematics.Frame{}, r3.Vec{}, kinematics.Frame{}, r3.Vec{}
		if l != r {
			t.Fatalf("frame %d: truth of the left hand %+v, of the right %+v", i, l, r)
		}
	}
	left.Truth.Frames, left.Truth.Downswing = nil, nil
	right.Truth.Frames, right.Truth.Downswing = nil, nil
	if !reflect.DeepEqual(left.Truth, right.Truth) {
		t.Errorf("truth at impact of the left hand %+v, of the right %+v", left.Truth, right.Truth)
	}
}

// A recording at a million frames a second, ending at contact, shows the truth
// at impact by differences of its last frames.
func TestImpactIsTheLimitFromBefore(t *testing.T) {
	for n := range uint64(5) {
		cfg := quiet(n)
		cfg.Rate, cfg.Before, cfg.After = 1e6, 20e-6, 0
		c := Simulate(cfg, nil)
		f := c.Truth.Frames
		last := len(f) - 1
		near(t, "time of the last frame", f[last].Time, c.Truth.Impact, 1e-12)
		near(t, "lead", f[last].Lead, c.Truth.Lead, 1e-12)
		near(t, "twist", f[last].Twist, c.Truth.Twist, 1e-12)
		// One-sided differences of second order.
		slope := func(at func(State) r3.Vec) r3.Vec {
			const k = 10
			v := r3.Add(r3.Scale(3, at(f[last])), r3.Sub(at(f[last-2*k]), r3.Scale(4, at(f[last-k]))))
			return r3.Scale(cfg.Rate/(2*k), v)
		}
		near(t, "head speed", r3.Norm(slope(func(s State) r3.Vec { return s.Head })), c.Truth.HeadSpeed, 1e-3)
		kick := slope(func(s State) r3.Vec { return clubPoint(cfg.Club.Hand, s.Grip, s.Head) }).X
		near(t, "kick speed", kick, c.Truth.KickSpeed, 1e-3)
	}
}

// The head hits as fast as asked when the shaft is rigid.
func TestRigidHeadSpeed(t *testing.T) {
	for n := range uint64(5) {
		cfg := quiet(n)
		cfg.Loads = Loads{}
		tr := newModel(&cfg).truth(0)
		near(t, "head speed", tr.HeadSpeed, cfg.Motion.HeadSpeed, 1e-6)
		near(t, "lead", tr.Lead, 0, 0)
		near(t, "kick speed", tr.KickSpeed, 0, 1e-12)
	}
}

func TestRodStepsAreFineEnough(t *testing.T) {
	for n := range uint64(5) {
		cfg := quiet(n)
		m := newModel(&cfg)
		fine := newModelWithin(&cfg, longestStep/2)
		for _, at := range []float64{-0.2, 0} {
			a, b := m.at(at, false).tip, fine.at(at, false).tip
			near(t, "tip", r3.Norm(r3.Sub(a.Origin, b.Origin)), 0, 1e-9)
			near(t, "tangent", r3.Norm(r3.Sub(a.Z, b.Z)), 0, 1e-9)
		}
	}
}

// The truth of any random config lies where a driver's does (bands: common
// practice, no source), its top is one clear minimum of the head's speed, and
// its peak lag comes after it.
func TestRandomConfigsArePlausible(t *testing.T) {
	for n := range uint64(150) {
		cfg := quiet(n)
		m := newModel(&cfg)
		tr := m.truth(0)
		for _, b := range []struct {
			what             string
			value, low, high float64
		}{
			{"lead mm", tr.Lead * 1e3, -15, 60},
			{"droop mm", tr.Droop * 1e3, 8, 60},
			{"twist deg", degrees(tr.Twist), 0.3, 4},
			{"lead angle deg", degrees(tr.LeadAngle), -1, 7},
			{"droop angle deg", degrees(tr.DroopAngle), 1, 8},
			{"head speed m/s", tr.HeadSpeed, 34, 52},
			{"kick speed m/s", tr.KickSpeed, 0, 7},
			{"peak lag mm", tr.PeakLag * 1e3, 20, 130},
			{"peak lag after the top s", tr.PeakLagTime - tr.Top, 0.005, 0.15},
			{"top before impact s", tr.Impact - tr.Top, 0.15, 0.4},
			{"top inside the recording s", tr.Top, 0.15, 1},
		} {
			if !(b.value >= b.low && b.value <= b.high) {
				t.Errorf("config %d: %s %.3g is not in %g..%g", n, b.what, b.value, b.low, b.high)
			}
		}
		top := tr.Top - cfg.Before
		slowest := r3.Norm(m.headVelocity(top))
		for dt := -0.25; dt < tr.Impact-tr.Top; dt += 5e-3 {
			if v := r3.Norm(m.headVelocity(top + dt)); v < slowest-1e-9 {
				t.Errorf("config %d: head slower (%.3f m/s) %.3f s from the top (%.3f m/s)", n, v, dt, slowest)
				break
			}
		}
	}
}

func TestReferenceIsUnbent(t *testing.T) {
	club := driver(base)
	r := Reference(club, Noise{}, nil)
	grip, head := r.Track("G1"), r.Track("H1")
	for i := range r.Frames() {
		if head[i].Z > grip[i].Z-1 {
			t.Fatalf("frame %d: head at %v does not hang below the grip at %v", i, head[i], grip[i])
		}
		for j, s := range club.Markers.Shaft {
			want := r3.Add(polar(s.Offset, club.Around[j]), r3.Vec{Z: s.Station})
			near(t, s.Name, r3.Norm(r3.Sub(r.Track(s.Name)[i], grip[i])), r3.Norm(r3.Sub(want, club.Grip[0])), 1e-12)
		}
	}
}

func BenchmarkSimulate(b *testing.B) {
	cfg := quiet(1)
	cfg.Rate, cfg.Before, cfg.After = 2500, 1.2, 0.24 // 3600 frames
	cfg.Noise = Noise{White: 1.5e-4, Dropouts: 0.3}
	rng := rand.New(rand.NewPCG(1, 1))
	for b.Loop() {
		Simulate(cfg, rng)
	}
}

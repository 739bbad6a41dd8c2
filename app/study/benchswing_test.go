package study

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/kinematics"
)

// A head on a circle that speeds up shows its radius, and the grip's axis along
// the radius is the direction of the pull; noise of a marker cluster leaves some
// percent.
func TestHeadPath(t *testing.T) {
	const radius, speed, rate = 1.4, 45.0, 2500.0
	for noise, tolerance := range map[float64]float64{0: 0.01, 0.1e-3: 0.08} {
		rng := rand.New(rand.NewPCG(1, 2))
		s := &kinematics.Swing{Start: 3, Rate: rate, Impact: kinematics.Estimate{Value: 3.04013}}
		for i := range 120 {
			at := s.Time(i) - s.Impact.Value
			angle := (speed*at + 300*at*at) / radius // 600 m/s² along the path
			if at > 0 {
				angle *= 0.7 // the blow
			}
			sin, cos := math.Sincos(angle)
			out := r3.Vec{X: sin, Z: -cos}
			s.Head = append(s.Head, r3.Add(r3.Scale(radius, out), r3.Vec{X: noise * rng.NormFloat64(), Y: noise * rng.NormFloat64(), Z: noise * rng.NormFloat64()}))
			s.Grip = append(s.Grip, kinematics.Frame{X: r3.Vec{Y: 1}, Y: r3.Cross(out, r3.Vec{Y: 1}), Z: out})
		}
		p := headPath(s)
		near(t, "radius", p.radius, radius, tolerance*radius)
		near(t, "angle", p.angle, 0, 0.05)
		s.Head[100] = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
		near(t, "radius with a gap", headPath(s).radius, radius, tolerance*radius)
		s.Head = s.Head[:2]
		if p := headPath(s); !math.IsNaN(p.radius) || !math.IsNaN(p.angle) {
			t.Errorf("two frames give %+v", p)
		}
	}
}

// A profile whose curvature is the same everywhere bends a third in each third,
// and leaves the tangent at a station by κ l²/2 over a length l.
func TestSite(t *testing.T) {
	const length, n = 1.2, 30
	p := kinematics.Profile{
		LeadCurvature:  kinematics.Series{Value: make([]float64, n)},
		DroopCurvature: kinematics.Series{Value: make([]float64, n)},
	}
	for i := range n {
		p.Station = append(p.Station, (float64(i)+0.5)*length/n)
		p.LeadCurvature.Value[i], p.DroopCurvature.Value[i] = -0.3, 0.4
	}
	b := site(p, length)
	near(t, "bend, rad", b.Bend, 0.5*length, 1e-12)
	for _, share := range b.Thirds {
		near(t, "share", share, 1./3, 1e-12)
	}
	droop, lead := beyond(p, 0.25, length)
	near(t, "droop", droop, 0.4*0.95*0.95/2, 1e-12)
	near(t, "lead", lead, -0.3*0.95*0.95/2, 1e-12)
	p.DroopCurvature.Value[21] = -2
	b = site(p, length)
	near(t, "station of the largest", b.Station, 0.86, 1e-12)
	near(t, "the largest", b.Most, math.Hypot(0.3, 2), 1e-12)
	if !(b.Thirds[2] > 0.35) {
		t.Errorf("shares %v; the kink is in the tip third", b.Thirds)
	}
	if d, l := beyond(kinematics.Profile{}, 0.2, 1); !math.IsNaN(d) || !math.IsNaN(l) {
		t.Errorf("no profile gives %v and %v", d, l)
	}
}

// The prediction is the closed form and the beam for what the sheet says and
// the capture shows.
func TestPredict(t *testing.T) {
	sim := simulated()
	for _, r := range mustAnalyze(t).Results {
		c := *sim.study.Club(r.Run.Club)
		p, err := Predict(r, &c, DefaultSwingOptions())
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := c.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "head mass, kg", p.HeadMass, *sheet.Assembly.HeadG/1e3, 1e-12)
		near(t, "pull, N", p.Force, p.HeadMass*p.Speed*p.Speed/p.Radius, 1e-9)
		if !(p.Radius > 1 && p.Radius < 2) || !(p.PullAngle < 0.2) || len(p.Assumed) != 2 {
			t.Errorf("%s: %+v", r.Run.ID, p)
		}
		k := math.Sqrt(p.Force / p.MeanEI)
		near(t, "droop in closed form", p.Droop.ClosedForm, 0.036*(1-1/math.Cosh(k*(c.Shaft.Length-0.2))), 1e-12)
		// A taper from stiff to soft gives less than its mean.
		if !(p.Droop.Beam < p.Droop.ClosedForm && p.Droop.Beam > 0.9*p.Droop.ClosedForm) {
			t.Errorf("%s: droop %v by the beam, %v in closed form", r.Run.ID, p.Droop.Beam, p.Droop.ClosedForm)
		}
		// The hands bend the shaft above the station they hold it at as well.
		near(t, "captured droop", p.Droop.Captured.Value, p.Droop.BeyondClamp, 0.01)

		// The sheet's own centre of gravity is taken before the option.
		toe, back := 40., 0.
		sheet.Assembly.CGToeMM, sheet.Assembly.CGBackMM = &toe, &back
		if c, err = c.WithSheet(sheet); err != nil {
			t.Fatal(err)
		}
		o := DefaultSwingOptions()
		o.Radius = 1.5
		q, err := Predict(r, &c, o)
		if err != nil {
			t.Fatal(err)
		}
		if q.Droop.Offset != 0.04 || q.Lead.Beam != 0 || q.Radius != 1.5 || len(q.Assumed) != 0 {
			t.Errorf("with the sheet's centre of gravity: %+v", q)
		}
		o.Clamp = 2
		if _, err := Predict(r, &c, o); err == nil {
			t.Error("hands below the tip were taken")
		}
		c.Shaft.Station = nil
		if _, err := Predict(r, &c, DefaultSwingOptions()); err == nil {
			t.Error("a prediction without stiffness")
		}
	}
	if _, err := Predict(&Result{Swing: &kinematics.Swing{Impact: kinematics.Estimate{Value: math.NaN()}}}, &sim.study.Clubs[0], DefaultSwingOptions()); err == nil {
		t.Error("a prediction without an impact")
	}
}

func mustAnalyze(t *testing.T) *Analysis {
	t.Helper()
	a, err := Analyze(t.Context(), simulated().study, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The peak is the largest curvature times radius; rig cycles go with the swings
// and with the power of the range.
func TestShaftWear(t *testing.T) {
	a := mustAnalyze(t)
	o := DefaultSwingOptions()
	w, err := ShaftWear(a, "base", o)
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Peaks) != 2 || w.Caution == "" {
		t.Fatalf("%+v", w)
	}
	c := a.Study.Club("base")
	for _, p := range w.Peaks {
		s := a.Result(p.Run).Swing
		f := s.ProfileAt(s.FrameAt(p.Time))
		k := slices.Index(f.Station, p.Station)
		radius := (c.ButtDiameter + (c.TipDiameter-c.ButtDiameter)*p.Station/s.Length) / 2
		near(t, "peak strain", p.Strain, radius*math.Hypot(f.LeadCurvature.Value[k], f.DroopCurvature.Value[k]), 1e-15)
		if !(p.Strain <= w.Worst.Strain) || !(p.Strain > 5e-4 && p.Strain < 5e-3) {
			t.Errorf("%+v, worst %+v", p, w.Worst)
		}
	}
	near(t, "the largest along the shaft", slices.Max(w.Most), w.Worst.Strain, 0)
	for k := range w.Station {
		if !(w.ToImpact[k] > 0 && w.ToImpact[k] <= w.Most[k]) {
			t.Errorf("at %v m the strain is %v up to impact and %v in all", w.Station[k], w.ToImpact[k], w.Most[k])
		}
	}
	// Half a cycle of the largest range at least, from each swing.
	if !(w.RigCycles >= 0.5*o.WearSwings/2 && w.RigCycles <= 10*o.WearSwings) {
		t.Errorf("%v rig cycles for %v swings", w.RigCycles, o.WearSwings)
	}
	o.WearSwings *= 3
	o.WearRigRange = w.RigRange / 2
	again, err := ShaftWear(a, "base", o)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "three times the swings at half the range", again.RigCycles/w.RigCycles, 3*math.Pow(2, o.WearSlope), 1e-6)

	for club, without := range map[string]func(*Club){"none": nil, "base": func(c *Club) { c.TipDiameter = 0 }} {
		s := *a.Study
		s.Clubs = slices.Clone(s.Clubs)
		if without != nil {
			without(s.Club(club))
		}
		if _, err := ShaftWear(&Analysis{Study: &s, Results: a.Results}, club, o); err == nil {
			t.Errorf("strain of %s", club)
		}
	}
}

// The simulated prototype is softer at the tip, on the bench and in the swings;
// with the sides changed it is stiffer. A club against itself is the same.
func TestCompareSoftness(t *testing.T) {
	a := mustAnalyze(t)
	c, err := Compare(a, "", "")
	if err != nil {
		t.Fatal(err)
	}
	k := CompareSoftness(a.Study, c)
	if k.Seen != softerTipSeen(0.783, k.TipShare) || !(k.TipShare.Value > 0) {
		t.Errorf("a softer tip was seen in %q: %+v", k.Seen, k)
	}
	tip := k.Thirds[2]
	near(t, "implied EI of the tip", tip.Implied.Value, tip.Bench, 0.1)
	if !(tip.Implied.Low <= tip.Implied.Value && tip.Implied.Value <= tip.Implied.High) || !(tip.Bench < 0.8) {
		t.Errorf("tip %+v", tip)
	}
	back, err := Compare(a, "proto", "base")
	if err != nil {
		t.Fatal(err)
	}
	r := CompareSoftness(a.Study, back)
	near(t, "the other way round, bench", r.Thirds[2].Bench, 1/tip.Bench, 1e-9)
	near(t, "the other way round, implied", r.Thirds[2].Implied.Value, 1/tip.Implied.Value, 1e-9)
	near(t, "the other way round, share", r.TipShare.Value, -k.TipShare.Value, 1e-12)
	if r.Seen != SeenInNeither {
		t.Errorf("a stiffer tip is seen in %q", r.Seen)
	}
}

func TestSeen(t *testing.T) {
	nan := math.NaN()
	for _, is := range []struct {
		bench, low float64
		want       Seen
	}{{0.8, 0.01, SeenInBoth}, {0.8, -0.01, SeenInBench}, {0.98, 0.01, SeenInCapture}, {1.2, -0.01, SeenInNeither}, {nan, 0.01, SeenUnknown}, {0.8, nan, SeenUnknown}} {
		if got := softerTipSeen(is.bench, Contrast{Low: is.low}); got != is.want {
			t.Errorf("EI %v and a share from %v: %q, want %q", is.bench, is.low, got, is.want)
		}
	}
}

// All of it can be written, and says for which runs.
func TestWriteBenchSwings(t *testing.T) {
	a := mustAnalyze(t)
	c, err := Compare(a, "", "")
	if err != nil {
		t.Fatal(err)
	}
	held := HoldAgainstSwings(a, c, DefaultSwingOptions())
	clubs, err := Bench(a.Study, DefaultBenchOptions())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteBench(&b, clubs, &held); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Swings struct {
			Runs []struct {
				ID    string
				Droop struct{ Beam float64 } `json:"droop_mm"`
			}
			Softness struct {
				Seen string `json:"softer_tip_seen_in"`
			}
			Wear    []struct{ Caution string }
			LeftOut []string `json:"left_out"`
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	s := got.Swings
	if len(s.Runs) != len(a.Results) || s.Softness.Seen != string(held.Softness.Seen) || len(s.Wear) != 3 || s.Wear[0].Caution != WearCaution {
		t.Errorf("%+v", s)
	}
	if len(s.LeftOut) != 1 { // the left-handed prototype has no run here
		t.Errorf("left out %v", s.LeftOut)
	}
	for i, r := range s.Runs {
		near(t, r.ID+": droop by the beam, mm", r.Droop.Beam, held.Runs[i].Prediction.Droop.Beam*1e3, 1e-9)
	}
}

// A table of a few stations says nothing of the thirds it does not reach.
func TestMeanEIOfAShortTable(t *testing.T) {
	c := &Club{Shaft: kinematics.Shaft{Length: 1.2, Station: []float64{0, 0.6}, EI: []float64{80, 80}, GJ: []float64{30, 30}}}
	for third, known := range []bool{true, true, false} {
		if ei := meanEI(c, third); math.IsNaN(ei) == known || known && math.Abs(ei-80) > 1e-9 {
			t.Errorf("third %d: %v", third, ei)
		}
	}
	c.Shaft.Station, c.Shaft.EI = []float64{0}, []float64{80}
	if ei := meanEI(c, 0); !math.IsNaN(ei) {
		t.Errorf("one station: %v", ei)
	}
}

// A table of a stretch of the shaft is not taken for all of it.
func TestFitShaftOfAShortTable(t *testing.T) {
	c := &Club{Shaft: kinematics.Shaft{Length: 1.2, Station: []float64{0, 0.5}, EI: []float64{80, 70}, GJ: []float64{30, 30}}}
	if c.FitShaft().Known() {
		t.Error("500 of 1200 mm are taken for the whole shaft")
	}
	if c.Shaft.Station[1] = 0.7; !c.FitShaft().Known() || c.FitShaft().Length != 1.2 {
		t.Error("a table over 700 of 1200 mm is dropped")
	}
}

package kinematics_test

import (
	"math"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"

	"gonum.org/v1/gonum/spatial/r3"
)

// sevenOf returns the u95 of a readout: mm, deg and m/s.
func sevenOf(r kinematics.Readout) [7]float64 {
	return [7]float64{
		r.Lead.U95 * 1e3, r.Droop.U95 * 1e3, r.Twist.U95 * deg, r.LeadAngle.U95 * deg,
		r.DroopAngle.U95 * deg, r.HeadSpeed.U95, r.KickSpeed.U95,
	}
}

// bendsOf returns those of the five values that the bent club shows.
func bendsOf(r kinematics.Readout) []float64 {
	seven := sevenOf(r)
	return seven[:5]
}

// What is planned is what the fit then says of itself, on the mean over random
// captures; single runs differ by how their shaft is bent and how well their
// impact is seen.
func TestPlanAgreesWithTheFit(t *testing.T) {
	runs := uint64(10)
	if testing.Short() {
		runs = 4
	}
	for _, setting := range []kinematics.Setting{{Noise: 0.2e-3, Rate: 2500}, {Noise: 0.4e-3, Rate: 2000}, {Noise: 0.1e-3, Rate: 5000}} {
		var planned, found [7]float64
		for seed := range runs {
			s := newSubject(t, 300+seed, func(c *sampledata.Config) {
				c.Rate, c.Noise, c.Gaps = setting.Rate, sampledata.Noise{White: setting.Noise}, nil
			})
			f, err := kinematics.Plan(s.ref, setting)
			if err != nil {
				t.Fatal(err)
			}
			sw := s.fit(t, kinematics.Options{})
			for i, u := range sevenOf(f.Readout) {
				planned[i] += u / float64(runs)
				found[i] += sevenOf(sw.AtImpact)[i] / float64(runs)
			}
		}
		for i, name := range []string{"lead", "droop", "twist", "lead angle", "droop angle", "head speed", "kick speed"} {
			ratio := planned[i] / found[i]
			t.Logf("%.1f mm, %.0f/s: %-12s planned %.3f, found %.3f, ratio %.2f", setting.Noise*1e3, setting.Rate, name, planned[i], found[i], ratio)
			if !(ratio > 0.8 && ratio < 1.3) {
				t.Errorf("%+v: u95 of %s is planned as %.3f and found as %.3f", setting, name, planned[i], found[i])
			}
		}
	}
}

func plan(t testing.TB, ref *kinematics.Reference, s kinematics.Setting) *kinematics.Forecast {
	t.Helper()
	f, err := kinematics.Plan(ref, s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var usualSetting = kinematics.Setting{Noise: 0.2e-3, Rate: 2500}

// A marker more can only tell more, and one less only less.
func TestPlanOfAnotherMarkerSet(t *testing.T) {
	ref := newSubject(t, 3, nil).ref
	f := plan(t, ref, usualSetting)
	if n := len(ref.Markers.Grip) + len(ref.Markers.Shaft) + len(ref.Markers.Head); len(f.Without) != n {
		t.Errorf("%d of %d markers can be left out", len(f.Without), n)
	}
	if len(f.Better) < 6 {
		t.Errorf("%d changes for the better were looked at", len(f.Better))
	}
	sum := func(r kinematics.Readout) float64 { return r.Lead.U95 + r.Droop.U95 }
	for i, c := range f.Better {
		if c.Kind != kinematics.GripSpread && !(sum(c.Readout) < sum(f.Readout)) {
			t.Errorf("%+v makes it worse", c)
		}
		if i > 0 && sum(f.Better[i-1].Readout) > sum(c.Readout) {
			t.Error("the changes are not in their order")
		}
	}
	for i, c := range f.Without {
		// The head point is the mean of the head's markers: without one it is
		// another point, whose speeds may be better known.
		for k, u := range bendsOf(c.Readout) {
			if u < sevenOf(f.Readout)[k]*(1-1e-6) {
				t.Errorf("without track %d value %d is better known", c.Track, k)
			}
		}
		if i > 0 && sum(f.Without[i-1].Readout) < sum(c.Readout) {
			t.Error("the markers left out are not in their order")
		}
	}
	noisy := plan(t, ref, kinematics.Setting{Noise: 0.4e-3, Rate: 2500})
	slow := plan(t, ref, kinematics.Setting{Noise: 0.2e-3, Rate: 500})
	for k, u := range sevenOf(f.Readout) {
		if !(sevenOf(noisy.Readout)[k] > u && sevenOf(slow.Readout)[k] > u) {
			t.Errorf("value %d: u95 %.3f, with more noise %.3f, with fewer frames %.3f", k, u, sevenOf(noisy.Readout)[k], sevenOf(slow.Readout)[k])
		}
	}
}

// What a change is said to win is what the fit wins by it.
func TestPlannedChangeHelpsTheFit(t *testing.T) {
	const runs = 6
	var planned, wasPlanned, found, wasFound float64
	for seed := range uint64(runs) {
		setting := func(c *sampledata.Config) {
			c.Rate, c.Noise, c.Gaps = usualSetting.Rate, sampledata.Noise{White: usualSetting.Noise}, nil
		}
		was := newSubject(t, 400+seed, setting)
		is := newSubject(t, 400+seed, func(c *sampledata.Config) {
			setting(c)
			for i := range c.Club.Grip {
				p := &c.Club.Grip[i]
				r := math.Hypot(p.X, p.Y)
				p.X, p.Y = p.X*(1+0.02/r), p.Y*(1+0.02/r)
			}
		})
		f := plan(t, was.ref, usualSetting)
		for _, c := range f.Better {
			if c.Kind == kinematics.GripSpread {
				planned += c.Lead.U95 + c.Droop.U95
			}
		}
		wasPlanned += f.Lead.U95 + f.Droop.U95
		a, b := was.fit(t, kinematics.Options{}).AtImpact, is.fit(t, kinematics.Options{}).AtImpact
		wasFound += a.Lead.U95 + a.Droop.U95
		found += b.Lead.U95 + b.Droop.U95
	}
	t.Logf("lead and droop of a wider grip cluster: planned %.0f %%, found %.0f %%", 100*planned/wasPlanned, 100*found/wasFound)
	if d := planned/wasPlanned - found/wasFound; math.Abs(d) > 0.06 {
		t.Errorf("a wider grip cluster is planned to leave %.2f of u95 and leaves %.2f", planned/wasPlanned, found/wasFound)
	}
}

func TestPlanOfTheMirrorImage(t *testing.T) {
	ref := newSubject(t, 3, nil).ref
	mirror := *ref
	mirror.Hand, mirror.Point = 1-ref.Hand, nil
	for _, p := range ref.Point {
		mirror.Point = append(mirror.Point, r3.Vec{X: -p.X, Y: p.Y, Z: p.Z})
	}
	a, b := plan(t, ref, usualSetting), plan(t, &mirror, usualSetting)
	for k, u := range sevenOf(a.Readout) {
		// A segment's bend and twist do not quite commute: see TestRodDerivatives.
		if v := sevenOf(b.Readout)[k]; math.Abs(v-u) > 1e-6*u {
			t.Errorf("value %d: u95 %v, of the mirror image %v", k, u, v)
		}
	}
	if d := a.Lead.Value - b.Lead.Value; math.Abs(d) > 1e-9 {
		t.Errorf("lead of the mirror image is off by %v", d)
	}
}

// Before the club hung, the usual places of its clusters stand in for the true.
func TestPlanBeforeTheClubHung(t *testing.T) {
	ref := newSubject(t, 3, nil).ref
	nominal := kinematics.NominalReference(ref.Markers, ref.Shaft, ref.Hand, 0.02e-3)
	a, b := plan(t, ref, usualSetting), plan(t, nominal, usualSetting)
	for k, u := range bendsOf(a.Readout) {
		if ratio := sevenOf(b.Readout)[k] / u; !(ratio > 0.6 && ratio < 1.7) {
			t.Errorf("value %d: u95 %.3f, with nominal places %.3f", k, u, sevenOf(b.Readout)[k])
		}
	}
}

func TestPlanRefusals(t *testing.T) {
	ref := newSubject(t, 3, nil).ref
	for _, s := range []kinematics.Setting{{}, {Noise: 1e-4}, {Rate: 100}, {Noise: math.NaN(), Rate: 100}, {Noise: 1e-4, Rate: math.Inf(1)}, {Noise: 1e-4, Rate: 1e12}, {Noise: math.Inf(1), Rate: 2500}, {Noise: 1e-4, Rate: 400}} {
		if _, err := kinematics.Plan(ref, s); err == nil {
			t.Errorf("%+v was planned", s)
		}
	}
	few := *ref
	few.Markers.Grip = few.Markers.Grip[:2]
	if _, err := kinematics.Plan(&few, usualSetting); err == nil {
		t.Error("two grip markers were planned")
	}
	headless := *ref
	headless.Markers.Head = nil
	if _, err := kinematics.Plan(&headless, usualSetting); err == nil {
		t.Error("no head marker was planned")
	}
}

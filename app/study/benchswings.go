package study

import (
	"fmt"
	"math"
	"slices"

	"bendline/kinematics"
)

// BenchSwings is the bench held against the swings of a study.
type BenchSwings struct {
	Runs     []RunBench // in the order of the study
	Softness *Softness  // nil where there is nothing to compare
	Wear     []Wear     // one for each club with diameters and runs
	LeftOut  []string   // what is not there, and why, a sentence each
}

// A RunBench is the bench held against one run.
type RunBench struct {
	Prediction      Prediction
	AtImpact, AtLag BendSite
	Moments         kinematics.Profile // at impact: captured curvature times EI, with its u95
	Excluded        string             // why the run counts in no mean, "" where it does
}

// A ClubSwings is the mean over the runs of a club that are not excluded. Where a
// value is missing in one of them, its mean is NaN.
type ClubSwings struct {
	Club            string
	Runs            int
	Force           float64         // N
	Droop, Lead     PlanePrediction // Captured without an uncertainty
	AtImpact, AtLag BendSite
}

// ByClub returns the means of each club with runs, in the order of the runs.
func (b *BenchSwings) ByClub() []ClubSwings {
	var out []ClubSwings
	for _, r := range b.Runs {
		if r.Excluded == "" && !slices.ContainsFunc(out, func(c ClubSwings) bool { return c.Club == r.Prediction.Club }) {
			out = append(out, b.mean(r.Prediction.Club))
		}
	}
	return out
}

func (b *BenchSwings) mean(club string) ClubSwings {
	m := ClubSwings{Club: club}
	var runs []RunBench
	for _, r := range b.Runs {
		if r.Prediction.Club == club && r.Excluded == "" {
			runs = append(runs, r)
		}
	}
	m.Runs = len(runs)
	mean := func(of func(RunBench) float64) float64 {
		sum := 0.0
		for _, r := range runs {
			sum += of(r)
		}
		return sum / float64(len(runs))
	}
	plane := func(of func(RunBench) PlanePrediction) (p PlanePrediction) {
		p.Offset = mean(func(r RunBench) float64 { return of(r).Offset })
		p.ClosedForm = mean(func(r RunBench) float64 { return of(r).ClosedForm })
		p.Beam = mean(func(r RunBench) float64 { return of(r).Beam })
		p.BeyondClamp = mean(func(r RunBench) float64 { return of(r).BeyondClamp })
		p.Captured = kinematics.Estimate{Value: mean(func(r RunBench) float64 { return of(r).Captured.Value }), U95: math.NaN()}
		return p
	}
	site := func(of func(RunBench) BendSite) (s BendSite) {
		s.Time = math.NaN()
		s.Station = mean(func(r RunBench) float64 { return of(r).Station })
		s.Most = mean(func(r RunBench) float64 { return of(r).Most })
		s.Bend = mean(func(r RunBench) float64 { return of(r).Bend })
		for i := range s.Thirds {
			s.Thirds[i] = mean(func(r RunBench) float64 { return of(r).Thirds[i] })
		}
		return s
	}
	m.Force = mean(func(r RunBench) float64 { return r.Prediction.Force })
	m.Droop = plane(func(r RunBench) PlanePrediction { return r.Prediction.Droop })
	m.Lead = plane(func(r RunBench) PlanePrediction { return r.Prediction.Lead })
	m.AtImpact = site(func(r RunBench) BendSite { return r.AtImpact })
	m.AtLag = site(func(r RunBench) BendSite { return r.AtLag })
	return m
}

// HoldAgainstSwings holds the bench against every run of the analysis, excluded
// or not. c may be nil.
func HoldAgainstSwings(a *Analysis, c *Comparison, o SwingOptions) BenchSwings {
	out := BenchSwings{LeftOut: []string{}}
	leave := func(format string, args ...any) { out.LeftOut = append(out.LeftOut, fmt.Sprintf(format, args...)) }
	for _, r := range a.Results {
		if !r.OK() {
			leave("run %q: %v", r.Run.ID, r.Err)
			continue
		}
		p, err := Predict(r, a.Study.Club(r.Run.Club), o)
		if err != nil {
			leave("run %q: %v", r.Run.ID, err)
			continue
		}
		s := r.Swing
		out.Runs = append(out.Runs, RunBench{p, SiteAtImpact(s), SiteAt(s, s.FrameAt(s.PeakLag.Time)), s.Bend, r.Run.Excluded})
	}
	if c != nil {
		k := CompareSoftness(a.Study, c)
		out.Softness = &k
	}
	for i := range a.Study.Clubs {
		w, err := ShaftWear(a, a.Study.Clubs[i].ID, o)
		if err != nil {
			leave("strain of %s: %v", a.Study.Clubs[i].name(), err)
			continue
		}
		out.Wear = append(out.Wear, w)
	}
	return out
}

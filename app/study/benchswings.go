package study

import (
	"fmt"

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
		out.Runs = append(out.Runs, RunBench{p, SiteAtImpact(s), SiteAt(s, s.FrameAt(s.PeakLag.Time)), s.Bend})
	}
	if c != nil {
		k := CompareSoftness(a.Study, c)
		out.Softness = &k
	}
	for i := range a.Study.Clubs {
		w, err := ShaftWear(a, a.Study.Clubs[i].ID, o)
		if err != nil {
			leave("strain of club %q: %v", a.Study.Clubs[i].ID, err)
			continue
		}
		out.Wear = append(out.Wear, w)
	}
	return out
}

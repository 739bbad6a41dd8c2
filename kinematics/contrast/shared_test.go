package contrast

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// With a shared uncertainty the expanded uncertainties add in squares, P is
// where the interval ends at 0, and sameness at 5 % is a 90 % interval within the
// margin. Of 9 degrees of freedom and of the normal distribution the 95 % points
// are 2.262157 and 1.959964, the 90 % points 1.833113 and 1.644854 (SciPy 1.10.1,
// stats.t.ppf and stats.norm.ppf).
func TestSharing(t *testing.T) {
	own, err := Paired(drug1, drug2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	const u = 0.5
	s := own.Sharing(u, 0.95)
	half := math.Hypot(2.262157*own.SE, 1.959964*u)
	near(t, "low", s.Low, own.Difference-half, 1e-6)
	near(t, "high", s.High, own.Difference+half, 1e-6)
	if s.T != own.T || s.DF != own.DF || s.SE != own.SE {
		t.Errorf("the test of the values changed: %+v", s)
	}
	at := own.Sharing(u, 1-s.P)
	near(t, "end of the interval at 1 − P", at.Low, 0, 1e-9)
	margin := own.Difference + math.Hypot(1.833113*own.SE, 1.644854*u)
	near(t, "p of sameness at the end of the 90 % interval", s.Equivalence(margin), 0.05, 1e-7)
	near(t, "p of sameness at the difference itself", s.Equivalence(own.Difference), 0.5, 1e-9)
	near(t, "p of sameness far within", s.Equivalence(own.Difference/2)+s.Equivalence(1.5*own.Difference), 1, 1e-9)

	for what, same := range map[string]Test{"none": own.Sharing(0, 0.95), "unknown": own.Sharing(math.NaN(), 0.95)} {
		if same != own {
			t.Errorf("%s shared changes the test to %+v", what, same)
		}
	}
	almost := own.Sharing(1e-9, 0.95)
	near(t, "p with next to nothing shared", almost.P, own.P, 1e-9)
	if none := unknown(1).Sharing(u, 0.95); none.Difference != 1 || !math.IsNaN(none.Low+none.P) {
		t.Errorf("a test that could not be made became %+v", none)
	}
}

// The interval holds the truth 95 % of the time or more often, with the few
// values that laboratories have; without what is shared it does not. 4000 draws
// know a share of 95 % to within 0.35 %.
func TestSharingCovers(t *testing.T) {
	const draws = 4000
	rng := rand.New(rand.NewPCG(5, 6))
	for _, df := range []float64{1, 2, 3, 9} {
		for _, u := range []float64{0.3, 1, 3} {
			chi := distuv.ChiSquared{K: df, Src: rng}
			inside, alone := 0, 0
			for range draws {
				d := rng.NormFloat64() + u*rng.NormFloat64()
				se := math.Sqrt(chi.Rand() / df)
				own, err := student(d, se, df, 0, 0.95)
				if err != nil {
					t.Fatal(err)
				}
				if own.Low <= 0 && own.High >= 0 {
					alone++
				}
				if s := own.Sharing(u, 0.95); s.Low <= 0 && s.High >= 0 {
					inside++
				}
			}
			share := float64(inside) / draws
			t.Logf("df %v, shared %v: %.1f %% inside, %.1f %% without it", df, u, 100*share, 100*float64(alone)/draws)
			if share < 0.94 || share > 0.99 {
				t.Errorf("df %v, shared %v: %.1f %% inside", df, u, 100*share)
			}
		}
	}
}

// Of what is shared alone, a difference 1.96 + 0.84 times as large is found four
// times in five; what is left of it is for the values to find.
func TestRemaining(t *testing.T) {
	reach := SharedReach(2, 0.95, 0.8)
	near(t, "reach", reach, 2*(1.959964+0.841621), 1e-5)
	near(t, "remaining", Remaining(10, 2, 0.95, 0.8), math.Sqrt(100-reach*reach), 1e-12)
	near(t, "with nothing shared", Remaining(10, 0, 0.95, 0.8), 10, 0)
	near(t, "with more than it", Remaining(5, 2, 0.95, 0.8), 0, 0)
}

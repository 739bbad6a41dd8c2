package contrast

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// NIST Statistical Reference Datasets, analysis of variance, SiRstv: resistivity
// of silicon by instrument, and the certified values. The values are stored with
// their leading 196, as in the data set.
func TestPreciseOnSiRstv(t *testing.T) {
	groups := [][]float64{
		{.3052, .1240, .1890, .2569, .3403},
		{.3042, .3825, .1669, .3257, .0422},
		{.1303, .2005, .2889, .0343, .1811},
		{.2795, .1748, .1494, .1485, -.0115},
		{.2119, .1051, .1850, .0052, .2090},
	}
	for _, g := range groups {
		for i := range g {
			g[i] += 196
		}
	}
	p, err := Precise(items(groups))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", p.F, 1.18046237440255, 1e-9)
	near(t, "df", p.DF1, 4, 0)
	near(t, "df", p.DF2, 20, 0)
	near(t, "residual SD", p.Repeatability, .104076068334656, 1e-12)
}

// Sulfur in coal, % (ISO 5725-2:1994, example B.1, levels 1 and 2), by
// laboratory.
var coal = [2][][]float64{
	{{.71, .71, .70, .71}, {.69, .67, .68}, {.66, .65, .69}, {.67, .65, .66},
		{.70, .69, .66, .71, .69}, {.73, .74, .73}, {.71, .71, .69}, {.70, .65, .68}},
	{{1.20, 1.18, 1.23, 1.21}, {1.22, 1.21, 1.22}, {1.28, 1.31, 1.30}, {1.23, 1.18, 1.20},
		{1.31, 1.22, 1.22, 1.24}, {1.39, 1.36, 1.37}, {1.20, 1.26, 1.26}, {1.24, 1.22, 1.30}},
}

func items(units [][]float64) []Item {
	var out []Item
	for u, values := range units {
		for _, v := range values {
			out = append(out, Item{Value: v, Unit: u})
		}
	}
	return out
}

// Printed .690, .015, .026 and 1.252, .029, .061; the further digits by the
// formulas of 7.4, and F with Python's fractions.
func TestPreciseOnCoal(t *testing.T) {
	for level, want := range [][5]float64{{.69037, .01512, .02160, .02636, 7.848795052249947}, {1.25231, .02878, .05334, .06061, 12.134705987137513}} {
		p, err := Precise(items(coal[level]))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mean", p.Mean, want[0], 5e-6)
		near(t, "s_r", p.Repeatability, want[1], 5e-6)
		near(t, "s_L", p.Between, want[2], 5e-6)
		near(t, "s_R", p.Reproducibility, want[3], 5e-6)
		near(t, "F", p.F, want[4], 1e-9)
	}
}

// With every shaft swung equally often by every player, the mean squares are
// those of the two-way table; R: anova(lm(score ~ Worker * Machine, Machines)) has
// 877.631666667 for machines and 0.924629629630 within cells.
func TestPreciseInBlocks(t *testing.T) {
	var all []Item
	for m, workers := range machines {
		for w, values := range workers {
			for _, v := range values {
				all = append(all, Item{Value: v, Unit: m, Block: w})
			}
		}
	}
	p, err := Precise(all)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s_r²", p.Repeatability*p.Repeatability, 0.924629629630, 1e-11)
	near(t, "F", p.F*0.924629629630, 877.631666667, 1e-8)
	near(t, "s_L²", p.Between*p.Between, (877.631666667-0.924629630)/18, 1e-8)
	near(t, "df", p.DF2, 36, 0)

	// What a block adds to all its values changes nothing.
	for i := range all {
		all[i].Value += 100 * float64(all[i].Block)
	}
	q, err := Precise(all)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s_L", q.Between, p.Between, 1e-9)
	near(t, "s_r", q.Repeatability, p.Repeatability, 1e-9)
}

func TestPreciseRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		items []Item
		want  error
	}{
		"one unit":       {[]Item{{1, 0, 0}, {2, 0, 0}}, ErrTooFew},
		"nothing twice":  {[]Item{{1, 0, 0}, {2, 1, 0}}, ErrTooFew},
		"own blocks":     {[]Item{{1, 0, 0}, {2, 0, 0}, {1, 1, 1}, {5, 1, 1}}, ErrConfounded},
		"own blocks 3":   {[]Item{{1, 0, 0}, {2, 0, 0}, {1, 1, 1}, {5, 2, 2}}, ErrConfounded},
		"nothing within": {[]Item{{1, 0, 0}, {1, 0, 0}, {3, 1, 0}, {3, 1, 0}}, ErrNoSpread},
	} {
		if _, err := Precise(c.items); !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", name, err, c.want)
		}
	}
}

// Recovery of simulated truth, over many lots of six shafts: the mean of s_L² is
// its truth within three standard errors of the mean, and units without
// difference are told apart as often as alpha (standard error 0.0077).
func TestPreciseRecovers(t *testing.T) {
	const lots = 800
	rng := rand.New(rand.NewPCG(41, 42))
	var within, rejected float64
	var between []float64
	for lot := range lots {
		sd := 1.5 * float64(lot%2)
		var all []Item
		for u := range 6 {
			shaft := sd * rng.NormFloat64()
			for player := range 3 {
				for range 1 + rng.IntN(4) {
					all = append(all, Item{shaft + 10*float64(player) + 2*rng.NormFloat64(), u, player})
				}
			}
		}
		p, err := Precise(all)
		if err != nil {
			t.Fatal(err)
		}
		within += p.Repeatability * p.Repeatability / lots
		switch {
		case sd == 0 && p.P <= 0.05:
			rejected++
		case sd > 0:
			between = append(between, p.Between*p.Between)
		}
	}
	near(t, "s_r²", within, 4, 0.1)
	s := Summarize(between)
	near(t, "s_L²", s.Mean, 1.5*1.5, 3*s.SD/math.Sqrt(float64(s.N)))
	near(t, "rate", rejected/(lots/2), 0.05, 3*0.011)
}

// Units that differ by nothing but what each shares in all its values are said to
// differ in 5 % of cases at most; without counting that, in most. Of 1000 sets
// the share of 5 % is known to 0.7 %.
func TestSharedByUnits(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	const sets, units, runs, u = 1000, 6, 5, 0.8
	said, alone := 0, 0
	for range sets {
		var items []Item
		for unit := range units {
			own := u * rng.NormFloat64()
			for range runs {
				items = append(items, Item{Value: own + rng.NormFloat64(), Unit: unit})
			}
		}
		p, err := Precise(items)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "values a unit", p.PerUnit, runs, 1e-9)
		if p.P < 0.05 {
			alone++
		}
		if p.Sharing(u).P < 0.05 {
			said++
		}
		if same := p.Sharing(0); same != p {
			t.Fatalf("nothing shared changes %+v to %+v", p, same)
		}
	}
	t.Logf("said to differ: %.1f %%, without what is shared %.1f %%", 100*float64(said)/sets, 100*float64(alone)/sets)
	if said > 72 || said < 15 || alone < sets/2 {
		t.Errorf("said to differ in %d of %d, without what is shared in %d", said, sets, alone)
	}
}

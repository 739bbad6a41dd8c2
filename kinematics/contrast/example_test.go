package contrast_test

import (
	"fmt"

	"bendline/kinematics/contrast"
)

// Lead at impact, mm, of one player's runs with two clubs.
func ExampleWelch() {
	baseline := []float64{31.2, 28.4, 33.0, 29.9, 30.1}
	prototype := []float64{26.3, 27.9, 24.8, 27.0}
	t, err := contrast.Welch(baseline, prototype, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm (%.1f to %.1f), p = %.3f\n", t.Difference, t.Low, t.High, t.P)
	// Output: -4.0 mm (-6.4 to -1.6), p = 0.005
}

// Means of three players, each with both clubs.
func ExamplePaired() {
	t, err := contrast.Paired([]float64{31, 44, 18}, []float64{29, 41.5, 16.5}, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm, t(%.0f) = %.2f\n", t.Difference, t.DF, t.T)
	// Output: -2.0 mm, t(2) = -6.93
}

// Six players' own differences of lead, mm: all 64 turns of their signs are
// tried.
func ExamplePermuteSigns() {
	p, err := contrast.PermuteSigns([]float64{-2.1, -0.4, -3.0, -1.2, 0.3, -1.8}, 0.95, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("p = %.4f of %d relabellings, exact: %v\n", p.P, p.Ways, p.Exact)
	// Output: p = 0.0625 of 64 relabellings, exact: true
}

// One player whose prototype was swung on a faster day: what looks like 2.8 mm
// more is no more at equal speed.
func ExampleAncova() {
	var runs []contrast.Run
	for i, v := range [][2]float64{{30.1, 44.0}, {31.0, 44.3}, {29.2, 43.6}, {30.6, 44.1}, {33.0, 45.2}, {33.9, 45.5}, {32.1, 44.9}} {
		runs = append(runs, contrast.Run{Y: v[0], X: v[1], Second: i >= 4})
	}
	a, err := contrast.Ancova(runs, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm (%.1f to %.1f) at equal speed, %.1f mm a m/s\n", a.Difference, a.Low, a.High, a.Slope)
	// Output: -0.6 mm (-1.1 to 0.0) at equal speed, 2.8 mm a m/s
}

// Three players with both clubs, uneven numbers of runs.
func ExampleMixedBlocks() {
	var runs []contrast.Run
	for player, lead := range [][2][]float64{
		{{31.2, 28.4, 33.0}, {26.3, 27.9}},
		{{44.1, 46.0}, {42.2, 40.1, 41.0}},
		{{17.8, 19.9, 18.2, 18.8}, {19.1, 17.9, 18.8}},
	} {
		for club, values := range lead {
			for _, v := range values {
				runs = append(runs, contrast.Run{Y: v, Second: club == 1, Block: player})
			}
		}
	}
	m, err := contrast.MixedBlocks(runs, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm (%.1f to %.1f), df %.1f; runs spread by %.1f mm\n", m.Difference, m.Low, m.High, m.DF, m.RunSD)
	// Output: -2.5 mm (-7.8 to 2.8), df 2.1; runs spread by 1.3 mm
}

// A study with a standard error of 1.2 mm at 5 degrees of freedom.
func ExampleDetectable() {
	fmt.Printf("%.1f mm is found four times in five\n", contrast.Detectable(1.2, 5, 5, 0.95, 0.8))
	// Output: 5.0 mm is found four times in five
}

// Two shafts of one design, swung three times each by two players.
func ExamplePrecise() {
	var items []contrast.Item
	for shaft, players := range [][2][]float64{{{30, 31, 29.5}, {41, 40.2, 40.4}}, {{32.4, 31.6, 32.9}, {43, 42.2, 42.8}}} {
		for player, values := range players {
			for _, v := range values {
				items = append(items, contrast.Item{Value: v, Unit: shaft, Block: player})
			}
		}
	}
	p, err := contrast.Precise(items)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("within %.2f mm, between shafts %.2f mm, together %.2f mm\n", p.Repeatability, p.Between, p.Reproducibility)
	// Output: within 0.58 mm, between shafts 1.49 mm, together 1.60 mm
}

func ExampleHolm() {
	fmt.Println(contrast.Holm([]float64{0.01, 0.04, 0.03}))
	// Output: [0.03 0.06 0.06]
}

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

package beam_test

import (
	"fmt"

	"bendline/kinematics/beam"
)

// What the bench should read of a shaft, and how a head bends it.
func Example() {
	shaft := beam.Beam{
		Length:  1.143,
		EI:      beam.Curve{Station: []float64{0.127, 1.143}, Value: []float64{60, 20}},
		GJ:      beam.Curve{Station: []float64{0, 1.143}, Value: []float64{36, 8}},
		Density: beam.Constant(0.060 / 1.143),
	}
	if err := shaft.Validate(); err != nil {
		fmt.Println(err)
		return
	}
	cpm, err := shaft.CPM(0.127, 0.205)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f cycles a minute with 205 g, clamped over 127 mm\n", cpm)

	pull := beam.HeadPull(0.2, 45, 1.5, 0.036)
	bent, err := pull.On(shaft, 0.2)
	if err != nil {
		fmt.Println(err)
		return
	}
	droop, _ := bent.Tip()
	fmt.Printf("%.0f N at 36 mm from the axis bend it by %.1f mm\n", pull.Force, droop*1e3)
	// Output:
	// 241.7 cycles a minute with 205 g, clamped over 127 mm
	// 270 N at 36 mm from the axis bend it by 29.7 mm
}

package study_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"bendline/app/study"
	"bendline/sampledata"
)

// The whole way from a study on disk to a difference.
func Example() {
	dir, err := os.MkdirTemp("", "bendline-example-")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	demo := sampledata.Demo()
	demo.Runs = demo.Runs[2:7] // of one player
	if err := demo.Write(context.Background(), dir, nil); err != nil {
		fmt.Println(err)
		return
	}

	s, err := study.Open(filepath.Join(dir, "study.json"))
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := study.Analyze(context.Background(), s, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := study.Compare(a, "", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	lead := c.Measures[0]
	fmt.Println(lead.Measure.Label, "in", lead.Measure.Unit, "of", c.Prototype, "against", c.Baseline)
	fmt.Println(lead.Baseline.Runs, "and", lead.Prototype.Runs, "runs; left out:")
	for _, l := range c.LeftOut {
		fmt.Printf("%s, %s\n", l.Run, l.Why)
	}
	fmt.Println("the interval holds the difference:", lead.Low < lead.Value && lead.Value < lead.High)
	// Output:
	// Lead in mm of proto against base
	// 2 and 2 runs; left out:
	// a-proto-3, excluded: player stopped the swing, repeated
	// the interval holds the difference: true
}

package study_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"bendline/app/study"
	"bendline/sampledata"
)

// Which clubs are out of spec, and whether the sheet agrees with itself.
func ExampleBench() {
	dir, err := os.MkdirTemp("", "bendline-example-")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	demo := sampledata.Demo()
	demo.Runs = nil
	if err := demo.Write(context.Background(), dir, nil); err != nil {
		fmt.Println(err)
		return
	}
	s, err := study.Open(filepath.Join(dir, "study.json"))
	if err != nil {
		fmt.Println(err)
		return
	}
	clubs, err := study.Bench(s, study.DefaultBenchOptions())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range clubs {
		fmt.Printf("%s: %s, %d of %d checks out of spec\n", c.Club, c.SwingWeightLetter, len(c.OutOfSpec()), len(c.Checks))
		for _, k := range c.OutOfSpec() {
			fmt.Println("  " + k.String())
		}
	}
	// Output:
	// base: D2.4, 0 of 21 checks out of spec
	// proto: D2.2, 0 of 21 checks out of spec
	// base-left: D2.3, 0 of 21 checks out of spec
	// proto-left: D3.8, 2 of 21 checks out of spec
	//   weight 65.8 g is out of spec, 61.7 to 64.7 g
	//   swing weight 220.14 oz in is out of spec, 215.75 to 219.25 oz in
}

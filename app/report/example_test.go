package report_test

import (
	"fmt"

	"bendline/app/report"
	"bendline/app/study"
)

// A study without runs still says what it is.
func Example() {
	a := &study.Analysis{Study: &study.Study{Title: "First session"}}
	d, err := report.New(a, nil, report.Options{Version: "0.1.0"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range d.Slides {
		fmt.Println(s.Title)
	}
	// Output:
	// What do the captures show?
	// Conventions, method and settings
	// Files used
	// Settings of this deck
}

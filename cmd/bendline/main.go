// Command bendline opens the window: on a study, on the last one, or on the
// demo.
package main

import (
	"flag"
	"fmt"
	"os"

	"fyne.io/fyne/v2"
	fyneapp "fyne.io/fyne/v2/app"

	"bendline/app"
	"bendline/app/study"
)

func main() {
	demo := flag.Bool("demo", false, "open the demo study; everything in it is simulated")
	flag.Usage = func() {
		fmt.Fprintln(flag.CommandLine.Output(), "usage: bendline [-demo] [STUDY | FILE…]")
		flag.PrintDefaults()
	}
	flag.Parse()
	around, err := app.ThisMachine()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	fyneapp.SetMetadata(fyne.AppMetadata{ID: "bendline", Name: "Bendline", Version: study.Version})
	w := app.New(fyneapp.NewWithID("bendline"), around)
	if *demo {
		w.OpenDemo()
	} else {
		w.Open(flag.Args())
	}
	w.ShowAndRun()
}

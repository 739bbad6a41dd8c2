package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"text/tabwriter"

	"bendline/app/study"
)

// planUsage tells the flags that addForecast adds.
const planUsage = "[--noise-mm 0.2] [--rate-hz 2500] [-o plan.json]"

// addForecast makes flags set how a capture is to be made.
func addForecast(flags *flag.FlagSet, j *job) {
	j.forecast = study.DefaultForecastOptions()
	flags.Float64Var(&j.forecast.NoiseMM, "noise-mm", j.forecast.NoiseMM, "")
	flags.Float64Var(&j.forecast.RateHz, "rate-hz", j.forecast.RateHz, "")
	flags.StringVar(&j.out, "o", "", "")
}

// plan tells what to expect of captures before they are made and, with -o,
// writes it.
func plan(_ context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	clubs, err := study.Forecast(s, j.forecast)
	if err != nil {
		return err
	}
	for _, c := range clubs {
		if err := tellForecast(j.stdout, c); err != nil {
			return err
		}
	}
	if j.out == "" {
		return nil
	}
	return study.WriteFile(j.out, func(w io.Writer) error { return study.WriteForecast(w, clubs) })
}

// tellForecast prints a table of u95: a row for the club as it is, for each
// change and for the markers most missed.
func tellForecast(w io.Writer, c study.ClubForecast) error {
	const missed = 5 // markers told of; the file has them all
	fmt.Fprintf(w, "club %s: u95 to expect at impact with %.3g mm of noise at %.6g frames a second\n", c.Club, c.Options.NoiseMM, c.Options.RateHz)
	if !c.Hung {
		fmt.Fprintf(w, "  the markers are taken to be at their usual places: %v\n", c.Why)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, m := range study.Measures {
		fmt.Fprintf(t, "%s, %s\t", m.Label, m.Unit)
	}
	fmt.Fprintln(t, "")
	row := func(what string, u95 []float64) {
		for i, m := range study.Measures {
			fmt.Fprintf(t, "%.*f\t", m.Digits+1, u95[i])
		}
		fmt.Fprintf(t, "  %s\n", what)
	}
	row("as it is", c.U95)
	for _, f := range c.Better {
		row(f.What, f.U95)
	}
	for _, f := range c.Without[:min(missed, len(c.Without))] {
		row("without "+f.What, f.U95)
	}
	return t.Flush()
}

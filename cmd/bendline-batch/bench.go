package main

import (
	"context"
	"flag"
	"fmt"
	"io"

	"bendline/app/study"
)

const benchHelp = `
--sheet FILE   reads bench values, limits and tables by station from a CSV file or
               a workbook (.xlsx) before anything is worked out; may stand more than
               once. Items in rows (item, unit, value, target, minus, plus, or a
               column for each club) or in columns (a row for each club); tables by
               station with ei_n_m2 and gj_n_m2, with span_mm, load_n and
               deflection_mm, with g_per_m, or with target_ei_n_m2. Units stand in
               brackets, in a column or row of their own, or behind the value.
--club ID      is the club of values that do not say whose they are
--save         writes them into the study as well
--swings       analyses the runs and holds the bench against them
--d0 OZIN      is the swing weight called D0, in place of the study's
`

func addBench(flags *flag.FlagSet, j *job) {
	flags.BoolVar(&j.swings, "swings", false, "")
	flags.StringVar(&j.zero, "d0", "", "")
	flags.StringVar(&j.club, "club", "", "")
	flags.BoolVar(&j.save, "save", false, "")
	flags.Func("sheet", "", func(file string) error {
		j.sheets = append(j.sheets, file)
		return nil
	})
}

// bench writes what the bench says of each club and, with --swings, of the
// swings.
func bench(ctx context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	if s, err = j.withSheets(s); err != nil {
		return err
	}
	with := s
	if j.zero != "" {
		if with, err = s.WithSetting("d0_ozin", j.zero); err != nil {
			return err
		}
	}
	clubs, err := study.Bench(s, with.BenchOptions())
	if err != nil {
		return err
	}
	write := func(swings *study.BenchSwings) error {
		if err := study.WriteFile(j.out, func(w io.Writer) error { return study.WriteBench(w, clubs, swings) }); err != nil || !j.save {
			return err
		}
		return s.Save(s.Path)
	}
	if !j.swings {
		return write(nil)
	}
	a, err := j.analysis(ctx, s)
	if err != nil {
		return err
	}
	c, err := study.Compare(a, "", "")
	if err != nil { // the bench of each club stands by itself
		fmt.Fprintln(j.stderr, "bendline-batch: no shafts are held against each other:", err)
		c = nil
	}
	held := study.HoldAgainstSwings(a, c, s.SwingOptions())
	if err := write(&held); err != nil {
		return err
	}
	return failedRuns(a)
}

// withSheets returns the study with what the sheets say, and tells what was taken.
func (j *job) withSheets(s *study.Study) (*study.Study, error) {
	if j.club != "" && s.Club(j.club) == nil {
		return nil, fmt.Errorf("there is no club %q in %s", j.club, j.args[0])
	}
	for _, file := range j.sheets {
		tables, err := study.ReadBench(file)
		if err != nil {
			return nil, err
		}
		var taken study.BenchTaken
		if s, taken, err = s.WithBench(tables, j.club); err != nil {
			return nil, err
		}
		fmt.Fprintf(j.stderr, "bendline-batch: %s: %v\n", file, taken)
	}
	return s, nil
}

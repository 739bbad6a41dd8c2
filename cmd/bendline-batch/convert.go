package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/capture"
)

// convert writes a capture as plain CSV.
func convert(_ context.Context, j *job) error {
	rec, err := capture.ReadFile(j.args[0], capture.Hints{})
	if err != nil {
		return err
	}
	if o := rec.Origin(); o.UnitGuessed {
		fmt.Fprintf(j.stderr, "bendline-batch: %s does not say its unit; it was taken to be in %s\n", j.args[0], o.Unit)
	}
	if rec.Origin().RateGuessed {
		fmt.Fprintf(j.stderr, "bendline-batch: %s does not say its rate; it was taken to be %.6g frames a second\n", j.args[0], rec.Rate())
	}
	for _, f := range rec.Origin().Flags {
		fmt.Fprintf(j.stderr, "bendline-batch: %s: %s\n", j.args[0], f.Detail)
	}
	return study.WriteFile(j.out, func(w io.Writer) error { return writeCSV(w, rec) })
}

// writeCSV writes time_s, then NAME_x, NAME_y, NAME_z in mm; a position that is
// not known is empty.
func writeCSV(w io.Writer, rec *capture.Recording) error {
	c := csv.NewWriter(w)
	row := []string{"time_s"}
	var tracks [][]r3.Vec
	for _, name := range rec.Markers() {
		row = append(row, name+"_x", name+"_y", name+"_z")
		tracks = append(tracks, rec.Track(name))
	}
	c.Write(row) // errors are kept, and told by Error
	for i := range rec.Frames() {
		row = append(row[:0], decimal(rec.Time(i)))
		for _, t := range tracks {
			row = append(row, decimal(t[i].X*1e3), decimal(t[i].Y*1e3), decimal(t[i].Z*1e3))
		}
		c.Write(row)
	}
	c.Flush()
	return c.Error()
}

// decimal returns v to the nearest millionth in the fewest digits, "" for NaN: a
// nanometre and a microsecond are far below what a capture can tell.
func decimal(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	const parts = 1e6
	return strconv.FormatFloat(math.Round(v*parts)/parts, 'f', -1, 64)
}

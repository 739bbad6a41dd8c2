package study

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"bendline/kinematics"
)

// WriteSeries writes the measures of a swing as CSV, a line a frame: time_s,
// then each measure by its key, then the half width of its 95 % interval as
// KEY_u95, then filled: 1 in a frame whose values rest on markers that were not
// seen and that the rod fills, else 0. A field is empty where its value is not
// known.
func WriteSeries(w io.Writer, s *kinematics.Swing) error {
	c := csv.NewWriter(w)
	header := []string{"time_s"}
	for _, m := range Measures {
		header = append(header, m.Key)
	}
	for _, m := range Measures {
		header = append(header, m.Key+"_u95")
	}
	header = append(header, "filled")
	c.Write(header) // errors are kept, and told by Error
	row := make([]string, len(header))
	for i := range s.Frames() {
		row[0] = decimal(s.Time(i), 7)
		for j, m := range Measures {
			series := m.Series(s)
			// Three more digits than are shown lose nothing.
			row[1+j] = decimal(frame(series.Value, i)*m.Scale, m.Digits+3)
			row[1+len(Measures)+j] = decimal(frame(series.U95, i)*m.Scale, m.Digits+3)
		}
		row[len(row)-1] = "0"
		if i < len(s.Filled) && s.Filled[i] {
			row[len(row)-1] = "1"
		}
		c.Write(row)
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	return nil
}

// frame returns x[i], NaN where the series does not reach.
func frame(x []float64, i int) float64 {
	if i < len(x) {
		return x[i]
	}
	return math.NaN()
}

// decimal returns v with the given number of decimals, "" for NaN.
func decimal(v float64, digits int) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'f', digits, 64)
}

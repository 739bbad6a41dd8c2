package capture

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// WriteText writes a recording as plain CSV: a header of time_s and, for each
// marker, NAME_x, NAME_y, NAME_z, then a row for each frame with the
// coordinates in millimetres. Where a marker is not seen its cells are empty.
//
// Coordinates have up to six decimals and so are off by at most 1e-6 mm; times
// have six to twelve, as the rate is read from their digits. A marker within
// half of the last decimal of 0,0,0, which would read as not seen, is written
// with x = 5e-7.
func WriteText(w io.Writer, r *Recording) error {
	out := bufio.NewWriterSize(w, 1<<16)
	row := []byte("time_s")
	for _, name := range r.names {
		for _, axis := range []string{"_x", "_y", "_z"} {
			row = append(append(row, ','), quoteCell(name+axis)...)
		}
	}
	row = append(row, '\n')
	for f := range r.frames {
		if _, err := out.Write(row); err != nil {
			return fmt.Errorf("capture: %w", err)
		}
		row = appendDecimal(row[:0], r.Time(f), 6, 12)
		for m := range r.names {
			row = appendPoint(row, r.points[m*r.frames+f])
		}
		row = append(row, '\n')
	}
	_, err := out.Write(row)
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		return fmt.Errorf("capture: %w", err)
	}
	return nil
}

// quoteCell returns a cell in quotes if it needs them.
func quoteCell(s string) string {
	if strings.ContainsAny(s, ",;\t\"\r\n") {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// appendPoint appends three cells, each after its comma.
func appendPoint(row []byte, p r3.Vec) []byte {
	if !isSeen(p) {
		return append(row, ",,,"...)
	}
	const origin = 0.5e-9 // m
	if math.Abs(p.X) <= origin && math.Abs(p.Y) <= origin && math.Abs(p.Z) <= origin {
		return append(row, ",0.0000005,0,0"...)
	}
	row = appendDecimal(append(row, ','), p.X*1000, 0, 6)
	row = appendDecimal(append(row, ','), p.Y*1000, 0, 6)
	return appendDecimal(append(row, ','), p.Z*1000, 0, 6)
}

// appendDecimal appends x rounded to at most so many decimals, 12 or fewer, and
// without the zeros at the end beyond the least.
func appendDecimal(row []byte, x float64, least, most int) []byte {
	scaled := math.Round(x * tens[most])
	if !(math.Abs(scaled) < 1<<53) {
		return strconv.AppendFloat(row, x, 'f', -1, 64)
	}
	n := int64(scaled)
	if n < 0 {
		row = append(row, '-')
		n = -n
	}
	var digits [20]byte
	at := len(digits)
	for ; n > 0 || at > len(digits)-most-1; n /= 10 {
		at--
		digits[at] = byte('0' + n%10)
	}
	mark := len(digits) - most
	end := len(digits)
	for end > mark+least && digits[end-1] == '0' {
		end--
	}
	row = append(row, digits[at:mark]...)
	if end > mark {
		row = append(append(row, '.'), digits[mark:end]...)
	}
	return row
}

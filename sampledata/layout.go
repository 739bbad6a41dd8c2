package sampledata

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"bendline/capture"
)

// A Layout is a way to write a recording as text. The ones here are those that
// capture systems export, as different as they come.
type Layout int

// The layouts.
const (
	Wide      Layout = iota // commas, frame and time, NAME_x in mm, gaps empty
	Semicolon               // semicolons and decimal commas, "NAME X [mm]", gaps NaN, CRLF and a byte order mark
	Stacked                 // tabs, a preamble, names over X Y Z over units, m, gaps empty
	Long                    // commas, a row for each marker in each frame, mm, gaps empty
)

// String returns the layout's name.
func (l Layout) String() string { return [...]string{"wide", "semicolon", "stacked", "long"}[l] }

// write writes the recording to w in the layout.
func (l Layout) write(w io.Writer, r *capture.Recording) error {
	t := &table{w: bufio.NewWriter(w), separator: ',', mark: '.', end: "\n", scale: 1e3, digits: 3}
	axes := []string{"x", "y", "z"}
	switch l {
	case Wide:
		t.text("frame", "time_s")
		for _, m := range r.Markers() {
			for _, a := range axes {
				t.text(m + "_" + a)
			}
		}
		t.line()
		t.rows(r, 0, "")
	case Semicolon:
		t.separator, t.mark, t.end = ';', ',', "\r\n"
		t.w.WriteString("\ufeff")
		t.text(`"Time [s]"`)
		for _, m := range r.Markers() {
			for _, a := range []string{"X", "Y", "Z"} {
				t.text(`"` + m + " " + a + ` [mm]"`)
			}
		}
		t.line()
		t.rows(r, -1, "NaN")
	case Stacked:
		t.separator, t.scale, t.digits = '\t', 1, 6
		fmt.Fprintf(t.w, "Capture rate\t%g\nFrames\t%d\nUp axis\tZ\n\n", r.Rate(), r.Frames())
		t.text("Frame", "Time")
		for _, m := range r.Markers() {
			t.text(m, "", "")
		}
		t.line()
		t.text("", "")
		for range r.Markers() {
			t.text("X", "Y", "Z")
		}
		t.line()
		t.text("", "s")
		for range r.Markers() {
			t.text("m", "m", "m")
		}
		t.line()
		t.rows(r, 1, "")
	case Long:
		t.text("time_s", "marker", "x_mm", "y_mm", "z_mm")
		t.line()
		for i := range r.Frames() {
			for _, m := range r.Markers() {
				t.number(r.Time(i), 6)
				t.text(m)
				t.point(r, m, i, "")
				t.line()
			}
		}
	default:
		panic("sampledata: unknown layout")
	}
	return t.w.Flush()
}

// table writes cells. Its writer keeps the first error until Flush.
type table struct {
	w         *bufio.Writer
	separator byte
	mark      byte // decimal mark
	end       string
	scale     float64 // written number = metres × scale
	digits    int
	inRow     bool
	buf       []byte
}

// rows writes a row for each frame: frame number counted from first unless that
// is negative, time, and the markers' coordinates.
func (t *table) rows(r *capture.Recording, first int, gap string) {
	for i := range r.Frames() {
		if first >= 0 {
			t.text(strconv.Itoa(first + i))
		}
		t.number(r.Time(i), 6)
		for _, m := range r.Markers() {
			t.point(r, m, i, gap)
		}
		t.line()
	}
}

func (t *table) point(r *capture.Recording, marker string, i int, gap string) {
	p := r.Track(marker)[i]
	for _, x := range [...]float64{p.X, p.Y, p.Z} {
		if math.IsNaN(x) {
			t.text(gap)
			continue
		}
		t.number(x*t.scale, t.digits)
	}
}

func (t *table) number(x float64, digits int) {
	t.next()
	t.buf = strconv.AppendFloat(t.buf[:0], x, 'f', digits, 64)
	if i := bytes.IndexByte(t.buf, '.'); i >= 0 {
		t.buf[i] = t.mark
	}
	t.w.Write(t.buf)
}

func (t *table) text(cells ...string) {
	for _, c := range cells {
		t.next()
		t.w.WriteString(c)
	}
}

func (t *table) next() {
	if t.inRow {
		t.w.WriteByte(t.separator)
	}
	t.inRow = true
}

func (t *table) line() {
	t.w.WriteString(t.end)
	t.inRow = false
}

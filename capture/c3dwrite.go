package capture

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// WriteC3D writes a recording as a C3D file of real numbers in Intel order,
// with coordinates in millimetres, one point for each marker and no analog
// samples. Where a marker is not seen the residual is -1. The events of its
// Origin are written, and its vertical axis.
//
// Numbers have the precision of float32, half of 2^-23 of each: coordinates of
// 2 m are off by at most 6e-5 mm, and the rate by 6 parts in 10^8. A C3D file
// counts frames from 1 at 0 s: a start between two frames moves to the nearer,
// and a start before 0 s to 0 s, and events with it. A marker at exactly
// 0,0,0, which would read as not seen, is written with x = 5e-7 mm. Names lose
// control characters and spaces around them. Apart from that [ReadC3D] reads
// the same back.
//
// It returns an error when a name is longer than 255 bytes, the names of all
// markers together do not fit into the 127 KiB of a parameter section, there
// are no frames, or more than 65,535 markers, or a number is too large for
// float32.
func WriteC3D(w io.Writer, r *Recording) error {
	if err := writeC3D(w, r); err != nil {
		return fmt.Errorf("capture: %w", err)
	}
	return nil
}

func writeC3D(w io.Writer, r *Recording) error {
	if r.frames == 0 || len(r.names) > math.MaxUint16 {
		return fmt.Errorf("%d markers in %d frames do not fit into a C3D file", len(r.names), r.frames)
	}
	first := math.Max(0, math.Round(r.start*r.rate)) + 1
	last := first + float64(r.frames-1)
	if last > math.MaxUint32 {
		return fmt.Errorf("the start of %v s is too far from 0 to count frames of a C3D file from there", r.start)
	}
	shift := (first-1)/r.rate - r.start
	section, err := parameterSection(r, int(first), int(last), shift)
	if err != nil {
		return err
	}
	const parameterBlock = 2
	data := parameterBlock + len(section)/c3dBlock
	out := bufio.NewWriterSize(w, 1<<16)
	if _, err := out.Write(c3dHeader(r, int(first), int(last), data)); err != nil {
		return err
	}
	if _, err := out.Write(section); err != nil {
		return err
	}
	return writeFrames(out, r)
}

// c3dHeader returns the first block.
func c3dHeader(r *Recording, first, last, data int) []byte {
	head := make([]byte, c3dBlock)
	word := func(n, v int) { binary.LittleEndian.PutUint16(head[2*n-2:], uint16(min(v, c3dLast))) }
	float := func(n int, v float64) {
		binary.LittleEndian.PutUint32(head[2*n-2:], math.Float32bits(float32(v)))
	}
	word(1, c3dKey<<8|2)
	word(2, len(r.names))
	word(4, first)
	word(5, last)
	float(7, -1)
	word(9, data)
	float(11, r.rate)
	word(150, c3dWord)
	return head
}

// writeFrames writes the points of each frame, and fills the last block.
func writeFrames(out *bufio.Writer, r *Recording) error {
	row := make([]byte, 0, 16*len(r.names))
	for f := range r.frames {
		row = row[:0]
		for m, name := range r.names {
			p, residual := r.points[m*r.frames+f], 0.0
			switch {
			case !isSeen(p):
				p, residual = r3.Vec{}, -1
			case p == r3.Vec{}:
				p.X = 0.5e-9
			}
			for _, x := range [...]float64{p.X * 1000, p.Y * 1000, p.Z * 1000, residual} {
				if !(math.Abs(x) <= math.MaxFloat32) {
					return fmt.Errorf("marker %q is at %v m in frame %d, too far for a C3D file", name, p, f)
				}
				row = binary.LittleEndian.AppendUint32(row, math.Float32bits(float32(x)))
			}
		}
		if _, err := out.Write(row); err != nil {
			return err
		}
	}
	rest := (16*len(r.names)*r.frames - 1) % c3dBlock
	if _, err := out.Write(make([]byte, c3dBlock-1-rest)); err != nil {
		return err
	}
	return out.Flush()
}

// parameterSection returns the parameters of a recording, in whole blocks.
// Times of events move by shift.
func parameterSection(r *Recording, first, last int, shift float64) ([]byte, error) {
	for _, name := range r.names {
		if len(name) > maxDimension {
			return nil, fmt.Errorf("the name %s is longer than the %d bytes that a C3D file holds", quoted([]byte(name)), maxDimension)
		}
	}
	s := &section{bytes: []byte{1, c3dKey, 0, byte(intel)}}
	s.begin("POINT")
	s.word("USED", len(r.names))
	s.float("SCALE", -1)
	s.float("RATE", r.rate)
	s.word("DATA_START", 0)
	start := len(s.bytes) - 3 // of the word, which the length of a description follows
	s.word("FRAMES", r.frames)
	s.text("UNITS", string(Millimetre))
	if up := strings.ToUpper(r.origin.Up); up != "" {
		across := "+X" // any axis square to the vertical one will do
		if strings.HasSuffix(up, "X") {
			across = "+Y"
		}
		s.text("X_SCREEN", across)
		s.text("Y_SCREEN", up)
	}
	s.texts("LABELS", r.names)
	s.texts("DESCRIPTIONS", make([]string, len(r.names)))
	s.begin("ANALOG")
	s.word("USED", 0)
	s.begin("FORCE_PLATFORM")
	s.word("USED", 0)
	s.begin("TRIAL")
	s.long("ACTUAL_START_FIELD", first)
	s.long("ACTUAL_END_FIELD", last)
	if err := s.events(r.origin.Events, shift); err != nil {
		return nil, err
	}
	s.bytes = append(s.bytes, make([]byte, c3dBlock-1-(len(s.bytes)-1)%c3dBlock)...)
	blocks := len(s.bytes) / c3dBlock
	if blocks > maxParameters/c3dBlock {
		return nil, errors.New("the names of the markers do not fit into a C3D file; fewer or shorter names are needed")
	}
	s.bytes[2] = byte(blocks)
	binary.LittleEndian.PutUint16(s.bytes[start:], uint16(2+blocks))
	return s.bytes, nil
}

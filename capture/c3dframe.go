package capture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// numbers says how the frames hold numbers, such as "intel real".
func (f *c3dFile) numbers() string {
	if f.scale < 0 {
		return f.processor.String() + " real"
	}
	return f.processor.String() + " integer"
}

// numberBytes returns the size of a number in a frame.
func (f *c3dFile) numberBytes() int {
	if f.scale < 0 {
		return 4
	}
	return 2
}

// frameBytes returns the size of a frame: four numbers for each point, and the
// analog samples.
func (f *c3dFile) frameBytes() int { return f.numberBytes() * (4*f.points + f.analog) }

// readData reads the frames into rec, in the unit of the file, and returns the
// mean residual of the positions that have one, in that unit, 0 if none has.
func (f *c3dFile) readData(rec *Recording) (residual float64, err error) {
	rec.points = make([]r3.Vec, f.points*f.frames)
	sum, err := f.readPoints(rec.points, false)
	if err != nil || sum.seen > 0 {
		return sum.residual() * math.Abs(f.scale), err
	}
	if _, err := f.readPoints(rec.points, true); err != nil {
		return 0, err
	}
	for _, p := range rec.points {
		if isSeen(p) {
			f.flags = append(f.flags, Flag{Code: Gap, Detail: "the file marks every position as not seen; those other than 0,0,0 were taken as seen"})
			break
		}
	}
	return 0, nil
}

// marks sums up the fourth numbers of points. Such a number holds, as an
// integer of 16 bits, the cameras that saw the point in its high byte and the
// residual in its low one, and is negative if the point was not seen. A
// residual of 0 says that there is none, as for a point that was filled in.
type marks struct {
	seen      int
	residuals int
	sum       int // of residuals
}

func (m *marks) add(mark int) {
	m.seen++
	if r := mark & 0xff; r > 0 {
		m.residuals++
		m.sum += r
	}
}

func (m *marks) residual() float64 { return float64(m.sum) / float64(max(1, m.residuals)) }

// readPoints reads the tracks of all points, one after the other. Points that
// are marked as not seen are NaN unless all is to be taken as seen.
func (f *c3dFile) readPoints(points []r3.Vec, all bool) (marks, error) {
	var sum marks
	point := f.integers
	if f.scale < 0 {
		point = f.reals
	}
	size := f.frameBytes()
	most := min(max(1, c3dChunk/size), f.frames)
	buf := make([]byte, most*size)
	for at := 0; at < f.frames; at += most {
		n := min(most, f.frames-at)
		chunk := buf[:n*size]
		if err := readFull(f.r, chunk, f.data+int64(at)*int64(size)); err != nil {
			return sum, err
		}
		for m := range f.points {
			track := points[m*f.frames+at:][:n]
			from := m * 4 * f.numberBytes()
			for i := range track {
				p, mark := point(chunk[from+i*size:])
				switch {
				case mark >= 0:
					sum.add(mark)
				case !all:
					p = unseen
				}
				track[i] = known(p)
			}
		}
	}
	return sum, nil
}

// known returns p, or NaN if it says no place.
func known(p r3.Vec) r3.Vec {
	// Squares of float32 are finite, and above 0, unless what is squared is not.
	if s := p.X*p.X + p.Y*p.Y + p.Z*p.Z; s > 0 && s <= math.MaxFloat64 {
		return p
	}
	return unseen
}

// reals returns a point of real numbers, in the unit of the file, and its mark.
func (f *c3dFile) reals(b []byte) (p r3.Vec, mark int) {
	_ = b[15]
	if m := f.float(b[12:]); m >= 0 && m < 1<<15 {
		mark = int(m)
	} else {
		mark = -1
	}
	return r3.Vec{X: f.float(b), Y: f.float(b[4:]), Z: f.float(b[8:])}, mark
}

// integers returns a point of integers, in the unit of the file, and its mark.
func (f *c3dFile) integers(b []byte) (p r3.Vec, mark int) {
	_ = b[7]
	coordinate := func(b []byte) float64 { return float64(int16(f.uint16(b))) * f.scale }
	return r3.Vec{X: coordinate(b), Y: coordinate(b[2:]), Z: coordinate(b[4:])}, int(int16(f.uint16(b[6:])))
}

package capture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A c3dLayout is one way of writing a recording to a C3D file, apart from the
// writer's.
type c3dLayout struct {
	processor      processor
	scale          float64 // below 0 for real numbers
	parameterBlock int
	dataBlock      int
	analog         int // samples in a frame
	groupLast      bool
	mute           bool // the header does not say where frames begin, nor their rate and scale
}

func (l c3dLayout) String() string {
	return fmt.Sprintf("%v, scale %v, blocks %d and %d, %d samples", l.processor, l.scale, l.parameterBlock, l.dataBlock, l.analog)
}

func (l c3dLayout) word(b []byte, v int) []byte {
	if l.processor == sgi {
		return binary.BigEndian.AppendUint16(b, uint16(v))
	}
	return binary.LittleEndian.AppendUint16(b, uint16(v))
}

func (l c3dLayout) float(b []byte, v float64) []byte {
	switch l.processor {
	case sgi:
		return binary.BigEndian.AppendUint32(b, math.Float32bits(float32(v)))
	case dec:
		bits := math.Float32bits(float32(4 * v))
		return binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(b, uint16(bits>>16)), uint16(bits))
	}
	return binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(v)))
}

// entry is a parameter or, with a negative number, a group.
func (l c3dLayout) entry(name string, group int, body []byte) []byte {
	b := append([]byte{byte(len(name)), byte(group)}, name...)
	body = append(body, 3, 'w', 'h', 'y')
	return append(l.word(b, 2+len(body)), body...)
}

func (l c3dLayout) text(name string, texts ...string) []byte {
	length := 0
	for _, t := range texts {
		length = max(length, len(t))
	}
	body := []byte{0xff, 2, byte(length), byte(len(texts))}
	for _, t := range texts {
		body = append(body, t...)
		body = append(body, bytes.Repeat([]byte{' '}, length-len(t))...)
	}
	return l.entry(name, 3, body)
}

func (l c3dLayout) words(name string, values ...int) []byte {
	body := []byte{2, 1, byte(len(values))}
	for _, v := range values {
		body = l.word(body, v)
	}
	return l.entry(name, 3, body)
}

func (l c3dLayout) single(name string, v float64) []byte {
	return l.entry(name, 3, l.float([]byte{4, 0}, v))
}

// parameters returns the entries of the POINT group of r in millimetres.
func (l c3dLayout) parameters(r *Recording) []byte {
	group := l.entry("Point", -3, nil)
	list := bytes.Join([][]byte{
		l.words("used", len(r.names)),
		l.single("SCALE", l.scale),
		l.single("RATE", r.rate),
		l.words("DATA_START", l.dataBlock),
		l.words("FRAMES", r.frames),
		l.text("LABELS", r.names...),
		l.text("UNITS", "mm"),
		l.text("X_SCREEN", "+Y"),
		l.text("Y_SCREEN", "+Z"),
	}, nil)
	if l.groupLast {
		return append(list, group...)
	}
	return append(group, list...)
}

// file returns a file of r with the given parameter entries, those of the
// recording if there are none.
func (l c3dLayout) file(r *Recording, entries ...[]byte) []byte {
	if entries == nil {
		entries = [][]byte{l.parameters(r)}
	}
	section := append([]byte{0, 0, 0, byte(l.processor)}, bytes.Join(entries, nil)...)
	section[2] = byte((len(section) + c3dBlock) / c3dBlock)
	var data []byte
	number := l.float
	if l.scale > 0 {
		number = func(b []byte, v float64) []byte { return l.word(b, int(int16(v))) }
	}
	for f := range r.frames {
		for m := range r.names {
			p, mark := r3.Scale(1000, r.points[m*r.frames+f]), float64(5<<8|2) // cameras 1 and 3, residual 2
			if !isSeen(p) {
				p, mark = r3.Vec{}, -1
			}
			if l.scale > 0 {
				p = r3.Vec{X: math.Round(p.X / l.scale), Y: math.Round(p.Y / l.scale), Z: math.Round(p.Z / l.scale)}
			}
			for _, x := range [...]float64{p.X, p.Y, p.Z, mark} {
				data = number(data, x)
			}
		}
		for range l.analog {
			data = number(data, 77)
		}
	}
	head := []byte{byte(l.parameterBlock), c3dKey}
	first := int(math.Round(r.start*r.rate)) + 1
	for _, v := range []int{len(r.names), l.analog, first, first + r.frames - 1, 10} {
		head = l.word(head, v)
	}
	if l.mute {
		head = append(head, make([]byte, 12)...)
	} else {
		head = l.word(l.word(l.float(head, l.scale), l.dataBlock), 1)
		head = l.float(head, r.rate)
	}
	parameterAt, dataAt := c3dBlock*(l.parameterBlock-1), c3dBlock*(l.dataBlock-1)
	file := make([]byte, max(parameterAt+c3dBlock*int(section[2]), dataAt+len(data)))
	copy(file, head)
	copy(file[parameterAt:], section)
	copy(file[dataAt:], data)
	return file
}

func readBytes(data []byte, hints Hints) (*Recording, error) {
	return Read(bytes.NewReader(data), int64(len(data)), "run.c3d", hints)
}

func intelReal() c3dLayout {
	return c3dLayout{processor: intel, scale: -1, parameterBlock: 2, dataBlock: 4}
}

// small returns a recording whose start is a whole number of frames.
func small(t testing.TB, names []string, frames int) *Recording {
	t.Helper()
	tracks := swing(len(names), frames)
	for m, track := range tracks {
		hide(track, (3*m+1)%frames)
	}
	r, err := NewRecording(0.5, 250, names, tracks, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Every byte order, kind of number and place of the sections reads back to the
// recording that was written.
func TestReadC3DLayouts(t *testing.T) {
	want := small(t, []string{"G1", "Kopf ü", "S:01", "x"}, 7)
	for _, p := range []processor{intel, dec, sgi} {
		for _, scale := range []float64{-1, -0.1, 0.125} {
			for _, blocks := range [][2]int{{2, 3}, {2, 9}, {9, 12}, {10, 2}, {13, 40}, {40, 3}, {255, 600}} {
				for _, analog := range []int{0, 11} {
					for _, other := range []bool{false, true} {
						l := c3dLayout{p, scale, blocks[0], blocks[1], analog, other, other}
						r, err := readBytes(l.file(want), Hints{})
						if err != nil {
							t.Fatalf("%v: %v", l, err)
						}
						// Three halves of a step of integers; of float32, half of the last place of 2 m.
						tolerance := 0.0
						if scale > 0 {
							tolerance = math.Sqrt(3) / 2 * scale / 1000
						} else {
							tolerance = math.Sqrt(3) * 2 * 0x1p-24
						}
						if d := difference(r, want, tolerance); d != "" {
							t.Fatalf("%v: %s", l, d)
						}
						o := r.Origin()
						kind := " real"
						if scale > 0 {
							kind = " integer"
						}
						if o.Layout != "c3d" || o.Encoding != p.String()+kind || o.Unit != Millimetre || o.UnitGuessed || o.Up != "+z" || len(o.SHA256) != 64 || o.Flags != nil {
							t.Fatalf("%v: %+v", l, o)
						}
						if residual := 2 * math.Abs(scale) / 1000; math.Abs(o.Residual-residual) > 1e-9 {
							t.Fatalf("%v: residual %v, want %v", l, o.Residual, residual)
						}
					}
				}
			}
		}
	}
}

// Bit patterns of F_floating by Baker, "VAX data conversion" (U.S. Geological
// Survey, Open-File Report 2005-1424), as words, the first in memory last.
func TestVAXFloat(t *testing.T) {
	for bits, want := range map[uint32]float64{
		0x00004080: 1,
		0x0000c080: -1,
		0x00004160: 3.5,
		0x0000c160: -3.5,
		0x0fd04149: 3.14159,
		0xbdc27df0: 1e37,
		0x1cea0308: 1e-37,
		0x00000000: 0,
		0x00000080: 0x1p-128, // the smallest
		0xffff7fff: (1 - 0x1p-24) * 0x1p127,
	} {
		got := dec.float(binary.LittleEndian.AppendUint32(nil, bits))
		if math.Abs(got-want) > 0x1p-24*math.Abs(want) {
			t.Errorf("%08x: %v, want %v", bits, got, want)
		}
	}
	if got := dec.float([]byte{0, 0x80, 0, 0}); !math.IsNaN(got) {
		t.Errorf("reserved operand: %v", got)
	}
}

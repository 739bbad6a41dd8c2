package capture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// maxParameters is the most bytes a parameter section can have: its number of
// blocks is a byte.
const maxParameters = 255 * c3dBlock

// A processor says in which byte order a C3D file has its numbers.
type processor byte

// The processors, as the parameter section numbers them.
const (
	intel processor = 84 // low byte first, IEEE 754
	dec   processor = 85 // integers low byte first, VAX F_floating
	sgi   processor = 86 // high byte first, IEEE 754
)

func (p processor) String() string {
	switch p {
	case intel:
		return "intel"
	case dec:
		return "dec"
	case sgi:
		return "sgi"
	}
	return fmt.Sprintf("processor %d", byte(p))
}

func (p processor) uint16(b []byte) uint16 {
	if p == sgi {
		return binary.BigEndian.Uint16(b)
	}
	return binary.LittleEndian.Uint16(b)
}

// float returns the number of 32 bits at the start of b. DEC's F_floating has
// the word with sign and exponent first and means a fourth of what the same
// bits mean in IEEE 754, since its exponent is biased by 128 and its fraction
// begins at one half (VAX Architecture Reference Manual, Leonard 1987). All
// below its exponent 1 is zero, and with a sign, reserved: NaN.
func (p processor) float(b []byte) float64 {
	switch p {
	case sgi:
		return float64(math.Float32frombits(binary.BigEndian.Uint32(b)))
	case dec:
		bits := uint32(binary.LittleEndian.Uint16(b))<<16 | uint32(binary.LittleEndian.Uint16(b[2:]))
		const fourth = 2 << 23 // of the exponent
		switch exponent := bits >> 23 & 0xff; {
		case exponent > 2:
			return float64(math.Float32frombits(bits - fourth))
		case exponent > 0:
			return float64(math.Float32frombits(bits)) / 4
		case bits>>31 == 1:
			return math.NaN()
		}
		return 0
	}
	return float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
}

// shortest returns the number of fewest decimals that float32 rounds to x.
func shortest(x float64) float64 {
	s, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', -1, 32), 64)
	if err != nil { // out of range only, which x is not
		return x
	}
	return s
}

// The kinds of parameters, by the size of an element; text is negative.
const (
	textKind  = -1
	byteKind  = 1
	wordKind  = 2
	floatKind = 4
)

// A parameter is an array of numbers, or of texts of equal length.
type parameter struct {
	kind int8
	dims []byte // fastest first; none for a single element
	data []byte
}

// parameters are the parameters of a C3D file, by GROUP:NAME in capitals.
type parameters struct {
	processor
	entries map[string]parameter
}

// parse reads the parameter section that begins at a byte of the file up to its
// end, or to where it is damaged, which is the error.
func (ps *parameters) parse(section []byte, begin int64) error {
	type named struct {
		group int8
		name  string
		parameter
	}
	var list []named
	groups := make(map[int8]string)
	broken := func(at int, where string) error { return fmt.Errorf("at byte %d, where %s", begin+int64(at), where) }
	var damage error
	for at := 4; at < len(section) && section[at] != 0; {
		length := int(int8(section[at])) // below 0 if locked
		if length < 0 {
			length = -length
		}
		name := at + 2
		link := name + length // the offset of the next entry is counted from here
		if link+3 > len(section) {
			damage = broken(at, "they break off")
			break
		}
		group := int8(section[at+1])
		label := strings.ToUpper(plainText(section[name:link]))
		next := int(ps.uint16(section[link:]))
		if group < 0 {
			groups[-group] = label
		} else {
			p, ok := cutParameter(section[link+2:])
			if !ok {
				damage = broken(at, quoted([]byte(label))+" runs past their end")
				break
			}
			list = append(list, named{group, label, p})
		}
		if next == 0 {
			break
		}
		if next < 2 { // the offset itself
			damage = broken(at, quoted([]byte(label))+" overlaps the next")
			break
		}
		at = link + next
	}
	// A group may be named after its parameters.
	ps.entries = make(map[string]parameter, len(list))
	for _, p := range list {
		ps.entries[groups[p.group]+":"+p.name] = p.parameter
	}
	return damage
}

// cutParameter returns the parameter at the start of b: kind, number of
// dimensions, dimensions, elements.
func cutParameter(b []byte) (p parameter, ok bool) {
	if len(b) < 2 {
		return p, false
	}
	dims := 2 + int(b[1])
	if len(b) < dims {
		return p, false
	}
	p.kind = int8(b[0])
	p.dims, b = b[2:dims], b[dims:]
	size := 1
	switch p.kind {
	case textKind, byteKind:
	case wordKind, floatKind:
		size = int(p.kind)
	default:
		return p, false
	}
	for _, d := range p.dims {
		if size *= int(d); size > len(b) {
			return p, false
		}
	}
	if size > len(b) {
		return p, false
	}
	p.data = b[:size]
	return p, true
}

// number returns the first element of a parameter, 0 if it is absent or a text.
// Words count from 0 to 65535.
func (ps *parameters) number(name string) float64 {
	p := ps.entries[name]
	if len(p.data) == 0 {
		return 0
	}
	switch p.kind {
	case byteKind:
		return float64(p.data[0])
	case wordKind:
		return float64(ps.uint16(p.data))
	case floatKind:
		if x := ps.float(p.data); !math.IsNaN(x) && !math.IsInf(x, 0) {
			return x
		}
	}
	return 0
}

// floats returns the elements of a parameter of real numbers.
func (ps *parameters) floats(name string) []float64 {
	p := ps.entries[name]
	if p.kind != floatKind {
		return nil
	}
	list := make([]float64, len(p.data)/4)
	for i := range list {
		list[i] = ps.float(p.data[4*i:])
	}
	return list
}

// text returns the first text of a parameter, "" if it is absent.
func (ps *parameters) text(name string) string {
	if list := ps.texts(name); len(list) > 0 {
		return list[0]
	}
	return ""
}

// texts returns the texts of a parameter.
func (ps *parameters) texts(name string) []string {
	p := ps.entries[name]
	if p.kind != textKind {
		return nil
	}
	length, n := 1, 1
	for i, d := range p.dims {
		if i == 0 {
			length = int(d)
		} else {
			n *= int(d) // at most len(p.data), or else length is 0
		}
	}
	if length == 0 {
		return nil
	}
	list := make([]string, n)
	for i := range list {
		list[i] = plainText(p.data[i*length : (i+1)*length])
	}
	return list
}

// plainText returns text without the padding around it, as Shown has it. What is
// not UTF-8 is taken for Latin-1.
func plainText(b []byte) string {
	b = bytes.Trim(b, "\x00 ")
	if !utf8.Valid(b) {
		latin, err := charmap.Windows1252.NewDecoder().Bytes(b)
		if err != nil {
			return "" // which is what a label that says nothing is
		}
		b = latin
	}
	return Shown(string(b))
}

package capture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
)

// A section is a parameter section while it is written.
type section struct {
	bytes []byte
	link  int // where the offset of the last entry is
	group int8
}

// entry begins an entry: length of name, group, name, offset. The offset of the
// last entry stays 0.
func (s *section) entry(group int8, name string) {
	if s.link > 0 {
		binary.LittleEndian.PutUint16(s.bytes[s.link:], uint16(len(s.bytes)-s.link))
	}
	s.bytes = append(append(s.bytes, byte(len(name)), byte(group)), name...)
	s.link = len(s.bytes)
	s.bytes = append(s.bytes, 0, 0)
}

// begin begins a group, which the parameters that follow are in.
func (s *section) begin(name string) {
	s.group++
	s.entry(-s.group, name)
	s.bytes = append(s.bytes, 0) // no description
}

func (s *section) parameter(name string, kind int8, data []byte, dims ...byte) {
	s.entry(s.group, name)
	s.bytes = append(append(s.bytes, byte(kind), byte(len(dims))), dims...)
	s.bytes = append(append(s.bytes, data...), 0)
}

func (s *section) word(name string, v int) {
	s.parameter(name, wordKind, binary.LittleEndian.AppendUint16(nil, uint16(min(v, c3dLast))))
}

// long writes a number of 32 bits as two words, the lower first.
func (s *section) long(name string, v int) {
	s.parameter(name, wordKind, binary.LittleEndian.AppendUint32(nil, uint32(v)), 2)
}

func (s *section) float(name string, v float64) { s.floats(name, []float64{v}) }

func (s *section) floats(name string, list []float64, dims ...byte) {
	var data []byte
	for _, v := range list {
		data = binary.LittleEndian.AppendUint32(data, math.Float32bits(float32(v)))
	}
	s.parameter(name, floatKind, data, dims...)
}

func (s *section) text(name, v string) { s.parameter(name, textKind, []byte(v), byte(len(v))) }

const (
	maxDimension = 255                 // of an array, whose dimensions are bytes
	maxArray     = math.MaxInt16 - 255 // bytes of an array, so that what is around it fits too
)

// texts writes texts of at most 255 bytes, padded with spaces to the length of
// the longest, in as many parameters as it takes: NAME, NAME2 …
func (s *section) texts(name string, list []string) {
	longest := 1
	for _, v := range list {
		longest = max(longest, len(v))
	}
	most := min(maxDimension, maxArray/longest)
	for n := 1; len(list) > 0; n++ {
		part := list[:min(most, len(list))]
		list = list[len(part):]
		var data []byte
		for _, v := range part {
			data = append(data, v...)
			data = append(data, bytes.Repeat([]byte{' '}, longest-len(v))...)
		}
		label := name
		if n > 1 {
			label = fmt.Sprint(name, n)
		}
		s.parameter(label, textKind, data, byte(longest), byte(len(part)))
	}
}

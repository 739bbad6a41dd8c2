package kinematics

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"reflect"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// byteOrder is that of the bytes of a swing written as binary.
var byteOrder = binary.LittleEndian

// swingLayout stands for the shape of a Swing and of all it holds: bytes that
// were written by a program with another shape are not read.
var swingLayout = func() uint64 {
	h := fnv.New64a()
	fmt.Fprint(h, shapeOf(reflect.TypeFor[Swing]()))
	return h.Sum64()
}()

// shapeOf spells a type out, down to the names and kinds of its fields.
func shapeOf(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Struct:
		var b strings.Builder
		for i := range t.NumField() {
			fmt.Fprintf(&b, "%s %s;", t.Field(i).Name, shapeOf(t.Field(i).Type))
		}
		return "{" + b.String() + "}"
	case reflect.Slice, reflect.Pointer:
		return t.Kind().String() + " " + shapeOf(t.Elem())
	case reflect.Array:
		return fmt.Sprint(t.Len(), " ", shapeOf(t.Elem()))
	}
	return t.String()
}

// parts returns every field of the swing, to be written and read in this order.
// There is one entry for each field.
func (s *Swing) parts() []any {
	return []any{
		&s.Start, &s.Rate, &s.Hand, &s.Length, &s.CutOff,
		&s.Grip, &s.Head, &s.Lead, &s.Droop, &s.Twist, &s.LeadAngle, &s.DroopAngle,
		&s.HeadSpeed, &s.KickSpeed, &s.Residual, &s.Filled,
		&s.Top, &s.Impact, &s.Other, &s.Contact, &s.AtImpact, &s.Systematic, &s.PeakLag, &s.Bend, &s.RMS,
		&s.Noise, &s.Stray, &s.Exchanged, &s.Slid, &s.Skewed, &s.meeting, &s.slope, &s.rod, &s.amp, &s.stiff,
	}
}

// complete returns an error if Swing has fields that parts does not know.
func (s *Swing) complete() error {
	if n := reflect.TypeFor[Swing]().NumField(); n != len(s.parts()) {
		return fmt.Errorf("kinematics: a swing has %d fields, of which %d can be written", n, len(s.parts()))
	}
	return nil
}

// MarshalBinary returns the swing as bytes that UnmarshalBinary of the same
// program reads back to the last bit.
func (s *Swing) MarshalBinary() ([]byte, error) {
	if err := s.complete(); err != nil {
		return nil, err
	}
	b := byteOrder.AppendUint64(make([]byte, 0, 512*(s.Frames()+8)), swingLayout)
	for _, p := range s.parts() {
		b = appendPart(b, p)
	}
	return b, nil
}

func appendPart(b []byte, part any) []byte {
	switch p := part.(type) {
	case *Hand:
		return append(b, byte(*p))
	case *meeting:
		return appendParts(b, &p.at, &p.sd, &p.contact, &p.rate, &p.other)
	case *Series:
		return appendParts(b, &p.Value, &p.U95)
	case *Profile:
		return appendParts(b, &p.Station, &p.LeadCurvature, &p.DroopCurvature, &p.LeadMoment, &p.DroopMoment)
	case **Series:
		if b = fixed(b, *p != nil); *p != nil {
			b = appendPart(b, *p)
		}
		return b
	case *[]int:
		wide := make([]int64, len(*p))
		for i, v := range *p {
			wide[i] = int64(v)
		}
		return fixed(binary.AppendUvarint(b, uint64(len(wide))), wide)
	case *[]bool:
		return fixed(binary.AppendUvarint(b, uint64(len(*p))), *p)
	case *[]float64:
		return fixed(binary.AppendUvarint(b, uint64(len(*p))), *p)
	case *[]Frame:
		return fixed(binary.AppendUvarint(b, uint64(len(*p))), *p)
	case *[]r3.Vec:
		return fixed(binary.AppendUvarint(b, uint64(len(*p))), *p)
	case *[]amplitudes:
		return fixed(binary.AppendUvarint(b, uint64(len(*p))), *p)
	case *[]Exchange:
		rows := make([]exchangeBytes, len(*p))
		for i, e := range *p {
			rows[i] = exchangeBytes{int64(e.Track), int64(e.Label), e.From, e.To}
		}
		return fixed(binary.AppendUvarint(b, uint64(len(rows))), rows)
	case *[]Slide:
		rows := make([]slideBytes, len(*p))
		for i, e := range *p {
			rows[i] = slideBytes{int64(e.Track), e.By}
		}
		return fixed(binary.AppendUvarint(b, uint64(len(rows))), rows)
	case *[]Skew:
		rows := make([]skewBytes, len(*p))
		for i, e := range *p {
			rows[i] = skewBytes{int64(e.Track), e.By}
		}
		return fixed(binary.AppendUvarint(b, uint64(len(rows))), rows)
	case **rodModel:
		if b = fixed(b, *p != nil); *p != nil {
			m := *p
			b = appendParts(b, &m.shaft.Length, &m.shaft.Station, &m.shaft.EI, &m.shaft.GJ, &m.marked)
		}
		return b
	}
	return fixed(b, part)
}

func appendParts(b []byte, parts ...any) []byte {
	for _, p := range parts {
		b = appendPart(b, p)
	}
	return b
}

// fixed appends values whose size follows from their type.
func fixed(b []byte, v any) []byte {
	b, err := binary.Append(b, byteOrder, v)
	if err != nil {
		panic(err) // the type of v is a defect of parts
	}
	return b
}

// exchangeBytes, slideBytes and skewBytes are an Exchange, a Slide and a Skew as
// written.
type (
	exchangeBytes struct {
		Track, Label int64
		From, To     float64
	}
	slideBytes struct {
		Track int64
		By    float64
	}
	skewBytes struct {
		Track int64
		By    Estimate
	}
)

var (
	errOther = errors.New("kinematics: these bytes are no swing that this program wrote")
	errShort = errors.New("kinematics: the bytes of a swing break off")
)

// UnmarshalBinary reads a swing that MarshalBinary wrote. It returns an error
// for bytes that are damaged, or that a program wrote whose Swing differs.
func (s *Swing) UnmarshalBinary(b []byte) error {
	if len(b) < 8 || byteOrder.Uint64(b) != swingLayout {
		return errOther
	}
	r := &swingReader{b: b[8:]}
	var got Swing
	for _, p := range got.parts() {
		r.part(p)
	}
	switch n := got.Frames(); {
	case r.err != nil:
		return r.err
	case len(r.b) > 0:
		return errOther
	case got.rod != nil && (len(got.amp) != n || len(got.rod.seg) == 0):
		return errOther
	}
	*s = got
	return nil
}

// A swingReader takes parts off the front of b; after an error it does nothing.
type swingReader struct {
	b   []byte
	err error
}

func (r *swingReader) parts(parts ...any) {
	for _, p := range parts {
		r.part(p)
	}
}

func (r *swingReader) part(part any) {
	switch p := part.(type) {
	case *Hand:
		var hand uint8
		r.fixed(&hand)
		*p = Hand(hand)
	case *meeting:
		r.parts(&p.at, &p.sd, &p.contact, &p.rate, &p.other)
	case *Series:
		r.parts(&p.Value, &p.U95)
	case *Profile:
		r.parts(&p.Station, &p.LeadCurvature, &p.DroopCurvature, &p.LeadMoment, &p.DroopMoment)
	case **Series:
		if r.there() {
			*p = new(Series)
			r.part(*p)
		}
	case *[]int:
		for _, v := range listOf[int64](r) {
			*p = append(*p, int(v))
		}
	case *[]bool:
		*p = listOf[bool](r)
	case *[]float64:
		*p = listOf[float64](r)
	case *[]Frame:
		*p = listOf[Frame](r)
	case *[]r3.Vec:
		*p = listOf[r3.Vec](r)
	case *[]amplitudes:
		*p = listOf[amplitudes](r)
	case *[]Exchange:
		for _, e := range listOf[exchangeBytes](r) {
			*p = append(*p, Exchange{int(e.Track), int(e.Label), e.From, e.To})
		}
	case *[]Slide:
		for _, e := range listOf[slideBytes](r) {
			*p = append(*p, Slide{int(e.Track), e.By})
		}
	case *[]Skew:
		for _, e := range listOf[skewBytes](r) {
			*p = append(*p, Skew{int(e.Track), e.By})
		}
	case **rodModel:
		if r.there() {
			*p = r.rod()
		}
	default:
		r.fixed(part)
	}
}

// there reads whether something optional follows.
func (r *swingReader) there() bool {
	var is bool
	r.fixed(&is)
	return is && r.err == nil
}

// fixed reads values whose size follows from their type.
func (r *swingReader) fixed(p any) {
	if r.err != nil {
		return
	}
	n, err := binary.Decode(r.b, byteOrder, p)
	if err != nil {
		r.err = errShort
		return
	}
	r.b = r.b[n:]
}

// listOf reads a number of values and the values; nil for none.
func listOf[E any](r *swingReader) []E {
	if r.err != nil {
		return nil
	}
	n, used := binary.Uvarint(r.b)
	var one E
	size := binary.Size(one)
	if used <= 0 || n > math.MaxInt32 || int(n)*size > len(r.b)-used {
		r.err = errShort
		return nil
	}
	r.b = r.b[used:]
	if n == 0 {
		return nil
	}
	out := make([]E, n)
	// No more bytes than it takes: Decode goes through all it has for a []bool.
	whole := r.b
	r.b = r.b[:int(n)*size]
	r.fixed(out)
	r.b = whole[int(n)*size:]
	return out
}

// rod reads what a rod is made from, and makes it.
func (r *swingReader) rod() *rodModel {
	var s Shaft
	var marked []float64
	for _, p := range []any{&s.Length, &s.Station, &s.EI, &s.GJ, &marked} {
		r.part(p)
	}
	switch n := len(s.Station); {
	case r.err != nil:
		return nil
	case !(s.Length > 0 && s.Length < 10) || len(s.EI) != n || len(s.GJ) != n, len(marked) > 0 && !(marked[0] >= 0 && marked[len(marked)-1] <= s.Length):
		r.err = errOther
		return nil
	}
	return newRodModel(s, marked)
}

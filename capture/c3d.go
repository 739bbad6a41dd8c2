package capture

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// MaxC3DBytes is the size of the largest C3D file that is read.
const MaxC3DBytes = 1 << 30

const (
	c3dBlock = 512   // bytes; block 1 is the header
	c3dKey   = 0x50  // second byte of every C3D file
	c3dWord  = 12345 // says that the header has events with four-letter labels
	c3dLast  = 65535 // largest frame number of the header
)

// c3dChunk is about how many bytes of frames are read at a time: few enough to
// stay in a processor's cache, since each is gone through marker by marker.
const c3dChunk = 1 << 18

// ReadC3D reads the points of a C3D file of size bytes, as the C3D file format
// user guide (Motion Lab Systems, 2008) describes it: integer or real numbers
// in the byte order of Intel, DEC or SGI processors, with the parameter and
// data sections anywhere. Analog samples are passed over. hints override the
// unit, the rate and the names of the points. name stands for the file in
// errors.
//
// Rate, scale, unit, labels and the vertical axis (that of the screen) are the
// parameters'; how many points, analog samples and frames there are, and where,
// is the header's, and the parameters' where the header says nothing. More than
// 65,535 frames are counted by TRIAL:ACTUAL_START_FIELD and
// TRIAL:ACTUAL_END_FIELD, or by POINT:LONG_FRAMES. Frame 1 is at 0 s, and so are
// the times of events counted.
//
// A point is not seen, and so NaN, where its residual is negative, where it lies
// at exactly 0,0,0 and where a coordinate is not finite. A file that marks every
// point so is believed in its coordinates and not in its marks. A point without
// a label is called P and its number, counted from 1 in at least two digits; of
// points with the same label, the second is called LABEL_2 and so on.
//
// What is damaged but can be read is told by Origin.Flags: a file that breaks
// off before its last frame, labels that stand twice, parameters that run into
// the data. The error of a file that cannot be read is one sentence that names
// the file, what was found there and what is needed. The memory taken is at
// most three times the size of the file and a little for each point; a file
// larger than MaxC3DBytes is refused.
func ReadC3D(r io.ReaderAt, size int64, name string, hints Hints) (*Recording, error) {
	rec, err := readC3D(r, size, hints)
	if err != nil {
		return nil, fmt.Errorf("capture: %s: %w", name, err)
	}
	return rec, nil
}

func readC3D(r io.ReaderAt, size int64, hints Hints) (*Recording, error) {
	if err := hints.check(); err != nil {
		return nil, err
	}
	f, err := openC3D(r, size)
	if err != nil {
		return nil, err
	}
	rate, err := f.rate(hints)
	if err != nil {
		return nil, err
	}
	names, flags := f.names()
	f.flags = append(f.flags, flags...)
	if names, err = hints.rename(names); err != nil {
		return nil, err
	}
	rec := &Recording{start: float64(f.first-1) / rate, rate: rate, names: names, index: make(map[string]int, len(names)), frames: f.frames}
	for i, name := range names {
		rec.index[name] = i
	}
	if f.frames < f.announced {
		f.flags = append(f.flags, Flag{Code: Gap, From: rec.Time(f.frames), To: rec.Time(f.announced - 1),
			Detail: fmt.Sprintf("the file breaks off after %d of the %d frames it announces", f.frames, f.announced)})
	}
	sum := digestOf(io.NewSectionReader(r, 0, size))
	residual, err := f.readData(rec)
	digest := <-sum // also before an error, so that nothing reads the file any more
	if err = cmp.Or(err, digest.err); err != nil {
		return nil, err
	}
	rec.origin = Origin{
		Layout:   "c3d",
		Encoding: f.numbers(),
		Up:       f.up(),
		SHA256:   digest.hex,
		Events:   f.events(),
		Flags:    f.flags,
	}
	if err := rec.scale(cmp.Or(hints.Unit, lengthUnit(f.text("POINT:UNITS")))); err != nil {
		return nil, err
	}
	rec.origin.Residual = rec.origin.Unit.toMetres(residual)
	return rec, nil
}

// A c3dFile is a C3D file while it is read.
type c3dFile struct {
	parameters
	r      io.ReaderAt
	head   []byte
	points int // in each frame
	analog int // samples in each frame, of all channels together
	// Frames are counted from first on; announced are the ones the file says it
	// has, frames those that it has.
	first, announced, frames int
	data                     int64   // where frames begin, bytes
	scale                    float64 // of integers, in the file's unit; negative for real numbers
	flags                    []Flag
}

// openC3D reads all but the frames.
func openC3D(r io.ReaderAt, size int64) (*c3dFile, error) {
	if size > MaxC3DBytes {
		return nil, fmt.Errorf("the file is larger than the %d MiB that are read", MaxC3DBytes>>20)
	}
	f := &c3dFile{r: r, head: make([]byte, c3dBlock)}
	if size < 2*c3dBlock {
		return nil, fmt.Errorf("found %d bytes, which hold no header and parameters; a whole C3D file is needed", size)
	}
	if err := readFull(r, f.head, 0); err != nil {
		return nil, err
	}
	if !isC3D(f.head) {
		return nil, errors.New("found no C3D file: it does not begin with the number of a block and the key 0x50")
	}
	if err := f.readParameters(size); err != nil {
		return nil, err
	}
	f.scale = cmp.Or(f.number("POINT:SCALE"), f.float(f.head[12:]))
	if f.scale == 0 || math.IsNaN(f.scale) || math.IsInf(f.scale, 0) {
		return nil, fmt.Errorf("found a scale of %v; POINT:SCALE must be above 0 for integers, below for real numbers", f.scale)
	}
	f.points = cmp.Or(f.word(2), int(f.number("POINT:USED")))
	if f.points <= 0 || f.points > math.MaxUint16 {
		return nil, fmt.Errorf("the file holds %d points; a capture of markers is needed", f.points)
	}
	f.analog = f.word(3)
	f.countFrames()
	if f.announced <= 0 {
		return nil, fmt.Errorf("found frames %d to %d in the header and no other count; one frame or more is needed", f.word(4), f.word(5))
	}
	fits := max(0, size-f.data) / int64(f.frameBytes())
	if fits == 0 {
		return nil, fmt.Errorf("the frames are said to begin at byte %d, and the file ends at byte %d, before the end of the first; the whole file is needed", f.data, size)
	}
	f.heedMore(fits)
	f.frames = int(min(fits, int64(f.announced)))
	return f, nil
}

// readParameters reads the parameter section, and finds where frames begin.
func (f *c3dFile) readParameters(size int64) error {
	begin := int64(f.head[0]-1) * c3dBlock
	if begin == 0 || begin+c3dBlock > size {
		return fmt.Errorf("the parameters are said to be in block %d, which the file does not have", f.head[0])
	}
	section := make([]byte, min(size-begin, maxParameters))
	if err := readFull(f.r, section, begin); err != nil {
		return err
	}
	f.processor = processor(section[3])
	if f.processor < intel || f.processor > sgi {
		return fmt.Errorf("found processor type %d in the parameters; 84 (Intel), 85 (DEC) or 86 (SGI) is needed", section[3])
	}
	// Some files have a wrong length in section[2], but parameters cannot go on
	// where frames begin.
	data := int64(f.word(9)-1) * c3dBlock
	if data > begin {
		section = section[:min(int64(len(section)), data-begin)]
	}
	broken := f.parse(section, begin)
	if data <= 0 {
		data = int64(f.number("POINT:DATA_START")-1) * c3dBlock
	}
	if data <= 0 {
		data = begin + int64(section[2])*c3dBlock
	}
	if data == begin {
		return fmt.Errorf("parameters and frames are both said to begin at byte %d", data)
	}
	f.data = data
	if broken == nil {
		return nil
	}
	if _, ok := f.entries["POINT:LABELS"]; !ok {
		return fmt.Errorf("the parameters are damaged before they name the points, %w; an undamaged file is needed", broken)
	}
	f.flags = append(f.flags, Flag{Code: Damaged, Detail: fmt.Sprintf("the parameters are damaged %v; they were read up to there", broken)})
	return nil
}

// word returns a word of the header, counted from 1.
func (f *c3dFile) word(n int) int { return int(f.uint16(f.head[2*n-2:])) }

// countFrames sets first and announced. The header's frame numbers stop at
// 65535 or start again at 0, and then others count.
func (f *c3dFile) countFrames() {
	first, last := f.word(4), f.word(5)
	f.first, f.announced = max(first, 1), last-first+1
	from, to := f.long("TRIAL:ACTUAL_START_FIELD"), f.long("TRIAL:ACTUAL_END_FIELD")
	switch long := f.number("POINT:LONG_FRAMES"); {
	case from > 0 && to >= from && (last == c3dLast || last == to&0xffff):
		f.first, f.announced = from, to-from+1
	case last == c3dLast && long > float64(f.announced) && long <= math.MaxInt32:
		f.announced = int(long)
	case first > last:
		f.announced = int(f.number("POINT:FRAMES"))
	}
}

// heedMore looks at files with room for more frames than they announce: where the
// count is as high as the header can tell, all there are count; elsewhere it tells
// of those that are not read. Less than a block more is padding, and what lies
// before the parameters may be anything.
func (f *c3dFile) heedMore(fits int64) {
	more := fits - int64(f.announced)
	if more*int64(f.frameBytes()) < c3dBlock || int64(f.head[0]-1)*c3dBlock > f.data {
		return
	}
	if f.word(5) == c3dLast && f.announced == c3dLast-f.word(4)+1 {
		f.announced = int(min(fits, math.MaxInt32))
		f.flags = append(f.flags, Flag{Code: Damaged, Detail: fmt.Sprintf("the header counts %d frames, the most it can; all %d that the file holds were read", c3dLast, f.announced)})
		return
	}
	f.flags = append(f.flags, Flag{Code: Damaged, Detail: fmt.Sprintf("the file has room for %d frames more than the %d it announces; they were not read", more, f.announced)})
}

// long returns a number of 32 bits that is stored as two words, the lower
// first.
func (f *c3dFile) long(name string) int {
	p := f.entries[name]
	if p.kind != wordKind || len(p.data) < 4 {
		return 0
	}
	return int(f.uint16(p.data)) | int(f.uint16(p.data[2:]))<<16
}

// rate returns frames a second. The shortest decimal that float32 rounds to what
// the file holds is what was meant: 239.76, not 239.759994.
func (f *c3dFile) rate(hints Hints) (float64, error) {
	rate := hints.Rate
	if rate == 0 {
		rate = shortest(cmp.Or(f.number("POINT:RATE"), f.float(f.head[20:])))
	}
	if !(rate > 0) || math.IsInf(rate, 0) {
		return 0, fmt.Errorf("found a rate of %v frames a second; give the rate where the file is brought in", rate)
	}
	return rate, nil
}

// names returns the names of the points, and a flag if labels stand twice.
// POINT:LABELS holds at most 255, and goes on in POINT:LABELS2 and so on.
func (f *c3dFile) names() ([]string, []Flag) {
	names := f.texts("POINT:LABELS")
	for n := 2; len(names) < f.points; n++ {
		more := f.texts(fmt.Sprintf("POINT:LABELS%d", n))
		if len(more) == 0 {
			break
		}
		names = append(names, more...)
	}
	names = slices.Grow(names, max(0, f.points-len(names)))[:f.points]
	taken := make(map[string]bool, len(names)) // true once given
	for i, name := range names {
		if name == "" {
			names[i] = fmt.Sprintf("P%02d", i+1)
		}
		taken[names[i]] = false
	}
	var twice []string
	next := make(map[string]int)
	for i, name := range names {
		if !taken[name] {
			taken[name] = true
			continue
		}
		for n := max(next[name], 2); ; n++ {
			unique := fmt.Sprintf("%s_%d", name, n)
			if _, ok := taken[unique]; !ok {
				names[i], taken[unique], next[name] = unique, true, n+1
				break
			}
		}
		twice = append(twice, fmt.Sprintf("point %d is called %s", i+1, names[i]))
	}
	if len(twice) == 0 {
		return names, nil
	}
	const most = 4
	if more := len(twice) - most; more > 0 {
		twice = append(twice[:most], fmt.Sprintf("and %d more", more))
	}
	return names, []Flag{{Code: LabelSwap, Detail: "labels stand twice in the file: " + strings.Join(twice, ", ")}}
}

// up returns the vertical axis of the screen, "" if the file does not state one.
func (f *c3dFile) up() string {
	axis := strings.ToLower(f.text("POINT:Y_SCREEN"))
	if len(axis) == 1 {
		axis = "+" + axis
	}
	if len(axis) == 2 && strings.Contains("+-", axis[:1]) && axisOf(axis[1:]) >= 0 {
		return axis
	}
	return ""
}

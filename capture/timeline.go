package capture

import (
	"fmt"
	"math"
	"slices"
)

// A timeline places the rows of a file on a steady rate.
type timeline struct {
	start   float64 // time of frame 0, s
	rate    float64
	at      []int // the frame of each row, rising; nil when row i is frame i
	frames  int
	guessed bool
}

// A rowError is what is wrong at a row, -1 for the whole table.
type rowError struct {
	row  int
	text string
}

func (e *rowError) Error() string { return e.text }

func badRow(row int, format string, args ...any) error {
	return &rowError{row, fmt.Sprintf(format, args...)}
}

// Between two rows the time may be off a whole number of periods by a quarter
// of one, beyond which the stamps no longer say which frame a row is.
const maxJitter = 0.25

// maxStep is the longest step in frames that is looked at. A longer one is a
// fault in the file, not a pause.
const maxStep = 1 << 40

// maxPeriods is how many periods from 0 s the recording may be. Beyond, a
// float64 holds the time to less than a thousandth of a period.
const maxPeriods = 1 << 42

// timeline places rows on a steady rate. It returns a *rowError when time goes
// back, repeats or is irregular, or no rate can be had.
func (c *clock) timeline(rows int) (timeline, error) {
	place := c.fromRate
	if c.times != nil && rows > 1 {
		place = c.fromTimes
	}
	tl, err := place(rows)
	if err == nil && !(math.Abs(tl.start)*tl.rate+float64(tl.frames) < maxPeriods) {
		err = badRow(0, "the time %v s is too far from 0 to tell frames apart at %.6g frames a second", tl.start, tl.rate)
	}
	return tl, err
}

// fromRate places rows by a stated rate and the frame column, if there is one.
func (c *clock) fromRate(rows int) (timeline, error) {
	tl := timeline{rate: c.hint, frames: rows}
	if tl.rate == 0 && len(c.stated) > 0 {
		tl.rate = c.stated[0]
		tl.guessed = slices.ContainsFunc(c.stated, func(r float64) bool { return r != tl.rate })
	}
	if tl.rate == 0 && c.times != nil {
		return tl, badRow(0, "found one row, which tells no rate; two rows or more are needed, or a line such as \"rate,2500\" before the header")
	}
	if tl.rate == 0 {
		return tl, badRow(-1, "found no rate: neither a time column nor a line such as \"rate,2500\" before the header; add one, or give the rate where the file is brought in")
	}
	if c.frames != nil {
		at, unit, err := c.countFrames()
		if err != nil {
			return tl, err
		}
		tl.rate /= unit
		tl.start = c.frames[0] / unit / tl.rate
		tl.place(at, rows)
	}
	if c.times != nil {
		tl.start = c.times[0]
	}
	return tl, nil
}

// place sets where rows stand; nil for one after the other.
func (tl *timeline) place(at []int, rows int) {
	if at == nil || at[rows-1] == rows-1 {
		tl.at, tl.frames = nil, rows
		return
	}
	tl.at, tl.frames = at, at[rows-1]+1
}

// countFrames returns the frame of each row, 0 for the first, by the frame
// column, and by how much the column rises from frame to frame.
func (c *clock) countFrames() (at []int, unit float64, err error) {
	step := 0
	for i, f := range c.frames {
		if f != math.Trunc(f) || math.Abs(f) > 1<<53 {
			return nil, 0, badRow(i, "found frame number %v where a whole number is needed", f)
		}
		if i == 0 {
			continue
		}
		d := f - c.frames[i-1]
		if d <= 0 {
			return nil, 0, badRow(i, "found frame %v after frame %v; frame numbers must rise", f, c.frames[i-1])
		}
		if d > maxStep {
			return nil, 0, badRow(i, "found frame %v after frame %v, which is too long a gap", f, c.frames[i-1])
		}
		step = gcd(step, int(d))
	}
	step = max(step, 1)
	at = make([]int, len(c.frames))
	for i, f := range c.frames {
		at[i] = int(f-c.frames[0]) / step
	}
	return at, float64(step), nil
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// fromTimes places rows by their stamps. The period is the median step,
// refined; a step of k periods skips k−1 frames. Where the stamps are too
// coarse to count periods by, rows follow the frame column or one another.
func (c *clock) fromTimes(rows int) (timeline, error) {
	for i := 1; i < len(c.times); i++ {
		if c.times[i] < c.times[i-1] {
			return timeline{}, badRow(i, "the time goes back from %v s to %v s; rows must follow one another in time", c.times[i-1], c.times[i])
		}
	}
	at, err := c.places()
	if err != nil {
		return timeline{}, err
	}
	period := c.fit(at)
	if !(period > 0) || math.IsInf(1/period, 0) {
		return timeline{}, badRow(1, "the time stands still at %v s; rows must follow one another in time", c.times[0])
	}
	if low, high, row := c.spread(at, period); high-low > 2*(period+c.tick) {
		return timeline{}, badRow(row, "the time %v s is off a steady rate of %.6g frames a second by more than a frame; a steady rate is needed", c.times[row], 1/period)
	}
	tl := timeline{guessed: c.unsure}
	tl.place(at, rows)
	tl.rate = c.rate(at, period)
	if c.hint > 0 {
		tl.rate, tl.guessed = c.hint, false
		tl.start = c.times[0]
		return tl, nil
	}
	tl.start = c.start(at, tl.rate)
	return tl, nil
}

// places returns the frame of each row, nil for one after the other.
func (c *clock) places() ([]int, error) {
	steps := make([]float64, len(c.times)-1)
	for i := range steps {
		steps[i] = c.times[i+1] - c.times[i]
	}
	slices.Sort(steps)
	median := steps[len(steps)/2]
	for _, rate := range c.stated {
		// A stated rate helps only if it is that of the rows, and not, say, of
		// the camera before every other frame was dropped.
		if p := 1 / rate; p > 2*c.tick && math.Abs(median-p) < p/4+c.tick {
			if at, err := c.count(p); err == nil {
				return at, nil
			}
		}
	}
	period := median
	if median > 0 {
		lo, _ := slices.BinarySearch(steps, median/2)
		hi, _ := slices.BinarySearch(steps, median*1.5)
		sum := 0.0
		for _, s := range steps[lo:hi] {
			sum += s
		}
		period = sum / float64(hi-lo)
	}
	if period > 3*c.tick {
		return c.count(period) // a step is off by a tick at most, less than half a period
	}
	// The stamps are about as coarse as the period: a step of two ticks may be
	// rounding. Trust the frame column; else count, if that leaves out next to
	// nothing; else take every row for the next frame.
	if c.frames != nil {
		if at, unit, err := c.countFrames(); err == nil && unit == 1 {
			return at, nil
		}
	}
	if at, err := c.count(period); err == nil && at[len(at)-1]+1 <= len(at)+len(at)/50 {
		return at, nil
	}
	return nil, nil
}

// count returns the frame of each row when a frame lasts period seconds.
func (c *clock) count(period float64) ([]int, error) {
	at := make([]int, len(c.times))
	for i := 1; i < len(at); i++ {
		step := c.times[i] - c.times[i-1]
		if step <= c.tick && step < period/2 {
			return nil, badRow(i, "the time %v s repeats; rows must follow one another in time", c.times[i])
		}
		k := math.Round(step / period)
		if !(k < maxStep) || float64(at[i-1])+k > maxStep {
			return nil, badRow(i, "the time jumps from %v s to %v s, which is too long a gap", c.times[i-1], c.times[i])
		}
		if k < 1 || math.Abs(step-k*period) > maxJitter*period+c.tick {
			return nil, badRow(i, "the time steps from %v s to %v s, not a whole number of frames at %.6g frames a second; a steady rate is needed", c.times[i-1], c.times[i], 1/period)
		}
		at[i] = at[i-1] + int(k)
	}
	return at, nil
}

// frameOf returns the frame of row i; at nil means row i is frame i.
func frameOf(at []int, i int) float64 {
	if at == nil {
		return float64(i)
	}
	return float64(at[i])
}

// fit returns the period of the straight line through the stamps by least
// squares. Rounding errors of the stamps average out.
func (c *clock) fit(at []int) float64 {
	n := float64(len(c.times))
	var meanK, meanT float64
	for i, t := range c.times {
		meanK += frameOf(at, i) / n
		meanT += (t - c.times[0]) / n
	}
	var kk, kt float64
	for i, t := range c.times {
		k := frameOf(at, i) - meanK
		kk += k * k
		kt += k * (t - c.times[0] - meanT)
	}
	return kt / kk
}

// spread returns the smallest and the largest time by which a stamp is off its
// frame counted from 0 s, and the later of the two rows that are.
func (c *clock) spread(at []int, period float64) (low, high float64, row int) {
	low, high = math.Inf(1), math.Inf(-1)
	for i, t := range c.times {
		off := t - frameOf(at, i)*period
		if off < low {
			low, row = off, i
		}
		if off > high {
			high, row = off, i
		}
	}
	return low, high, row
}

// rate returns the rate that the stamps of a least-squares period mean: a
// stated one or the roundest that explains every stamp to its last digit, else
// that of the period.
func (c *clock) rate(at []int, period float64) float64 {
	fit := 1 / period
	last := len(c.times) - 1
	lasting := frameOf(at, last) * period
	for _, rate := range c.stated {
		// Over the whole file the two drift apart by less than half a frame.
		if math.Abs(lasting*(1-fit/rate)) <= c.tick+period/2 {
			return rate
		}
	}
	// Besides the last digit, a stamp is off by the rounding of float64, and
	// so is its frame's time.
	slack := 8 * 0x1p-52 * (math.Abs(c.times[0]) + math.Abs(c.times[last]))
	for _, unit := range []float64{1, 10, 100, 1000} {
		rate := math.Round(fit*unit) / unit
		if rate <= 0 {
			continue
		}
		if low, high, _ := c.spread(at, 1/rate); high-low <= c.tick+slack {
			return rate
		}
	}
	return fit
}

// start returns the time of frame 0: the first stamp if every other agrees with
// it to the last digit, else the middle of what they say.
func (c *clock) start(at []int, rate float64) float64 {
	low, high, _ := c.spread(at, 1/rate)
	slack := c.tick/2 + 8*0x1p-52*(math.Abs(c.times[0])+math.Abs(c.times[len(c.times)-1]))
	if high-c.times[0] <= slack && c.times[0]-low <= slack {
		return c.times[0]
	}
	return (low + high) / 2
}

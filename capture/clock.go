package capture

import "math"

// A clock is what a file says about when its rows were taken.
type clock struct {
	times    []float64 // stamp of each row, s once finished; nil without a time column
	decimals int       // the most digits after the mark of a stamp
	tick     float64   // what the last written digit of a stamp is worth, s
	frames   []float64 // frame number of each row; nil without a frame column
	stated   []float64 // rates in the preamble
	hint     float64   // the rate to use whatever the file says, 0 for none
	unsure   bool      // the unit of the stamps was guessed
}

// newClock returns a clock for the columns of a header, with room for rows.
func newClock(h *header, rows int) *clock {
	c := &clock{}
	if h.column(timeStamp) >= 0 {
		c.times = make([]float64, 0, rows)
	}
	if h.column(frameNumber) >= 0 {
		c.frames = make([]float64, 0, rows)
	}
	return c
}

// slowest is the lowest rate, in frames a second, that is taken for one when
// the unit of the stamps is not stated.
const slowest = 10

// finish turns the stamps into seconds by their divisor, and takes what else
// tells the rate. A divisor of 0 stands for an unknown unit: of seconds,
// milliseconds and microseconds the one that suits a stated rate, else the
// first that makes at least the slowest rate.
func (c *clock) finish(divisor float64, stated []float64, hint float64) {
	c.stated, c.hint = stated, hint
	if divisor == 0 {
		divisor = 1
		if n := len(c.times); n > 1 {
			rate := float64(n-1) / (c.times[n-1] - c.times[0])
			switch {
			case hint > 0:
				divisor = likelyDivisor(rate, hint)
			case len(stated) > 0:
				divisor = likelyDivisor(rate, stated[0])
			default:
				for divisor < 1e6 && rate*divisor < slowest {
					divisor *= 1e3
					c.unsure = true
				}
			}
		}
	}
	c.tick = math.Pow(10, -float64(c.decimals)) / divisor
	if divisor != 1 {
		for i := range c.times {
			c.times[i] /= divisor
		}
	}
}

// likelyDivisor returns 1, 1e3 or 1e6, whichever brings rate nearest to want.
func likelyDivisor(rate, want float64) float64 {
	best, off := 1.0, math.Inf(1)
	for _, d := range []float64{1, 1e3, 1e6} {
		if o := math.Abs(math.Log(rate * d / want)); o < off {
			best, off = d, o
		}
	}
	return best
}

package kinematics

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

// ErrNoImpact is returned by Fit where the head's path shows no blow.
var ErrNoImpact = errors.New("kinematics: no impact was found: the head's speed never drops as it does on a ball; if there was one, set its time by hand")

// ErrSlow is returned by Fit where impact is to be found in a recording of too few
// frames a second.
var ErrSlow = errors.New("kinematics: too few frames a second to find impact")

// slowestRate is the fewest frames a second from which impact is found: at 500 its
// error is 0.2 ms and values stay within u95, at 400 they do so less often
// (TestSlowRecordings), at 250 lead has a bias of 2 mm.
const slowestRate = 480

// A meeting is where the head point's paths before and after the ball's blow
// meet, and what is known of how long the blow took. Times are in frames from
// the first.
//
// Seen from outside the contact, a blow of any length looks like an instant one
// at its middle. Only frames that fall inside it can tell: they lie off both
// paths by up to 0.09 of the speed lost times the length (0.7 mm for 18 m/s in
// 0.45 ms). So one run often leaves the length open, and several settle it (see
// PoolContact).
type meeting struct {
	at      [lengths]float64 // where the paths meet, for each length: the middle of the contact
	sd      float64          // of that
	contact [lengths]float64 // log likelihood of each length of contact
	rate    float64          // frames a second
	other   []float64        // blows at least half as hard, by falling hardness
}

// What is taken for a ball's blow: the head comes no slower than in a soft chip
// and no faster than any swing (m/s), and loses this much of its speed at least.
// Points that jump make it seem faster.
const (
	slowestHit = 5
	fastestHit = 90
	leastLoss  = 0.1
)

// Lengths of contact that are considered: 0 (an instant blow) to half a
// millisecond.
const (
	lengths     = 21
	longestHit  = 0.5e-3 // s
	lengthsStep = longestHit / (lengths - 1)
)

// contactPrior is how likely each length is before the frames are seen: a
// driver and a ball touch for about 0.45 ms, a little longer for soft balls and
// slow swings (measured electrically by Roberts, Jones and Rothberg, Sports
// Engineering 4:191-203, 2001; the figure from memory); a blow that takes no time
// is as likely, since captures that were simulated have it; one time in ten it
// may be anything between.
var contactPrior = func() (p [lengths]float64) {
	const (
		usual  = 0.45e-3 // s
		spread = 0.03e-3 // s
	)
	var sum float64
	for i := range p {
		z := (float64(i)*lengthsStep - usual) / spread
		p[i] = math.Exp(-z * z / 2)
		sum += p[i]
	}
	for i := range p {
		p[i] = 0.45*p[i]/sum + 0.1/lengths
	}
	p[0] += 0.45
	return p
}()

// contactFrom returns the mean and standard deviation of the contact's length
// in s for the log likelihood.
func contactFrom(log *[lengths]float64) (mean, sd float64) {
	most := math.Inf(-1)
	for _, l := range log {
		most = math.Max(most, l)
	}
	var sum, second, total float64
	for i, l := range log {
		w := contactPrior[i] * math.Exp(l-most)
		d := float64(i) * lengthsStep
		total += w
		sum += w * d
		second += w * d * d
	}
	mean = sum / total
	// Between the lengths of the grid there are others.
	return mean, math.Sqrt(math.Max(0, second/total-mean*mean) + lengthsStep*lengthsStep/12)
}

// middle returns the middle of a contact of the given length, s, in frames.
func (m *meeting) middle(length float64) float64 {
	x := min(max(0, length/lengthsStep), lengths-1)
	j := min(int(x), lengths-2)
	return m.at[j] + (x-float64(j))*(m.at[j+1]-m.at[j])
}

// first returns the instant of first contact, in frames, with its standard
// uncertainty, for a contact of the given length.
func (m *meeting) first(mean, sd float64) (at, u float64) {
	return m.middle(mean) - mean/2*m.rate, math.Hypot(m.sd, sd/2*m.rate)
}

// findMeeting finds the blow in the head point's path, one position a frame
// (NaN where not known): the frame by findBlow, the instant by the paths on either
// side of it, for every length of contact (see blowFit).
func findMeeting(head []r3.Vec, rate float64) (meeting, error) {
	frame, other := findBlow(head, rate)
	if frame < 0 {
		return meeting{}, ErrNoImpact
	}
	b, ok := newBlowFit(head, float64(frame)-0.5, rate)
	if !ok {
		return meeting{}, ErrNoImpact
	}
	at, ok := b.near(float64(frame) - 0.5)
	if !ok {
		return meeting{}, ErrNoImpact
	}
	m := meeting{rate: rate, other: other}
	var left, known [lengths]float64
	for j := range lengths {
		m.at[j], left[j], known[j], ok = b.settle(at, float64(j)*lengthsStep)
		if at = m.at[j]; !ok || math.Abs(at-float64(frame)) > 4 {
			return meeting{}, ErrNoImpact
		}
	}
	likeliest := floats.MinIdx(left[:])
	variance := b.variance(left[likeliest])
	m.sd = math.Sqrt(variance / known[likeliest])
	for j := range m.contact {
		m.contact[j] = -(left[j]/variance + math.Log(known[j])) / 2
	}
	return m, nil
}

// findBlow returns the first frame after the ball's blow began, −1 where there is
// none: that about which the head loses most speed between straight lines of 2 ms
// on either side. other are the places, in frames, of blows at least half as
// hard, by falling hardness.
func findBlow(head []r3.Vec, rate float64) (frame int, other []float64) {
	const (
		window = 0.002 // s
		ring   = 0.04  // s, in which the shaft swings back from a blow
		apart  = 0.1   // s, between two blows: the shaft rings from the first
	)
	n := len(head)
	w := max(3, int(math.Round(window*rate)))
	skip := int(math.Ceil(longestHit * rate))
	drops := make([]float64, n) // speed lost about each frame, 0 where that is no blow
	frame = -1
	for i := w; i+skip+w <= n; i++ {
		// i is the first frame after contact began.
		a, okA := slope(head[i-w:i], rate)
		b, okB := slope(head[i+skip-1:i+skip-1+w], rate)
		if !okA || !okB {
			continue
		}
		speed := r3.Norm(a)
		if drop := speed - r3.Norm(b); speed >= slowestHit && speed <= fastestHit && drop >= leastLoss*speed {
			drops[i] = drop
			if frame < 0 || drop > drops[frame] {
				frame = i
			}
		}
	}
	if frame < 0 {
		return frame, nil
	}
	// Straight lines over three slow frames take the shaft's swinging back for a
	// blow as hard: the blow itself comes before.
	if w > int(math.Round(window*rate)) {
		first := max(0, frame-int(ring*rate))
		for i := first; i < frame; i++ {
			if drops[i] >= drops[frame]/2 && drops[i] > drops[i+1] {
				frame = i
				break
			}
		}
	}
	last := frame
	for least := drops[frame] / 2; ; {
		for i := range drops { // the blow that was found last, with its ringing
			if math.Abs(float64(i-last)) < apart*rate {
				drops[i] = 0
			}
		}
		last = floats.MaxIdx(drops)
		if drops[last] < least {
			return frame, other
		}
		other = append(other, float64(last)-0.5)
	}
}

// fastest tells when the recording begins and ends, and when the head is fastest
// and how fast, for a swing whose impact is to be set by hand; "" where no speed is known.
func fastest(head []r3.Vec, start, rate float64) string {
	const window = 0.002 // s
	w := max(3, int(math.Round(window*rate)))
	best, at := 0.0, -1
	for i := 0; i+w <= len(head); i++ {
		if v, ok := slope(head[i:i+w], rate); ok && r3.Norm(v) > best && r3.Norm(v) <= fastestHit {
			best, at = r3.Norm(v), i+w-1
		}
	}
	if at < 0 {
		return ""
	}
	return fmt.Sprintf("; the recording is of %.4f to %.4f s, and the head is fastest at %.4f s, with %.1f m/s",
		start, start+float64(len(head)-1)/rate, start+float64(at)/rate, best)
}

// PoolContact returns how long club and ball touched, s, found from several
// swings together (see contactPrior for what is believed beforehand). Swings
// whose impact was set by hand tell nothing.
func PoolContact(swings []*Swing) Estimate {
	var log [lengths]float64
	for _, s := range swings {
		for i, l := range s.meeting.contact {
			log[i] += l
		}
	}
	mean, sd := contactFrom(&log)
	return Estimate{mean, coverage * sd}
}

// WithContact returns the swing with first contact as it is for a contact of
// the given length, s: impact and the values there move by less than 0.25 ms,
// along their slopes. A swing whose impact was set by hand, or that has that
// length, is returned as it is.
func (s *Swing) WithContact(length Estimate) *Swing {
	if s.meeting.rate == 0 || s.Contact == length {
		return s
	}
	out := *s
	at, u := s.meeting.first(length.Value, length.U95/coverage)
	out.Impact = Estimate{s.Start + at/s.Rate, coverage * u / s.Rate}
	out.Contact = length
	move := out.Impact.Value - s.Impact.Value
	shift := func(e *Estimate, slope float64) {
		e.Value += slope * move
		// The share of the impact's uncertainty in the value's changes with it.
		late := slope * out.Impact.U95
		was := slope * s.Impact.U95
		e.U95 = math.Sqrt(math.Max(0, e.U95*e.U95-was*was) + late*late)
	}
	shift(&out.AtImpact.Lead, s.slope.Lead)
	shift(&out.AtImpact.Droop, s.slope.Droop)
	shift(&out.AtImpact.Twist, s.slope.Twist)
	shift(&out.AtImpact.LeadAngle, s.slope.LeadAngle)
	shift(&out.AtImpact.DroopAngle, s.slope.DroopAngle)
	shift(&out.AtImpact.HeadSpeed, s.slope.HeadSpeed)
	return &out
}

// slope returns the velocity of a straight line through the points of a path
// at the rate, false where fewer than three are known.
func slope(p []r3.Vec, rate float64) (r3.Vec, bool) {
	var n, st, stt float64
	var s, ts r3.Vec
	for i, q := range p {
		if !math.IsNaN(q.X) {
			t := float64(i)
			n++
			st += t
			stt += t * t
			s = r3.Add(s, q)
			ts = r3.Add(ts, r3.Scale(t, q))
		}
	}
	d := n*stt - st*st
	if n < 3 {
		return r3.Vec{}, false
	}
	return r3.Scale(rate/d, r3.Sub(r3.Scale(n, ts), r3.Scale(st, s))), true
}

// findTop returns the frame in which the head is slowest between 0.6 and 0.12 s
// before impact (at, in frames): where the club turns from the backswing to the
// downswing. It returns −1 where no speed is known there.
func findTop(speed []float64, at, rate float64) int {
	best := -1
	for i := max(0, int(at-0.6*rate)); i < int(at-0.12*rate) && i < len(speed); i++ {
		if !math.IsNaN(speed[i]) && (best < 0 || speed[i] < speed[best]) {
			best = i
		}
	}
	return best
}

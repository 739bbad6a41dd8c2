package kinematics

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

// Options change how a run is fitted; the zero value is right for most.
type Options struct {
	Top, Impact *float64 // events set by hand, s; nil where they are to be found

	// CutOff is the frequency at which the smoothing of the paths passes half,
	// Hz; 0 to let the likelihood choose.
	CutOff float64
	// Before and After are how much of the recording before and after impact is
	// fitted, s; nil for all there is. Events and noise are found from all frames
	// whatever they are.
	Before, After *float64
}

// ErrTooFew is returned by Fit where too little of the club was seen.
var ErrTooFew = errors.New("kinematics: too little of the club was seen to fit it")

// Fit returns the swing of a club from its markers' paths: tracks hold lab
// positions in m at a steady rate, NaN where a marker was not seen, nil for a
// marker never seen; start is the time of the first frame, s. The tracks are
// not changed.
//
// In every frame the pose of the grip and the rod's moments and torques are
// fitted together to all markers (Gauss-Newton on the exact rod). A first pass
// over the raw frames finds the markers' noise, stray points and the impact.
// The markers' paths, seen from a frame that moves smoothly with the club, are
// then smoothed up to impact and, apart from that, after it; the second pass
// fits the smoothed paths, in as many frames as tell of all, and the instant of
// impact from before.
//
// Frames outside the stretch that opt names are NaN in every series.
//
// It returns ErrTooFew, ErrNoImpact, ErrSlow or ErrCutOff, wrapped, or the context's
// error.
func Fit(ctx context.Context, tracks [][]r3.Vec, start, rate float64, ref *Reference, opt Options) (*Swing, error) {
	f := &fit{bentClub: newBentClub(ref), prior: usual.prior(), ref: ref, ctx: ctx, rate: rate, start: start}
	if err := checkCutOff(opt.CutOff, rate); err != nil {
		return nil, err
	}
	if err := f.take(tracks); err != nil {
		return nil, err
	}
	if err := f.firstPass(); err != nil {
		return nil, err
	}
	if err := f.findEvents(opt); err != nil {
		return nil, err
	}
	f.setWindow(opt)
	if n := f.before - f.lo; n < order {
		return nil, fmt.Errorf("%w: the stretch to fit has %d frames before impact, %d are needed", ErrTooFew, n, order)
	}
	f.smoothPaths(opt.CutOff)
	if err := f.learnPrior(); err != nil {
		return nil, err
	}
	return f.secondPass()
}

// A fit is one run on its way to a Swing.
type fit struct {
	*bentClub
	prior       *prior
	ref         *Reference
	ctx         context.Context
	start, rate float64
	n           int         // frames
	y           [][]r3.Vec  // by mark, own copy: stray points are NaN
	left        [][]r3.Vec  // by mark and frame: what the first pass leaves, in the grip's frame, m; NaN where not seen
	given       [][]int32   // by mark and frame: one more than the mark whose label the point bore, 0 where its own
	axial       [][]float64 // by mark and frame: how far along the shaft from where it should be, m
	slid        []Slide
	skews       []Skew
	stray       []int     // by mark: points left out because they were not where the club has them
	sigma       []float64 // by mark: standard deviation of a coordinate in one frame, m
	noise       colour    // of all markers alike
	first       []state   // by frame, of the first pass; unknown pose where not fitted
	residual    []float64 // by frame, of the first pass: root mean square, m
	head        []r3.Vec  // by frame: head point in the lab from the first pass

	top       float64 // frames
	impact    float64 // frames from the first
	impactSD  float64 // frames
	meeting   meeting
	contact   Estimate // s
	before    int      // frames before impact: 0 … before−1
	lo, hi    int      // what is fitted: lo … hi−1, lo ≤ before ≤ hi
	cutOff    float64  // Hz
	paths     [2]paths
	speedFrom headSpeed
}

func (f *fit) take(tracks [][]r3.Vec) error {
	for _, t := range tracks {
		f.n = max(f.n, len(t))
	}
	if f.n < 10 {
		return fmt.Errorf("%w: the recording has %d frames, 10 are needed", ErrTooFew, f.n)
	}
	seen := make([]int, len(f.marks))
	for k, m := range f.marks {
		own := make([]r3.Vec, f.n)
		for i := range own {
			own[i] = nan3
		}
		if m.track < len(tracks) {
			copy(own, tracks[m.track])
		}
		for _, p := range own {
			if !math.IsNaN(p.X) {
				seen[k]++
			}
		}
		f.y = append(f.y, own)
	}
	grip, head := 0, 0
	for k := range f.marks {
		switch {
		case seen[k] < f.n/2:
		case k < f.grips:
			grip++
		case k >= f.heads:
			head++
		}
	}
	if grip < 3 {
		return fmt.Errorf("%w: %d grip markers are seen in half of the frames or more, 3 are needed", ErrTooFew, grip)
	}
	if head < 1 {
		return fmt.Errorf("%w: no head marker is seen in half of the frames", ErrTooFew)
	}
	return nil
}

// each calls do for every frame, or whatever is counted, in runs of so many
// neighbours on several goroutines. Each run starts with a solver as if new, so
// that results do not depend on how many there are. A panic of do goes on in the
// caller, who can recover it.
func (f *fit) each(from, to, run int, do func(s *solver, lo, hi int)) error {
	jobs := make(chan int)
	var wg sync.WaitGroup
	var failed atomic.Pointer[any]
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			s := newSolver(f.bentClub)
			for lo := range jobs {
				func() {
					defer func() {
						if v := recover(); v != nil {
							failed.Store(&v)
						}
					}()
					s.renew()
					do(s, lo, min(lo+run, to))
				}()
			}
		})
	}
	for lo := from; lo < to && f.ctx.Err() == nil && failed.Load() == nil; lo += run {
		jobs <- lo
	}
	close(jobs)
	wg.Wait()
	if v := failed.Load(); v != nil {
		panic(*v)
	}
	return f.ctx.Err()
}

func (f *fit) findEvents(opt Options) error {
	if opt.Impact != nil {
		f.contact = Estimate{math.NaN(), math.NaN()}
		f.impact, f.impactSD = (*opt.Impact-f.start)*f.rate, 0.5/math.Sqrt(3)
		if f.impact < 10 || f.impact > float64(f.n-1) {
			return fmt.Errorf("kinematics: impact set by hand at %.4f s lies outside the recording", *opt.Impact)
		}
	} else {
		if f.rate < slowestRate {
			return fmt.Errorf("%w: %.6g, where 500 are needed; if its time is known, set it by hand", ErrSlow, f.rate)
		}
		m, err := findMeeting(f.head, f.rate)
		if err != nil {
			return fmt.Errorf("%w%s", err, fastest(f.head, f.start, f.rate))
		}
		f.meeting = m
		mean, sd := contactFrom(&m.contact)
		f.contact = Estimate{mean, coverage * sd}
		f.impact, f.impactSD = m.first(mean, sd)
	}
	f.before = int(math.Ceil(f.impact))
	if f.meeting.rate > 0 { // whatever the contact's length, no frame in it may count as before
		f.before = int(math.Ceil(f.meeting.middle(f.contact.Value) - longestHit/2*f.rate))
	}
	f.setPlaces(f.before)
	f.setNoise(f.before)
	f.noise = f.colour(f.before)
	f.speedFrom = newHeadSpeed(f.head, f.before, f.rate, f.noise, opt.CutOff)
	if opt.Top != nil {
		f.top = (*opt.Top - f.start) * f.rate
		if !(f.top >= 0 && f.top < f.impact) {
			return fmt.Errorf("kinematics: top set by hand at %.4f s lies outside the recording or after impact", *opt.Top)
		}
	} else if i := findTop(f.speedFrom.speed, f.impact, f.rate); i >= 0 {
		f.top = float64(i)
	} else {
		f.top = math.NaN()
	}
	return nil
}

// learnPrior sets the widths of the prior by frames between top and impact.
func (f *fit) learnPrior() error {
	const frames = 40
	from := f.before - int(0.3*f.rate)
	if !math.IsNaN(f.top) {
		from = int(f.top)
	}
	from = min(max(f.lo, from), f.before-1)
	found := make([]evidence, frames)
	err := f.each(0, frames, 1, func(s *solver, lo, hi int) {
		y, w := make([]r3.Vec, len(f.marks)), make([]float64, len(f.marks))
		prior := *f.prior
		for j := lo; j < hi; j++ {
			i := from + (f.before-1-from)*j/(frames-1)
			if !f.first[i].pose.Known() {
				continue
			}
			st := f.smoothed(i, y, w)
			prior.bend(&st.amp)
			s.renew()
			if !s.solve(&st, y, w, &prior, fine) {
				continue
			}
			if e, ok := s.evidence(&st, &prior); ok {
				found[j] = e
			}
		}
	})
	if err != nil {
		return err
	}
	found = slices.DeleteFunc(found, func(e evidence) bool { return !e.some })
	if len(found) >= frames/2 {
		f.prior = fitBelief(found).prior()
	}
	return nil
}

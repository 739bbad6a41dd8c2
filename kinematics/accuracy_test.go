package kinematics_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"
)

var (
	accuracyRuns = flag.Int("accuracy", 0, "print the accuracy and coverage tables over this many simulated runs a row")
	accuracyFrom = flag.Int("accuracyfrom", 0, "seed of the first of them")
)

// A condition is a row of the accuracy table.
type condition struct {
	name  string
	noise sampledata.Noise
	wave  float64 // error of the stiffness table, as a share
	known bool    // the stiffness is known at all
}

var conditions = []condition{
	{"0.02 mm", sampledata.Noise{White: 0.02e-3}, 0, true},
	{"0.2 mm", sampledata.Noise{White: 0.2e-3}, 0, true},
	{"0.2 mm, no bench", sampledata.Noise{White: 0.2e-3}, 0, false},
	{"0.4 mm", sampledata.Noise{White: 0.4e-3}, 0, true},
	{"0.1 mm and wander", sampledata.Noise{White: 0.1e-3, Wander: 0.12e-3, Time: 4e-3}, 0, true},
	{"0.2 mm, EI ±7 %", sampledata.Noise{White: 0.2e-3}, 0.07, true},
}

// TestAccuracyTable prints what DEVELOPERS.md states:
//
//	go test ./kinematics -run AccuracyTable -v -accuracy 200
func TestAccuracyTable(t *testing.T) {
	if *accuracyRuns == 0 {
		t.Skip("run with -accuracy N")
	}
	type row struct {
		what  string
		scale float64
	}
	rows := []row{{"lead mm", 1e3}, {"droop mm", 1e3}, {"twist deg", deg}, {"lead angle deg", deg}, {"droop angle deg", deg}, {"head speed m/s", 1}, {"kick speed m/s", 1}, {"impact ms", 1e3}, {"series lead mm", 1e3}, {"series droop mm", 1e3}, {"series twist deg", deg}}
	fmt.Printf("%-18s", "")
	for _, r := range rows {
		fmt.Printf(" %-16s", r.what)
	}
	fmt.Println()
	for _, c := range conditions {
		scores := make([]score, len(rows))
		var mu sync.Mutex
		var wg sync.WaitGroup
		seeds := make(chan int)
		for range runtime.GOMAXPROCS(0) {
			wg.Go(func() {
				for seed := range seeds {
					sw, truth, err := c.run(uint64(seed))
					mu.Lock()
					if err != nil {
						t.Errorf("%s, seed %d: %v", c.name, seed, err)
						mu.Unlock()
						continue
					}
					a := sw.AtImpact
					for i, v := range []struct {
						e     kinematics.Estimate
						truth float64
					}{{a.Lead, truth.Lead}, {a.Droop, truth.Droop}, {a.Twist, truth.Twist}, {a.LeadAngle, truth.LeadAngle}, {a.DroopAngle, truth.DroopAngle}, {a.HeadSpeed, truth.HeadSpeed}, {a.KickSpeed, truth.KickSpeed}, {sw.Impact, truth.Impact}} {
						scores[i].add(v.e, v.truth, rows[i].scale)
					}
					for j := 0; j < len(truth.Frames); j += 7 {
						f := truth.Frames[j]
						if f.Time < truth.Top || f.Time >= truth.Impact || math.IsNaN(sw.Lead.Value[j]) {
							continue
						}
						for i, v := range []struct {
							s     kinematics.Series
							truth float64
						}{{sw.Lead, f.Lead}, {sw.Droop, f.Droop}, {sw.Twist, f.Twist}} {
							scores[8+i].add(kinematics.Estimate{Value: v.s.Value[j], U95: v.s.U95[j]}, v.truth, rows[8+i].scale)
						}
					}
					mu.Unlock()
				}
			})
		}
		for seed := range *accuracyRuns {
			seeds <- *accuracyFrom + seed
		}
		close(seeds)
		wg.Wait()
		// Root mean square error, share inside u95 (%), mean u95 over rms.
		fmt.Printf("%-18s", c.name)
		for i := range scores {
			s := &scores[i]
			fmt.Printf(" %5.3f %3.0f%% %4.1f ", s.rms(), 100*float64(s.inside)/float64(s.all), s.u/float64(s.all)/s.rms())
		}
		fmt.Println()
	}
}

// run fits one simulated capture of the condition.
func (c condition) run(seed uint64) (*kinematics.Swing, sampledata.Truth, error) {
	rng := rand.New(rand.NewPCG(seed, 7))
	cfg := sampledata.RandomConfig(rng)
	c.noise.Dropouts = cfg.Noise.Dropouts
	cfg.Noise, cfg.Wave.Size = c.noise, c.wave
	cap := sampledata.Simulate(cfg, rng)
	shaft := cfg.Club.Shaft
	if !c.known {
		shaft.Station, shaft.EI, shaft.GJ = nil, nil, nil
	}
	ref, err := kinematics.NewReference(tracks(sampledata.Reference(cfg.Club, cfg.Noise, rng)), markers(cfg.Club.Markers), shaft, cfg.Club.Hand)
	if err != nil {
		return nil, cap.Truth, err
	}
	sw, err := kinematics.Fit(context.Background(), tracks(cap.Recording), 0, cap.Recording.Rate(), ref, kinematics.Options{})
	return sw, cap.Truth, err
}

package report

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"bendline/app/study"
	"bendline/capture"
	"bendline/kinematics"
	"bendline/sampledata"
)

// A scenario is the size and the names of a made-up study.
type scenario struct {
	players, clubs, runs int  // runs of each player with each club
	long                 bool // long names
	stiffness            bool
	bare                 bool // neither bench sheets nor diameters
	broken               int  // runs that fail, and as many excluded
	gain                 float64
	names                []string // of clubs, players and runs, in turn, in place of the plain ones
}

// demo is an analysis of two runs of the demo: what made-up runs cannot have,
// the fitted rod and bench sheets, is taken from it.
var demo = sync.OnceValue(func() *study.Analysis {
	dir, err := os.MkdirTemp("", "bendline-report-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	s := sampledata.Demo()
	s.Runs = slices.DeleteFunc(s.Runs, func(r sampledata.Run) bool { return r.ID != "a-base-1" && r.ID != "a-proto-1" })
	if err := s.Write(context.Background(), dir, nil); err != nil {
		panic(err)
	}
	st, err := study.Open(filepath.Join(dir, "study.json"))
	if err != nil {
		panic(err)
	}
	a, err := study.Analyze(context.Background(), st, nil)
	if err != nil {
		panic(err)
	}
	return a
})

// make returns an analysis of smooth curves with noise, and its comparison of
// the first two clubs, nil where there is only one.
func (sc scenario) make() (*study.Analysis, *study.Comparison) {
	rng := rand.New(rand.NewPCG(1, uint64(sc.players*100+sc.clubs)))
	s := &study.Study{Title: "Softer tip section against the current model (simulated)", World: study.World{Up: "+z", Target: "-x"}}
	if sc.long {
		s.Title += ", second session of the spring series with the reworked grip cluster and the long list of conditions that go with it in this laboratory"
	}
	for i := range sc.clubs {
		c := study.Club{ID: fmt.Sprintf("club%d", i), Label: fmt.Sprintf("Prototype %c", 'A'+i-1), Role: study.Prototype,
			Shaft:   kinematics.Shaft{Length: 1.13},
			Markers: capture.MarkerSet{Grip: make([]string, 4), Shaft: make([]capture.ShaftMarker, 8), Head: make([]string, 4)}}
		if i == 0 {
			c.Label, c.Role = "Baseline", study.Baseline
		}
		if sc.long {
			c.Label += " with the long working name of a shaft from the pilot line, batch 2024-0711"
		}
		if sc.stiffness {
			c.Shaft.Station, c.Shaft.EI, c.Shaft.GJ = []float64{0, 1.13}, []float64{60, 60}, []float64{30, 30}
		}
		if !sc.bare {
			like := demo().Study.Clubs[i%2]
			c.ButtDiameter, c.TipDiameter, c.Bench, c.Spec = like.ButtDiameter, like.TipDiameter, like.Bench, like.Spec
		}
		if len(sc.names) > 0 {
			c.Label = sc.names[i%len(sc.names)]
		}
		s.Clubs = append(s.Clubs, c)
	}
	a := &study.Analysis{Study: s}
	for p := range sc.players {
		pl := study.Player{ID: fmt.Sprintf("p%d", p+1), Label: fmt.Sprintf("P%d", p+1)}
		if sc.long {
			pl.Label = fmt.Sprintf("Player number %d of the second group, µ-cohort", p+1)
		}
		if len(sc.names) > 0 {
			pl.Label = sc.names[(p+1)%len(sc.names)]
		}
		s.Players = append(s.Players, pl)
		own := 4 * rng.NormFloat64()
		for c := range sc.clubs {
			for k := range sc.runs {
				run := study.Run{ID: fmt.Sprintf("%s-club%d-%d", pl.ID, c, k+1), Club: s.Clubs[c].ID, Player: pl.ID}
				if sc.long {
					run.ID = "2024-07-11-session-2-" + run.ID
				}
				if len(sc.names) > 0 {
					run.ID = sc.names[(p+c+k)%len(sc.names)] + " " + run.ID
				}
				r := &study.Result{Run: run, Capture: demo().Results[0].Capture}
				r.Swing = sc.swing(rng, own+sc.gain*float64(c)+1.5*rng.NormFloat64(), 1+0.05*float64(c))
				if rng.IntN(6) == 0 {
					r.Flags = []capture.Flag{{Code: capture.Gap, Marker: "S03", From: 0.41, To: 0.43, Detail: "not seen for 20 ms"},
						{Code: capture.Gap, Marker: "S05", From: 0.5, To: 0.51}, {Code: capture.UnitGuessed, Detail: "no unit stated; mm taken from the size of the numbers"}}
				}
				n := len(a.Results)
				if n < 2*sc.broken {
					if n%2 == 0 {
						r.Err, r.Swing = errors.New("kinematics: no impact found: the head never slows by more than 10 % in a frame; set events.impact by hand"), nil
					} else {
						r.Run.Excluded = "mishit, toe strike"
					}
				}
				s.Runs = append(s.Runs, r.Run)
				a.Results = append(a.Results, r)
			}
		}
	}
	if sc.clubs < 2 {
		return a, nil
	}
	c, err := study.Compare(a, "", "")
	if err != nil && 2*sc.broken < len(a.Results) {
		panic(err)
	}
	return a, c
}

// swing returns a run with the given lead at impact, mm. Its rod is that of a
// fitted run.
func (sc scenario) swing(rng *rand.Rand, lead, bend float64) *kinematics.Swing {
	like := *demo().Results[0].Swing
	s := &like
	n := s.Frames()
	impact := s.Impact.Value + 0.0002*rng.Float64()
	s.Impact = kinematics.Estimate{Value: impact, U95: 0.00012}
	wave := func(at, scale, shape float64) kinematics.Series {
		v, u := make([]float64, n), make([]float64, n)
		for i := range v {
			t := s.Time(i) - impact
			v[i] = scale * (at*math.Exp(-t*t/(2*0.02*0.02)) - shape*math.Exp(-(t+0.12)*(t+0.12)/(2*0.05*0.05)) + 0.2*rng.NormFloat64()*math.Abs(at)/30)
			u[i] = scale * 0.8
			if t > 0 {
				v[i] = scale * -1000 // must never be drawn
			}
		}
		return kinematics.Series{Value: v, U95: u}
	}
	est := func(v, u float64) kinematics.Estimate {
		return kinematics.Estimate{Value: v, U95: u * (0.8 + 0.4*rng.Float64())}
	}
	mm, deg := 1e-3, math.Pi/180
	lead += 28
	droop, twist := 17+rng.NormFloat64(), 1.1+0.2*rng.NormFloat64()
	s.Lead, s.Droop, s.Twist = wave(lead, mm, 45), wave(droop, mm, 8), wave(twist, deg, 2.2)
	s.LeadAngle, s.DroopAngle = wave(3.6, deg, 4), wave(2, deg, 1)
	s.HeadSpeed, s.KickSpeed = wave(46, 1, 0), wave(3, 1, 0)
	s.AtImpact = kinematics.Readout{
		Lead: est(lead*mm, 0.9*mm), Droop: est(droop*mm, 1.1*mm), Twist: est(twist*deg, 0.2*deg),
		LeadAngle: est((3.1+0.1*lead)*deg/2, 0.1*deg), DroopAngle: est(2*deg+0.1*deg*rng.NormFloat64(), 0.1*deg),
		HeadSpeed: est(46+rng.NormFloat64(), 0.2), KickSpeed: est(3+0.3*rng.NormFloat64(), 0.25),
	}
	s.RMS = (0.2 + 0.1*rng.Float64()) * mm
	p := kinematics.Profile{}
	add := func(to *kinematics.Series, v float64) {
		to.Value, to.U95 = append(to.Value, v), append(to.U95, 0.05*math.Abs(v))
	}
	var leadMoment, droopMoment kinematics.Series
	for i := range 57 {
		x := 1.13 * float64(i) / 56
		p.Station = append(p.Station, x)
		ei := 75 - 55*x/1.13
		m := (9*x*math.Exp(-x*2.2) - 3*x*x) * bend * (1 + 0.05*rng.NormFloat64())
		add(&leadMoment, m)
		add(&droopMoment, -m*0.6)
		add(&p.LeadCurvature, m/ei)
		add(&p.DroopCurvature, -0.6*m/ei)
	}
	if sc.stiffness {
		p.LeadMoment, p.DroopMoment = &leadMoment, &droopMoment
	}
	s.Bend = p
	return s
}

var (
	small  = scenario{players: 1, clubs: 2, runs: 5, stiffness: true, gain: 4}
	medium = scenario{players: 3, clubs: 2, runs: 4, stiffness: true, broken: 1, gain: 4}
	large  = scenario{players: 12, clubs: 6, runs: 3, long: true, broken: 12, gain: 0.2}
	alone  = scenario{players: 2, clubs: 1, runs: 3, bare: true}

	scenarios = map[string]scenario{
		"small": small, "medium": medium, "large": large, "alone": alone,
		"one run":  {players: 1, clubs: 1, runs: 1},
		"one each": {players: 1, clubs: 2, runs: 1, stiffness: true, gain: 4},
		"no run":   {players: 2, clubs: 2, runs: 2, broken: 4},
		"names":    {players: 12, clubs: 6, runs: 2, stiffness: true, broken: 3, names: names40},
	}

	// names40 are names of 40 characters in several scripts.
	names40 = []string{
		"Opytnyj-sterzhen’-nomer-semnadcat’-vesna",
		"Опытный стержень номер семнадцать, весна",
		"Πειραματικός άξονας αριθμός δεκαεπτά ΑΒΓ",
		"試作シャフト十七番春季試験用柔らかい先端部補強なし二層巻き高弾性糸使用品甲乙",
		"فرعون الرمح التجريبي رقم سبعة عشر للربيع",
		"פיר ניסיוני מספר שבע עשרה לאביב גרסה שני",
		"WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
	}

	options = Options{Date: time.Date(2025, 3, 14, 9, 30, 0, 0, time.UTC), Version: "0.1.0"}
)

// decks are those made so far; they are not changed.
var decks = map[string]*Deck{}

func deckOf(t *testing.T, sc scenario) *Deck {
	t.Helper()
	key := fmt.Sprint(sc)
	if d := decks[key]; d != nil {
		return d
	}
	a, c := sc.make()
	d, err := New(a, c, options)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Slides) == 0 {
		t.Fatal("no slides")
	}
	decks[key] = d
	return d
}

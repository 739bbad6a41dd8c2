package study

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
	"bendline/sampledata"
)

// A specimen is a simulated capture with its club hanging.
type specimen struct {
	club *Club
	hang *kinematics.Reference
	rec  *capture.Recording
}

func newSpecimen(t testing.TB, seed uint64, change func(*sampledata.Config)) specimen {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 11))
	cfg := sampledata.RandomConfig(rng)
	if change != nil {
		change(&cfg)
	}
	c := &Club{ID: "x", Hand: cfg.Club.Hand, Shaft: cfg.Club.Shaft, Markers: cfg.Club.Markers}
	hang, err := newReference(sampledata.Reference(cfg.Club, sampledata.Noise{White: 0.1e-3}, rng), c)
	if err != nil {
		t.Fatal(err)
	}
	return specimen{c, hang, sampledata.Simulate(cfg, rng).Recording}
}

// A mess is a capture made worse, and which marker each of its tracks is in
// truth: "" for none.
type mess struct {
	names  []string
	tracks [][]r3.Vec
	is     map[string]string
}

func (m *mess) add(name, is string, track []r3.Vec) {
	m.names, m.tracks = append(m.names, name), append(m.tracks, track)
	m.is[name] = is
}

func (m *mess) recording(t testing.TB, like *capture.Recording) *capture.Recording {
	t.Helper()
	r, err := capture.NewRecording(like.Start(), like.Rate(), m.names, m.tracks, capture.Origin{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// renamed returns the capture with other names, the tracks in another order.
func renamed(rec *capture.Recording, rng *rand.Rand, name func(i int, was string) string) *mess {
	m := &mess{is: map[string]string{}}
	for i, k := range rng.Perm(len(rec.Markers())) {
		was := rec.Markers()[k]
		m.add(name(i, was), was, rec.Track(was))
	}
	return m
}

// inPieces returns the capture cut into nameless pieces, some of them short,
// with strays among them that go along with the club.
func inPieces(rec *capture.Recording, rng *rand.Rand) *mess {
	m := &mess{is: map[string]string{}}
	n := rec.Frames()
	next := func() string { return fmt.Sprintf("*%d", len(m.names)+1) }
	for _, was := range rec.Markers() {
		path := rec.Track(was)
		for f := 0; f < n; {
			l := 200 + rng.IntN(n)
			if rng.IntN(4) == 0 && f > 0 {
				l = 1 + rng.IntN(4)
			}
			track := slices.Repeat([]r3.Vec{unseen}, n)
			copy(track[f:min(n, f+l)], path[f:min(n, f+l)])
			m.add(next(), was, track)
			f += l
		}
	}
	for range 8 {
		path := rec.Track(rec.Markers()[rng.IntN(len(rec.Markers()))])
		off := r3.Vec{X: 0.3 * rng.NormFloat64(), Y: 0.3 * rng.NormFloat64(), Z: 0.3 * rng.NormFloat64()}
		track := slices.Repeat([]r3.Vec{unseen}, n)
		from := rng.IntN(n)
		for f := from; f < min(n, from+20+rng.IntN(n)); f++ {
			track[f] = r3.Add(path[f], off)
		}
		m.add(next(), "", track)
	}
	return m
}

// labelled puts the labels of a capture right.
func (s specimen) labelled(t testing.TB, rec *capture.Recording) (*capture.Recording, Labels) {
	t.Helper()
	rec, labels, err := byName(rec, s.club)
	if err == nil {
		rec, labels, err = byPlace(rec, s.club, s.hang, labels, capture.Hints{})
	}
	if err != nil {
		t.Fatal(err)
	}
	return rec, labels
}

// Labels removed, shuffled, cut, exchanged and spelt otherwise are put right.
func TestLabels(t *testing.T) {
	cycle := func(names ...string) func(i int, was string) string {
		return func(_ int, was string) string {
			if i := slices.Index(names, was); i >= 0 {
				return names[(i+1)%len(names)]
			}
			return was
		}
	}
	for _, c := range []struct {
		name   string
		mess   func(rec *capture.Recording, rng *rand.Rand) *mess
		whole  float64 // least share of the points that come back
		how    How     // of S05
		called string  // the flags say
	}{
		{"numbered", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, func(i int, _ string) string { return fmt.Sprintf("U%03d", i+1) })
		}, 1, ByPlace, "19 markers known by place"},
		{"in nameless pieces with strays", inPieces, 0.97, ByPlace, "known by place"},
		{"two of the shaft exchanged", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, cycle("S05", "S06"))
		}, 1, ByPlace, "S05 is S06"},
		{"three of all parts in each other's place", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, cycle("G2", "S05", "H3"))
		}, 1, ByPlace, "S05 is H3"},
		{"spelt otherwise", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, func(_ int, was string) string {
				return "Driver:" + map[byte]string{'G': "grip_", 'S': "Shaft ", 'H': "head-"}[was[0]] + strings.TrimLeft(was[1:], "0")
			})
		}, 1, BySpelling, "19 markers known by their names, spelt otherwise"},
		{"one nameless", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, func(_ int, was string) string {
				if was == "S05" {
					return "*12"
				}
				return was
			})
		}, 1, ByPlace, "S05 is *12"},
		{"as it is", func(rec *capture.Recording, rng *rand.Rand) *mess {
			return renamed(rec, rng, func(_ int, was string) string { return was })
		}, 1, ByName, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(4) {
				s := newSpecimen(t, seed, nil)
				m := c.mess(s.rec, rand.New(rand.NewPCG(seed, 5)))
				was := m.recording(t, s.rec)
				rec, labels := s.labelled(t, was)
				right, all := 0, 0
				for _, name := range s.club.Markers.Names() {
					truth, got := s.rec.Track(name), rec.Track(name)
					for f, p := range truth {
						if p.X != p.X {
							if got != nil && got[f].X == got[f].X {
								t.Fatalf("seed %d: %s is seen in frame %d, where it was not", seed, name, f)
							}
							continue
						}
						all++
						switch {
						case got == nil || got[f].X != got[f].X:
						case got[f] == p:
							right++
						default:
							t.Fatalf("seed %d: %s is another point in frame %d", seed, name, f)
						}
					}
				}
				if share := float64(right) / float64(all); share < c.whole {
					t.Errorf("seed %d: %.3f of the points came back", seed, share)
				}
				i := slices.IndexFunc(labels, func(l Label) bool { return l.Marker == "S05" })
				if l := labels[i]; l.How != c.how || !l.Used || l.Sure < surely {
					t.Errorf("seed %d: %+v", seed, l)
				}
				said := fmt.Sprint(append(labelFlags(labels), placeFlags(labels)...))
				if c.called == "" && (said != "[]" || rec != was && fmt.Sprint(rec.Markers()) != fmt.Sprint(was.Markers())) || !strings.Contains(said, c.called) {
					t.Errorf("seed %d: said %s", seed, said)
				}
			}
		})
	}
}

// What a label says of its sureness is the share of such labels that are right,
// over captures in which places tell less: noise of 0.5 to 3 mm, clusters that
// are nearly their own mirror images, and phantoms close by the markers.
func TestLabelsAreAsSureAsTheySay(t *testing.T) {
	type bin struct {
		from, to float64
		n, right int
		sure     float64
	}
	bins := []bin{{from: 0.5, to: 0.8}, {from: 0.8, to: 0.95}, {from: 0.95, to: 1.01}}
	for seed := range uint64(15) {
		rng := rand.New(rand.NewPCG(seed, 77))
		s := newSpecimen(t, 1000+seed, func(cfg *sampledata.Config) {
			cfg.Noise = sampledata.Noise{White: 0.5e-3 + 2.5e-3*rng.Float64(), Dropouts: 5}
			alike := 0.006 * rng.Float64() // how far from a mirror image
			if seed%3 == 0 {
				alike = 0
			}
			g := cfg.Club.Grip
			g[1], g[2] = r3.Vec{X: -0.025, Y: 0.035, Z: 0.015 + alike/2}, r3.Vec{X: -0.025, Y: -0.035, Z: 0.015 - alike/2}
			g[0].Y, g[3].Y = alike/2, -alike/2
			h := cfg.Club.Head
			h[0], h[1] = r3.Vec{X: 0.018, Y: 0.015 + alike, Z: 0.03}, r3.Vec{X: 0.018, Y: 0.085, Z: 0.03 + alike}
			h[2], h[3] = r3.Vec{X: -0.05, Y: 0.02 + alike, Z: 0.02}, r3.Vec{X: -0.05, Y: 0.08, Z: 0.02}
		})
		m := inPieces(s.rec, rng)
		for range 12 { // phantoms close by a marker for a while, as a reflection makes
			path := s.rec.Track(s.rec.Markers()[rng.IntN(len(s.rec.Markers()))])
			off := r3.Vec{X: 0.012 * rng.NormFloat64(), Y: 0.012 * rng.NormFloat64(), Z: 0.012 * rng.NormFloat64()}
			track := slices.Repeat([]r3.Vec{unseen}, len(path))
			from := rng.IntN(len(path))
			for f := from; f < min(len(path), from+1+rng.IntN(400)); f++ {
				track[f] = r3.Add(path[f], off)
			}
			m.add(fmt.Sprintf("*%d", len(m.names)+1), "", track)
		}
		_, labels := s.labelled(t, m.recording(t, s.rec))
		for _, l := range labels {
			for k := range bins {
				if b := &bins[k]; l.How == ByPlace && len(l.Names) > 0 && l.Sure >= b.from && l.Sure < b.to {
					// A marker counts as right if most of its pieces are.
					right := 0
					for _, name := range l.Names {
						if m.is[name] == l.Marker {
							right++
						}
					}
					b.n++
					b.sure += l.Sure
					if 2*right > len(l.Names) {
						b.right++
					}
				}
			}
		}
	}
	for _, b := range bins {
		if b.n == 0 {
			continue
		}
		n := float64(b.n)
		sure, right := b.sure/n, float64(b.right)/n
		t.Logf("%.2f to %.2f: %d labels, %.3f sure, %.3f right", b.from, b.to, b.n, sure, right)
		// Three standard deviations of the share of n draws, and its own rule of
		// two: labels of one capture are right or wrong together.
		if within := 3 * math.Sqrt(2*math.Max(sure*(1-sure), 0.01)/math.Max(1, n)); b.n > 20 && math.Abs(sure-right) > within+0.05 {
			t.Errorf("labels %.3f sure are right in %.3f of %d cases", sure, right, b.n)
		}
	}
}

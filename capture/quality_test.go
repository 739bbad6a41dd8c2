package capture

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// inspected returns the flags of five swinging markers after spoil has had its
// way with them, one a line.
func inspected(t *testing.T, origin Origin, spoil func(tracks map[string][]r3.Vec)) []string {
	t.Helper()
	names := []string{"G1", "G2", "S1", "S2", "H1"}
	tracks := swing(len(names), 1000)
	byName := make(map[string][]r3.Vec)
	for i, name := range names {
		byName[name] = tracks[i]
	}
	spoil(byName)
	r, err := NewRecording(2, 1000, names, tracks, origin)
	if err != nil {
		t.Fatal(err)
	}
	set := MarkerSet{Grip: []string{"G1", "G2"}, Shaft: []ShaftMarker{{Name: "S1"}, {Name: "S2"}}, Head: []string{"H1"}}
	var got []string
	for _, f := range Inspect(r, set) {
		got = append(got, fmt.Sprintf("%s %s %.3f-%.3f: %s", f.Code, f.Marker, f.From, f.To, f.Detail))
	}
	return got
}

func hide(track []r3.Vec, frames ...int) {
	for _, f := range frames {
		track[f] = unseen
	}
}

func span(from, to int) []int {
	var list []int
	for f := from; f < to; f++ {
		list = append(list, f)
	}
	return list
}

func TestInspect(t *testing.T) {
	for _, test := range []struct {
		name   string
		origin Origin
		spoil  func(map[string][]r3.Vec)
		want   []string
	}{
		{"clean", Origin{}, func(map[string][]r3.Vec) {}, nil},
		{"guesses", Origin{Unit: Millimetre, UnitGuessed: true, RateGuessed: true}, func(map[string][]r3.Vec) {}, []string{
			"unit_guessed  0.000-0.000: the file states no unit of length; mm was taken from the size of the numbers",
			"rate_guessed  0.000-0.000: the file does not say for certain how many frames a second it has; 1000 is a guess",
		}},
		{"a gap", Origin{}, func(m map[string][]r3.Vec) { hide(m["S1"], span(100, 106)...) }, []string{
			"gap S1 2.100-2.105: marker S1 is missing for 6 frames",
		}},
		{"gaps near one another", Origin{}, func(m map[string][]r3.Vec) { hide(m["S1"], append(span(100, 103), span(108, 112)...)...) }, []string{
			"gap S1 2.100-2.111: marker S1 is missing in 7 of 12 frames",
		}},
		{"gaps apart", Origin{}, func(m map[string][]r3.Vec) { hide(m["S1"], append(span(100, 110), span(116, 126)...)...) }, []string{
			"gap S1 2.100-2.109: marker S1 is missing for 10 frames",
			"gap S1 2.116-2.125: marker S1 is missing for 10 frames",
		}},
		{"dropouts", Origin{}, func(m map[string][]r3.Vec) {
			for f := 0; f < 1000; f += 10 {
				hide(m["S1"], f)
				hide(m["G2"], f+3, f+4)
			}
		}, []string{"gap  0.000-0.000: 200 short dropouts of up to 5 frames in 2 markers, 6 % of all positions"}},
		{"many gaps", Origin{}, func(m map[string][]r3.Vec) {
			for f := 0; f < 900; f += 50 {
				hide(m["H1"], span(f, f+20)...)
			}
		}, []string{"gap H1 2.000-2.869: marker H1 is missing for 360 frames in 18 gaps"}},
		{"empty frames", Origin{Skipped: 1}, func(m map[string][]r3.Vec) {
			for _, track := range m {
				hide(track, 7, 500)
			}
		}, []string{"gap  2.007-2.500: 2 frames without any marker, 1 of them absent from the file"}},
		{"never seen", Origin{}, func(m map[string][]r3.Vec) { hide(m["S2"], span(0, 1000)...) }, []string{
			"marker_missing S2 0.000-0.000: marker S2 is in the file but never seen",
		}},
		{"frozen", Origin{}, func(m map[string][]r3.Vec) {
			for f := 201; f < 250; f++ {
				m["S2"][f] = m["S2"][200]
			}
		}, []string{"frozen S2 2.200-2.249: marker S2 stands still for 50 frames while the others move"}},
		{"frozen within the last digit", Origin{}, func(m map[string][]r3.Vec) {
			for f := 201; f < 250; f++ {
				m["S2"][f] = r3.Add(m["S2"][200], r3.Vec{Y: 1e-7 * float64(f%2)})
			}
		}, []string{"frozen S2 2.200-2.249: marker S2 stands still for 50 frames while the others move"}},
		{"all at rest", Origin{}, func(m map[string][]r3.Vec) {
			for _, track := range m {
				for f := range 50 {
					track[f] = track[50]
				}
			}
		}, nil},
		{"repeated frames", Origin{}, func(m map[string][]r3.Vec) {
			for _, track := range m {
				track[300], track[301], track[350] = track[299], track[299], track[349]
			}
			hide(m["S1"], 299, 300, 301)
		}, []string{
			"gap  0.000-0.000: 1 short dropout of up to 5 frames in 1 marker, 0.06 % of all positions",
			"frozen  2.300-2.350: 3 frames in which every marker stands exactly where it did one frame before, while the club moves",
		}},
		{"damaged file", Origin{Flags: []Flag{{Code: Gap, From: 3, To: 4, Detail: "the file breaks off"}}}, func(map[string][]r3.Vec) {}, []string{
			"gap  3.000-4.000: the file breaks off",
		}},
		{"exchanged labels", Origin{}, func(m map[string][]r3.Vec) {
			for f := 400; f < 440; f++ {
				m["S2"][f], m["G1"][f] = m["G1"][f], m["S2"][f]
			}
		}, []string{"label_swap G1 2.400-2.439: the labels G1 and S2 are exchanged for 40 frames"}},
		{"a marker of two", Origin{}, func(m map[string][]r3.Vec) {
			for f := 400; f < 404; f++ {
				m["S2"][f].Y += 0.05
				m["S2"][f+6].Y -= 0.05
			}
		}, []string{"label_swap S1 2.400-2.409: the distance of S1 and S2 is off by up to 50 mm in 8 of 10 frames; one of them is not in its place"}},
		{"coarse numbers", Origin{}, func(m map[string][]r3.Vec) {
			for name, track := range m {
				for f := range track {
					// 5 mm steps while the club creeps, markers at different
					// distances from the next step.
					x := float64((f+17*int(name[0])*int(name[1]))/40) / 200
					track[f] = r3.Vec{X: x, Y: 1, Z: 1}
				}
			}
		}, nil},
	} {
		if got := inspected(t, test.origin, test.spoil); !slices.Equal(got, test.want) {
			t.Errorf("%s:\n got %s\nwant %s", test.name, strings.Join(got, "\n     "), strings.Join(test.want, "\n     "))
		}
	}
}

// A set that names markers the file does not have gets one flag for each, even
// if it has none of them.
func TestInspectMissing(t *testing.T) {
	flags := Inspect(sample(), MarkerSet{Grip: []string{"G7"}, Head: []string{"H7"}})
	if len(flags) != 2 || flags[0].Code != MarkerMissing || flags[0].Marker != "G7" || flags[1].Marker != "H7" || flags[1].Detail != "marker H7 is not in the file" {
		t.Errorf("%+v", flags)
	}
}

package capture

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// stamped returns a wide file whose rows are the frames listed, with stamps
// rounded to a number of decimals.
func stamped(preamble, label string, start, rate, scale float64, decimals int, frames []int) string {
	var b strings.Builder
	b.WriteString(preamble + label + ",A_x_mm,A_y_mm,A_z_mm\n")
	for _, k := range frames {
		fmt.Fprintf(&b, "%.*f,1,2,3\n", decimals, scale*(start+float64(k)/rate))
	}
	return b.String()
}

func upTo(n int, without ...int) []int {
	var list []int
	for k := range n {
		skip := false
		for _, w := range without {
			skip = skip || k == w
		}
		if !skip {
			list = append(list, k)
		}
	}
	return list
}

// A rate comes back exactly from stamps that are rounded, and skipped frames
// are found, wherever the stamps leave no doubt.
func TestTimelineFromStamps(t *testing.T) {
	for _, test := range []struct {
		preamble, label string
		start, rate     float64
		scale           float64
		decimals        int
		frames          []int
		guessed         bool
	}{
		{"", "time_s", 0, 2500, 1, 6, upTo(3700), false},
		{"", "time_s", 0, 2500, 1, 6, upTo(3700, 17, 400, 401, 402, 3000), false},
		{"", "time_s", 12.3456, 2500, 1, 6, upTo(3700, 1), false},
		{"", "time_s", 0, 2500, 1, 3, upTo(3700), false}, // stamps repeat
		{"", "time_s", 0, 1000, 1, 3, upTo(1500, 700), false},
		{"", "time_s", 0, 480, 1, 3, upTo(700), false},
		{"", "time_s", 0, 800, 1, 3, upTo(1200), false},
		{"", "time_s", 0, 240, 1, 3, upTo(360, 5, 200, 201), false},
		{"", "time_s", 0, 239.76, 1, 6, upTo(360, 5), false},
		{"", "time_s", 0, 59.94, 1, 9, upTo(100), false},
		{"", "time_s", 0, 2500, 1, 4, upTo(60, 3, 8, 14, 25, 33, 34, 35, 50), false},
		{"", "time_s", -1.5, 2000, 1, 6, upTo(4000, 3998), false},
		{"", "Time (ms)", 0, 2500, 1000, 3, upTo(3700, 9), false},
		{"", "t", 0, 2500, 1000, 1, upTo(3700, 9), true},
		{"", "t", 0, 120, 1, 6, upTo(200), false},
		{"rate,2500\n", "t", 0, 2500, 1000, 1, upTo(3700, 9), false},
		{"Frame rate: 7200 Hz\n", "time_s", 0, 7200, 1, 4, upTo(9000), false},
		{"# fps = 1500\n", "time_s", 0, 1500, 1, 3, upTo(3000), false},
		{"Capture rate,2500,Export rate,1250\n", "time_s", 0, 1250, 1, 6, upTo(1000, 3), false},
	} {
		text := stamped(test.preamble, test.label, test.start, test.rate, test.scale, test.decimals, test.frames)
		r, err := ReadText(strings.NewReader(text), "run", Hints{})
		name := fmt.Sprintf("%q %s %v Hz to %d decimals", test.preamble, test.label, test.rate, test.decimals)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		n := test.frames[len(test.frames)-1] + 1
		if r.Rate() != test.rate || r.Frames() != n || r.Origin().Skipped != n-len(test.frames) || r.Origin().RateGuessed != test.guessed {
			t.Errorf("%s: rate %v, %d frames, want %d, skipped %d, guessed %v", name, r.Rate(), r.Frames(), n, r.Origin().Skipped, r.Origin().RateGuessed)
			continue
		}
		if math.Abs(r.Start()-test.start) > math.Pow(10, -float64(test.decimals))/test.scale/2+1e-12 {
			t.Errorf("%s: start %v, want %v", name, r.Start(), test.start)
		}
		seen := make([]bool, n)
		for _, k := range test.frames {
			seen[k] = true
		}
		for k, p := range r.Track("A") {
			if isSeen(p) != seen[k] {
				t.Fatalf("%s: frame %d seen %v, want %v", name, k, isSeen(p), seen[k])
			}
		}
	}
}

// Stamps that a camera jitters by a tenth of a frame fit to within what that
// many stamps can tell: the standard error of a slope is √12 σ / n^(3/2).
func TestTimelineFromJitteredStamps(t *testing.T) {
	const rate, n = 1234.5678, 2000
	rng := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("time_s,A_x,A_y,A_z\n")
	for k := range n {
		fmt.Fprintf(&b, "%.9f,1,2,3\n", (float64(k)+0.03*rng.NormFloat64())/rate)
	}
	r, err := ReadText(strings.NewReader(b.String()), "run", Hints{})
	if err != nil {
		t.Fatal(err)
	}
	if relative := math.Abs(r.Rate()/rate - 1); relative > 4*math.Sqrt(12)*0.03/math.Pow(n, 1.5) || r.Frames() != n {
		t.Errorf("rate %v, want %v; %d frames", r.Rate(), rate, r.Frames())
	}
}

func TestTimelineFromFrames(t *testing.T) {
	for _, test := range []struct {
		text        string
		start, rate float64
		frames      int
		skipped     int
	}{
		{lines("Hz,250", "Frame,A_x,A_y,A_z", "100,1,2,3", "101,1,2,3", "104,1,2,3"), 0.4, 250, 5, 2},
		{lines("Hz,250", "Sample,A_x,A_y,A_z", "100,1,2,3", "102,1,2,3", "106,1,2,3"), 0.4, 125, 4, 1},
		{lines("Hz,250", "Frame,A_x,A_y,A_z", "-25,1,2,3"), -0.1, 250, 1, 0},
		{lines("Hz,250", "A_x,A_y,A_z", "1,2,3", "1,2,3"), 0, 250, 2, 0},
		{lines("Hz,250", "time_s,A_x,A_y,A_z", "1.5,1,2,3"), 1.5, 250, 1, 0},
		{lines("Frame,time_s,A_x,A_y,A_z", "7,0.000,1,2,3", "8,0.000,1,2,3", "9,0.001,1,2,3", "10,0.001,1,2,3", "12,0.002,1,2,3", "13,0.003,1,2,3", "14,0.003,1,2,3", "15,0.004,1,2,3"), 0, 2000, 9, 1},
	} {
		r, err := ReadText(strings.NewReader(test.text), "run", Hints{})
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
			continue
		}
		if math.Abs(r.Start()-test.start) > 1e-3 || r.Rate() != test.rate || r.Frames() != test.frames || r.Origin().Skipped != test.skipped {
			t.Errorf("%q: start %v, rate %v, %d frames, %d skipped", test.text, r.Start(), r.Rate(), r.Frames(), r.Origin().Skipped)
		}
	}
}

// swing returns the paths of markers that go around in a circle of 1 m, apart
// from one another by 0.1 m, with a little of their own.
func swing(markers, frames int) [][]r3.Vec {
	rng := rand.New(rand.NewPCG(3, 4))
	tracks := make([][]r3.Vec, markers)
	for m := range tracks {
		for i := range frames {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(frames))
			tracks[m] = append(tracks[m], r3.Vec{
				X: cos + 1e-4*rng.NormFloat64(),
				Y: 0.1*float64(m) + 1e-4*rng.NormFloat64(),
				Z: 1.5 + sin + 1e-4*rng.NormFloat64(),
			})
		}
	}
	return tracks
}

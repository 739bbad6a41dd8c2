package sampledata

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"bendline/capture"

	"gonum.org/v1/gonum/spatial/r3"
)

var layouts = []Layout{Wide, Semicolon, Stacked, Long}

func TestLayoutsBeginAsExported(t *testing.T) {
	nan := math.NaN()
	r := recording(2500, []string{"G1", "S01"}, [][]r3.Vec{
		{{X: 1, Y: -0.25, Z: 0.0001}, {X: 2, Y: 0, Z: 0}},
		{{X: nan, Y: nan, Z: nan}, {X: 0.5, Y: 0.25, Z: 0.125}},
	})
	for l, want := range map[Layout]string{
		Wide: "frame,time_s,G1_x,G1_y,G1_z,S01_x,S01_y,S01_z\n" +
			"0,0.000000,1000.000,-250.000,0.100,,,\n" +
			"1,0.000400,2000.000,0.000,0.000,500.000,250.000,125.000\n",
		Semicolon: "\ufeff\"Time [s]\";\"G1 X [mm]\";\"G1 Y [mm]\";\"G1 Z [mm]\";\"S01 X [mm]\";\"S01 Y [mm]\";\"S01 Z [mm]\"\r\n" +
			"0,000000;1000,000;-250,000;0,100;NaN;NaN;NaN\r\n" +
			"0,000400;2000,000;0,000;0,000;500,000;250,000;125,000\r\n",
		Stacked: "Capture rate\t2500\nFrames\t2\nUp axis\tZ\n\n" +
			"Frame\tTime\tG1\t\t\tS01\t\t\n" +
			"\t\tX\tY\tZ\tX\tY\tZ\n" +
			"\ts\tm\tm\tm\tm\tm\tm\n" +
			"1\t0.000000\t1.000000\t-0.250000\t0.000100\t\t\t\n" +
			"2\t0.000400\t2.000000\t0.000000\t0.000000\t0.500000\t0.250000\t0.125000\n",
		Long: "time_s,marker,x_mm,y_mm,z_mm\n" +
			"0.000000,G1,1000.000,-250.000,0.100\n" +
			"0.000000,S01,,,\n" +
			"0.000400,G1,2000.000,0.000,0.000\n" +
			"0.000400,S01,500.000,250.000,125.000\n",
	} {
		var b strings.Builder
		if err := l.write(&b, r); err != nil {
			t.Fatal(err)
		}
		if b.String() != want {
			t.Errorf("%v:\n%s\nwant\n%s", l, b.String(), want)
		}
	}
}

// What is written is read back to the half of the last digit.
func TestLayoutsAreRead(t *testing.T) {
	cfg := quiet(1)
	cfg.Rate, cfg.Before, cfg.After = 2500, 0.1, 0.02
	cfg.Gaps = []Gap{{"S03", -0.05, -0.03}, {"H2", 0, 0.004}}
	want := Simulate(cfg, nil).Recording
	for _, l := range layouts {
		var b bytes.Buffer
		if err := l.write(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := capture.ReadText(&b, l.String()+".csv", capture.Hints{})
		if err != nil {
			t.Errorf("%v: %v", l, err)
			continue
		}
		if got.Frames() != want.Frames() || math.Abs(got.Rate()-want.Rate()) > 1e-6 || len(got.Markers()) != len(want.Markers()) {
			t.Errorf("%v: %d frames at %v of %d markers, want %d at %v of %d", l,
				got.Frames(), got.Rate(), len(got.Markers()), want.Frames(), want.Rate(), len(want.Markers()))
			continue
		}
		for _, m := range want.Markers() {
			track := got.Track(m)
			if track == nil {
				t.Errorf("%v: no marker %s", l, m)
				continue
			}
			for i, p := range want.Track(m) {
				q := track[i]
				if math.IsNaN(p.X) != math.IsNaN(q.X) {
					t.Fatalf("%v: %s in frame %d is %v, want %v", l, m, i, q, p)
				}
				if d := r3.Sub(p, q); max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) > 0.51e-6 {
					t.Fatalf("%v: %s in frame %d is %v, want %v", l, m, i, q, p)
				}
			}
		}
	}
}

var errFull = errors.New("full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestLayoutsReportAFullDisk(t *testing.T) {
	r := Reference(driver(base), Noise{}, nil)
	for _, l := range layouts {
		if err := l.write(full{}, r); !errors.Is(err, errFull) {
			t.Errorf("%v: error %v, want %v", l, err, errFull)
		}
	}
}

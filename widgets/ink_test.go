package widgets

import (
	"image/color"
	"math"
	"math/rand/v2"
	"testing"
)

// covered returns how much of a black picture is white, pixels.
func covered(k *ink) float64 {
	sum := 0.0
	for i := 0; i < len(k.img.Pix); i += 4 {
		sum += float64(k.img.Pix[i]) / 255
	}
	return sum
}

func blank(w, h int) *ink {
	k := &ink{}
	k.start(w, h, color.Black)
	return k
}

// A straight line covers its length times its width, however it points, and an
// 8-bit picture loses a few parts in a hundred at the edges and joints.
func TestLineCoverage(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for range 50 {
		k := blank(300, 300)
		s, c := math.Sincos(r.Float64() * 2 * math.Pi)
		half := 0.5 + 3*r.Float64()
		var line []spot
		for i := range 61 {
			d := 4 * (float64(i) - 30)
			line = append(line, spot{float32(150 + d*c), float32(150 + d*s), float32(half)})
		}
		k.line(line, plain(color.White))
		want := 240 * 2 * half
		if got := covered(k); math.Abs(got-want) > 0.03*want {
			t.Errorf("half width %.2f towards %.2f, %.2f: covers %.1f pixels, want %.1f", half, c, s, got, want)
		}
	}
}

// The pieces of a line meet without a seam: its middle is white all along.
func TestLineHasNoSeams(t *testing.T) {
	for _, slope := range []float64{0, 0.3, 1, 2.7} {
		k := blank(400, 400)
		var line []spot
		for i := range 50 {
			d := 6 * float64(i) / math.Hypot(1, slope)
			line = append(line, spot{float32(20.3 + d), float32(20.4 + d*slope), 2})
		}
		k.line(line, plain(color.White))
		for i := 1; i+1 < len(line); i++ {
			if v := k.img.RGBAAt(int(line[i].x), int(line[i].y)).R; v < 250 {
				t.Errorf("slope %v: at spot %d the line is %d of 255", slope, i, v)
			}
		}
	}
}

func TestOppositePolygonsUnite(t *testing.T) {
	k := blank(20, 20)
	k.polygon(spot{x: 0, y: 0}, spot{x: 10, y: 0}, spot{x: 10, y: 10}, spot{x: 0, y: 10})
	k.polygon(spot{x: 5, y: 0}, spot{x: 5, y: 10}, spot{x: 15, y: 10}, spot{x: 15, y: 0})
	k.paint(color.White)
	if got := covered(k); math.Abs(got-150) > 1 {
		t.Errorf("two squares that overlap by half cover %v pixels, want 150", got)
	}
}

func TestDisc(t *testing.T) {
	k := blank(60, 60)
	k.disc(spot{30, 30, 20})
	k.paint(color.White)
	// A regular polygon of n corners covers n/2 sin(2π/n) r².
	n := 22.0
	want := n / 2 * math.Sin(2*math.Pi/n) * 400
	if got := covered(k); math.Abs(got-want) > 0.01*want {
		t.Errorf("covers %v pixels, want %v", got, want)
	}
}

// A segment that ends far out of the picture crosses it at full width.
func TestFarSegments(t *testing.T) {
	for _, far := range []float32{1e4, 1e6, 1e9} {
		k := blank(100, 50)
		k.line([]spot{{-far, 25, 2}, {far, 25, 2}}, plain(color.White))
		if got := covered(k); math.Abs(got-400) > 1 {
			t.Errorf("to %g: covers %v pixels, want 400", far, got)
		}
		k = blank(100, 50)
		k.line([]spot{{-far, -far, 2}, {-far, far, 2}}, plain(color.White))
		if got := covered(k); got != 0 {
			t.Errorf("outside at %g: covers %v pixels", far, got)
		}
	}
}

func TestDashes(t *testing.T) {
	for d, pattern := range patterns {
		k := blank(900, 20)
		k.dashed([]spot{{0, 10, 1}, {300, 10, 1}, {900, 10, 1}}, d, 2, plain(color.White))
		on, all := float32(0), float32(0)
		for i, l := range pattern {
			if i%2 == 0 {
				on += l
			}
			all += l
		}
		want := float64(900 * 2 * on / all)
		if got := covered(k); math.Abs(got-want) > 0.02*want {
			t.Errorf("pattern %d: covers %v pixels, want %v", d, got, want)
		}
	}
}

// A gap is not bridged, and a spot alone is a dot.
func TestGaps(t *testing.T) {
	nan := float32(math.NaN())
	k := blank(100, 20)
	k.line([]spot{{10, 10, 2}, {30, 10, 2}, {nan, nan, 2}, {70, 10, 2}, {nan, nan, 2}}, plain(color.White))
	if k.img.RGBAAt(50, 10).R != 0 {
		t.Error("the gap is bridged")
	}
	if k.img.RGBAAt(20, 10).R < 250 || k.img.RGBAAt(70, 10).R < 250 {
		t.Error("a part beside a gap is missing")
	}
	for _, d := range []Dash{Dashed, Dotted} {
		k.start(100, 20, color.Black)
		k.dashed([]spot{{0, 10, 2}, {30, 10, 2}, {nan, nan, 2}, {70, 10, 2}, {99, 10, 2}}, d, 4, plain(color.White))
		for x := 32; x < 69; x++ {
			if k.img.RGBAAt(x, 10).R != 0 {
				t.Fatalf("pattern %d bridges the gap at %d", d, x)
			}
		}
	}
}

func TestThinKeepsColumns(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	var spots []spot
	for i := range 5000 {
		s := spot{float32(i) / 50, float32(r.Float64()), 1}
		if i%700 == 699 {
			s.y = float32(math.NaN())
		}
		spots = append(spots, s)
	}
	type range2 struct{ lo, hi float32 }
	columns := func(spots []spot) (m map[int]range2, gaps int) {
		m = map[int]range2{}
		for _, s := range spots {
			if s.gap() {
				gaps++
				continue
			}
			c, ok := m[int(s.x)]
			if !ok {
				c = range2{s.y, s.y}
			}
			m[int(s.x)] = range2{min(c.lo, s.y), max(c.hi, s.y)}
		}
		return m, gaps
	}
	want, gaps := columns(spots)
	kept := thin(spots)
	got, left := columns(kept)
	if len(kept) > 4*(100+gaps)+gaps {
		t.Errorf("%d spots kept of 100 columns", len(kept))
	}
	if left != gaps {
		t.Errorf("%d gaps, want %d", left, gaps)
	}
	for c, w := range want {
		if got[c] != w {
			t.Errorf("column %d spans %v, want %v", c, got[c], w)
		}
	}
}

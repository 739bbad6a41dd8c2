package report

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		got, want string
	}{
		{format{}.number(-1.25, 1), "−1.2"},
		{format{}.number(-0.04, 1), "0.0"},
		{format{}.number(math.NaN(), 1), absent},
		{format{}.number(math.Inf(-1), 1), absent},
		{format{}.signed(0.04, 1), "0.0"},
		{format{}.signed(3.14, 2), "+3.14"},
		{format{}.signed(-3.14, 1), "−3.1"},
		{format{}.signed(math.NaN(), 1), absent},
		{format{}.plusMinus(1, 0.25, 2), "1.00\u00a0±\u00a00.25"},
		{format{}.plusMinus(1, math.NaN(), 2), "1.00"},
		{format{}.probability(0.0004), "<\u00a00.001"},
		{format{}.probability(0.04), "0.040"},
		{format{}.probability(math.NaN()), absent},
		{count(1, "run"), "1 run"},
		{count(0, "run"), "0 runs"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	sty := sans(12, ink)
	for range 300 {
		var words []string
		for range 1 + rng.IntN(12) {
			words = append(words, strings.Repeat("abWi1"[rng.IntN(5):], 1+rng.IntN(9)))
		}
		text := strings.Join(words, " ")
		w := vg.Length(30 + rng.Float64()*200)
		lines := wrap(sty, text, w)
		for _, l := range lines {
			if width(sty, l) > w {
				t.Fatalf("line %q is %v wide, more than %v", l, width(sty, l), w)
			}
		}
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.Join(words, "") {
			t.Fatalf("wrapping %q gave %q", text, lines)
		}
		for n := 1; n <= 3; n++ {
			cut := fit(sty, text, w, n)
			if len(cut) > n {
				t.Fatalf("fit to %d lines gave %d", n, len(cut))
			}
			if more := len(lines) > n; more != strings.HasSuffix(cut[len(cut)-1], "…") {
				t.Fatalf("fit of %q to %d lines: %q, cut %v", text, n, cut, more)
			}
		}
	}
	if got := wrap(sty, "about 4.2\u00a0mm", width(sty, "about 4.2")); len(got) != 2 || got[1] != "4.2\u00a0mm" {
		t.Errorf("a unit was torn from its number: %q", got)
	}
}

func TestLabelsTellApart(t *testing.T) {
	sty := sans(12, ink)
	names := []string{"session-2-p1-base-1", "session-2-p1-base-2", "session-2-p1-proto-1"}
	l := newLabels(names)
	if got := l.short(sty, names[0], 400); got != names[0] {
		t.Errorf("with room: %q", got)
	}
	if got := l.short(sty, names[2], 60); got != "…proto-1" {
		t.Errorf("without room: %q", got)
	}
	seen := map[string]bool{}
	for _, n := range names {
		seen[l.short(sty, n, 60)] = true
	}
	if len(seen) != len(names) {
		t.Errorf("short names are not distinct: %v", seen)
	}
	l = newLabels([]string{"Player 1 of the second group", "Player 2 of the second group"})
	if got := l.short(sty, "Player 2 of the second group", 90); got != "Player 2…" {
		t.Errorf("the start would have done: %q", got)
	}
	if got := newLabels([]string{"same", "same"}).short(sty, "same", 400); got != "same" {
		t.Errorf("two equal names: %q", got)
	}
}

func TestPrintable(t *testing.T) {
	if got := printable("µ° ±−\n猫🏌"); got != "µ° ±− □□" {
		t.Errorf("got %q", got)
	}
}

func TestEvenDigits(t *testing.T) {
	sty := sans(12, ink)
	if a, b := width(sty, "11.1"), width(sty, "20.4"); math.Abs(float64(a-b)) > 1e-9 {
		t.Errorf("11.1 is %v wide, 20.4 %v", a, b)
	}
}

// The parts between kerned pairs must end where the whole line ends.
func TestKernedPartsAddUp(t *testing.T) {
	f := face(sans(40, ink))
	for _, s := range []string{"AVATAR To Ty. 11", "AV", "plain", "A"} {
		parts := kerned(f, s)
		last := parts[len(parts)-1]
		if end, want := last.at+f.Width(last.text), f.Width(s); math.Abs(float64(end-want)) > 1e-9 {
			t.Errorf("%q ends at %v, want %v", s, end, want)
		}
		joined := ""
		for _, p := range parts {
			joined += p.text
		}
		if joined != s {
			t.Errorf("%q came apart as %q", s, joined)
		}
	}
	if n := len(kerned(f, "AV")); n != 2 {
		t.Errorf("AV has %d parts, want 2", n)
	}
	if got := kerned(font.DefaultCache.Lookup(sans(10, ink).Font, 10), ""); len(got) != 1 {
		t.Errorf("nothing has %d parts", len(got))
	}
}

func TestRoundHoldsTheRange(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		lo := rng.NormFloat64() * math.Pow(10, float64(rng.IntN(7)-3))
		hi := lo + rng.Float64()*math.Pow(10, float64(rng.IntN(7)-3))
		n := 2 + rng.IntN(6)
		from, to, tk := format{}.round(lo, hi, n)
		slack := 1e-6 * tk.step
		if from > lo+slack || to < hi-slack {
			t.Fatalf("%v to %v in %d: axis %v to %v", lo, hi, n, from, to)
		}
		mantissa := tk.step / math.Pow(10, math.Floor(math.Log10(tk.step)+1e-9))
		if m := math.Round(mantissa); math.Abs(m-mantissa) > 1e-6 || m != 1 && m != 2 && m != 5 {
			t.Fatalf("step %v is not 1, 2 or 5", tk.step)
		}
		marks := tk.Ticks(from, to)
		if len(marks) < 2 || len(marks) > n+3 {
			t.Fatalf("%v to %v in %d: %d ticks", lo, hi, n, len(marks))
		}
		seen := map[string]bool{}
		for _, m := range marks {
			if seen[m.Label] {
				t.Fatalf("%v to %v: label %q twice", lo, hi, m.Label)
			}
			seen[m.Label] = true
		}
	}
	if from, to, _ := (format{}).round(math.Inf(1), math.Inf(-1), 4); !(from < to) {
		t.Error("no data gives no axis")
	}
}

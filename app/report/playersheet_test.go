package report

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bendline/app/study"
	"bendline/kinematics"
)

// Nothing overlaps or leaves the paper, however many clubs and however long
// their names.
func TestSheetsKeepToThePaper(t *testing.T) {
	for name, sc := range scenarios {
		if name == "no run" { // and so no sheet
			continue
		}
		for _, paper := range []Paper{A4, Letter} {
			a, _ := sc.make()
			o := options
			o.Style.Paper, o.Style.Logo = paper, nil
			s, err := NewSheet(a, a.Results[len(a.Results)-1].Run.Player, o)
			if err != nil {
				t.Fatal(err)
			}
			p := newProbe(t)
			s.Draw(p)
			for k, a := range p.texts {
				if a.box.Min.X < edge-1 || a.box.Max.X > s.Size.X-edge+1 || a.box.Min.Y < 20 || a.box.Max.Y > s.Size.Y-30 {
					t.Errorf("%s, %s: %q at %v stands in the margin", name, paper, a.text, a.box)
				}
				for _, b := range p.texts[:k] {
					if overlap(a.box, b.box) {
						t.Errorf("%s, %s: %q and %q overlap", name, paper, a.text, b.text)
					}
				}
			}
		}
	}
}

func TestSheetTellsWhatWasMeasured(t *testing.T) {
	a, c := medium.make()
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := WriteSheet(t.Context(), a, "p2", path, options); err != nil {
		t.Fatal(err)
	}
	again := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := WriteSheet(t.Context(), a, "p2", again, options); err != nil {
		t.Fatal(err)
	}
	first, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if second, err := os.ReadFile(again); err != nil || !bytes.Equal(first, second) {
		t.Errorf("the same sheet gives other bytes (%v)", err)
	}
	out, err := exec.Command(tool(t, "pdftotext"), "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(strings.ReplaceAll(string(out), "\u00a0", " ")), " ")
	d := c.Measures[0].ByPlayer[1]
	for _, want := range []string{"P2", "Baseline: at impact the tip is bent", "towards the target", "bent back most",
		"forward bend " + strings.ReplaceAll(format{}.signed(d.Value, 1), "\u00a0", " ") + " mm", "they do not say which shaft to play"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
	for _, never := range []string{"recommend", "should", "best", "better"} {
		if strings.Contains(text, never) {
			t.Errorf("the sheet advises: %q", never)
		}
	}
	if _, err := NewSheet(a, "p9", options); err == nil || !strings.Contains(err.Error(), `no player "p9" in the study; there are: p1, p2, p3`) {
		t.Errorf("an unknown player: %v", err)
	}
	for _, r := range a.Results {
		r.Err = os.ErrNotExist
	}
	if _, err := NewSheet(a, "p2", options); err == nil || !strings.Contains(err.Error(), "no run that counts") {
		t.Errorf("a player without runs: %v", err)
	}
}

// A lead that rises in a straight line from −60 mm at 200 ms before impact
// crosses zero where that line does.
func TestReleaseIsReadOffTheCurve(t *testing.T) {
	const rate = 1000
	n := 400
	s := &kinematics.Swing{Rate: rate, Grip: make([]kinematics.Frame, n)}
	s.Impact.Value = 0.3505
	s.Lead.Value = make([]float64, n)
	for i := range s.Lead.Value {
		s.Lead.Value[i] = -0.060 + 0.4*(s.Time(i)-0.1505)
	}
	s.AtImpact.Lead.Value = 0.020
	s.PeakLag = kinematics.Peak{Estimate: kinematics.Estimate{Value: -0.060}, Time: 0.1505}
	r := group{runs: []*study.Result{{Swing: s}}}.release()
	if math.Abs(r.lag+60) > 1e-9 || math.Abs(r.lagAt-200) > 1e-9 || math.Abs(r.straight-50) > 1e-6 {
		t.Errorf("got %+v, want −60 mm at 200 ms, straight at 50 ms", r)
	}
}

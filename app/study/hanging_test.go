package study

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// withClub returns a copy of the study whose club of the run is changed, and the
// run.
func (sim simulation) withClub(run string, change func(*Club)) (*Study, Run) {
	s := *sim.study
	s.Clubs = slices.Clone(s.Clubs)
	r := *s.Run(run)
	change(s.Club(r.Club))
	return &s, r
}

// A club whose lead points backwards is told, whatever turned it round: values
// with the wrong sign do not pass as good ones.
func TestWrongSideIsTold(t *testing.T) {
	sim := simulated()
	for name, change := range map[string]func(*Club){
		"hand":         func(c *Club) { c.Hand = kinematics.Left },
		"heel and toe": func(c *Club) { c.Markers.Heel, c.Markers.Toe = c.Markers.Toe, c.Markers.Heel },
		"nothing":      func(*Club) {},
	} {
		s, run := sim.withClub("a-base-1", change)
		r := AnalyzeRun(t.Context(), s, run)
		if !r.OK() {
			t.Fatalf("%s: %v", name, r.Err)
		}
		told := slices.ContainsFunc(r.Flags, func(f capture.Flag) bool { return f.Code == capture.WrongSide })
		if wrong := r.Swing.AtImpact.Lead.Value < 0; told != wrong || wrong != (name != "nothing") {
			t.Errorf("%s: lead %.1f mm, flags %v", name, r.Swing.AtImpact.Lead.Value*1e3, r.Flags)
		}
	}
}

// A recording that is no unloaded club is told with every run that counts from
// it.
func TestLoadedReferenceIsTold(t *testing.T) {
	sim := simulated()
	told := func(s *Study, run Run) string {
		var words []string
		for _, f := range AnalyzeRun(t.Context(), s, run).Flags {
			if f.Code == capture.PoorFit {
				words = append(words, f.Detail)
			}
		}
		return strings.Join(words, "\n")
	}
	s, run := sim.withClub("a-base-1", func(c *Club) { c.Reference = "a-base-3.csv" })
	if got := told(s, run); !strings.Contains(got, "a-base-3.csv moves in itself: its markers stray by ") {
		t.Errorf("a swing as reference: %q", got)
	}
	s, run = sim.withClub("a-base-1", func(c *Club) { c.Markers.Shaft = slices.Clone(c.Markers.Shaft); c.Markers.Shaft[4].Station += 0.02 })
	if got := told(s, run); !strings.Contains(got, "from their stations and offsets") {
		t.Errorf("a station that is 20 mm off: %q", got)
	}
	s, run = sim.withClub("a-base-1", func(*Club) {})
	if got := told(s, run); got != "" {
		t.Errorf("a club that hangs: %q", got)
	}
	s.World.Up = "+y"
	if got := told(s, run); !strings.Contains(got, "base-reference.csv has the club 87° from the vertical") {
		t.Errorf("a club that lies: %q", got)
	}
}

// A capture whose axes are mirrored against the reference's, or in a unit that
// none has, is refused for that.
func TestCaptureOfAnotherShapeIsToldAsOne(t *testing.T) {
	for name, c := range map[string]struct {
		to   func(r3.Vec) r3.Vec
		told string
	}{
		"mirror-image.csv": {func(p r3.Vec) r3.Vec { p.X = -p.X; return p }, "as in a mirror image of the hanging club"},
		"scaled.csv":       {func(p r3.Vec) r3.Vec { return r3.Scale(5, p) }, "5 times as far apart as on the hanging club"},
	} {
		sim := simulated()
		rec, err := capture.ReadFile(sim.dir+"/a-base-1.csv", capture.Hints{})
		if err != nil {
			t.Fatal(err)
		}
		var tracks [][]r3.Vec
		for _, marker := range rec.Markers() {
			track := slices.Clone(rec.Track(marker))
			for i, p := range track {
				track[i] = c.to(p)
			}
			tracks = append(tracks, track)
		}
		changed, err := capture.NewRecording(0, rec.Rate(), rec.Markers(), tracks, capture.Origin{})
		if err != nil {
			t.Fatal(err)
		}
		if err := sim.refused(t, name, changed); err == nil || !strings.Contains(err.Error(), c.told) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// refused returns why a recording of the baseline cannot be analysed.
func (sim simulation) refused(t *testing.T, name string, rec *capture.Recording) error {
	t.Helper()
	file, err := os.Create(filepath.Join(sim.dir, name))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(capture.WriteText(file, rec), file.Close()); err != nil {
		t.Fatal(err)
	}
	s, run := sim.withClub("a-base-1", func(*Club) {})
	run.File = name
	return AnalyzeRun(t.Context(), s, run).Err
}

// What is in a file and not used is told.
func TestReadTellsMarkersBeside(t *testing.T) {
	s, _ := simulated().withClub("a-base-1", func(c *Club) { c.Markers.Shaft = slices.Delete(slices.Clone(c.Markers.Shaft), 4, 5) })
	readings, err := Read(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range readings {
		if want := map[bool]string{true: "S05"}[r.Club == "base"]; strings.Join(r.Beside, " ") != want {
			t.Errorf("%s of %s: beside %v", r.File, r.Club, r.Beside)
		}
	}
}

package sampledata

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"bendline/kinematics"
)

// short is the demo with few frames, which is written quickly.
func short() Scenario {
	s := Demo()
	for i := range s.Runs {
		s.Runs[i].Config.Rate = 500
	}
	return s
}

func read(t *testing.T, dir, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestWrite(t *testing.T) {
	s := short()
	one, two := filepath.Join(t.TempDir(), "new", "demo"), t.TempDir()
	var seen []int
	err := s.Write(context.Background(), one, func(done, total int) {
		seen = append(seen, done)
		if total != 30 {
			t.Errorf("total %d, want 4 references, 24 runs, truth and study", total)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(seen) != 30 || !slices.IsSorted(seen) || seen[29] != 30 {
		t.Errorf("progress was %v", seen)
	}
	if err := s.Write(context.Background(), two, nil); err != nil {
		t.Fatal(err)
	}

	files, err := os.ReadDir(one)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 30 {
		t.Errorf("%d files, want 30", len(files))
	}
	for _, f := range files {
		if strings.HasPrefix(f.Name(), ".") {
			t.Errorf("left behind: %s", f.Name())
		}
		if string(read(t, one, f.Name())) != string(read(t, two, f.Name())) {
			t.Errorf("%s differs from one writing to the next", f.Name())
		}
	}

	var study struct {
		Format, Title string
		Version       int
		Clubs         []struct {
			ID, Label, Role, Hand, Reference string

			Shaft struct {
				Length    float64 `json:"length_mm"`
				Stiffness []struct {
					Station float64 `json:"station_mm"`
				}
			}
			Markers struct {
				Shaft []struct {
					Station float64 `json:"station_mm"`
					Offset  float64 `json:"offset_mm"`
				}
			}
		}
		Players []struct{ ID, Label string }
		Runs    []struct{ ID, File, Club, Player, Excluded string }
	}
	if err := json.Unmarshal(read(t, one, "study.json"), &study); err != nil {
		t.Fatal(err)
	}
	if study.Format != "bendline-study" || study.Version != 1 || !strings.Contains(study.Title, "simulated") {
		t.Errorf("study is %q version %d, titled %q", study.Format, study.Version, study.Title)
	}
	clubs, players := map[string]bool{}, map[string]bool{}
	for i, c := range study.Clubs {
		clubs[c.ID] = true
		// The file states exactly what was simulated.
		near(t, "length, mm", c.Shaft.Length, s.Clubs[i].Shaft.Length*1e3, 1e-9)
		for j, k := range c.Shaft.Stiffness {
			near(t, "station of stiffness, mm", k.Station, s.Clubs[i].Shaft.Station[j]*1e3, 1e-9)
		}
		for j, m := range c.Markers.Shaft {
			near(t, "station, mm", m.Station, s.Clubs[i].Markers.Shaft[j].Station*1e3, 1e-9)
			near(t, "offset, mm", m.Offset, s.Clubs[i].Markers.Shaft[j].Offset*1e3, 1e-9)
		}
		read(t, one, c.Reference)
		if !strings.Contains(c.Label, "simulated") {
			t.Errorf("the label %q does not say simulated", c.Label)
		}
	}
	for _, p := range study.Players {
		players[p.ID] = true
		if !strings.Contains(p.Label, "simulated") {
			t.Errorf("the label %q does not say simulated", p.Label)
		}
	}
	var truth map[string]map[string]any
	if err := json.Unmarshal(read(t, one, "truth.json"), &truth); err != nil {
		t.Fatal(err)
	}
	each := map[string]int{}
	for _, r := range study.Runs {
		read(t, one, r.File)
		if !clubs[r.Club] || !players[r.Player] || truth[r.ID] == nil {
			t.Errorf("run %s: club %q, player %q, truth %v", r.ID, r.Club, r.Player, truth[r.ID])
		}
		each[r.Player+" "+r.Club]++
	}
	if len(each) != 6 {
		t.Errorf("players and clubs are %v", slices.Sorted(maps.Keys(each)))
	}
	for who, n := range each {
		if n != 4 {
			t.Errorf("%s: %d runs, want 4", who, n)
		}
	}
	keys := []string{"droop_angle_deg", "droop_mm", "head_speed_m_s", "impact_s", "kick_speed_m_s", "lead_angle_deg",
		"lead_mm", "peak_lag_mm", "peak_lag_s", "series", "top_s", "twist_deg"}
	if got := slices.Sorted(maps.Keys(truth["a-base-1"])); !slices.Equal(got, keys) {
		t.Errorf("truth has %v, want %v", got, keys)
	}
}

func TestWriteFailsWhole(t *testing.T) {
	dir := t.TempDir()
	s := short()
	s.Runs = s.Runs[:2]
	// A folder stands where a capture should go.
	if err := os.MkdirAll(filepath.Join(dir, runFile(s.Runs[1]), "x"), 0o755); err != nil {
		t.Fatal(err)
	}
	err := s.Write(context.Background(), dir, nil)
	if err == nil || !strings.Contains(err.Error(), runFile(s.Runs[1])) {
		t.Errorf("error %v does not name %s", err, runFile(s.Runs[1]))
	}
	if _, err := os.Stat(filepath.Join(dir, "study.json")); !os.IsNotExist(err) {
		t.Errorf("study.json was written after a failure: %v", err)
	}
	left, _ := filepath.Glob(filepath.Join(dir, ".*"))
	if len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := s.Write(context.Background(), filepath.Join(file, "demo"), nil); err == nil {
		t.Error("no error for a folder inside a file")
	}
}

// The demo tells the story it says it does.
func TestDemo(t *testing.T) {
	s := Demo()
	mean := map[string]*struct{ n, lead, droop, kick float64 }{}
	used := map[Layout]int{}
	points, excluded := 0, 0
	for _, r := range s.Runs {
		cfg := r.Config
		points += int((cfg.Before+cfg.After)*cfg.Rate) * len(cfg.Club.Markers.Names())
		used[r.Layout]++
		tr := newModel(&cfg).truth(0)
		if frames := tr.Impact * cfg.Rate; math.Abs(frames-math.Round(frames)) < 1e-4 {
			t.Errorf("%s: impact falls on a frame", r.ID)
		}
		if tr.Top < 0.1 {
			t.Errorf("%s: top %.3f s into the recording", r.ID, tr.Top)
		}
		if r.Excluded != "" {
			excluded++
			continue
		}
		for _, b := range []struct {
			what             string
			value, low, high float64
		}{
			{"lead mm", tr.Lead * 1e3, 0, 50},
			{"droop mm", tr.Droop * 1e3, 15, 50},
			{"twist deg", degrees(tr.Twist), 0.5, 3},
			{"head speed m/s", tr.HeadSpeed, 36, 49},
			{"kick speed m/s", tr.KickSpeed, 0, 6},
			{"peak lag mm", tr.PeakLag * 1e3, 40, 120},
		} {
			if b.value < b.low || b.value > b.high {
				t.Errorf("%s: %s %.3g is not in %g..%g", r.ID, b.what, b.value, b.low, b.high)
			}
		}
		key := r.Player + " " + cfg.Club.Role
		if mean[key] == nil {
			mean[key] = new(struct{ n, lead, droop, kick float64 })
		}
		m := mean[key]
		m.n++
		m.lead += tr.Lead * 1e3
		m.droop += tr.Droop * 1e3
		m.kick += tr.KickSpeed
	}
	for _, p := range s.Players {
		b, q := mean[p.ID+" baseline"], mean[p.ID+" prototype"]
		lead, droop, kick := q.lead/q.n-b.lead/b.n, q.droop/q.n-b.droop/b.n, q.kick/q.n-b.kick/b.n
		if p.ID == "c" {
			near(t, "player C's lead difference, mm", lead, 0, 1)
			near(t, "player C's droop difference, mm", droop, 0, 1)
			near(t, "player C's kick difference, m/s", kick, 0, 0.05)
		} else if lead < 1 || droop < 2 || kick < 0.1 {
			t.Errorf("%s: the prototype adds %.2f mm lead, %.2f mm droop, %.2f m/s kick", p.Label, lead, droop, kick)
		}
	}
	if excluded != 1 || len(used) != 4 || used[Long] != 1 {
		t.Errorf("%d runs excluded, layouts %v", excluded, used)
	}
	// A coordinate takes at most 10 bytes.
	if size := points * 3 * 10; size > 40e6 {
		t.Errorf("the demo may take %d bytes, more than 40 MB", size)
	}
	for i, c := range s.Clubs {
		over := c.Bench.WeightG > c.Spec.WeightG.Target+c.Spec.WeightG.Plus
		if over != (i == 3) {
			t.Errorf("%s weighs %v g against %+v", c.Label, c.Bench.WeightG, c.Spec.WeightG)
		}
		if left := strings.HasSuffix(c.ID, "-left"); left != (c.Hand == kinematics.Left) {
			t.Errorf("club %s is of hand %v", c.ID, c.Hand)
		}
	}
}

func ExampleDemo() {
	s := Demo()
	fmt.Println(s.Title)
	c := s.Capture(0)
	fmt.Printf("%s: %d markers, lead %.1f mm at %.4f s\n", s.Runs[0].ID,
		len(c.Recording.Markers()), c.Truth.Lead*1e3, c.Truth.Impact)
	// Output:
	// Softer tip section against the baseline (simulated)
	// a-base-1: 19 markers, lead 16.4 mm at 0.8002 s
}

func BenchmarkWide(b *testing.B) {
	s := Demo()
	r := s.Capture(0).Recording
	for b.Loop() {
		if err := Wide.write(io.Discard, r); err != nil {
			b.Fatal(err)
		}
	}
}

func TestWriteIsCancelled(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	most := 0
	err := short().Write(ctx, dir, func(done, _ int) {
		most = done
		cancel()
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled, it returns %v", err)
	}
	// What was under way when it was cancelled is finished.
	if most > 1+runtime.GOMAXPROCS(0) {
		t.Errorf("%d files were written after it was cancelled at the first", most)
	}
	if _, err := os.Stat(filepath.Join(dir, "study.json")); !os.IsNotExist(err) {
		t.Errorf("study.json was written: %v", err)
	}
}

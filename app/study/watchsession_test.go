package study

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

// A bay is a study without runs, and a folder outside it.
type bay struct {
	t         *testing.T
	path, dir string
	*Session
}

func newBay(t *testing.T) *bay {
	t.Helper()
	b := &bay{t: t, path: filepath.Join(t.TempDir(), "study.json"), dir: t.TempDir()}
	s := *simulated().study
	s.Runs = nil
	if _, err := s.CopyTo(context.Background(), b.path, nil); err != nil {
		t.Fatal(err)
	}
	b.open()
	return b
}

// open opens the session anew, as after a kill.
func (b *bay) open() {
	b.t.Helper()
	var err error
	if b.Session, err = OpenSession(context.Background(), b.path, nil, nil); err != nil {
		b.t.Fatal(err)
	}
}

// put writes a capture of the simulation to the folder.
func (b *bay) put(name, run string) string {
	b.t.Helper()
	content, err := os.ReadFile(filepath.Join(simulated().dir, run+".csv"))
	if err != nil {
		b.t.Fatal(err)
	}
	return b.write(name, content)
}

func (b *bay) write(name string, content []byte) string {
	b.t.Helper()
	path := filepath.Join(b.dir, name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		b.t.Fatal(err)
	}
	return path
}

// take takes the captures, those that were taken early once more, and saves.
func (b *bay) take(paths ...string) (taken []Taken) {
	b.t.Helper()
	var early []string
	err := b.Take(context.Background(), paths, "a", "base", func(t Taken) {
		if t.Early {
			early = append(early, t.Path)
		} else {
			taken = append(taken, t)
		}
	})
	if len(early) > 0 {
		err = errors.Join(err, b.Take(context.Background(), early, "a", "base", func(t Taken) { taken = append(taken, t) }))
	}
	if err = errors.Join(err, b.Save(context.Background())); err != nil {
		b.t.Fatal(err)
	}
	return taken
}

// whole fails the test unless results.json is what analysing the study gives,
// and returns the ids of its runs.
func (b *bay) whole() string {
	b.t.Helper()
	s, err := Open(b.path)
	if err != nil {
		b.t.Fatal(err)
	}
	a, err := Analyze(context.Background(), s, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	got, err := os.ReadFile(filepath.Join(filepath.Dir(b.path), "results.json"))
	if err != nil {
		b.t.Fatal(err)
	}
	if want := resultsText(b.t, a.Results); string(got) != want {
		b.t.Errorf("results.json is\n%s\nand analysing the study gives\n%s", got, want)
	}
	var ids []string
	for _, r := range s.Runs {
		ids = append(ids, r.ID+":"+r.File)
	}
	return strings.Join(ids, " ")
}

func TestSession(t *testing.T) {
	b := newBay(t)
	one, two := b.put("1.csv", "a-base-1"), b.put("2.csv", "a-base-3")
	got := b.take(one, two)
	if len(got) != 2 || !got[0].Result.OK() || got[0].Replaced || got[0].Fault != "" || !got[1].Result.OK() {
		t.Fatalf("%+v", got)
	}
	b.whole()
	if got := b.take(one, two); len(got) != 0 {
		t.Errorf("taken twice: %+v", got)
	}
	// The same capture by another name.
	if got := b.take(b.put("copy.csv", "a-base-1")); len(got) != 1 || !got[0].Same || got[0].Run != "1" || got[0].Result != nil {
		t.Errorf("a copy: %+v", got)
	}
	// The file written again: the run stays, the old copy too.
	if got := b.take(b.put("1.csv", "a-proto-1")); len(got) != 1 || !got[0].Replaced || got[0].Run != "1" || !got[0].Result.OK() {
		t.Errorf("written again: %+v", got)
	}
	if got := b.whole(); !strings.Contains(got, "1:1-2.csv") || !strings.Contains(got, "2:2.csv") {
		t.Errorf("runs %s", got)
	}
	// After a kill.
	b.open()
	if got := b.take(one, two); len(got) != 2 || !got[0].Same || !got[1].Same {
		t.Errorf("after a start anew: %+v", got)
	}
	// Not a capture; then the whole of it.
	half, err := os.ReadFile(filepath.Join(simulated().dir, "a-proto-2.csv"))
	if err != nil {
		t.Fatal(err)
	}
	three := b.write("3.csv", half[:len(half)/2])
	if err := os.WriteFile(three, []byte("Dear colleague,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := b.take(three); len(got) != 1 || got[0].Result != nil || !strings.Contains(got[0].Fault, "not a capture") || got[0].Run != "3" {
		t.Errorf("prose: %+v", got)
	}
	if got := b.take(three); len(got) != 0 {
		t.Errorf("prose, told twice: %+v", got)
	}
	b.write("3.csv", half)
	if got := b.take(three); len(got) != 1 || got[0].Run != "3" || got[0].Replaced || !got[0].Result.OK() {
		t.Errorf("whole: %+v", got)
	}
	var line bytes.Buffer
	if err := WriteTaken(&line, b.take(b.put("3.csv", "a-base-1"))[0]); err != nil {
		t.Fatal(err)
	}
	var object map[string]any
	if err := json.Unmarshal(line.Bytes(), &object); err != nil || strings.Count(line.String(), "\n") != 1 || object["id"] != "3" || object["file"] != "3.csv" || object["replaced"] != true || object["quality"] == nil {
		t.Errorf("%v, line %s", err, &line)
	}
	// Written again between two sessions: nothing tells that it is the same run.
	if got := b.take(b.put("2.csv", "c-base-1")); len(got) != 1 || got[0].Run != "2-2" || got[0].Replaced {
		t.Errorf("written again meanwhile: %+v", got)
	}
	b.whole()
}

// A capture that fails is in the study with its reason, and is not taken again
// after a start anew.
func TestSessionKeepsWhatFails(t *testing.T) {
	b := newBay(t)
	early := func(rec *capture.Recording) (frames int) { return rec.Frames() / 2 }
	path := b.write("early.csv", b.cut("a-base-1", early, nil))
	got := b.take(path)
	if len(got) != 1 || got[0].Result.OK() || !strings.HasPrefix(got[0].Fault, "no impact: ") {
		t.Fatalf("%+v", got)
	}
	b.whole()
	b.open()
	if got := b.take(path); len(got) != 1 || !got[0].Same {
		t.Errorf("after a start anew: %+v", got)
	}
}

// A writer that pauses: nothing is said of what is half written, wherever it
// stops, and nothing of it is left.
func TestSessionWaitsForAWriterThatPauses(t *testing.T) {
	b := newBay(t)
	whole, err := os.ReadFile(filepath.Join(simulated().dir, "a-base-1.csv"))
	if err != nil {
		t.Fatal(err)
	}
	row := bytes.LastIndexByte(whole[:len(whole)/2], '\n') + 1
	for _, n := range []int{10, row, row + 20} {
		path := b.write("1.csv", whole[:n])
		var got []Taken
		if err := b.Take(context.Background(), []string{path}, "a", "base", func(t Taken) { got = append(got, t) }); err != nil {
			t.Fatal(err)
		}
		if len(got) != 1 || !got[0].Early || got[0].Fault != "" || got[0].Err != nil || len(b.study.Runs) != 0 {
			t.Errorf("%d bytes: %+v", n, got)
		}
		if _, err := os.Stat(filepath.Join(filepath.Dir(b.path), "1.csv")); err == nil {
			t.Errorf("%d bytes: a copy is left", n)
		}
	}
	if got := b.take(b.write("1.csv", whole)); len(got) != 1 || !got[0].Result.OK() || got[0].Replaced || got[0].Fault != "" {
		t.Errorf("whole: %+v", got)
	}
	if got := b.whole(); got != "1:1.csv" {
		t.Errorf("runs %s", got)
	}
}

// cut writes a capture of the simulation anew: fewer frames, other positions.
func (b *bay) cut(run string, frames func(*capture.Recording) int, change func(name string, frame int, at r3.Vec) r3.Vec) []byte {
	b.t.Helper()
	rec, err := capture.ReadFile(filepath.Join(simulated().dir, run+".csv"), capture.Hints{})
	if err != nil {
		b.t.Fatal(err)
	}
	n := rec.Frames()
	if frames != nil {
		n = frames(rec)
	}
	var tracks [][]r3.Vec
	for _, name := range rec.Markers() {
		track := append([]r3.Vec(nil), rec.Track(name)[:n]...)
		for f := range track {
			if change != nil {
				track[f] = change(name, f, track[f])
			}
		}
		tracks = append(tracks, track)
	}
	return asText(b.t, rec, tracks)
}

// asText returns a capture like rec with other tracks, as text.
func asText(t *testing.T, rec *capture.Recording, tracks [][]r3.Vec) []byte {
	t.Helper()
	changed, err := capture.NewRecording(rec.Start(), rec.Rate(), rec.Markers(), tracks, capture.Origin{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := capture.WriteText(&out, changed); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A full disk: nothing is lost, and all is written once there is room.
func TestSessionSurvivesAFullDisk(t *testing.T) {
	b := newBay(t)
	before, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	full := errors.New("no space left on device")
	for _, file := range []string{"results.json", "study.json"} {
		b.open()
		b.Session.write = func(path string, content func(io.Writer) error) error {
			if filepath.Base(path) != file {
				return WriteFile(path, content)
			}
			return WriteFile(path, func(w io.Writer) error {
				if _, err := w.Write([]byte("{")); err != nil {
					return err
				}
				return full
			})
		}
		one := b.put("1.csv", "a-base-1")
		var got []Taken
		if err := b.Take(context.Background(), []string{one}, "a", "base", func(t Taken) { got = append(got, t) }); err != nil {
			t.Fatal(err)
		}
		if err := b.Save(context.Background()); !errors.Is(err, full) || len(got) != 1 || !got[0].Result.OK() {
			t.Errorf("%s: %v, %+v", file, err, got)
		}
		if after, err := os.ReadFile(b.path); err != nil || !bytes.Equal(after, before) {
			t.Errorf("%s: the study was spoilt: %v", file, err)
		}
		if file == "results.json" {
			continue // killed here: the capture is taken anew
		}
		b.Session.write = WriteFile
		if err := b.Save(context.Background()); err != nil {
			t.Fatal(err)
		}
		if got := b.whole(); got != "1:1.csv" {
			t.Errorf("runs %s", got)
		}
	}
}

// What another program writes to the study file is kept.
func TestSessionSharesTheStudy(t *testing.T) {
	b := newBay(t)
	b.take(b.put("1.csv", "a-base-1"))
	s, err := Open(b.path)
	if err != nil {
		t.Fatal(err)
	}
	s.Title, s.Runs = "Retitled by another", nil
	if err := s.Save(b.path); err != nil {
		t.Fatal(err)
	}
	b.take(b.put("2.csv", "a-base-3"))
	if got := b.whole(); got != "1:1.csv 2:2.csv" {
		t.Errorf("runs %s", got)
	}
	if s, err = Open(b.path); err != nil || s.Title != "Retitled by another" {
		t.Errorf("title %q, %v", s.Title, err)
	}
	if err := b.Take(context.Background(), nil, "nobody", "base", nil); err == nil || !strings.Contains(err.Error(), `no player "nobody" in the study; it has a, `) {
		t.Error(err)
	}
	if err := b.Take(context.Background(), nil, "a", "none", nil); err == nil || !strings.Contains(err.Error(), `no club "none"`) {
		t.Error(err)
	}
}

// The owner of the study changes it while captures come: the swing given to the
// wrong shaft, a player that is new.
func TestSessionAdopts(t *testing.T) {
	b := newBay(t)
	b.take(b.put("1.csv", "a-base-1"))
	before := *b.Analysis().Study // as its owner knows it
	b.take(b.put("2.csv", "a-base-3"))
	st := before
	st.Runs = []Run{before.Runs[0]}
	st.Runs[0].GiveTo("proto")
	st.Title = "Retitled by its owner"
	if err := b.Adopt(t.Context(), &st); err != nil {
		t.Fatal(err)
	}
	if b.Rewritten() {
		t.Error("no other program wrote the study")
	}
	if err := b.Save(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := b.whole(); got != "1:1.csv 2:2.csv" {
		t.Errorf("runs %s", got)
	}
	s, err := Open(b.path)
	if err != nil {
		t.Fatal(err)
	}
	if r := b.Analysis().Result("1"); s.Title != st.Title || s.Runs[0].Club != "proto" || !r.OK() || r.Run.Club != "proto" {
		t.Errorf("title %q, club %q, result of %q", s.Title, s.Runs[0].Club, r.Run.Club)
	}
	// What another program wrote goes first.
	s.Title = "Retitled by another"
	if err := s.Save(b.path); err != nil {
		t.Fatal(err)
	}
	if err := b.Adopt(t.Context(), &st); err != nil || !b.Rewritten() || b.Rewritten() {
		t.Errorf("%v, or what another wrote is not told of once", err)
	}
	if got := b.Analysis().Study.Title; got != "Retitled by another" {
		t.Errorf("title %q", got)
	}
}

// A study that is saved under another name, and not adopted as that was cancelled,
// is adopted the next time: no other program wrote it.
func TestSessionAdoptsAnotherPathAfterCancel(t *testing.T) {
	b := newBay(t)
	b.take(b.put("1.csv", "a-base-1"))
	st := *b.Analysis().Study
	st.Path = filepath.Join(filepath.Dir(b.path), "another.json")
	if err := st.Save(st.Path); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := b.Adopt(ctx, &st); !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled: %v", err)
	}
	if err := b.Adopt(t.Context(), &st); err != nil || b.Rewritten() || b.Analysis().Study.Path != st.Path {
		t.Errorf("%v; the study is %s", err, b.Analysis().Study.Path)
	}
}

func TestGiveTo(t *testing.T) {
	r := Run{Club: "a", Excluded: spacedAs + "b"}
	if r.SpacedAs() != "b" {
		t.Error(r.SpacedAs())
	}
	if r.GiveTo("c"); r.Excluded == "" {
		t.Error("given to a club it does not fit, and in")
	}
	if r.GiveTo("b"); r.Excluded != "" || r.Club != "b" || r.SpacedAs() != "" {
		t.Errorf("%+v", r)
	}
	r = Run{Excluded: "slipped"}
	if r.GiveTo("b"); r.Excluded != "slipped" {
		t.Error("a reason of the user's was dropped")
	}
}

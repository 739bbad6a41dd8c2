package capture

import (
	"bytes"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// captures returns small files of every kind.
func captures(t testing.TB) [][]byte {
	t.Helper()
	var list [][]byte
	for _, table := range []string{"NAME_x", "stacked", "long", "long by marker"} {
		list = append(list, layout{table, ",", ".", "utf-8", "\n", "time", "", Millimetre, false}.write(sample()),
			layout{table, ";", ",", "utf-16le", "\r\n", "frame", "NaN", Metre, true}.write(sample()))
	}
	r := small(t, []string{"G1", "*2", "x"}, 40)
	for _, p := range []processor{intel, dec, sgi} {
		list = append(list, c3dLayout{p, -1, 2, 3, 3, true, false}.file(r), c3dLayout{p, 0.1, 2, 3, 3, false, true}.file(r))
	}
	return list
}

// shownSafely fails if a name could hide what it says.
func shownSafely(t testing.TB, r *Recording) {
	t.Helper()
	for _, name := range r.Markers() {
		if name == "" || Shown(name) != name || strings.IndexFunc(name, func(c rune) bool { return unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c) }) >= 0 {
			t.Errorf("a marker is called %q", name)
		}
	}
}

// inspectAll looks at a recording in every way there is.
func inspectAll(t testing.TB, r *Recording) {
	t.Helper()
	shownSafely(t, r)
	names := r.Markers()
	set := MarkerSet{Grip: names[:1], Head: names[len(names)-1:]}
	for _, name := range names {
		set.Shaft = append(set.Shaft, ShaftMarker{Name: name, Station: 0.1})
	}
	Inspect(r, set)
	Respelled(names, set)
	frames := 0
	for _, p := range r.Trajectories(func(name string) bool { return name == names[0] }) {
		frames += p.Frames()
	}
	seen := 0
	for _, p := range r.points {
		if isSeen(p) {
			seen++
		}
	}
	if frames != seen {
		t.Errorf("%d points are seen, the paths have %d", seen, frames)
	}
}

// Whatever the bytes, a capture that is read can be looked at, and its names
// shown.
func FuzzRead(f *testing.F) {
	for _, b := range captures(f) {
		f.Add(b)
	}
	f.Add([]byte("\u202eA_x,\u202eA_y,\u202eA_z\n\x01"))
	f.Add([]byte("time,\u202eA_x,\u202eA_y,\u202eA_z\n0,1,2,3\n1,1,2,3\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<14 {
			return // what is slow is the file's size, which others hold
		}
		r, err := readBytes(data, Hints{})
		if err != nil {
			if s := err.Error(); strings.ContainsAny(s, "\n\x00\u202e") {
				t.Fatalf("error %q", s)
			}
			return
		}
		inspectAll(t, r)
	})
}

// Damaged files of every kind take no more than 64 times their size to read, and
// what little any reading takes.
func TestReadingTakesLittleMemory(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	var before, after runtime.MemStats
	for k, b := range captures(t) {
		for range 60 {
			bad := slices.Clone(b)
			for range 1 + rng.IntN(6) {
				bad[rng.IntN(min(len(bad), 2048))] = byte(rng.IntN(256))
			}
			runtime.ReadMemStats(&before)
			r, err := Read(bytes.NewReader(bad), int64(len(bad)), "bad", Hints{})
			runtime.ReadMemStats(&after)
			const any = 4 << 20 // buffers, of which a few are chunks of frames
			if took := after.TotalAlloc - before.TotalAlloc; took > uint64(64*len(bad)+any) {
				t.Errorf("file %d of %d bytes, damaged, took %d bytes: %v", k, len(bad), took, err)
			}
			if err == nil {
				inspectAll(t, r)
			}
		}
	}
}

func TestShown(t *testing.T) {
	for text, want := range map[string]string{
		"S01": "S01", " Größe 7 ": "Größe 7", "a\nb\x00c": "a b c", "\u202egnp.exe": "gnp.exe", "a\u2067b\u2028c": "a b c",
		"../../etc/passwd": "../../etc/passwd", "日本\u200f語": "日本 語", "\ufeffx": "x", "👩\u200d🔬": "👩\u200d🔬", "\r\n": "",
	} {
		if got := Shown(text); got != want {
			t.Errorf("Shown(%q) = %q, want %q", text, got, want)
		}
	}
	file := "time_s,a\u202eb_x,a\u202eb_y,a\u202eb_z,..\\c_x,..\\c_y,..\\c_z\n0,1,2,3,4,5,6\n0.01,1,2,3,4,5,6\n"
	r, err := ReadText(strings.NewReader(file), "odd.csv", Hints{})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(r.Markers(), "|"); got != `a b|..\c` {
		t.Errorf("names %q", got)
	}
	_, err = ReadText(strings.NewReader(strings.ReplaceAll(file, `..\c`, "a\u202db")), "odd.csv", Hints{})
	if err == nil || !strings.Contains(err.Error(), "every marker needs a name that can be seen") {
		t.Errorf("two names that look alike: %v", err)
	}
}

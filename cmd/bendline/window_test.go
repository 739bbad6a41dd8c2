package main

import (
	"bufio"
	"bytes"
	"context"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bendline/app/study"
	"bendline/sampledata"
)

// A screen is a virtual display with the program's window on it.
type screen struct {
	t       *testing.T
	display string
	cache   string // folder the program keeps things in
	env     []string
}

// newScreen starts a virtual display that ends with the test. It skips the test
// where the tools to drive one are absent.
func newScreen(t *testing.T) *screen {
	t.Helper()
	for _, tool := range []string{"Xvfb", "xdotool", "import"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed: the real window cannot be driven", tool)
		}
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	// Without -noreset the server starts over when a program leaves as its last
	// client, and turns away one that comes meanwhile.
	x := exec.Command("Xvfb", "-noreset", "-displayfd", "3", "-screen", "0", "1600x1000x24", "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{w}
	if err := x.Start(); err != nil {
		t.Fatal(err)
	}
	w.Close()
	t.Cleanup(func() {
		x.Process.Kill()
		x.Wait()
	})
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		t.Fatalf("Xvfb gave no display: %v", err)
	}
	s := &screen{t: t, display: ":" + strings.TrimSpace(number)}
	home := t.TempDir()
	s.cache = filepath.Join(home, "cache")
	s.env = append(os.Environ(), "DISPLAY="+s.display, "WAYLAND_DISPLAY=", "LANG=en_US.UTF-8",
		"HOME="+home, "XDG_CONFIG_HOME="+filepath.Join(home, "config"), "XDG_CACHE_HOME="+s.cache)
	return s
}

// run runs a tool on the display and returns what it printed.
func (s *screen) run(name string, args ...string) ([]byte, error) {
	cmd := exec.Command(name, args...)
	cmd.Env = s.env
	return cmd.Output()
}

func (s *screen) picture() image.Image {
	s.t.Helper()
	out, err := s.run("import", "-window", "root", "png:-")
	if err != nil {
		s.t.Fatalf("import: %v", err)
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		s.t.Fatal(err)
	}
	return img
}

// until looks at the display again and again until see is content, for two minutes
// at most: a busy machine may take its time.
func (s *screen) until(what string, see func() bool) {
	s.t.Helper()
	for end := time.Now().Add(2 * time.Minute); !see(); {
		if time.Now().After(end) {
			s.t.Fatalf("two minutes went by without %s", what)
		}
		time.Sleep(50 * time.Millisecond) // between looks at another process
	}
}

// changed returns how many of the pixels of a grid differ between two pictures.
func changed(a, b image.Image) (n int) {
	const step = 4
	r := a.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y += step {
		for x := r.Min.X; x < r.Max.X; x += step {
			if a.At(x, y) != b.At(x, y) {
				n++
			}
		}
	}
	return n
}

// colours returns how many colours a picture has on a grid.
func colours(img image.Image) int {
	seen := map[[3]uint32]bool{}
	const step = 2
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += step {
		for x := b.Min.X; x < b.Max.X; x += step {
			r, g, bl, _ := img.At(x, y).RGBA()
			seen[[3]uint32{r, g, bl}] = true
		}
	}
	return len(seen)
}

// The real window, on the demo study: it comes up, draws the swings, plays when
// the space bar is struck, and ends of its own when it is closed.
func TestRealWindow(t *testing.T) {
	s := newScreen(t)
	p := s.start(build(t), "-demo")
	s.standing()
	still := s.picture()
	p.keys("Home", "space")
	s.until("the swings moving", func() bool { return changed(still, s.picture()) > 100 })

	s.quit(p)
}

// quit ends the program by its key.
func (s *screen) quit(p *process) {
	s.t.Helper()
	p.keys("ctrl+q")
	select {
	case err := <-p.ended:
		if err != nil {
			s.t.Errorf("the program ended with %v\n%s", err, p.said.String())
		}
	case <-time.After(time.Minute):
		s.t.Fatalf("the program does not end\n%s", p.said.String())
	}
}

// Corrects an event of the demo, takes it back, makes it again, saves, changes
// it once more, and is killed: what was saved is in the study, and what was not
// is beside it and offered at the next start.
func TestRealWindowLosesNothing(t *testing.T) {
	s := newScreen(t)
	binary := build(t)
	p := s.start(binary, "-demo")
	s.standing()
	study := filepath.Join(s.cache, "bendline", "demo", "study.json")
	unsaved := filepath.Join(filepath.Dir(study), ".study.json.unsaved")
	holds := func(path string) func() bool { // an event set by hand
		return func() bool {
			b, err := os.ReadFile(path)
			return err == nil && bytes.Contains(b, []byte(`"top_s"`))
		}
	}
	gone := func() bool {
		_, err := os.Stat(unsaved)
		return os.IsNotExist(err)
	}
	p.keys("t", "Left", "Left", "Left", "ctrl+t")
	s.until("the change beside the study", holds(unsaved))
	p.keys("ctrl+z")
	s.until("the change taken back", gone)
	p.keys("ctrl+shift+z")
	s.until("the change made again", holds(unsaved))
	p.keys("ctrl+s")
	s.until("the change in the study", holds(study))
	s.until("nothing beside it", gone)
	p.keys("Left", "Left", "ctrl+t")
	s.until("another change beside the study", holds(unsaved))
	p.program.Process.Kill()
	<-p.ended

	kept, err := os.ReadFile(unsaved)
	if err != nil {
		t.Fatal(err)
	}
	p = s.start(binary)
	s.standing()
	p.keys("Escape") // the question is not answered
	if now, err := os.ReadFile(unsaved); err != nil || !bytes.Equal(now, kept) {
		t.Errorf("after the next start what was not saved is lost: %v", err)
	}
	if !holds(study)() {
		t.Error("what was saved is lost")
	}
}

// A day with the window, by keys alone: two captures are brought into a study of
// two, an event is corrected, the clubs are compared, the correction is taken back,
// the study is saved and opened again. Then the program is killed while it
// analyses, and opens the study all the same. A picture of each step is kept
// where go test -artifacts says.
func TestRealWindowDay(t *testing.T) {
	dir := t.TempDir()
	demo := sampledata.Demo()
	day := []string{"a-base-1", "a-proto-1", "a-base-2", "a-proto-2"}
	demo.Runs = slices.DeleteFunc(demo.Runs, func(r sampledata.Run) bool { return !slices.Contains(day, r.ID) })
	if err := demo.Write(context.Background(), dir, nil); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "study.json")
	st, err := study.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	st.Runs = slices.DeleteFunc(st.Runs, func(r study.Run) bool { return slices.Index(day, r.ID) >= 2 })
	if err := st.Save(file); err != nil {
		t.Fatal(err)
	}
	unsaved := filepath.Join(dir, ".study.json.unsaved")
	has := func(path string, words ...string) func() bool {
		return func() bool {
			b, err := os.ReadFile(path)
			return err == nil && !slices.ContainsFunc(words, func(w string) bool { return !bytes.Contains(b, []byte(w)) })
		}
	}

	s := newScreen(t)
	binary := build(t)
	var last image.Image
	keep := func(step string) {
		t.Helper()
		s.standing()
		now := s.picture()
		if last != nil && changed(last, now) < 100 {
			t.Errorf("%s: the window looks as it did before", step)
		}
		last = now
		f, err := os.Create(filepath.Join(t.ArtifactDir(), step+".png"))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := png.Encode(f, now); err != nil {
			t.Fatal(err)
		}
	}
	p := s.start(binary, filepath.Join(dir, "a-base-2.csv"), filepath.Join(dir, "a-proto-2.csv"))
	keep("1-import")
	p.keys("ctrl+Return")
	s.until("the captures in the study", has(unsaved, `"a-base-2"`, `"a-proto-2"`))
	keep("2-brought-in")
	p.keys("t", "Left", "Left", "Left", "ctrl+t")
	s.until("the correction beside the study", has(unsaved, `"top_s"`))
	keep("3-corrected")
	p.keys("F3")
	keep("4-compared")
	p.keys("F2", "ctrl+z")
	s.until("the correction taken back", func() bool { return has(unsaved, `"a-proto-2"`)() && !has(unsaved, `"top_s"`)() })
	keep("5-undone")
	p.keys("ctrl+s")
	s.until("the study saved", has(file, `"a-base-2"`, `"a-proto-2"`))
	if has(file, `"top_s"`)() {
		t.Error("what was taken back is saved")
	}
	p.keys("F5")
	keep("6-slides")
	s.quit(p)

	p = s.start(binary, file)
	s.standing()
	p.keys("F4")
	keep("7-opened-again")
	s.quit(p)

	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(filepath.Join(s.cache, "bendline", "results")); err != nil {
		t.Fatal(err)
	}
	p = s.start(binary, file) // which now has to analyse everything
	p.program.Process.Kill()
	<-p.ended
	if after, err := os.ReadFile(file); err != nil || !bytes.Equal(before, after) {
		t.Errorf("killed while it analysed, the study is another: %v", err)
	}
	p = s.start(binary, file)
	s.standing()
	s.quit(p)
}

// build returns the program, built for a display without a graphics processor.
func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "bendline")
	if out, err := exec.Command("go", "build", "-tags", "gles", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return binary
}

// A process is the program on a screen.
type process struct {
	s       *screen
	program *exec.Cmd
	window  string
	said    bytes.Buffer
	ended   chan error
}

// start starts the program and waits for its window.
func (s *screen) start(binary string, args ...string) *process {
	s.t.Helper()
	p := &process{s: s, program: exec.Command(binary, args...), ended: make(chan error, 1)}
	p.program.Env = s.env
	p.program.Stdout, p.program.Stderr = &p.said, &p.said
	if err := p.program.Start(); err != nil {
		s.t.Fatal(err)
	}
	go func() { p.ended <- p.program.Wait() }()
	s.t.Cleanup(func() { p.program.Process.Kill() })
	s.until("a window", func() bool {
		select {
		case err := <-p.ended:
			s.t.Fatalf("the program ended with %v before it had a window\n%s", err, p.said.String())
		default:
		}
		out, err := s.run("xdotool", "search", "--onlyvisible", "--name", "Bendline")
		p.window = strings.TrimSpace(strings.Split(string(out), "\n")[0])
		return err == nil && p.window != ""
	})
	return p
}

// keys strikes keys in the window.
func (p *process) keys(names ...string) {
	p.s.t.Helper()
	args := append([]string{"windowfocus", p.window, "key", "--delay", "60"}, names...)
	if _, err := p.s.run("xdotool", args...); err != nil {
		p.s.t.Fatalf("xdotool: %v", err)
	}
}

// standing waits until swings are drawn and the picture stands still for a
// while.
func (s *screen) standing() {
	s.t.Helper()
	// Blank, a window has a handful of colours; with panes and curves, hundreds.
	s.until("a drawing", func() bool { return colours(s.picture()) > 200 })
	still, times := s.picture(), 0
	s.until("a picture that stands still", func() bool {
		last := still
		still = s.picture()
		if times++; changed(last, still) > 0 {
			times = 0
		}
		return times >= 5
	})
}

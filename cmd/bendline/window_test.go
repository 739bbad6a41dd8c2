package main

import (
	"bufio"
	"bytes"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A screen is a virtual display with the program's window on it.
type screen struct {
	t       *testing.T
	display string
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
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1600x1000x24", "-nolisten", "tcp")
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
	s.env = append(os.Environ(), "DISPLAY="+s.display, "WAYLAND_DISPLAY=", "LANG=en_US.UTF-8",
		"HOME="+home, "XDG_CONFIG_HOME="+filepath.Join(home, "config"), "XDG_CACHE_HOME="+filepath.Join(home, "cache"))
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

// until looks at the display again and again until see is content, for a minute
// at most: a busy machine may take its time.
func (s *screen) until(what string, see func() bool) {
	s.t.Helper()
	for end := time.Now().Add(time.Minute); !see(); {
		if time.Now().After(end) {
			s.t.Fatalf("a minute went by without %s", what)
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
	binary := filepath.Join(t.TempDir(), "bendline")
	if out, err := exec.Command("go", "build", "-tags", "gles", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	program := exec.Command(binary, "-demo")
	program.Env = s.env
	var said bytes.Buffer
	program.Stdout, program.Stderr = &said, &said
	if err := program.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- program.Wait() }()
	t.Cleanup(func() { program.Process.Kill() })

	var window string
	s.until("a window", func() bool {
		out, err := s.run("xdotool", "search", "--onlyvisible", "--name", "Bendline")
		window = strings.TrimSpace(strings.Split(string(out), "\n")[0])
		return err == nil && window != ""
	})
	// Blank, a window has a handful of colours; with panes and curves, hundreds.
	s.until("a drawing", func() bool { return colours(s.picture()) > 200 })
	still := s.picture()
	s.until("a picture that stands still", func() bool {
		last := still
		still = s.picture()
		return changed(last, still) == 0
	})
	if _, err := s.run("xdotool", "windowfocus", window, "key", "Home", "key", "space"); err != nil {
		t.Fatalf("xdotool: %v", err)
	}
	s.until("the swings moving", func() bool { return changed(still, s.picture()) > 100 })

	// Asks the window to close, as a window manager does.
	if _, err := s.run("xdotool", "key", "ctrl+q"); err != nil {
		t.Fatalf("xdotool: %v", err)
	}
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("the program ended with %v\n%s", err, said.String())
		}
	case <-time.After(time.Minute):
		t.Errorf("the program does not end\n%s", said.String())
	}
}

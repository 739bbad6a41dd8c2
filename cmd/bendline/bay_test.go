package main

import (
	"encoding/json"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bendline/app/study"
	"bendline/sampledata"
)

// A fitting session in the real window: captures are written to a folder in
// pieces, and each is on the screen soon after its last byte; the shaft is
// changed with one key; the program is killed while captures land, and goes on
// where it was: nothing is lost, and nothing is there twice.
func TestRealBay(t *testing.T) {
	s := newScreen(t)
	binary := build(t)
	home, land, made := t.TempDir(), t.TempDir(), t.TempDir()
	d := sampledata.Demo()
	d.Runs = slices.DeleteFunc(d.Runs, func(r sampledata.Run) bool { return r.Player != "a" })
	if err := d.Write(t.Context(), made, nil); err != nil {
		t.Fatal(err)
	}
	whole, err := study.Open(filepath.Join(made, "study.json"))
	if err != nil {
		t.Fatal(err)
	}
	empty := *whole
	empty.Runs = nil
	path := filepath.Join(home, "study.json")
	if _, err := empty.CopyTo(t.Context(), path, nil); err != nil {
		t.Fatal(err)
	}
	// As though a session had been begun before: the form is filled.
	config := filepath.Join(filepath.Dir(s.cache), "config", "bendline")
	if err := os.MkdirAll(config, 0o755); err != nil {
		t.Fatal(err)
	}
	prefs, err := json.Marshal(map[string]any{"last_study": path, "toured": true, "look": "light", "bay": map[string]any{
		"study": path, "folder": land, "player": "a", "clubs": []string{"base", "proto"}, "club": "base"}})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(config, "preferences.json"), prefs, 0o644); err != nil {
		t.Fatal(err)
	}
	runs := func() []study.Run {
		st, err := study.Open(path)
		if err != nil {
			t.Fatalf("the study is spoilt: %v", err)
		}
		return st.Runs
	}
	begin := func() *process {
		p := s.start(binary)
		s.until("the study", func() bool {
			name, err := s.run("xdotool", "getwindowname", p.window)
			return err == nil && strings.HasPrefix(string(name), whole.Title)
		})
		s.until("the page where a session starts", func() bool {
			p.keys("F7")
			_, ok := s.button()
			return ok
		})
		s.until("the live page", func() bool {
			if !s.accents(image.Rect(0, 65, 600, 115)).Empty() { // the shaft on the tee
				return true
			}
			at, there := s.button()
			if !there { // not to be had while the study is analysed
				return false
			}
			// The pointer comes from elsewhere, so that the window is told where it is.
			if _, err := s.run("xdotool", "mousemove", "700", "600", "mousemove", fmt.Sprint(at.X), fmt.Sprint(at.Y), "click", "1"); err != nil {
				t.Fatalf("xdotool: %v", err)
			}
			time.Sleep(300 * time.Millisecond) // between looks at another process
			return false
		})
		return p
	}
	swing := func(file string) (last time.Time) {
		content, err := os.ReadFile(filepath.Join(made, file))
		if err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(land, file))
		if err != nil {
			t.Fatal(err)
		}
		const pieces = 8
		for i := range pieces {
			if _, err := f.Write(content[i*len(content)/pieces : (i+1)*len(content)/pieces]); err != nil {
				t.Fatal(err)
			}
			last = time.Now()
			if i < pieces-1 {
				time.Sleep(80 * time.Millisecond) // a pause of the writer
			}
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		return last
	}

	p := begin()
	ready := s.picture()
	last := swing("a-base-1.csv")
	s.until("the swing on the screen", func() bool { return changed(lower(ready), lower(s.picture())) > 400 })
	t.Logf("on the screen %.2f s after its last byte, with the time to take a picture", time.Since(last).Seconds())
	s.until("the swing in the study", func() bool { return len(runs()) == 1 })
	p.keys("2")
	swing("a-proto-1.csv")
	s.until("a swing of the other shaft", func() bool { return len(runs()) == 2 })
	if r := runs(); r[0].Club != "base" || r[1].Club != "proto" || r[1].Player != "a" {
		t.Errorf("runs %+v", r)
	}
	p.keys("ctrl+z") // of the shaft
	swing("a-base-2.csv")
	swing("a-base-3.csv")
	p.program.Process.Kill()
	<-p.ended

	p = begin()
	swing("a-base-4.csv")
	s.until("all swings in the study", func() bool { return len(runs()) == 5 })
	seen := map[string]bool{}
	for _, r := range runs() {
		content, err := os.ReadFile(filepath.Join(home, r.File))
		if err != nil {
			t.Fatal(err)
		}
		if seen[string(content)] {
			t.Errorf("%s is in the study twice", r.File)
		}
		seen[string(content)] = true
		if want := map[bool]string{true: "proto", false: "base"}[r.ID == "a-proto-1"]; r.Club != want {
			t.Errorf("run %s is of %s, want %s", r.ID, r.Club, want)
		}
	}
	p.keys("p")
	s.until("the player's sheet", func() bool {
		_, err := os.Stat(filepath.Join(home, "study-a.pdf"))
		return err == nil
	})
	p.keys("ctrl+q")
	select {
	case err := <-p.ended:
		if err != nil {
			t.Errorf("the program ended with %v\n%s", err, p.said.String())
		}
	case <-time.After(time.Minute):
		t.Errorf("the program does not end\n%s", p.said.String())
	}
}

// lower returns the part of a picture of the window where figures stand.
func lower(img image.Image) image.Image {
	b := img.Bounds()
	b.Min.Y += 210
	return img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(b)
}

// accents returns the smallest rectangle about what has the light look's accent
// in a part of the display.
func (s *screen) accents(part image.Rectangle) (box image.Rectangle) {
	s.t.Helper()
	img := s.picture()
	part = part.Intersect(img.Bounds())
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			if r, g, b, _ := img.At(x, y).RGBA(); r>>8 == 0x1d && g>>8 == 0x6b && b>>8 == 0x66 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return box
}

// button returns the middle of the lowest button in the accent, if one stands
// below the bar of screens: the one that starts a session.
func (s *screen) button() (at image.Point, ok bool) {
	s.t.Helper()
	all := s.accents(image.Rect(0, 200, 1600, 1000))
	const height = 40 // of a button, at most
	box := s.accents(image.Rect(0, all.Max.Y-height, 1600, all.Max.Y))
	if box.Dx() < 40 || box.Dy() < 15 {
		return image.Point{}, false
	}
	return image.Pt((box.Min.X+box.Max.X)/2, (box.Min.Y+box.Max.Y)/2), true
}

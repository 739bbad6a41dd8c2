package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bendline/app/study"
)

// emptyStudy writes the simulated study without its runs to a folder and returns
// the study's path.
func emptyStudy(t *testing.T, home string) string {
	t.Helper()
	for _, file := range []string{"study.json", "base-reference.csv", "base-left-reference.csv", "proto-reference.csv", "proto-left-reference.csv"} {
		write(t, filepath.Join(home, file), read(t, filepath.Join(simulated(), file)))
	}
	path := filepath.Join(home, "study.json")
	s, err := study.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s.Runs = nil
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// A watched is a process of the program that watches a folder.
type watched struct {
	*exec.Cmd
	mu    sync.Mutex
	lines []string      // of standard output
	said  bytes.Buffer  // standard error
	ended chan struct{} // standard output
}

func startWatch(t *testing.T, path, dir string) *watched {
	t.Helper()
	w := &watched{Cmd: program(t, "watch", path, dir, "--player", "a", "--club", "base"), ended: make(chan struct{})}
	out, err := w.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	w.Stderr = &w.said
	if err := w.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		defer close(w.ended)
		for in := bufio.NewReader(out); ; {
			line, err := in.ReadString('\n')
			if err != nil {
				return // a line cut off by the kill is none
			}
			w.mu.Lock()
			w.lines = append(w.lines, line)
			w.mu.Unlock()
		}
	}()
	return w
}

// end waits until the process is gone and returns its lines.
func (w *watched) end() []string {
	<-w.ended
	w.Wait() // killed, or its exit code is of no interest
	return w.lines
}

func (w *watched) count() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return len(w.lines)
}

// variants are captures that differ: each lacks a few more of the last frames.
func variants(t *testing.T, n int) []string {
	t.Helper()
	text := read(t, filepath.Join(simulated(), "a-base-1.csv"))
	var list []string
	for range n {
		text = text[:strings.LastIndexByte(strings.TrimSuffix(text, "\n"), '\n')+1]
		list = append(list, text)
	}
	return list
}

// The watch is killed at instants at random while captures land, and started
// anew: in the end the study has every capture once, and none was told of twice.
func TestWatchIsKilled(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	home, dir := t.TempDir(), t.TempDir()
	path := emptyStudy(t, home)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	told := map[string]int{} // by file: lines on standard output
	take := func(lines []string) {
		for _, line := range lines {
			var l struct {
				ID, File, Error string
				OK              bool
			}
			if err := json.Unmarshal([]byte(line), &l); err != nil || !l.OK {
				t.Fatalf("%v: %s", err, line)
			}
			told[l.File]++
		}
	}
	captures := variants(t, 10)
	for i, content := range captures {
		w := startWatch(t, path, dir)
		// It lands in pieces, as a capture program writes it.
		f, err := os.Create(filepath.Join(dir, fmt.Sprintf("swing-%02d.csv", i)))
		if err != nil {
			t.Fatal(err)
		}
		for half := range 2 {
			part := content[half*len(content)/2 : (half+1)*len(content)/2]
			if _, err := io.WriteString(f, part); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Duration(rng.IntN(100)) * time.Millisecond) // a pause of the writer
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rng.IntN(1500)) * time.Millisecond) // the instant of the kill
		if err := w.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		take(w.end())
		// Whatever is there is whole.
		if _, err := study.Open(path); err != nil {
			t.Fatalf("after the kill: %v", err)
		}
	}
	w := startWatch(t, path, dir)
	for end := time.Now().Add(2 * time.Minute); ; {
		if s, err := study.Open(path); err == nil && len(s.Runs) == len(captures) {
			break
		}
		if time.Now().After(end) {
			t.Fatal("captures are not all taken in")
		}
		time.Sleep(50 * time.Millisecond) // between looks at another process
	}
	if err := w.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	take(w.end())

	s, err := study.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, r := range s.Runs {
		content := read(t, filepath.Join(home, r.File))
		if seen[content] || r.Club != "base" || r.Player != "a" {
			t.Errorf("run %s: %s is there twice, or of %s with %s", r.ID, r.File, r.Player, r.Club)
		}
		seen[content] = true
	}
	for i, content := range captures {
		if !seen[content] {
			t.Errorf("capture %d is lost", i)
		}
	}
	for file, n := range told {
		if n > 1 {
			t.Errorf("%s was told of %d times", file, n)
		}
	}
	copies, err := filepath.Glob(filepath.Join(home, "swing-*.csv"))
	if err != nil || len(copies) != len(captures) {
		t.Errorf("%d copies of %d captures in the study's folder: %v", len(copies), len(captures), copies)
	}
	whole := filepath.Join(t.TempDir(), "whole.json")
	must(t, "analyze", path, "-o", whole)
	if read(t, filepath.Join(home, "results.json")) != read(t, whole) {
		t.Error("results.json is not what analyze makes of the study")
	}
}

// A hundred files land at once: a line for each, and the study has each once.
func TestHundredFilesAtOnce(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	home, dir := t.TempDir(), t.TempDir()
	path := emptyStudy(t, home)
	captures := variants(t, 2)
	// The others end before the blow, so that the test is soon over.
	lines := strings.SplitAfter(captures[0], "\n")
	for i := range 98 {
		captures = append(captures, strings.Join(lines[:120+i], ""))
	}
	for i, content := range captures {
		write(t, filepath.Join(dir, fmt.Sprintf("%02d.csv", i)), content)
	}
	w := startWatch(t, path, dir)
	for end := time.Now().Add(5 * time.Minute); w.count() < len(captures) && time.Now().Before(end); {
		time.Sleep(50 * time.Millisecond) // between looks at another process
	}
	if err := w.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	files := map[string]bool{}
	for _, line := range w.end() {
		var l struct{ File, Fault string }
		if err := json.Unmarshal([]byte(line), &l); err != nil || files[l.File] {
			t.Fatalf("%v, or twice: %s", err, line)
		}
		files[l.File] = true
		if good := l.File == "00.csv" || l.File == "01.csv"; good != (l.Fault == "") {
			t.Errorf("%s: fault %q", l.File, l.Fault)
		}
	}
	if s, err := study.Open(path); err != nil || len(s.Runs) != 100 || len(files) != 100 {
		t.Errorf("%v, or %d lines", err, len(files))
	}
}

// The disk of the study is full for a while: it is said once, nothing is lost,
// and all is written when there is room.
func TestWatchOnAFullDisk(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	home, dir := t.TempDir(), t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", home).CombinedOutput(); err != nil {
		t.Skipf("a small disk cannot be mounted here: %s", bytes.TrimSpace(out))
	}
	defer func() {
		if out, err := exec.Command("umount", home).CombinedOutput(); err != nil {
			t.Errorf("%v: %s", err, out)
		}
	}()
	path := emptyStudy(t, home)
	before := read(t, path)
	ballast := filepath.Join(home, "ballast")
	fill := exec.Command("dd", "if=/dev/zero", "of="+ballast, "bs=4k") // until there is no room
	fill.Run()
	w := startWatch(t, path, dir)
	write(t, filepath.Join(dir, "1.csv"), variants(t, 1)[0])
	time.Sleep(4 * time.Second) // several looks at a disk that stays full
	if w.count() != 0 || read(t, path) != before {
		t.Error("a full disk, and something was written")
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(time.Minute); w.count() == 0 && time.Now().Before(end); {
		time.Sleep(50 * time.Millisecond) // between looks at another process
	}
	if err := w.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	w.end()
	s, err := study.Open(path)
	if err != nil || len(s.Runs) != 1 || w.count() != 1 {
		t.Fatalf("%v, or the capture is not taken in: %s", err, &w.said)
	}
	if n := strings.Count(w.said.String(), "no space left on device"); n < 1 || n > 2 {
		t.Errorf("the full disk is told of %d times:\n%s", n, &w.said)
	}
}

// The folder that is watched goes away and comes back.
func TestWatchedFolderReturns(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	home, dir := t.TempDir(), filepath.Join(t.TempDir(), "share")
	path := emptyStudy(t, home)
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	w := startWatch(t, path, dir)
	wait := func(n int) {
		for end := time.Now().Add(time.Minute); w.count() < n; {
			if time.Now().After(end) {
				t.Fatalf("%d lines", w.count())
			}
			time.Sleep(50 * time.Millisecond) // between looks at another process
		}
	}
	captures := variants(t, 2)
	write(t, filepath.Join(dir, "1.csv"), captures[0])
	wait(1)
	if err := os.Rename(dir, dir+"-away"); err != nil {
		t.Fatal(err)
	}
	time.Sleep(2 * time.Second) // several looks at nothing
	if err := os.Rename(dir+"-away", dir); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "2.csv"), captures[1])
	wait(2)
	if err := w.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	w.end()
	if said := w.said.String(); strings.Count(said, "cannot be read") != 1 || strings.Count(said, "is back") != 1 {
		t.Errorf("said\n%s", said)
	}
	if s, err := study.Open(path); err != nil || len(s.Runs) != 2 {
		t.Errorf("%v, or not both are in", err)
	}
}

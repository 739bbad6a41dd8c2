package study

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// killedEnv tells a test that it is the process to be killed, and the study it
// works on.
const killedEnv = "BENDLINE_TEST_KILLED"

// killed runs the test again in a process of its own, on the study at path, and
// kills it after a while.
func killed(t *testing.T, path string, after time.Duration) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	cmd.Env = append(os.Environ(), killedEnv+"="+path)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if n, err := out.Read(make([]byte, 1)); n != 1 || err != nil { // it says when it has begun
		t.Fatalf("the process does not begin: %v", err)
	}
	time.Sleep(after)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	cmd.Wait() // killed: its error says so
}

// A process that saves two versions of a study in turn, without end, is killed:
// every time one of the two is there, whole.
func TestKilledWhileSaving(t *testing.T) {
	titles := []string{"before", "after"}
	if path := os.Getenv(killedEnv); path != "" {
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Print("b")
		for i := 0; ; i++ {
			s.Title = titles[i%2]
			if err := s.Save(path); err != nil {
				t.Fatal(err)
			}
			if err := s.Autosave(); err != nil {
				t.Fatal(err)
			}
		}
	}
	s := mustOpen(t, full)
	s.Title = titles[0]
	if err := s.Save(s.Path); err != nil {
		t.Fatal(err)
	}
	var versions [2][]byte
	for i, title := range titles {
		s.Title = title
		var b bytes.Buffer
		if err := s.Write(&b); err != nil {
			t.Fatal(err)
		}
		versions[i] = b.Bytes()
	}
	for i := range 12 {
		killed(t, s.Path, time.Duration(1+7*i)*time.Millisecond)
		b, err := os.ReadFile(s.Path)
		if err != nil || !bytes.Equal(b, versions[0]) && !bytes.Equal(b, versions[1]) {
			t.Fatalf("killed while it was saved, the study is %d bytes, %v", len(b), err)
		}
		if _, _, err := Recover(s.Path); err != nil {
			t.Fatalf("killed while changes were kept safe: %v", err)
		}
	}
}

// A process that analyses a study and keeps its results is killed: the study and
// its captures are as they were, and what was kept by then is right.
func TestKilledWhileAnalysing(t *testing.T) {
	if path := os.Getenv(killedEnv); path != "" {
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Print("b")
		for {
			k := NewKeep(filepath.Join(filepath.Dir(path), "keep"))
			if err := Stream(context.Background(), s, s.Runs, k, func(int, *Result) {}); err != nil {
				t.Fatal(err)
			}
			if err := os.RemoveAll(k.dir); err != nil {
				t.Fatal(err)
			}
		}
	}
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:3]
	if err := s.Save(s.Path); err != nil {
		t.Fatal(err)
	}
	files := func() map[string]string {
		all := map[string]string{}
		entries, err := os.ReadDir(filepath.Dir(s.Path))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if e.Type().IsRegular() {
				b, err := os.ReadFile(filepath.Join(filepath.Dir(s.Path), e.Name()))
				if err != nil {
					t.Fatal(err)
				}
				all[e.Name()] = string(b)
			}
		}
		return all
	}
	before, want := files(), written(t, s, streamed(t, s, nil))
	for i := range 6 {
		killed(t, s.Path, time.Duration(20+90*i)*time.Millisecond)
		after := files()
		for name, text := range before {
			if after[name] != text {
				t.Fatalf("%s was changed", name)
			}
		}
		if len(after) != len(before) {
			t.Fatalf("%d files are beside the study, want %d", len(after), len(before))
		}
		k := NewKeep(filepath.Join(filepath.Dir(s.Path), "keep"))
		if got := written(t, s, streamed(t, s, k)); got != want {
			t.Fatalf("with what was kept, the results are\n%s\nwant\n%s", got, want)
		}
	}
}

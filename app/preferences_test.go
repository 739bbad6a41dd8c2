package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func TestPreferencesComeBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "preferences.json")
	none, err := ReadPreferences(path)
	if err != nil || !reflect.DeepEqual(none, Preferences{}) {
		t.Fatalf("without a file: %+v, %v", none, err)
	}
	p := Preferences{Look: DarkLook}
	for i := range maxRecent + 2 {
		p = p.opened(fmt.Sprintf("/studies/%d/study.json", i))
	}
	p = p.opened("/studies/5/study.json") // again
	if p.LastStudy != "/studies/5/study.json" || len(p.Recent) != maxRecent || p.Recent[1] != "/studies/9/study.json" {
		t.Errorf("lately opened: %v", p.Recent)
	}
	if err := p.Write(path); err != nil {
		t.Fatal(err)
	}
	back, err := ReadPreferences(path)
	if err != nil || !reflect.DeepEqual(back, p) {
		t.Errorf("came back as %+v, %v; want %+v", back, err, p)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("beside the preferences there are %v, %v", left, err)
	}
}

func TestDamagedPreferencesStartAfresh(t *testing.T) {
	path := filepath.Join(t.TempDir(), "preferences.json")
	if err := os.WriteFile(path, []byte(`{"look":"dark"`), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := ReadPreferences(path)
	if err == nil || p.Look != "" {
		t.Errorf("half a file gives %+v, %v", p, err)
	}
}

func TestSentence(t *testing.T) {
	_, missing := os.Open(filepath.Join(t.TempDir(), "none.json"))
	for _, c := range []struct {
		err  error
		want string
	}{
		{errors.New("study: there is no club \"x\" in the study"), "There is no club \"x\" in the study."},
		{fmt.Errorf("report: writing out.pdf: %w", errors.New("study: the disk is full.")), "Writing out.pdf: the disk is full."},
		{errors.New("study: p1.csv: line 3: text in a number"), "p1.csv: line 3: text in a number."},
		{fmt.Errorf("capture: two\nlines"), "Two lines."},
		{&fs.PathError{Op: "open", Path: "a.csv", Err: fs.ErrPermission}, "Open a.csv: permission denied; choose a folder you may write to, or ask for the right."},
	} {
		if got := sentence(c.err); got != c.want {
			t.Errorf("%q is told as %q, want %q", c.err, got, c.want)
		}
	}
	if got := sentence(missing); !strings.HasSuffix(got, "check the path, or whether the file was moved.") {
		t.Errorf("a missing file is told as %q", got)
	}
}

func TestLocate(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, studyFile)
	empty := filepath.Join(dir, "empty")
	capture := filepath.Join(dir, "p1.csv")
	alone := filepath.Join(empty, "p2.csv")
	for _, err := range []error{os.Mkdir(empty, 0o755), os.WriteFile(alone, nil, 0o644), os.WriteFile(file, nil, 0o644), os.WriteFile(capture, nil, 0o644)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, given := range []string{file, dir, " " + dir + "\n"} {
		if got, err := locate([]string{given}); err != nil || got != file {
			t.Errorf("%q leads to %q, %v", given, got, err)
		}
	}
	for given, want := range map[string]string{
		alone:                         "a capture needs a study.json",
		capture:                       "open " + file,
		empty:                         "has no study.json",
		filepath.Join(dir, "gone"):    "cannot open",
		"":                            "no file was named",
		filepath.Join(capture, "sub"): "cannot open",
	} {
		if _, err := locate([]string{given}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gives %v, want an error with %q", given, err, want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{{1.25, 1, "1.2"}, {-3.14, 2, "−3.14"}, {-0.04, 1, "0.0"}, {0, 0, "0"}} {
		if got := decimal(c.v, c.digits); got != c.want {
			t.Errorf("%v with %d decimals is %q, want %q", c.v, c.digits, got, c.want)
		}
	}
}

// TestSize makes all larger: the toolkit is told, and the next start too.
func TestSize(t *testing.T) {
	t.Setenv(sizeVariable, "")
	x := newWorld(t)
	if !x.menu.sizes[100].Checked {
		t.Error("at first no size is ticked")
	}
	x.menu.sizes[150].Action()
	if got := os.Getenv(sizeVariable); got != "1.5" {
		t.Errorf("the toolkit is told %q", got)
	}
	if !x.menu.sizes[150].Checked || x.menu.sizes[100].Checked {
		t.Error("the wrong size is ticked")
	}
	if p, err := ReadPreferences(x.around.Preferences); err != nil || p.Size != 150 {
		t.Errorf("remembered as %d, %v", p.Size, err)
	}
}

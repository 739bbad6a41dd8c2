package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// asProgram makes the test binary be the program.
const asProgram = "BENDLINE_BATCH_AS_PROGRAM"

func init() {
	if os.Getenv(asProgram) != "" {
		main()
	}
}

// program returns a command that runs the command line in a process of its own.
func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), exe, args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	return c
}

// Parts made by processes of their own, at the same time, are merged into what
// one process makes of the whole, to the byte.
func TestPartsInProcesses(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	whole := filepath.Join(out, "whole.json")
	if text, err := program(t, "analyze", study, "-o", whole).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	const n = 3
	var parts []string
	var running []*exec.Cmd
	for k := 1; k <= n; k++ {
		path := filepath.Join(out, fmt.Sprintf("part-%d.json", k))
		c := program(t, "analyze", study, "-o", path, "--part", fmt.Sprintf("%d/%d", k, n))
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		parts, running = append(parts, path), append(running, c)
	}
	for _, c := range running {
		if err := c.Wait(); err != nil {
			t.Fatal(err)
		}
	}
	merged := filepath.Join(out, "merged.json")
	if text, err := program(t, append([]string{"merge", "-o", merged}, parts...)...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if read(t, merged) != read(t, whole) {
		t.Errorf("merged\n%s\nwhole\n%s", read(t, merged), read(t, whole))
	}
	missing := filepath.Join(out, "missing.json")
	text, err := program(t, "merge", parts[0], parts[2], "-o", missing).CombinedOutput()
	if err == nil || !strings.Contains(string(text), "part 2 of 3 is missing") {
		t.Errorf("%v: %s", err, text)
	}
	only(t, out, "merged.json", "part-1.json", "part-2.json", "part-3.json", "whole.json")
	for _, args := range [][]string{{"analyze", "-h"}, {"merge", "-h"}} {
		if help := must(t, args...); !strings.Contains(help, "SLURM_ARRAY_TASK_ID") || !strings.Contains(help, "JOB_COMPLETION_INDEX") {
			t.Errorf("%v: %s", args, help)
		}
	}
	if code, _, stderr := call(t, "analyze", study, "-o", missing, "--part", "4/3"); code != exitUsage || !strings.Contains(stderr, "k from 1 to n") {
		t.Errorf("exit %d, %q", code, stderr)
	}
}

// A program that watches a folder tells of each capture that lands there; it is
// killed, started anew, and interrupted.
func TestWatch(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	home, dir := t.TempDir(), t.TempDir()
	for _, file := range []string{"study.json", "base-reference.csv", "base-left-reference.csv", "proto-reference.csv", "proto-left-reference.csv", "a-base-1.csv", "a-base-3.csv"} {
		write(t, filepath.Join(home, file), read(t, filepath.Join(simulated(), file)))
	}
	// The study has two runs of four; the others are to land.
	path := filepath.Join(home, "study.json")
	var content map[string]any
	if err := json.Unmarshal([]byte(read(t, path)), &content); err != nil {
		t.Fatal(err)
	}
	content["runs"] = content["runs"].([]any)[:2]
	b, err := json.Marshal(content)
	if err != nil {
		t.Fatal(err)
	}
	write(t, path, string(b))

	start := func() (c *exec.Cmd, lines *bufio.Reader, said *bytes.Buffer) {
		c = program(t, "watch", path, dir, "--player", "a", "--club", "proto")
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		said = new(bytes.Buffer)
		c.Stderr = said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		return c, bufio.NewReader(out), said
	}
	type line struct {
		ID, File string
		OK       bool
		Impact   map[string]struct{ Value, U95 float64 }
	}
	next := func(lines *bufio.Reader) (l line) {
		text, err := lines.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal([]byte(text), &l); err != nil {
			t.Fatal(err)
		}
		return l
	}
	land := func(name string) { write(t, filepath.Join(dir, name), read(t, filepath.Join(simulated(), name))) }

	c, lines, _ := start()
	land("a-proto-1.csv")
	if l := next(lines); l.ID != "a-proto-1" || !l.OK || len(l.Impact) != 7 {
		t.Errorf("%+v", l)
	}
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	c.Wait() // killed

	land("a-proto-2.csv")
	c, lines, said := start()
	if l := next(lines); l.ID != "a-proto-2" || !l.OK {
		t.Errorf("%+v", l)
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	rest, err := io.ReadAll(lines)
	if err != nil || len(rest) > 0 {
		t.Errorf("%v, more lines: %s", err, rest)
	}
	if err := c.Wait(); err != nil {
		t.Errorf("interrupted: %v: %s", err, said)
	}
	if !strings.Contains(said.String(), `a-proto-1.csv: run "a-proto-1" has this capture already`) {
		t.Errorf("said %s", said)
	}
	whole := filepath.Join(t.TempDir(), "whole.json")
	must(t, "analyze", path, "-o", whole)
	if got := read(t, filepath.Join(home, "results.json")); got != read(t, whole) {
		t.Errorf("results.json is %s\nanalyze gives %s", got, read(t, whole))
	}
	only(t, home, "a-base-1.csv", "a-base-3.csv", "a-proto-1.csv", "a-proto-2.csv", "base-left-reference.csv", "base-reference.csv",
		"proto-left-reference.csv", "proto-reference.csv", "results.json", "study.json")
}

func TestWatchRefuses(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	study, dir := filepath.Join(simulated(), "study.json"), t.TempDir()
	for _, c := range []struct {
		args string
		code int
		want string
	}{
		{"--player a", exitUsage, "watch needs --player and --club"},
		{"--player x --club base", exitFailed, `there is no player "x"`},
		{"--player a --club x", exitFailed, `there is no club "x" in the study; it has base, `},
	} {
		code, stdout, stderr := call(t, append([]string{"watch", study, dir}, strings.Fields(c.args)...)...)
		if code != c.code || stdout != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("%s: exit %d, %q, %q", c.args, code, stdout, stderr)
		}
	}
	if code, _, stderr := call(t, "watch", study, filepath.Join(dir, "none"), "--player", "a", "--club", "base"); code != exitFailed || !strings.Contains(stderr, "is no folder") {
		t.Errorf("exit %d, %q", code, stderr)
	}
	if _, err := os.Stat(filepath.Join(simulated(), "results.json")); err == nil {
		t.Error("results were written")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if code := run(ctx, []string{"watch", study, dir, "--player", "a", "--club", "base"}, io.Discard, io.Discard); code != exitFailed {
		t.Errorf("cancelled before it began: exit %d", code)
	}
}

package study

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"unicode/utf8"
)

// maxStudy is the largest study file read, bytes. A run takes some 200, so that
// anything larger is another kind of file.
const maxStudy = 64 << 20

// inFolder is the name of a study file in its folder.
const inFolder = "study.json"

// Open reads a study file, version 1, or the study.json of a folder. What it
// cannot understand, and what contradicts itself, is an error that names the
// place. Files that the study names are not looked at: Analyze finds those that
// are missing or lie outside the study's folder.
func Open(path string) (*Study, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		file := filepath.Join(path, inFolder)
		if _, err := os.Stat(file); err != nil {
			return nil, fmt.Errorf("study: %s is a folder without a %s; name the study file", path, inFolder)
		}
		path = file
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxStudy+1))
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	s, err := parse(b)
	if err != nil {
		return nil, fmt.Errorf("study: %s: %w", path, err)
	}
	s.Path = path
	return s, nil
}

// parse reads the bytes of a study file.
func parse(b []byte) (*Study, error) {
	b = bytes.TrimPrefix(b, []byte("\ufeff"))
	switch {
	case len(b) > maxStudy:
		return nil, fmt.Errorf("larger than %d MB, so it is no study file", maxStudy>>20)
	case len(bytes.TrimSpace(b)) == 0:
		return nil, errors.New("the file is empty; a study file is JSON with clubs, players and runs")
	}
	var any json.RawMessage
	if err := json.Unmarshal(b, &any); err != nil {
		var syntax *json.SyntaxError
		if errors.As(err, &syntax) {
			line, column := position(b, syntax.Offset)
			return nil, fmt.Errorf("line %d, column %d: not valid JSON: %w", line, column, err)
		}
		return nil, err
	}
	var head node[struct {
		Format  string  `json:"format"`
		Version float64 `json:"version"`
	}]
	if err := decode(b, &head); err != nil {
		return nil, err
	}
	if head.Known.Format != studyFormat {
		return nil, fmt.Errorf("format is %q; a study file has \"format\": %q", head.Known.Format, studyFormat)
	}
	if head.Known.Version != studyVersion {
		return nil, fmt.Errorf("version is %v; this program reads version %d", head.Known.Version, studyVersion)
	}
	var f node[studyJSON]
	if err := decode(b, &f); err != nil {
		return nil, err
	}
	s, err := newStudy(f)
	if err != nil {
		return nil, err
	}
	return s, s.Validate()
}

// position returns the line and column, from 1, of the byte before offset.
func position(b []byte, offset int64) (line, column int) {
	before := b[:max(0, min(offset, int64(len(b)))-1)]
	line = 1 + bytes.Count(before, []byte("\n"))
	return line, 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}

// Save writes the study to path, whole or not at all. Keys that were read and
// are not known to this version are written back. A study that Open would
// refuse is not written.
func (s *Study) Save(path string) error {
	if err := s.Validate(); err != nil {
		return fmt.Errorf("study: not saved: %w", err)
	}
	if err := WriteFile(path, s.Write); err != nil {
		return err
	}
	clearBeside(path)
	return nil
}

// Write writes the study as Save does, whether Open would refuse it or not.
func (s *Study) Write(w io.Writer) error {
	b, err := encode(s.encode())
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	var out bytes.Buffer
	if err := json.Indent(&out, b, "", "  "); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}

// WriteFile makes the file at path, or replaces it, with what write writes.
// Unless all of it succeeds, path stays as it was. A path that is there and is
// no plain file, such as a pipe, is written to directly.
func WriteFile(path string, write func(io.Writer) error) error {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	mode := fs.FileMode(0o666)
	if info, err := os.Stat(path); err == nil {
		if !info.Mode().IsRegular() {
			return named(path, fill(path, os.O_WRONLY, 0, write))
		}
		mode = info.Mode().Perm()
	}
	temporary := temporaryFor(path)
	err := fill(temporary, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode, write)
	if err == nil {
		err = os.Rename(temporary, path)
	}
	if err != nil {
		os.Remove(temporary) // may not be there; the first error is the one to tell
	}
	return named(path, err)
}

// fill opens path and writes to it, down to the disk where it is a new file.
func fill(path string, flag int, mode fs.FileMode, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(path, flag, mode)
	if err != nil {
		return err
	}
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	w := bufio.NewWriter(f)
	if err := write(w); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if flag&os.O_EXCL == 0 {
		return nil
	}
	return f.Sync()
}

// named returns a file system error as one about path, whatever file it was met
// at on the way.
func named(path string, err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return fmt.Errorf("study: cannot write %s: %w", path, p.Err)
	case errors.As(err, &l):
		return fmt.Errorf("study: cannot write %s: %w", path, l.Err)
	}
	return err
}

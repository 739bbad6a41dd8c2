package study

import (
	"bytes"
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
)

// partJSON is a results file of a part: that of WriteResults and, beside it,
// what Merge needs.
type partJSON struct {
	Format  string        `json:"format"`
	Version int           `json:"version"`
	Part    *shareJSON    `json:"part"`
	Runs    []partRunJSON `json:"runs"`
}

// shareJSON says which part it is, and of what.
type shareJSON struct {
	Number  int    `json:"number"`
	Of      int    `json:"of"`
	Runs    int    `json:"study_runs"`
	Study   string `json:"study_sha256"`
	Program string `json:"program_sha256"`
}

type partRunJSON struct {
	resultJSON
	Alone []byte `json:"alone,omitempty"` // the run by itself, a kept; "" of one that failed
}

// WritePart writes the results that AnalyzePart returned, as WriteResults does
// with all. Values at impact are pooled over the part, which is not what the
// whole study says of them: beside each run stands, as "alone", what Merge pools
// anew.
func WritePart(w io.Writer, s *Study, part Part, results []*Result) error {
	study, err := s.sum()
	if err != nil {
		return err
	}
	program, err := programSum()
	if err != nil {
		return fmt.Errorf("study: the program cannot read its own file, to name it in the part: %w", err)
	}
	out := partJSON{"bendline-results", 1, &shareJSON{part.Number, part.Of, len(s.Runs), study, program}, make([]partRunJSON, len(results))}
	for i, r := range Pool(results) {
		out.Runs[i].resultJSON = newResultJSON(r)
		if r.OK() {
			var b bytes.Buffer
			if err := gob.NewEncoder(&b).Encode(kept{Capture: r.Capture, Flags: results[i].Flags, Swing: results[i].Swing.Summary()}); err != nil {
				return fmt.Errorf("study: run %q: %w", r.Run.ID, err)
			}
			out.Runs[i].Alone = b.Bytes()
		}
	}
	return writeJSON(w, out)
}

// Merge reads the files of all parts of a study, in any order, and returns the
// results in the order of the study. First contact is pooled over all of them:
// WriteResults of them writes what it would of Analyze, to the byte. A Result
// has the id of its run, and its Swing no frames.
//
// It is an error if a file is no part, if a part is missing or there twice, or
// if the parts are of different studies or by different programs.
func Merge(paths []string) ([]*Result, error) {
	if len(paths) == 0 {
		return nil, errors.New("study: no part is named")
	}
	var first *shareJSON
	from := make(map[int]int) // by part, which of the paths it is in
	parts := make([]*partJSON, len(paths))
	for i, path := range paths {
		f, err := readPart(path)
		if err != nil {
			return nil, fmt.Errorf("study: %s: %w", path, err)
		}
		if first == nil {
			first = f.Part
		}
		if err := f.Part.joins(first); err != nil {
			return nil, fmt.Errorf("study: %s does not go with %s: %w", path, paths[0], err)
		}
		if was, ok := from[f.Part.Number]; ok {
			return nil, fmt.Errorf("study: %s and %s are both %v; name each part once", paths[was], path, f.Part.part())
		}
		from[f.Part.Number], parts[i] = i, f
	}
	for k := range first.Of {
		if _, ok := from[k+1]; !ok {
			p := Part{k + 1, first.Of}
			return nil, fmt.Errorf("study: %v is missing; make it with analyze --part %d/%d and name its file", p, p.Number, p.Of)
		}
	}
	results := make([]*Result, first.Runs)
	for k, f := range parts {
		for i, run := range f.Runs {
			r, err := run.result()
			if err != nil {
				return nil, fmt.Errorf("study: %s: run %q: %w", paths[k], run.ID, err)
			}
			results[f.Part.Number-1+i*first.Of] = r
		}
	}
	return Pool(results), nil
}

// readPart reads the file of a part, whole.
func readPart(path string) (*partJSON, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var f partJSON
	if err := json.Unmarshal(b, &f); err != nil {
		return nil, fmt.Errorf("it is no whole results file: %w", err)
	}
	if f.Format != "bendline-results" || f.Version != 1 {
		return nil, fmt.Errorf("format is %q, version %d; a part is bendline-results, version 1", f.Format, f.Version)
	}
	if f.Part == nil {
		return nil, errors.New("these are the results of a whole study, not a part of them; only what analyze --part wrote can be merged")
	}
	p := f.Part.part()
	if p.Number < 1 || p.Number > p.Of || f.Part.Runs < 0 || len(f.Runs) != p.count(f.Part.Runs) {
		return nil, fmt.Errorf("it says that it is %v of %d runs, but has %d; make the part again", p, f.Part.Runs, len(f.Runs))
	}
	return &f, nil
}

func (p *shareJSON) part() Part { return Part{p.Number, p.Of} }

// joins returns why a part cannot be joined with the first, nil if it can.
func (p *shareJSON) joins(first *shareJSON) error {
	switch {
	case p.Program != first.Program:
		return errors.New("another version of the program made it; make all parts with one")
	case p.Study != first.Study || p.Runs != first.Runs:
		return errors.New("it is of another study, or the study or a reference was changed between; make all parts of one")
	case p.Of != first.Of:
		return fmt.Errorf("it is one of %d parts, that of %d; make all with the same number", p.Of, first.Of)
	}
	return nil
}

// result returns the run by itself.
func (f *partRunJSON) result() (*Result, error) {
	r := &Result{Run: Run{ID: f.ID}}
	if !f.OK {
		r.Err = errors.New(f.Error)
		return r, nil
	}
	var k kept
	if err := gob.NewDecoder(bytes.NewReader(f.Alone)).Decode(&k); err != nil {
		return nil, fmt.Errorf("the part is damaged; make it again: %w", err)
	}
	if k.Swing == nil {
		return nil, errors.New("the part is damaged; make it again")
	}
	r.Capture, r.Flags, r.Swing = k.Capture, k.Flags, k.Swing
	if f.Settings != nil {
		r.Settings = Settings(*f.Settings)
	}
	return r, nil
}

package study

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"
)

// A Taken says what became of a file.
type Taken struct {
	Path     string
	Run      string  // id of its run; of a file that cannot be read, what it would be
	Result   *Result // nil where there was nothing to analyse; contact is pooled over the runs so far
	Fault    string  // what is to be put right before the next swing, in a sentence; "" for nothing
	Replaced bool    // the run was there, and the file has been written again
	Same     bool    // the run has this very capture already: nothing was done
	Early    bool    // it is no whole swing, and may be half written: take it again a little later
	Err      error   // why the file could not be taken now, though it may be later
}

// spacedAs begins the reason for which a capture of another club is left out.
const spacedAs = "its markers are spaced as on club "

// GiveTo says that the run was made with another club. One that was left out
// because its markers are spaced as on that club is in again.
func (r *Run) GiveTo(club string) {
	r.Club = club
	if r.Excluded == spacedAs+club {
		r.Excluded = ""
	}
}

// SpacedAs returns the club for whose spacing of markers the run was left out,
// "" for none.
func (r Run) SpacedAs() string {
	club, ok := strings.CutPrefix(r.Excluded, spacedAs)
	if !ok {
		return ""
	}
	return club
}

// WriteTaken writes what became of a file in one line of JSON: the run's object
// in the results file, and beside it "file", "fault" and "replaced" where there
// is something to say. A file that cannot be read has an error.
func WriteTaken(w io.Writer, t Taken) error {
	line := struct {
		resultJSON
		File     string `json:"file"`
		Fault    string `json:"fault,omitempty"`
		Replaced bool   `json:"replaced,omitempty"`
	}{resultJSON{ID: t.Run, Error: t.Fault}, filepath.Base(t.Path), t.Fault, t.Replaced}
	if t.Result != nil {
		line.resultJSON = newResultJSON(t.Result)
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(line); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	return nil
}

// unread tells of a file that is no capture, once for each content.
func (s *Session) unread(in *intake, id string, err error) {
	sum, e := sumOf(in.Path)
	if e != nil {
		in.Err = fmt.Errorf("study: %w", e)
		return
	}
	if s.told[in.Path] != sum && !s.isEarly(in, sum) {
		s.told[in.Path] = sum
		why := strings.TrimPrefix(strings.TrimPrefix(err.Error(), "capture: "), in.Path+", ") // which file is said anyway
		in.Run, in.Fault = id, fmt.Sprintf("not a capture that can be read: %s; export it again", why)
	}
}

// isEarly reports whether a file that is no whole swing is met with this hash for
// the first time, and says so in in.
func (s *Session) isEarly(in *intake, sum string) bool {
	in.Early = s.early[in.Path] != sum
	s.early[in.Path] = sum
	return in.Early
}

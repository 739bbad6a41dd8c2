package study

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"bendline/capture"
)

// A Session is a study that takes in captures as they come, and the results of
// its runs so far.
//
// It does not have the study file to itself: what another program changes there
// is taken over before each change of its own, and whatever it added itself is
// added again where another program's writing dropped it. It is for one
// goroutine.
type Session struct {
	keep  *Keep
	write func(path string, content func(io.Writer) error) error

	study   *Study
	read    stamp             // of the study file as it was last read or written
	alone   []*Result         // by run of the study, each by itself
	sums    map[string]string // by run: the hash of its capture as it was analysed
	added   []Run             // by the session, with the files they have now
	told    map[string]string // by path: the hash that was told of it
	early   map[string]string // by path: the hash of what was taken early
	from    map[string]string // by path outside the study's folder: the run it became
	unsaved bool
	changed bool // the study differs from its file, beside what was added
	foreign bool // another program wrote the study file
}

// OpenSession opens the study at path for captures to come, and analyses the
// runs it has; what keep holds is not analysed again, and nil keeps nothing. p
// may be nil.
func OpenSession(ctx context.Context, path string, keep *Keep, p Progress) (*Session, error) {
	s := &Session{keep: keep, write: WriteFile, sums: make(map[string]string), told: make(map[string]string), early: make(map[string]string), from: make(map[string]string)}
	st, err := Open(path)
	if err != nil {
		return nil, err
	}
	s.study, s.read, s.unsaved = st, stampOf(st.Path), true
	return s, s.analyze(ctx, st, p)
}

// stampOf returns the stamp of a file, the zero stamp if it cannot be had.
func stampOf(path string) stamp {
	info, err := os.Stat(path)
	if err != nil {
		return stamp{}
	}
	return stamp{info.Size(), info.ModTime()}
}

// Analysis returns the study and the results of its runs so far.
func (s *Session) Analysis() *Analysis { return &Analysis{Study: s.study, Results: Pool(s.alone)} }

// analyze makes st the study of the session and analyses those of its runs whose
// results do not follow from it.
func (s *Session) analyze(ctx context.Context, st *Study, p Progress) error {
	folder, err := openFolder(st.Path)
	if err != nil {
		return err
	}
	defer folder.close()
	alone := make([]*Result, len(st.Runs))
	var runs []Run
	var at []int
	for i, run := range st.Runs {
		for _, r := range s.alone {
			if r.Run.ID == run.ID && r.Follows(st, run) && (r.OK() || r.lasts(folder)) {
				c := *r
				c.Run = run
				alone[i] = &c
			}
		}
		if alone[i] == nil {
			runs, at = append(runs, run), append(at, i)
		}
	}
	done := 0
	err = Stream(ctx, st, runs, s.keep, func(i int, r *Result) {
		alone[at[i]] = r
		if s.sums[r.Run.ID] = r.Capture.SHA256; !r.OK() {
			s.sums[r.Run.ID] = folder.sum(r.Run.File)
		}
		done++
		if p != nil {
			p(done, len(runs), r.Run.ID)
		}
	})
	if err != nil {
		return err
	}
	s.study, s.alone = st, alone
	return nil
}

// lasts reports whether a failure would be met again: its capture was read, and
// is as it was.
func (r *Result) lasts(f folder) bool {
	var p *fs.PathError
	return !errors.As(r.Err, &p) && r.stamp != stamp{} && r.stamp == f.stamp(r.Run.File)
}

// Adopt makes st, as another owner of the study has it now, the study of the
// session, and analyses what of it has no result that follows from it. Runs that
// the session added and st lacks are added again. What another program wrote to
// the study file meanwhile goes first: then st is not adopted, and Rewritten
// tells so.
func (s *Session) Adopt(ctx context.Context, st *Study) error {
	if err := s.refresh(ctx); err != nil || s.foreign {
		return err
	}
	next := *st
	next.Runs = slices.Clone(st.Runs)
	s.restore(&next)
	var was, is bytes.Buffer
	if err := errors.Join(s.study.Write(&was), next.Write(&is)); err != nil {
		return err
	}
	if next.Path == s.study.Path && bytes.Equal(was.Bytes(), is.Bytes()) {
		return nil
	}
	s.unsaved, s.changed = true, true
	moved := next.Path != s.study.Path
	if err := s.analyze(ctx, &next, nil); err != nil {
		return err
	}
	if moved {
		s.read = stampOf(next.Path)
	}
	return nil
}

// Rewritten reports whether another program wrote the study file, so that the
// study of the session is what that wrote, since it was last asked.
func (s *Session) Rewritten() bool {
	was := s.foreign
	s.foreign = false
	return was
}

// restore adds to st the runs that the session added and st lacks.
func (s *Session) restore(st *Study) {
	for _, run := range s.added {
		if was := st.Run(run.ID); was != nil {
			was.File = run.File
		} else if st.Club(run.Club) != nil && (run.Player == "" || st.Player(run.Player) != nil) {
			st.Runs = append(st.Runs, run)
		}
	}
}

// refresh takes over what another program wrote to the study file.
func (s *Session) refresh(ctx context.Context) error {
	at := stampOf(s.study.Path)
	if at == s.read {
		return nil
	}
	st, err := Open(s.study.Path)
	if err != nil {
		return err
	}
	s.restore(st)
	s.unsaved = true
	if err := s.analyze(ctx, st, nil); err != nil {
		return err
	}
	s.read, s.foreign = at, true
	return nil
}

// Save writes results.json beside the study and then the study, each whole or
// not at all, if anything changed since they were written: a study that names a
// run thus never lacks its result. What was not written is written with the next
// call.
func (s *Session) Save(ctx context.Context) error {
	if err := s.refresh(ctx); err != nil {
		return err
	}
	if !s.unsaved {
		return nil
	}
	a := s.Analysis()
	results := filepath.Join(filepath.Dir(s.study.Path), "results.json")
	if err := s.write(results, func(w io.Writer) error { return WriteResults(w, a) }); err != nil {
		return err
	}
	if len(s.added) > 0 || s.changed {
		if err := s.study.Validate(); err != nil {
			return fmt.Errorf("study: not saved: %w", err)
		}
		if err := s.write(s.study.Path, s.study.Write); err != nil {
			return err
		}
		s.read = stampOf(s.study.Path)
	}
	clearBeside(results)
	s.unsaved, s.changed = false, false
	return nil
}

// An intake is a file on its way into the study.
type intake struct {
	Taken
	run  Run
	rec  *capture.Recording
	made string // the copy in the study's folder, "" for none
}

// Take gives the captures at the paths to a player, "" for none, and a club, and
// analyses them, as many at a time as there are processors. It hands over what
// became of each as soon as that is known, one call at a time but from any
// goroutine.
//
// Files from outside the study's folder are copied into it, never over another.
// A file that was taken before and has been written again keeps its run, its
// club and its player; one from outside the study's folder only while the
// session lasts, after which it is a new run. A
// capture that the study has under any name is not analysed again. One whose
// markers are spaced as on another club is taken, but excluded from comparisons.
// A file that is no whole swing is early when it is first met: nothing is done
// until it is taken once more. If it is then as it was, that is its fault.
// Take returns an error, before anything is taken, if there is no such player or
// club, or if the study file cannot be read any more; or when ctx is cancelled.
func (s *Session) Take(ctx context.Context, paths []string, player, club string, found func(Taken)) error {
	if err := s.refresh(ctx); err != nil {
		return err
	}
	if err := s.has(player, club); err != nil {
		return err
	}
	l := newLab(s.study)
	defer l.close()
	var taken []*intake
	next := *s.study
	next.Runs = slices.Clone(s.study.Runs)
	sums := make(map[string]string) // runs by the hash of their captures
	for _, r := range s.alone {
		if sum := s.sums[r.Run.ID]; sum != "" {
			sums[sum] = r.Run.ID
		}
	}
	for _, path := range paths {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("study: %w", err)
		}
		in := &intake{Taken: Taken{Path: path}}
		if s.bring(ctx, &next, in, Run{Club: club, Player: player}, sums) {
			taken = append(taken, in)
		} else if in.Run != "" || in.Early || in.Err != nil {
			found(in.Taken)
		}
	}
	runs := make([]Run, len(taken))
	for i, in := range taken {
		var other string
		guard(func() { // a defect is met again by fault, which tells of it
			club := l.study.Club(in.run.Club)
			if rec, _, _, err := ownNames(in.rec, in.run.File, club); err == nil {
				in.rec = rec
			}
			other = l.wrongShaft(in.rec, club)
		})
		if other != "" && in.run.Excluded == "" {
			in.run.Excluded = spacedAs + other
		}
		runs[i] = in.run
	}
	return Stream(ctx, &next, runs, s.keep, func(i int, r *Result) {
		in := taken[i]
		if r.OK() && r.Capture.SHA256 != in.rec.Origin().SHA256 {
			in.Err = fmt.Errorf("study: %s was written again while it was read", in.Path)
			found(in.Taken)
			return
		}
		if r.Err != nil && s.isEarly(in, in.rec.Origin().SHA256) {
			if in.made != "" {
				in.Err = os.Remove(in.made)
			}
			in.Run = ""
			found(in.Taken)
			return
		}
		s.add(in, r)
		in.Fault = l.fault(in.rec, r)
		in.rec = nil
		in.Result = s.Analysis().Result(in.Run)
		found(in.Taken)
	})
}

// has returns an error if the study lacks the player or the club.
func (s *Session) has(player, club string) error {
	var players, clubs []string
	for _, p := range s.study.Players {
		players = append(players, p.ID)
	}
	for _, c := range s.study.Clubs {
		clubs = append(clubs, c.ID)
	}
	switch {
	case player != "" && !slices.Contains(players, player):
		return fmt.Errorf("study: there is no player %q in the study; it has %s", player, shorten(players))
	case !slices.Contains(clubs, club):
		return fmt.Errorf("study: there is no club %q in the study; it has %s", club, shorten(clubs))
	}
	return nil
}

// bring reads a file, has it in the study's folder and gives it a run in next.
// It reports whether there is something to analyse; if not, a file without Run
// and Err is one of which nothing is to be said.
func (s *Session) bring(ctx context.Context, next *Study, in *intake, run Run, sums map[string]string) bool {
	plan := Plan{Study: next}
	name := plan.within(in.Path)
	if name != "" && (isStudyFile(in.Path) || filepath.Ext(name) == ".json" || slices.ContainsFunc(next.Clubs, func(c Club) bool { return c.Reference == name })) {
		return false
	}
	was := slices.IndexFunc(next.Runs, func(r Run) bool { return r.File == name && name != "" || r.ID == s.from[in.Path] })
	run.ID = newIDOf(stem(in.Path), func(id string) bool { return next.Run(id) != nil })
	if was >= 0 {
		run = next.Runs[was]
	}
	rec, err := read(in.Path, run.Import)
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false // it went again
	case errors.As(err, &p):
		in.Err = fmt.Errorf("study: %w", err)
		return false
	case err != nil:
		s.unread(in, run.ID, err)
		return false
	}
	sum := rec.Origin().SHA256
	if s.told[in.Path] == sum {
		return false
	}
	if id := sums[sum]; id != "" {
		s.told[in.Path] = sum
		if was < 0 || id != run.ID {
			in.Run, in.Same = id, true
		}
		return false
	}
	file, made, err := plan.bringFile(ctx, Arrival{Preview: Preview{Path: in.Path, Capture: Capture{SHA256: sum}}})
	if err != nil {
		if errors.As(err, &p) {
			err = p.Err // the path is that of a file half written, which is gone
		}
		in.Err = fmt.Errorf("study: %s cannot be copied to where the study is kept: %w", filepath.Base(in.Path), err)
		return false
	}
	run.File, in.Run, in.Replaced, in.rec, in.made = file, run.ID, was >= 0, rec, made
	if in.run = run; in.Replaced {
		next.Runs[was] = run
	} else {
		next.Runs = append(next.Runs, run)
	}
	sums[sum] = run.ID
	return true
}

// read reads a capture. A defect met in reading it is an error.
func read(path string, hints capture.Hints) (rec *capture.Recording, err error) {
	if defect := guard(func() { rec, err = capture.ReadFile(path, hints) }); defect != nil {
		return nil, defect
	}
	return rec, err
}

// add puts a run and its result into the study of the session.
func (s *Session) add(in *intake, r *Result) {
	st := *s.study
	st.Runs, s.alone = slices.Clone(st.Runs), slices.Clone(s.alone)
	if i := slices.IndexFunc(st.Runs, func(r Run) bool { return r.ID == in.run.ID }); i >= 0 {
		st.Runs[i], s.alone[i] = in.run, r
	} else {
		st.Runs, s.alone = append(st.Runs, in.run), append(s.alone, r)
	}
	s.added = slices.DeleteFunc(s.added, func(r Run) bool { return r.ID == in.run.ID })
	s.added = append(s.added, in.run)
	s.study, s.unsaved = &st, true
	sum := in.rec.Origin().SHA256
	s.told[in.Path], s.sums[in.run.ID] = sum, sum
	s.from[in.Path] = in.run.ID
}

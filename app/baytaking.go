package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"

	"bendline/app/study"
)

// A taking takes captures in for one fitting session, beside the window. What it
// finds comes back in commands; what the window changes in the study it takes
// over and saves.
type taking struct {
	w     *Window
	given *study.Study // as it was last told of it; belongs to the window
	turn  turn         // of telling it
	ctx   context.Context
	end   context.CancelFunc
	watch *study.Watch
	tee   atomic.Pointer[tee]

	mu      sync.Mutex // a session is for one goroutine
	session *study.Session
	unsaved bool            // it could not be saved, and the page says so
	owed    *study.Study    // adopted and not saved yet
	said    map[string]bool // troubles, not to be said at every look

	early string         // name of a file that was taken early in this look, "" for none
	begun map[string]tee // by path: the tee when the file was begun; belongs to the watch
}

// A tee is who swings what.
type tee struct{ player, club string }

// atOnce is how many captures are taken in before the window's changes get their
// turn.
const atOnce = 4

// startBay begins a session: it saves the study, opens it for captures to come,
// and watches the folder. With there, captures that are in it already are taken
// in too.
func (w *Window) startBay(b Bay, there bool) {
	s := w.store.State()
	st, unsaved := s.Study, s.Unsaved()
	watch := study.NewWatch(b.Folder)
	var session *study.Session
	const title = "Starting the session"
	w.jobs.start(title, func(ctx context.Context, post func(Command)) error {
		if info, err := os.Stat(b.Folder); err != nil || !info.IsDir() {
			return fmt.Errorf("app: %s is no folder; make it, or name another to watch", b.Folder)
		}
		if !there {
			if err := watch.Skip(); err != nil {
				return err
			}
		}
		if unsaved {
			if err := st.Save(st.Path); err != nil {
				return err
			}
			post(Saved{st})
		}
		var err error
		session, err = study.OpenSession(ctx, st.Path, w.keep, func(done, total int, run string) {
			post(Work{Job{Title: title, Done: done, Total: total, Item: run}})
		})
		return err
	}, func() {
		w.store.Do(Analysed{session.Analysis().Results})
		t := &taking{w: w, given: st, turn: turn{around: w.around, store: w.store},
			watch: watch, session: session, begun: map[string]tee{}, said: map[string]bool{}}
		t.ctx, t.end = context.WithCancel(context.Background())
		t.tee.Store(&tee{b.Player, b.Club})
		w.taking = t
		w.prefs.Bay.Club = ""
		w.win.Canvas().Unfocus() // keys are the page's now, not the form's
		w.store.Do(StartBay{b})
		w.around.Go(func() { watch.Run(t.ctx, t.look) })
	})
}

// endBay ends the session.
func (w *Window) endBay() {
	w.keepBay(true)
	w.bay.start.there.SetChecked(false) // they have been taken in
	w.store.Do(EndBay{})
	w.catchUp()
}

// keepBay remembers the session for the next start of the program.
func (w *Window) keepBay(ended bool) {
	if s := w.store.State(); s.Bay.On() {
		w.prefs.Bay = LastBay{s.Study.Path, s.Bay.Folder, s.Bay.Player, s.Bay.Clubs, s.Bay.Club, ended}
		w.keepPreferences()
	}
}

// followBay keeps the taking in step with the state.
func (w *Window) followBay(s State) {
	t := w.taking
	switch {
	case t == nil:
	case s.Study == nil || !s.Bay.On():
		w.taking = nil
		t.end()
		w.around.Go(t.last)
	default:
		t.tee.Store(&tee{s.Bay.Player, s.Bay.Club})
		if s.Bay.Club != w.prefs.Bay.Club {
			w.keepBay(false)
		}
		if s.Study != t.given {
			t.given = s.Study
			t.turn.do(func() error { t.adopt(s.Study); return nil })
		}
	}
}

// post brings a command to the window while the session lasts.
func (t *taking) post(c Command) {
	t.w.around.Later(func() {
		if t.w.taking == t {
			t.w.store.Do(c)
		}
	})
}

// trouble says what keeps things from being done, once while it lasts.
func (t *taking) trouble(err error) {
	if text := sentence(err); !t.said[text] {
		t.said[text] = true
		t.post(BaySays{Notice{text + " Nothing is lost; it is tried again until it works.", true}})
	}
}

// adopt takes over the study as the window has it. What is in the way, the page
// says.
func (t *taking) adopt(st *study.Study) {
	t.mu.Lock()
	defer t.mu.Unlock()
	before := t.session.Analysis().Study
	if err := t.session.Adopt(t.ctx, st); err != nil {
		if t.ctx.Err() == nil {
			t.trouble(err)
		}
		return
	}
	t.owed = st
	if a := t.session.Analysis(); a.Study != before {
		t.post(Analysed{a.Results})
	}
	t.save()
}

// settle saves the study as the window has it, beside the window, and then goes
// on.
func (t *taking) settle(then func()) {
	st := t.w.store.State().Study
	t.w.around.Go(func() {
		t.adopt(st)
		t.w.around.Later(then)
	})
}

// last saves, when the session has ended, what could not be saved before.
func (t *taking) last() {
	t.mu.Lock()
	defer t.mu.Unlock()
	err := t.session.Save(context.WithoutCancel(t.ctx))
	saved := t.owed
	if t.session.Rewritten() {
		saved = nil
	}
	t.w.around.Later(func() {
		switch {
		case err != nil:
			t.w.store.Do(Say{Notice{sentence(err) + " What the session took in last is not saved.", true}})
		case saved != nil && saved == t.w.store.State().Study:
			t.w.store.Do(Saved{saved})
			t.w.keepSafe()
		}
	})
}

// save saves what is not saved yet, and tells the window which of its studies is
// on disk now.
func (t *taking) save() {
	err := t.session.Save(t.ctx)
	if t.session.Rewritten() {
		t.rewritten()
	}
	switch {
	case err != nil && t.ctx.Err() == nil:
		t.unsaved = true
		t.trouble(err)
	case err == nil:
		if t.unsaved {
			t.unsaved = false
			t.post(BaySays{Notice{Text: "All is saved now."}})
		}
		if t.owed != nil {
			saved := t.owed
			t.owed = nil
			t.post(Saved{saved})
			t.w.around.Later(t.w.keepSafe)
		}
	}
}

// rewritten tells the window what another program wrote to the study file.
func (t *taking) rewritten() {
	a := t.session.Analysis()
	var ours, theirs bytes.Buffer
	if t.owed != nil && errors.Join(t.owed.Write(&ours), a.Study.Write(&theirs)) == nil && bytes.Equal(ours.Bytes(), theirs.Bytes()) {
		return // the window itself, when it saved
	}
	t.owed = nil
	t.post(Rewritten{a.Study})
	t.post(Analysed{a.Results})
}

// look takes in what landed, for whoever was on the tee when it was begun.
func (t *taking) look(g study.Glance) {
	if t.ctx.Err() != nil {
		return
	}
	if g.Notice != "" {
		t.post(BaySays{Notice{capital(study.Plain(g.Notice)) + ".", g.Away}})
	}
	for _, path := range g.Begun {
		t.begun[path] = *t.tee.Load()
	}
	if n := len(g.Begun); n > 0 {
		t.post(Receiving{filepath.Base(g.Begun[n-1]), len(g.Landed)})
	}
	if len(g.Landed) == 0 {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.save()
		return
	}
	t.post(Receiving{"", len(g.Landed)})
	t.early = ""
	for some := range slices.Chunk(g.Landed, atOnce) {
		for len(some) > 0 {
			on := t.of(some[0])
			n := slices.IndexFunc(some, func(path string) bool { return t.of(path) != on })
			if n < 0 {
				n = len(some)
			}
			t.take(some[:n], on)
			some = some[n:]
		}
	}
	t.post(Receiving{File: t.early})
}

// of returns the tee a file belongs to: as it was when the file was begun.
func (t *taking) of(path string) tee {
	if on, ok := t.begun[path]; ok {
		return on
	}
	return *t.tee.Load()
}

// take takes captures in, shows each as soon as it is analysed, and saves.
func (t *taking) take(paths []string, on tee) {
	t.mu.Lock()
	defer t.mu.Unlock()
	err := t.session.Take(t.ctx, paths, on.player, on.club, func(taken study.Taken) {
		if taken.Err != nil {
			t.trouble(taken.Err)
			t.watch.Again(taken.Path)
			return
		}
		if taken.Early {
			t.watch.Wait(taken.Path)
			t.early = filepath.Base(taken.Path)
			return
		}
		delete(t.begun, taken.Path) // the watch waits for this
		clear(t.said)               // what was in the way is gone
		c := Landed{Taken: taken}
		if taken.Result != nil {
			c.Run = taken.Result.Run
		}
		t.post(c)
		if taken.Result != nil {
			t.save()
		}
	})
	if err != nil && t.ctx.Err() == nil {
		t.trouble(err)
		for _, path := range paths {
			t.watch.Again(path)
		}
	}
}

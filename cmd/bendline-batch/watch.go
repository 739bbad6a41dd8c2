package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"bendline/app/study"
)

const watchHelp = `
Each capture that is written to DIR is given to the player and the club once it
is whole, and analysed. Standard output has one line of JSON for it: its object
in results.json and, beside it, "file", "fault" (what to put right before the
next swing) and "replaced" (its file has been written again). Impact is pooled
over the runs so far. results.json beside the study is kept current, and the
study has the run; a file from outside the study's folder is copied there, never
over another. Captures that the study has are not analysed again. Subfolders are
not looked into. Standard error tells of everything else, a line each. To change
the club, interrupt it and start it anew: nothing is lost.
`

// watch takes captures into the study as they land in a folder.
func watch(ctx context.Context, j *job) error {
	path, dir := j.args[0], j.args[1]
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fmt.Errorf("%s is no folder; make it, or name another to watch", dir)
	}
	var keep *study.Keep
	if cache, err := os.UserCacheDir(); err == nil { // without one, runs are analysed again at the next start
		keep = study.NewKeep(filepath.Join(cache, "bendline", "results"))
	}
	p := newProgress(j.stderr)
	s, err := study.OpenSession(ctx, path, keep, p.tell)
	p.end()
	if err == nil {
		j.player = s.Analysis().Study.PlayerCalled(j.player)
		err = s.Take(ctx, nil, j.player, j.club, nil) // are they in the study?
	}
	if err != nil {
		return err
	}
	w := &watcher{job: j, session: s, watch: study.NewWatch(dir), said: map[string]bool{}}
	for _, r := range s.Analysis().Results {
		if r.Changed {
			w.say("%s was written again since it was last analysed: run %q is analysed anew", r.Run.File, r.Run.ID)
		}
	}
	w.say("watching %s for player %s and club %s; interrupt to end", dir, j.player, j.club)
	running, stop := context.WithCancelCause(ctx)
	w.stop = stop
	w.watch.Run(running, func(g study.Glance) { w.look(running, g) })
	if ctx.Err() == nil { // not the user's wish
		return context.Cause(running)
	}
	return s.Save(context.WithoutCancel(ctx)) // what could not be saved before
}

// A watcher tells of what a watch finds.
type watcher struct {
	*job
	session *study.Session
	watch   *study.Watch
	stop    context.CancelCauseFunc
	said    map[string]bool // troubles, not to be said again at every look
}

func (w *watcher) say(format string, args ...any) {
	fmt.Fprintf(w.stderr, "bendline-batch: "+format+"\n", args...)
}

// trouble says what keeps things from being done, once while it lasts.
func (w *watcher) trouble(err error) {
	if text := err.Error(); !w.said[text] {
		w.said[text] = true
		w.say("%s; it will be tried again", text)
	}
}

// look takes what landed, and saves what could not be saved before.
func (w *watcher) look(ctx context.Context, g study.Glance) {
	if g.Notice != "" {
		w.say("%s", g.Notice)
	}
	if len(g.Landed) == 0 {
		w.save(ctx)
		return
	}
	err := w.session.Take(ctx, g.Landed, w.player, w.club, func(t study.Taken) { w.taken(ctx, t) })
	if err != nil && ctx.Err() == nil {
		w.trouble(err)
		for _, path := range g.Landed {
			w.watch.Again(path)
		}
	}
}

func (w *watcher) save(ctx context.Context) {
	if err := w.session.Save(ctx); err != nil && ctx.Err() == nil {
		w.trouble(err)
	}
}

// taken saves and prints what became of a file.
func (w *watcher) taken(ctx context.Context, t study.Taken) {
	name := filepath.Base(t.Path)
	switch {
	case t.Err != nil:
		w.trouble(t.Err)
		w.watch.Again(t.Path)
		return
	case t.Early:
		w.watch.Wait(t.Path)
		return
	case t.Same:
		w.say("%s: run %q has this capture already", name, t.Run)
		return
	case t.Replaced:
		w.say("%s was written again: run %q is analysed anew", name, t.Run)
	}
	clear(w.said) // taken: what was in the way is gone
	if t.Result != nil {
		w.save(ctx)
	}
	if t.Fault != "" {
		w.say("%s: %s", name, t.Fault)
	}
	if err := study.WriteTaken(w.stdout, t); err != nil {
		w.stop(err)
	}
}

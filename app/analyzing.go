package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendline/app/study"
)

// analyze works out every run that has no good result yet, or all of them anew
// if there is none such. Captures are read again; what has not changed comes
// from the results that are kept.
func (w *Window) analyze() {
	s := w.store.State()
	if s.Study == nil {
		return
	}
	var todo []study.Run
	for i, run := range s.Study.Runs {
		if s.Waits(i) || !s.Results[i].OK() {
			todo = append(todo, run)
		}
	}
	if len(todo) == 0 {
		todo = slices.Clone(s.Study.Runs)
	}
	w.analyzeRuns(todo, true)
}

// catchUp works out the runs that have no result, or none of them as they were
// corrected. Other work that is under way goes first.
func (w *Window) catchUp() {
	s := w.store.State()
	if s.Study == nil || s.Bay.On() || !s.Job.givesWay() && s.Job.Title != analysing { // a session sees to its own
		return
	}
	var todo []study.Run
	for i, run := range s.Study.Runs {
		if s.Waits(i) {
			todo = append(todo, run)
		}
	}
	if len(todo) > 0 {
		w.analyzeRuns(todo, false)
	}
}

const analysing = "Analysing"

// analyzeRuns analyses runs, those side by side first, and shows each as soon as
// it is done. tell says at the end how all went.
func (w *Window) analyzeRuns(todo []study.Run, tell bool) {
	s := w.store.State()
	slices.SortStableFunc(todo, func(a, b study.Run) int { return paneRank(s, a) - paneRank(s, b) })
	w.jobs.start(analysing, func(ctx context.Context, post func(Command)) error {
		return w.stream(ctx, s.Study, todo, post)
	}, func() {
		w.readMarkers()
		if err := w.keep.Err(); err != nil {
			w.store.Do(Say{Notice{sentence(err), true}})
		} else if tell || summary(w.store.State()).Bad {
			w.store.Do(SayAnalysed{})
		} else {
			w.store.Do(Say{Notice{Text: plural(len(todo), "run") + " analysed again."}})
		}
	})
}

// paneRank puts the runs side by side before the others.
func paneRank(s State, r study.Run) int {
	if i := slices.Index(s.Panes, r.ID); i >= 0 {
		return i
	}
	return maxPanes
}

// together is how long results are gathered before they are shown: each showing
// draws lists and tables anew.
const together = 60 * time.Millisecond

// stream analyses runs and posts their results as they come.
func (w *Window) stream(ctx context.Context, st *study.Study, runs []study.Run, post func(Command)) error {
	var ready []*study.Result
	var shown time.Time
	done := 0
	flush := func(item string) {
		if len(ready) == 0 {
			return
		}
		shown = w.around.Now()
		post(Analysed{ready})
		post(Work{Job{Title: analysing, Done: done, Total: len(runs), Item: item}})
		ready = nil
	}
	err := study.Stream(ctx, st, runs, w.keep, func(_ int, r *study.Result) {
		ready = append(ready, r)
		done++
		if done == len(runs) || w.around.Now().Sub(shown) >= together {
			flush(r.Run.ID)
		}
	})
	flush("")
	return err
}

// SayAnalysed tells how an analysis went. Of runs that failed it tells as long as
// there are any.
type SayAnalysed struct{}

func (SayAnalysed) apply(s State) State {
	s.Notice, s.failed = summary(s), Notice{}
	if len(failing(s)) > 0 {
		s.failed = s.Notice
	}
	return s
}

// said returns the last notice, if it still holds.
func (s State) said() Notice {
	if s.Notice != s.failed || s.failed == (Notice{}) {
		return s.Notice
	}
	if slices.ContainsFunc(failing(s), func(id string) bool { return s.Study.Run(id).Excluded == "" }) {
		return summary(s)
	}
	return Notice{}
}

// failing returns the ids of the runs that could not be analysed.
func failing(s State) []string {
	var ids []string
	for i, r := range s.Results {
		if r != nil && !r.OK() {
			ids = append(ids, s.Study.Runs[i].ID)
		}
	}
	return ids
}

// summary tells how an analysis went.
func summary(s State) Notice {
	failed := failing(s)
	var changed []string
	for _, r := range s.Results {
		if r != nil && r.OK() && r.Changed {
			changed = append(changed, r.Run.File)
		}
	}
	switch {
	case len(failed) > 0:
		one := "it"
		if len(failed) > 1 {
			one = "one"
		}
		return Notice{fmt.Sprintf("%d of %s could not be analysed: %s. Select %s in the list to read why.",
			len(failed), plural(len(s.Results), "run"), few(failed), one), true}
	case len(changed) > 0:
		return Notice{fmt.Sprintf("Changed since they were analysed last, and analysed as they are now: %s.", few(changed)), true}
	}
	if len(s.Results) == 0 {
		return Notice{Text: "The study has no runs yet."}
	}
	if len(s.Results) == 1 {
		return Notice{Text: "The run is analysed."}
	}
	return Notice{Text: fmt.Sprintf("All %d runs are analysed.", len(s.Results))}
}

// few lists names, the first of many.
func few(names []string) string {
	const most = 4
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// checkCaptures looks, beside the window, whether captures were changed since
// they were analysed, and says so.
func (w *Window) checkCaptures() {
	s := w.store.State()
	if s.Study == nil || s.Job.Title != "" {
		return
	}
	w.around.Go(func() {
		ids := study.Changed(context.Background(), s.Study, s.Results)
		if len(ids) == 0 {
			return
		}
		w.around.Later(func() {
			if w.store.State().Study == s.Study {
				w.store.Do(Say{Notice{fmt.Sprintf("The captures of %s were changed since they were analysed; choose “Analyse again” in the menu to take them as they are now.", few(ids)), true}})
			}
		})
	})
}

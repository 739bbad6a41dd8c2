package app

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"bendline/app/study"
)

// analyze works out every run that has no good result yet, or all of them anew
// if there is none such: those side by side first. It shows each as soon as it
// is done.
func (w *Window) analyze() {
	s := w.store.State()
	if s.Study == nil {
		return
	}
	todo := slices.DeleteFunc(slices.Clone(s.Study.Runs), func(r study.Run) bool {
		result := s.Result(r.ID)
		return result != nil && result.OK()
	})
	if len(todo) == 0 {
		todo = slices.Clone(s.Study.Runs)
	}
	slices.SortStableFunc(todo, func(a, b study.Run) int { return paneRank(s, a) - paneRank(s, b) })
	w.jobs.start("Analysing", func(ctx context.Context, post func(Command)) error {
		return analyzeRuns(ctx, s.Study, todo, post)
	}, func() { w.store.Do(Say{summary(w.store.State())}) })
}

// paneRank puts the runs side by side before the others.
func paneRank(s State, r study.Run) int {
	if i := slices.Index(s.Panes, r.ID); i >= 0 {
		return i
	}
	return maxPanes
}

// analyzeRuns analyses runs, as many at a time as there are processors, and
// posts each result when it is there.
func analyzeRuns(ctx context.Context, st *study.Study, runs []study.Run, post func(Command)) error {
	next := make(chan study.Run)
	var mu sync.Mutex
	var workers sync.WaitGroup
	done := 0
	for range min(runtime.GOMAXPROCS(0), len(runs)) {
		workers.Go(func() {
			for run := range next {
				r := study.AnalyzeRun(ctx, st, run)
				if ctx.Err() != nil {
					continue
				}
				mu.Lock()
				done++
				post(Analysed{[]*study.Result{r}})
				post(Work{Job{Title: "Analysing", Done: done, Total: len(runs), Item: run.ID}})
				mu.Unlock()
			}
		})
	}
	for _, run := range runs {
		if ctx.Err() != nil {
			break
		}
		next <- run
	}
	close(next)
	workers.Wait()
	return ctx.Err()
}

// summary tells how an analysis went.
func summary(s State) Notice {
	failed := 0
	for _, r := range s.Results {
		if r != nil && !r.OK() {
			failed++
		}
	}
	if failed > 0 {
		return Notice{fmt.Sprintf("%d of %s could not be analysed; select one in the list to read why.",
			failed, plural(len(s.Results), "run")), true}
	}
	return Notice{Text: "All " + plural(len(s.Results), "run") + " are analysed."}
}

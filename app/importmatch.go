package app

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// matching has the markers of swings that may be brought in matched to those of
// their clubs, one swing at a time. Its methods belong to the goroutine of the
// window, but for its matcher.
type matching struct {
	matcher study.Matcher
	busy    bool
}

// match matches the next swing that was not, the one that is looked at first.
func (w *Window) match(s State) {
	if !s.Bringing || s.Import.Plan.Study == nil || w.matching.busy {
		return
	}
	plan := s.Import.Plan
	path := plan.Unmatched(s.Import.Current)
	if path == "" {
		return
	}
	w.matching.busy = true
	w.around.Go(func() {
		found := w.matching.matcher.Match(plan, path)
		w.around.Later(func() {
			w.matching.busy = false
			w.store.Do(editImport{func(m *Import) { m.Plan = m.Plan.WithMatch(path, found) }})
		})
	})
}

// matchRows returns the table of what a file calls the markers of its club, and
// which of the file's markers each row is, "" for none.
func matchRows(a *study.Arrival, club *study.Club) (rows []widgets.Row, names []string) {
	add := func(name string, tone widgets.Tone, cells ...string) {
		rows, names = append(rows, widgets.Row{Cells: cells, Tone: tone}), append(names, name)
	}
	told := map[string]bool{}
	if club != nil {
		for _, marker := range club.Markers.Names() {
			l := calledIn(a, marker)
			if len(l.Names) == 0 {
				add("", widgets.Warn, marker, "not found", "", "")
				continue
			}
			tone, sure := widgets.Normal, sureness(l)
			if !l.Used {
				tone, sure = widgets.Warn, sure+", not used"
			}
			in := l.Names[0]
			if n := len(l.Names) - 1; n > 0 {
				in += fmt.Sprintf(" and %d more", n)
			}
			add(inFile(a, l.Names), tone, marker, in, l.How.String(), sure)
			for _, name := range l.Names {
				told[name] = true
			}
		}
	}
	for i, name := range a.Markers {
		if !told[name] && a.Seen[i] > 0 {
			add(name, widgets.Muted, "", name, "", "")
		}
	}
	return rows, names
}

// calledIn returns what a file calls a marker of its club: by what was matched,
// else by its name.
func calledIn(a *study.Arrival, marker string) study.Label {
	for _, l := range a.Match().Labels {
		if l.Marker == marker {
			return l
		}
	}
	l := study.Label{Marker: marker}
	if slices.Contains(a.Markers, marker) {
		l.Names, l.Sure, l.Used = []string{marker}, 1, true
	}
	return l
}

// inFile returns the one of the names that the file's frames show most.
func inFile(a *study.Arrival, names []string) string {
	best, most := "", -1.0
	for _, name := range names {
		if i := slices.Index(a.Markers, name); i >= 0 && a.Seen[i] > most {
			best, most = name, a.Seen[i]
		}
	}
	return best
}

// sureness returns how sure a label is; nothing of one that goes by its name.
func sureness(l study.Label) string {
	if l.How != study.ByPlace {
		return ""
	}
	return fmt.Sprintf("%.0f %%", math.Floor(100*l.Sure))
}

// dotNames returns what stands by the markers of a file in its picture, by
// marker: what each is in the club, and how sure that is where it goes by its
// place.
func dotNames(a *study.Arrival) []string {
	names := make([]string, len(a.Markers))
	for i, name := range a.Markers {
		names[i] = name
		if l, ok := a.Match().Labels.Of(name); ok && (l.How != study.ByName || l.Marker != name) {
			names[i] = l.Marker
			if sure := sureness(l); sure != "" {
				names[i] += " " + sure
			}
			if !l.Used {
				names[i] += "?"
			}
		}
	}
	return names
}

// nameMarker takes the marker of the file that is pointed at for a marker of the
// club, in all files of the layout. If the file has a marker of that name, a star
// before it makes that one nameless, so that its place tells what it is. An empty
// name takes the file's own.
func (w *Window) nameMarker(a *study.Arrival, paths []string, from, to string) {
	i := slices.Index(a.Markers, from)
	if i < 0 || to == from {
		return
	}
	named := a.Named[i]
	other := ""
	if k := slices.Index(a.Markers, to); k >= 0 {
		other = a.Named[k]
	}
	w.correct(paths, func(h *capture.Hints) {
		columns := make(map[string]string, len(h.Columns)+2)
		for k, v := range h.Columns {
			columns[k] = v
		}
		set := func(name, to string) {
			if columns[name] = to; to == "" || to == name {
				delete(columns, name)
			}
		}
		set(named, to)
		if other != "" && to != "" {
			set(other, "*"+to)
		}
		if h.Columns = columns; len(columns) == 0 {
			h.Columns = nil
		}
	})
	if to == "" {
		to = named
	}
	w.store.Do(editImport{func(m *Import) { m.Marker = to }})
	w.store.Do(Say{Notice{Text: capture.Shown(filepath.Base(a.Path)) + ": " + named + " is taken for " + to + "; later files laid out alike are read so too."}})
}

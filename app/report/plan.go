package report

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"bendline/app/study"
)

// A Kind is a kind of slide. A kind may fill several slides, or none where the
// study has nothing for it.
type Kind string

// The kinds of slides.
const (
	Cover     Kind = "cover"     // question, answer, what was measured
	Impact    Kind = "impact"    // table of values and differences at impact
	Loading   Kind = "loading"   // table of differences of loading and release
	Players   Kind = "players"   // difference player by player
	Curves    Kind = "curves"    // lead, droop and twist up to impact
	Downswing Kind = "downswing" // the same over the downswing, %; left out unless it is asked for
	Lot       Kind = "lot"       // how alike the clubs of a lot are
	Bend      Kind = "profile"   // curvature and moment along the shaft at impact
	Shape     Kind = "shape"     // the shaft in the last frame before contact
	Instants  Kind = "instants"  // shafts side by side at chosen instants
	Runs      Kind = "runs"      // every run at impact, drawn
	Bench     Kind = "bench"     // bench sheets held against the specs
	Strain    Kind = "strain"    // how hard the swings work the shafts
	RunTable  Kind = "run_table" // every run at impact, in numbers
	Quality   Kind = "quality"   // what the data of each run are worth
	NotUsed   Kind = "not_used"  // runs that do not count, and why
	Method    Kind = "method"    // conventions, method and settings
	Files     Kind = "files"     // files used with their hashes, and all settings; hidden in a presentation
)

// A Plan is what a deck shows, in its order. It may be kept as JSON.
type Plan []Choice

// A Choice is one kind of slide and what the user made of it.
type Choice struct {
	Kind  Kind   `json:"slide"`
	Off   bool   `json:"off,omitempty"`
	Title string `json:"title,omitempty"` // instead of the slide's own
	Note  string `json:"note,omitempty"`  // for the speaker; in presentations

	// For Instants: times before impact, ms; at most four. Empty for 100, 50,
	// 20 and 0.
	BeforeMS []float64 `json:"before_ms,omitempty"`
}

// DefaultPlan returns all slides in the order of a review, Downswing left out.
func DefaultPlan() Plan {
	var p Plan
	for _, k := range kinds {
		p = append(p, Choice{Kind: k, Off: k == Downswing})
	}
	return p
}

// PlanOf returns the plan that a study keeps, DefaultPlan where it keeps none.
// It returns an error where what it keeps is no plan.
func PlanOf(s *study.Study) (Plan, error) {
	if len(s.Slides) == 0 {
		return DefaultPlan(), nil
	}
	var p Plan
	if err := json.Unmarshal(s.Slides, &p); err != nil {
		return nil, fmt.Errorf("report: the slides of the study: %w", err)
	}
	if p == nil { // JSON's null
		return DefaultPlan(), nil
	}
	return p, p.Validate()
}

var kinds = []Kind{Cover, Impact, Loading, Players, Curves, Downswing, Bend, Shape, Instants, Runs, Lot, Bench, Strain, RunTable, Quality, NotUsed, Method, Files}

// Validate returns an error for a kind there is not, and for instants that
// cannot be drawn.
func (p Plan) Validate() error {
	for i, c := range p {
		if !slices.Contains(kinds, c.Kind) {
			all := make([]string, len(kinds))
			for k := range kinds {
				all[k] = string(kinds[k])
			}
			return fmt.Errorf("report: slide %d of the plan: there is no %q; there are %s", i+1, c.Kind, strings.Join(all, ", "))
		}
		if len(c.BeforeMS) > maxInstants {
			return fmt.Errorf("report: slide %d of the plan: %d instants; at most %d have room", i+1, len(c.BeforeMS), maxInstants)
		}
		for _, ms := range c.BeforeMS {
			if !(ms >= 0 && ms <= 1000) {
				return fmt.Errorf("report: slide %d of the plan: an instant %v ms before impact; give 0 to 1000", i+1, ms)
			}
		}
	}
	return nil
}

// slides makes the slides of a choice.
func (m *material) slides(ctx context.Context, c Choice) ([]Slide, error) {
	switch c.Kind {
	case Cover:
		return []Slide{m.cover(c.Title)}, nil
	case Impact:
		return m.impact(), nil
	case Loading:
		return m.loadingTable(), nil
	case Bench:
		return m.bench()
	case Strain:
		return m.strain(), nil
	case Players:
		return m.byPlayer(), nil
	case Curves:
		return m.curves(ctx)
	case Downswing:
		return m.downswing(ctx)
	case Lot:
		return m.lot(), nil
	case Bend:
		return m.profile(ctx)
	case Shape:
		return m.shape(), nil
	case Instants:
		return m.instants(c.BeforeMS), nil
	case Runs:
		return m.strips(), nil
	case RunTable:
		return m.runTable(), nil
	case Quality:
		return m.quality(), nil
	case NotUsed:
		return m.leftOut(), nil
	case Method:
		return []Slide{m.method()}, nil
	case Files:
		return m.files()
	}
	panic("report: slide " + c.Kind + " is not of a valid plan")
}

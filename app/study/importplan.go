package study

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"bendline/capture"
	"bendline/kinematics"
)

// Use is what a file is brought in as.
type Use int

// The uses.
const (
	Aside       Use = iota // not at all
	AsRun                  // a swing
	AsReference            // a club hanging unloaded
)

// String returns the use in a word.
func (u Use) String() string { return [...]string{"leave out", "swing", "reference"}[u] }

// An Arrival is a file that may become part of a study, and what it is thought
// to be. What was chosen by hand is not proposed anew.
type Arrival struct {
	Preview
	Use    Use
	Club   string // id, of the study or of a draft; "" where not known
	Player string // id; one that the study does not have is new, "" for none
	Why    string // why it is left out, "" where it is not, or was by hand

	Chosen struct{ Use, Club, Player bool }

	match Match
	swung swung // what a swing tells of the club it is thought to be of
	tells bool  // it tells that
}

// A Draft is a club that a study is to have.
type Draft struct {
	Club
	Measured  map[string]capture.ShaftMarker // by hand, NaN for what was not
	Set       string                         // the saved set its markers are from, "" if they are proposed or by hand
	Placement Placement                      // of the markers on the shaft; empty with a saved set
	Like      string                         // the club or saved set that a station was taken over from, "" for none
	Doubt     error                          // why its markers cannot be told apart, nil if they can

	// No swing tells which of the head's markers are at heel and toe, so they go
	// by the shape of the head alone. Lead and droop depend on them.
	EndsGuessed bool

	// What was chosen by hand; the markers are their sorting into parts.
	Chosen struct{ Label, Role, Hand, Shaft, Markers, Ends bool }

	placed string // what the placement was worked out from
}

// A Plan says what files are to become in a study. It is a value: methods return
// a changed copy. Whatever was not chosen by hand is proposed from what the
// files show, from their names, from the study's own runs and from what was
// chosen for files of the same name but for a number.
type Plan struct {
	Study  *Study
	Files  []Arrival
	Drafts []Draft
	Sets   []SavedSet // that drafts may take their markers from
	World  World

	ChosenWorld bool
}

// NewPlan returns a plan to add to a study, without files.
func NewPlan(s *Study, sets []SavedSet) Plan {
	return Plan{Study: s, Sets: sets, World: s.World}
}

// With returns the plan with more files; one that is there already is taken to
// have been read anew.
func (p Plan) With(previews ...Preview) Plan {
	p.Files = slices.Clone(p.Files)
	for _, v := range previews {
		if a := p.file(v.Path); a != nil {
			a.Preview, a.match = v, Match{}
			continue
		}
		p.Files = append(p.Files, Arrival{Preview: v})
	}
	return p.proposed()
}

// Without returns the plan without the files at the paths.
func (p Plan) Without(paths ...string) Plan {
	p.Files = slices.DeleteFunc(slices.Clone(p.Files), func(a Arrival) bool { return slices.Contains(paths, a.Path) })
	return p.proposed()
}

// Set returns the plan with the files at the paths changed: change sets what
// they are to be, and that it was chosen.
func (p Plan) Set(paths []string, change func(*Arrival)) Plan {
	p.Files = slices.Clone(p.Files)
	for i := range p.Files {
		if slices.Contains(paths, p.Files[i].Path) {
			change(&p.Files[i])
		}
	}
	return p.proposed()
}

// SetDraft returns the plan with the draft of a club changed likewise.
func (p Plan) SetDraft(id string, change func(*Draft)) Plan {
	p.Drafts = slices.Clone(p.Drafts)
	if d := p.draft(id); d != nil {
		change(d)
	}
	return p.proposed()
}

// SetWorld returns the plan with the axes chosen.
func (p Plan) SetWorld(w World) Plan {
	p.World, p.ChosenWorld = w, true
	return p
}

// File returns the file at the path, nil if it is not in the plan.
func (p Plan) File(path string) *Arrival {
	if a := p.file(path); a != nil {
		c := *a
		return &c
	}
	return nil
}

// Draft returns the draft of a club, nil if there is none.
func (p Plan) Draft(id string) *Draft {
	if d := p.draft(id); d != nil {
		c := *d
		return &c
	}
	return nil
}

// Club returns the club of a draft or of the study, nil if there is none.
func (p Plan) Club(id string) *Club {
	if d := p.Draft(id); d != nil {
		return &d.Club
	}
	return p.Study.Club(id)
}

// Clubs returns the ids of all clubs: those of the study, then the drafts.
func (p Plan) Clubs() []string {
	var ids []string
	for _, c := range p.Study.Clubs {
		ids = append(ids, c.ID)
	}
	for _, d := range p.Drafts {
		ids = append(ids, d.ID)
	}
	return ids
}

// Players returns the ids of all players: those of the study, then the new ones.
func (p Plan) Players() []string {
	var ids []string
	for _, q := range p.Study.Players {
		ids = append(ids, q.ID)
	}
	for _, a := range p.Files {
		if a.Use == AsRun && a.Player != "" && !slices.Contains(ids, a.Player) {
			ids = append(ids, a.Player)
		}
	}
	return ids
}

// ByHand reports whether anything was chosen by hand.
func (p Plan) ByHand() bool {
	var file Arrival
	var draft Draft
	return p.ChosenWorld || slices.ContainsFunc(p.Files, func(a Arrival) bool { return a.Chosen != file.Chosen }) ||
		slices.ContainsFunc(p.Drafts, func(d Draft) bool { return d.Chosen != draft.Chosen || len(d.Measured) > 0 })
}

// Count returns how many files are brought in.
func (p Plan) Count() int {
	n := 0
	for _, a := range p.Files {
		if a.Use != Aside {
			n++
		}
	}
	return n
}

func (p *Plan) file(path string) *Arrival {
	for i := range p.Files {
		if p.Files[i].Path == path {
			return &p.Files[i]
		}
	}
	return nil
}

func (p *Plan) draft(id string) *Draft {
	for i := range p.Drafts {
		if p.Drafts[i].ID == id {
			return &p.Drafts[i]
		}
	}
	return nil
}

// referenceOf returns the file that is the reference of a draft, nil if none is.
func (p *Plan) referenceOf(club string) *Arrival {
	for i := range p.Files {
		if a := &p.Files[i]; a.Use == AsReference && a.Club == club {
			return a
		}
	}
	return nil
}

// Problem returns in plain words what keeps a file from being brought in as it
// is to be, "" for nothing.
func (p Plan) Problem(path string) string {
	a := p.file(path)
	switch {
	case a == nil || a.Use == Aside:
		return ""
	case a.Err != nil:
		return a.Err.Error()
	case a.Club == "" && len(p.Study.Clubs)+len(p.Drafts) == 0:
		return "no club is known; bring in a recording of it hanging unloaded"
	case a.Club == "":
		return "choose its club"
	case p.Club(a.Club) == nil:
		return fmt.Sprintf("there is no club %s; bring in its reference, or choose another", a.Club)
	case a.Use == AsReference && p.referenceOf(a.Club) != a:
		return fmt.Sprintf("club %s has another reference here already; leave one out", a.Club)
	}
	return ""
}

// Doubt returns in plain words what is odd about a file, "" for nothing. It
// may be brought in for all that.
func (p Plan) Doubt(path string) string {
	a := p.file(path)
	if a == nil {
		return ""
	}
	c := p.Club(a.Club)
	if a.Use == Aside || a.Err != nil || c == nil {
		return a.Why
	}
	var gone []string
	named := a.InClub()
	for _, name := range c.Markers.Names() {
		if i := slices.Index(named, name); i < 0 || a.Seen[i] == 0 {
			gone = append(gone, name)
		}
	}
	beside := p.besideAnother(a)
	switch {
	case beside != "":
		return beside
	case a.match.Mirror:
		other := kinematics.Left
		if c.Hand == other {
			other = kinematics.Right
		}
		return fmt.Sprintf("of a %s-handed club: its markers lie as in a mirror image of club %s; choose a club of that hand", other, c.ID)
	case len(gone) > 0:
		return "does not show " + shorten(gone)
	case a.Use == AsRun && a.Still:
		return "nothing in it is swung"
	case a.Use == AsReference && !a.Still:
		return "the club does not hang still"
	case a.Use == AsRun && a.tells && a.swung.hand != c.Hand:
		return fmt.Sprintf("swung %s-handed, while club %s is %s-handed", a.swung.hand, c.ID, c.Hand)
	}
	return a.match.doubt()
}

// ClubProblem returns in plain words what keeps a draft from being a club, ""
// for nothing.
func (p Plan) ClubProblem(id string) string {
	d := p.draft(id)
	if d == nil {
		return ""
	}
	if p.referenceOf(id) == nil {
		return "it has no reference; bring in a recording in which it hangs unloaded"
	}
	if !(d.Shaft.Length > 0) {
		return "type the length of its shaft"
	}
	if d.Doubt != nil {
		return d.Doubt.Error()
	}
	if d.Placement.Doubt != nil {
		return d.Placement.Doubt.Error()
	}
	if err := d.Club.validate(); err != nil {
		return err.Error()
	}
	return ""
}

// A Block is what keeps a plan from being carried out.
type Block struct {
	Why  string // in plain words, "" for nothing
	Club string // id, "" if it is not about a club
	Path string // of a file, "" if it is not about one
}

// Blocked returns the first thing that keeps the plan from being carried out;
// its Why is "" if nothing does.
func (p Plan) Blocked() Block {
	if p.Count() == 0 {
		return Block{Why: "there is nothing to bring in"}
	}
	for _, d := range p.Drafts {
		if why := p.ClubProblem(d.ID); why != "" && p.used(d.ID) {
			return Block{Why: "club " + d.ID + ": " + strings.TrimPrefix(why, "study: "), Club: d.ID}
		}
	}
	for _, a := range p.Files {
		if why := p.Problem(a.Path); why != "" {
			return Block{Why: filepath.Base(a.Path) + ": " + strings.TrimPrefix(why, "study: "), Path: a.Path}
		}
	}
	return Block{}
}

// used reports whether a file is brought in for the club.
func (p Plan) used(club string) bool {
	return slices.ContainsFunc(p.Files, func(a Arrival) bool { return a.Use != Aside && a.Club == club })
}

package study

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// proposed returns the plan with everything proposed that was not chosen.
func (p Plan) proposed() Plan {
	p.Files, p.Drafts = slices.Clone(p.Files), slices.Clone(p.Drafts)
	p.proposeUses()
	p.proposeDrafts()
	p.proposeRuns()
	for i := range p.Drafts {
		p.proposeMarkers(&p.Drafts[i])
	}
	p.readSwings()
	p.proposeHands()
	p.proposeByHand()
	p.readSwings() // some are of another club now
	p.proposeHands()
	p.proposeRoles()
	for i := range p.Drafts {
		p.proposeShaft(&p.Drafts[i])
		p.place(&p.Drafts[i])
	}
	p.proposeWorld()
	return p
}

// proposeUses tells swings from clubs that hang, and both from what is no
// capture or is there already.
func (p *Plan) proposeUses() {
	sums := make(map[string]string)
	for i := range p.Files {
		a := &p.Files[i]
		a.Why = ""
		twin := ""
		if a.Err == nil {
			twin = sums[a.Capture.SHA256]
			sums[a.Capture.SHA256] = filepath.Base(a.Path)
		}
		if a.Chosen.Use {
			continue
		}
		switch {
		case a.Err != nil:
			a.Use = Aside
		case slices.Contains(p.Study.Files(), p.within(a.Path)):
			a.Use, a.Why = Aside, "is in the study already"
		case twin != "":
			a.Use, a.Why = Aside, "is the same as "+twin
		case a.Still:
			a.Use = AsReference
		default:
			a.Use = AsRun
		}
	}
}

// within returns a path from the study's folder on, with slashes; "" for one
// outside it.
func (p *Plan) within(path string) string {
	dir, err := filepath.Abs(filepath.Dir(p.Study.Path))
	if err != nil {
		return ""
	}
	if path, err = filepath.Abs(path); err != nil {
		return ""
	}
	name, err := filepath.Rel(dir, path)
	if err != nil || !filepath.IsLocal(name) {
		return ""
	}
	return filepath.ToSlash(name)
}

// proposeDrafts has a draft for every reference of a club that the study does
// not have, and none for another that was not worked on.
func (p *Plan) proposeDrafts() {
	p.Drafts = slices.DeleteFunc(p.Drafts, func(d Draft) bool {
		return !slices.ContainsFunc(p.Files, func(a Arrival) bool {
			return a.Use == AsReference && (a.Chosen.Club && a.Club == d.ID || !a.Chosen.Club && clubOfReference(a.Path) == d.ID)
		})
	})
	taken := make(map[string]string) // path of the reference by club
	for _, c := range p.Study.Clubs {
		taken[c.ID] = p.referencePath(c.ID)
	}
	for i := range p.Files {
		a := &p.Files[i]
		if a.Use != AsReference {
			continue
		}
		if !a.Chosen.Club {
			a.Club = clubOfReference(a.Path)
		}
		switch {
		case a.Club == "":
			continue
		case !a.Chosen.Use && !a.Chosen.Club && taken[a.Club] != "":
			a.Use, a.Why = Aside, fmt.Sprintf("club %s has a reference already", a.Club)
			if from := folderOf(taken[a.Club]); from != folderOf(a.Path) {
				a.Why = fmt.Sprintf("club %s has a reference in folder %s already; if this is another club, tick it with its swings and type a name for it", a.Club, filepath.Base(from))
			}
			continue
		}
		if taken[a.Club] == "" {
			taken[a.Club] = a.Path
		}
		if p.Study.Club(a.Club) == nil && p.draft(a.Club) == nil {
			d := Draft{Club: Club{ID: a.Club}}
			p.Drafts = append(p.Drafts, d)
		}
		if d := p.draft(a.Club); d != nil && !d.Chosen.Label {
			d.Label = labelOf(a.Club)
		}
	}
	// The first club of a side gives the comparison its name: base, not base-left.
	slices.SortStableFunc(p.Drafts, func(a, b Draft) int { return strings.Compare(a.ID, b.ID) })
}

// referencePath returns the path of a club's reference, "" if it has none.
func (p *Plan) referencePath(club string) string {
	if c := p.Study.Club(club); c != nil {
		return filepath.Join(filepath.Dir(p.Study.Path), filepath.FromSlash(c.Reference))
	}
	if a := p.referenceOf(club); a != nil {
		return a.Path
	}
	return ""
}

// folderOf returns the folder that a file is in.
func folderOf(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	return filepath.Dir(path)
}

// besideAnother tells of a swing whose club goes by its name, but has its
// reference in another folder, while one of that name lies beside the swing; ""
// of any other.
func (p *Plan) besideAnother(a *Arrival) string {
	own := p.referencePath(a.Club)
	if a.Use != AsRun || a.Chosen.Club || own == "" || folderOf(own) == folderOf(a.Path) {
		return ""
	}
	for _, r := range p.Files {
		if r.Err != nil || !r.Still || folderOf(r.Path) != folderOf(a.Path) || clubOfReference(r.Path) != a.Club {
			continue
		}
		switch same := p.referenceOf(a.Club); {
		case same != nil && same.Capture.SHA256 == r.Capture.SHA256:
		case r.Use == AsReference:
			return fmt.Sprintf("goes to club %s, while the reference beside it is of club %s; choose the club that was swung", a.Club, r.Club)
		case !r.Chosen.Use:
			return fmt.Sprintf("goes to club %s of folder %s, and the reference beside it is left out; if it is of another club, tick both and type a name for that",
				a.Club, filepath.Base(folderOf(own)))
		}
	}
	return ""
}

// labelOf returns an id as a label: "base-left" as "Base left".
func labelOf(id string) string {
	s := strings.ReplaceAll(id, "-", " ")
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// proposeRuns proposes club and player of every swing from its name.
func (p *Plan) proposeRuns() {
	clubs := p.nominees()
	type whose struct{ club, player string }
	earlier := make(map[string]whose)
	series := func(path string) string { return strings.Join(withoutNumber(nameWords(stem(path))), " ") }
	for _, r := range p.Study.Runs {
		earlier[series(r.File)] = whose{r.Club, r.Player}
	}
	var players []nominee
	for _, q := range p.Study.Players {
		players = append(players, nominate(q.ID, q.Label))
	}
	for _, a := range p.Files {
		if a.Use == AsRun && a.Chosen.Player && a.Player != "" {
			players = append(players, nominate(a.Player, ""))
		}
	}
	chosen := func(a Arrival) whose { // "" for what was not
		var w whose
		if a.Chosen.Club {
			w.club = a.Club
		}
		if a.Chosen.Player {
			w.player = a.Player
		}
		return w
	}
	beside := func(path string) string { return filepath.Join(folderOf(path), series(path)) }
	for _, a := range p.Files {
		if w := chosen(a); a.Use == AsRun && w != (whose{}) {
			earlier[series(a.Path)], earlier[beside(a.Path)] = w, w
		}
	}
	for i := range p.Files {
		a := &p.Files[i]
		if a.Use != AsRun {
			continue
		}
		words := withoutNumber(nameWords(stem(a.Path)))
		club, rest := elect(words, clubs)
		if club == "" && len(clubs) == 1 {
			club = clubs[0].id
		}
		player, rest := elect(rest, players)
		if player == "" {
			player = playerOf(rest)
		}
		w, ok := earlier[beside(a.Path)]
		if !ok {
			w = earlier[series(a.Path)]
			if ref := p.referencePath(club); club != "" && ref != "" && folderOf(ref) == folderOf(a.Path) {
				w.club = "" // its own lies beside it, whatever was chosen for another folder
			}
		}
		club, player = cmp.Or(w.club, club), cmp.Or(w.player, player)
		if !a.Chosen.Club {
			a.Club = club
		}
		if !a.Chosen.Player {
			a.Player = player
		}
	}
}

func (p *Plan) nominees() []nominee {
	var list []nominee
	for _, id := range p.Clubs() {
		list = append(list, nominate(id, p.Club(id).Label))
	}
	return list
}

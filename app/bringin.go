package app

// BringIn opens the page that brings captures into the study.
type BringIn struct{}

func (BringIn) apply(s State) State {
	s.Bringing, s.Playing = true, false
	return s
}

// BringInEnd leaves that page.
type BringInEnd struct{}

func (BringInEnd) apply(s State) State {
	s.Bringing = false
	return s
}

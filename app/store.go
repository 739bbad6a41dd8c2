package app

// A Store holds the state and tells its watcher of every new one. Its methods
// belong to the goroutine of the window.
type Store struct {
	state State
	watch func(State)
}

// NewStore returns a store at the welcome page. watch is called after every
// command.
func NewStore(watch func(State)) *Store {
	return &Store{state: newState(), watch: watch}
}

// State returns the present state.
func (s *Store) State() State { return s.state }

// Do applies a command.
func (s *Store) Do(c Command) {
	s.state = c.apply(s.state)
	s.watch(s.state)
}

// Package app is the window: what it shows, how it is worked, and what it
// remembers from one time to the next.
//
// All that the window shows follows from one State. A gesture becomes a
// Command; the Store applies it and hands the new State to the Window, which
// draws it. Nothing else changes the State, and no part of the window keeps a
// second copy of anything in it. Commands that change the study can be undone.
//
// What takes time runs as a job: off the window's goroutine, one at a time,
// cancellable, reporting by commands that come back through Surroundings.Later.
// Clock, goroutines and that way back are injected, so that tests run jobs in
// place and turn the clock by hand.
package app

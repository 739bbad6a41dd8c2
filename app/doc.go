// Package app is the window: what it shows, how it is worked, and what it
// remembers from one time to the next.
//
// All that the window shows follows from one State. A gesture becomes a
// Command; the Store applies it and hands the new State to the Window, which
// draws it. Nothing else changes the State, and no part of the window keeps a
// second copy of anything in it. Commands that change the study can be undone.
//
// Window.change is the way for commands that change the study: it keeps the
// change safe in a file beside the study until that is saved, and starts to
// analyse what no longer follows from it. Until then the old result is shown, is
// said to be old, and counts in no comparison.
//
// What takes time runs as a job: off the window's goroutine, one at a time,
// cancellable, reporting by commands that come back through Surroundings.Later.
// Clock, goroutines and that way back are injected, so that tests run jobs in
// place and turn the clock by hand.
package app

// Package widgets holds the pictures and controls of the window: a view of bent
// rods in space, curves over a common axis, a bar of time and a table of values.
// They know lines, numbers and words, and nothing of captures or swings.
//
// Every widget keeps its state behind setters and draws it with a renderer of
// its own. A setter never calls back: callbacks tell of what the user did, and
// only when something changed, so that two views can be linked by setting each
// from the other's callback. All methods belong to the goroutine of the window.
//
// Lengths in a scene are metres and angles radians. Sizes on the screen are
// Fyne's device-independent pixels, "dp" below. A NaN in a line or a curve is a
// gap. Texts are shown as given, but for the minus sign U+2212 in tables: Fyne's
// font lacks it, and an en dash stands in.
package widgets

// Package sampledata simulates captures of golf swings whose truth is known,
// and holds the demo study made of them.
//
// A capture is made in four steps. A [Motion] carries the grip through the
// swing. [Loads] bend and twist the shaft: curvature is moment over EI, torsion
// torque over GJ, both smooth in time and along the shaft, and the bent axis is
// their exact integral (a rod in SE(3), see rod.go). A [Blow] takes a third of
// the head's speed at contact, between two frames, and leaves the shaft
// ringing. [Noise] and [Gap] then spoil what the cameras see. The truth is read
// off the rod before it is spoilt.
//
// Units are SI: m, s, rad, N. Times in a [Config] count from the first contact
// and are negative before it; times in a recording and its [Truth] count from
// the first frame. The lab has x to the target and z up. Club frame and
// read-outs are those of package kinematics. A left-handed club is the
// right-handed one mirrored in the lab's x-z plane, and has the same truth.
//
// The same seed gives the same bytes on one processor architecture.
package sampledata

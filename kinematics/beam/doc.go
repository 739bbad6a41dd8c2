// Package beam tells what the bench should read of a shaft, and what bends it
// in a swing: deflection, twist and frequency, and what cycles of strain add up
// to.
//
// Everything is in SI units (m, s, rad, N, kg). A station is a distance from
// the butt end along the axis. Bending is that of Euler and Bernoulli: sections
// stay plane and square to the axis, and slopes are small unless a function
// says otherwise. A shaft is a hundred times as long as it is thick, so that
// shear takes no part.
//
// # Beams
//
// A Beam is stiffness and density by station. A Cantilever holds it at a
// station and may load its tip end with a Body and stretch it; it is solved by
// finite elements with cubic shapes (Hermite), whose nodes lie on the stations
// of the tables, so that inside an element stiffness and density are linear and
// the integrals exact. There are so many elements that deflections and the first
// three frequencies are right to 1 in 10⁷, far beyond what any bench can tell.
//
// # Bench values
//
// Few of the bench's tests are standardised: frequency depends on the clamp and
// the tip mass, torque on the beam length. Functions take the set-up with every
// value and have no defaults.
//
// # Fatigue
//
// Rainflow and RigCycles help to plan a rig test: how many cycles of one
// amplitude count as much as the swings captured, if damage adds up linearly
// and follows a power of the strain range. That is planning help, not proof of
// durability; composites keep neither rule closely. On the rig, follow the
// rig's own safety rules and qualified practice.
package beam

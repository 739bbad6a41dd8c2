// Package kinematics turns marker paths of a golf club into the bend, lead,
// droop and twist of its shaft.
//
// Everything is in SI units (m, s, rad, N). Functions are plain: no input or
// output, no clock, no globals.
//
// # Club frame
//
// In the unloaded reference the origin is on the shaft's axis at the butt end.
// z runs along the axis from butt to tip; y from heel to toe, square to z; x is
// y × z, so that for a right-handed club x points to the target side at
// address. A left-handed club is the mirror image: its lead direction is
// −(y × z). A station is a distance from the butt end along the axis.
//
// # Read-outs
//
// The undeflected line is the reference axis carried rigidly by the grip
// cluster. At a station, u is the displacement of the centreline from the
// undeflected line in the club frame. Lead is u along the lead direction (lag
// is negative lead); droop is −u·y, positive toe-down. With the tangent t of
// the tip end, the lead angle is atan2(t·lead, t·z) and the droop angle
// atan2(−t·y, t·z). The tip section's rotation relative to the grip is the
// smallest rotation that takes z to t after a rotation about z; twist is the
// latter, positive closing (for a right-handed club a negative turn about z).
// The head point is the centroid of the head markers. Head speed is its speed
// in the lab just before contact; kick speed the time derivative of its
// lead-direction coordinate in the grip's frame just before contact.
//
// Impact is the instant of first contact, between frames. Values at impact are
// one-sided: no sample after contact touches them.
package kinematics

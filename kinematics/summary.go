package kinematics

// Summary returns the swing without what it holds frame by frame, but for the
// droop: a hundredth of its size, and all that PoolContact and WithContact need.
// It has no frames: Frames is 0, and what takes a frame may not be called.
func (s *Swing) Summary() *Swing {
	out := *s
	out.Grip, out.Head, out.Residual = nil, nil, nil
	out.Lead, out.Twist, out.LeadAngle, out.DroopAngle = Series{}, Series{}, Series{}, Series{}
	out.HeadSpeed, out.KickSpeed, out.Droop.U95 = Series{}, Series{}, nil
	out.Bend, out.rod, out.amp = Profile{}, nil, nil
	return &out
}

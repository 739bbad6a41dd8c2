package study

import (
	"math"

	"bendline/kinematics"
)

// A Measure is one quantity of a swing: how it is called, shown and read out.
// To add one, add a row to Measures.
type Measure struct {
	Key    string  // in files: "lead_mm"
	Label  string  // on screen: "Lead"
	Unit   string  // on screen: "mm"
	Scale  float64 // shown value = SI value × Scale
	Digits int     // decimals shown
	Usual  Range   // of the value at impact with a driver, shown units; common practice, no source

	AtImpact func(*kinematics.Swing) kinematics.Estimate // SI
	Series   func(*kinematics.Swing) kinematics.Series   // SI
}

const degree = 180 / math.Pi

// Measures are the quantities every table, curve and comparison shows, in the
// order shown.
var Measures = []Measure{
	{"lead_mm", "Lead", "mm", 1e3, 1, Range{-80, 100},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.Lead },
		func(s *kinematics.Swing) kinematics.Series { return s.Lead }},
	{"droop_mm", "Droop", "mm", 1e3, 1, Range{-10, 80},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.Droop },
		func(s *kinematics.Swing) kinematics.Series { return s.Droop }},
	{"twist_deg", "Twist", "deg", degree, 2, Range{-6, 6},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.Twist },
		func(s *kinematics.Swing) kinematics.Series { return s.Twist }},
	{"lead_angle_deg", "Lead angle", "deg", degree, 2, Range{-10, 10},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.LeadAngle },
		func(s *kinematics.Swing) kinematics.Series { return s.LeadAngle }},
	{"droop_angle_deg", "Droop angle", "deg", degree, 2, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.DroopAngle },
		func(s *kinematics.Swing) kinematics.Series { return s.DroopAngle }},
	{"head_speed_m_s", "Head speed", "m/s", 1, 1, Range{math.Inf(-1), 75},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.HeadSpeed },
		func(s *kinematics.Swing) kinematics.Series { return s.HeadSpeed }},
	{"kick_speed_m_s", "Kick speed", "m/s", 1, 2, Range{-12, 12},
		func(s *kinematics.Swing) kinematics.Estimate { return s.AtImpact.KickSpeed },
		func(s *kinematics.Swing) kinematics.Series { return s.KickSpeed }},
}

package capture

// A Flag is one thing worth knowing about the data of a run.
type Flag struct {
	Code     Code
	Marker   string  // "" when it concerns the whole run
	From, To float64 // s; both 0 when it concerns the whole run
	Detail   string  // one plain sentence
}

// Code is the stable word for a kind of flag.
type Code string

// The codes, as written to result files.
const (
	Gap           Code = "gap"
	MarkerMissing Code = "marker_missing"
	LabelSwap     Code = "label_swap"
	LabelMatched  Code = "label_matched"
	Frozen        Code = "frozen"
	TimeSkew      Code = "time_skew"
	Damaged       Code = "damaged"
	UnitGuessed   Code = "unit_guessed"
	RateGuessed   Code = "rate_guessed"
	SeveralBlows  Code = "several_blows"
	WrongSide     Code = "wrong_side"
	OutsideUsual  Code = "outside_usual"
	OutOfSpec     Code = "out_of_spec"
	PoorFit       Code = "poor_fit"
)

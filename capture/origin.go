package capture

// Origin says how a recording was read from its file, and what had to be
// guessed.
type Origin struct {
	Layout      string // "wide", "stacked" or "long" of a text, "c3d" of a C3D file
	Encoding    string // "utf-8", "utf-16le", "utf-16be" or "latin-1"; of C3D "intel", "dec" or "sgi" and " real" or " integer"
	Delimiter   rune   // 0 of C3D
	DecimalMark rune   // 0 of C3D
	Unit        Unit
	UnitGuessed bool    // no unit was stated; Unit came from the size of the numbers
	RateGuessed bool    // the rate came from something weaker than a time column or a stated rate
	Up          string  // "+x", "-z" …: the vertical axis if the file states it, else ""
	SHA256      string  // of the file's bytes, lower-case hex
	Skipped     int     // frames absent from the file (a step in its frame or time column), kept as gaps
	Residual    float64 // mean over the positions of how far the cameras' rays miss one another, m; 0 if the file does not say
	Events      []Event // that the file names
	Flags       []Flag  // what is damaged in the file, or had to be put right to read it
}

// Hints correct what detection got wrong for one file; zero fields are
// detected.
type Hints struct {
	Delimiter   string            `json:"delimiter,omitempty"` // "," ";" "\t"
	DecimalMark string            `json:"decimal,omitempty"`   // "." or ","
	Unit        Unit              `json:"unit,omitempty"`
	Rate        float64           `json:"rate,omitempty"`    // frames a second
	Columns     map[string]string `json:"columns,omitempty"` // marker name in the file → name in the marker set
}

// Unit is a unit of length.
type Unit string

// The units that captures come in.
const (
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Metre      Unit = "m"
	Inch       Unit = "in"
)

// Word returns the unit as it may stand in a sentence: "inches" for in.
func (u Unit) Word() string {
	if u == Inch {
		return "inches"
	}
	return string(u)
}

// Metres returns the length of one unit in metres, 0 for an unknown unit. The
// inch is 25.4 mm exactly (international yard and pound agreement, 1959).
func (u Unit) Metres() float64 {
	switch u {
	case Millimetre:
		return 1e-3
	case Centimetre:
		return 1e-2
	case Metre:
		return 1
	case Inch:
		return 0.0254
	}
	return 0
}

package capture

import "strings"

// This file reads the words of header cells: which column is the time, which
// the frame, which a coordinate of what marker in what unit.

var (
	timeWords = words("time", "time stamp", "timestamp", "elapsed time", "relative time", "t",
		"zeit", "zeitstempel", "temps", "tiempo", "tempo", "tijd", "tid", "czas", "время", "aika", "čas", "idő", "zaman", "시간", "時間", "时间")
	frameWords = words("frame", "frames", "frame number", "frame no", "frame nr", "frame index", "frame id",
		"framenumber", "sample", "sample number", "sample no", "samples", "field", "image", "#",
		"bild", "bilder", "bildnummer", "bild nr", "trame", "cuadro", "fotograma", "quadro", "fotogramma")
	markerWords = words("marker", "marker name", "markername", "markers", "name", "label", "point", "point name",
		"target", "trajectory", "marke", "markierung", "punkt", "marqueur", "marcador", "punto", "repère")
	// A column triple called NAME plus one of these is not where the marker
	// NAME is, if NAME has a triple of its own.
	derivativeWords = words("v", "vel", "velocity", "speed", "a", "acc", "accel", "acceleration", "jerk",
		"rot", "rotation", "angle", "force", "moment", "geschwindigkeit", "beschleunigung", "vitesse", "accélération")
	// A column triple with one of these in its name is of another instrument.
	analogWords = words("force", "forces", "forceplate", "moment", "moments", "torque", "grf", "emg", "analog", "analogue", "acceleration", "gyro")
	lengthUnits = map[string]Unit{
		"mm": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre,
		"cm": Centimetre, "centimeter": Centimetre, "centimeters": Centimetre, "centimetre": Centimetre, "centimetres": Centimetre,
		"m": Metre, "meter": Metre, "meters": Metre, "metre": Metre, "metres": Metre, "metri": Metre, "metros": Metre,
		"in": Inch, "inch": Inch, "inches": Inch, "zoll": Inch, "\"": Inch, "″": Inch,
	}
	// What a stamp is divided by to be in seconds.
	timeUnits = map[string]float64{
		"s": 1, "sec": 1, "secs": 1, "second": 1, "seconds": 1, "sek": 1, "sekunde": 1, "sekunden": 1, "segundos": 1, "secondes": 1,
		"ms": 1e3, "msec": 1e3, "millisecond": 1e3, "milliseconds": 1e3, "millisekunden": 1e3,
		"us": 1e6, "µs": 1e6, "μs": 1e6, "microseconds": 1e6,
	}
)

func words(list ...string) map[string]bool {
	set := make(map[string]bool, len(list))
	for _, w := range list {
		set[w] = true
	}
	return set
}

// plainWord folds the spelling of a label: lower case, and one space where the
// file has underscores, dots or several spaces.
func plainWord(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool {
		return c == ' ' || c == '_' || c == '.' || c == '-' || c == '\u00a0'
	}), " ")
}

// lengthUnit returns the unit of length a word stands for, "" for any other.
func lengthUnit(s string) Unit { return lengthUnits[strings.ToLower(strings.TrimSpace(s))] }

// cutUnit splits "S01 X [mm]" into "S01 X" and "mm". The unit is empty when
// nothing stands in brackets at the end.
func cutUnit(s string) (label, unit string) {
	s = strings.TrimSpace(s)
	if s == "" {
		return "", ""
	}
	open := strings.IndexByte("])}", s[len(s)-1])
	if open < 0 {
		return s, ""
	}
	at := strings.LastIndexByte(s, "[({"[open])
	if at < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:at]), strings.TrimSpace(s[at+1 : len(s)-1])
}

// cutLast splits a label at its last separator: "S01_x" into "S01" and "x". Of
// several separators in a row only the last goes, with spaces around it.
func cutLast(s string) (head, last string) {
	at := strings.LastIndexAny(s, " _:.-|/")
	if at < 0 {
		return "", s
	}
	head, last = strings.TrimSpace(s[:at]), s[at+1:]
	if s[at] == ' ' && head != "" && strings.IndexByte("_:.-|/", head[len(head)-1]) >= 0 {
		head = strings.TrimSpace(head[:len(head)-1]) // "S01 : X"
	}
	return head, last
}

// axisOf returns 0, 1 or 2 for x, y or z, else -1.
func axisOf(s string) int {
	if len(s) != 1 {
		return -1
	}
	return strings.IndexByte("xyz", s[0]|0x20)
}

// bareAxis reads a cell that is an axis alone, such as "X", "x_mm", "Y [m]" or
// "Z12", and returns its axis, or -1, and unit.
func bareAxis(cell string) (axis int, unit string) {
	label, unit := cutUnit(cell)
	if unit == "" {
		if head, last := cutLast(label); head != "" && lengthUnit(last) != "" {
			label, unit = head, last
		}
	}
	return axisOf(strings.TrimRight(label, "0123456789")), unit
}

// coordinate reads a cell that names a marker and an axis, such as "S01_x",
// "S01 X [mm]", "S01:X", "S01.X", "S01_X_mm" or "S01X". It returns axis -1 for
// any other.
func coordinate(cell string) (marker string, axis int, unit string) {
	label, unit := cutUnit(cell)
	if axisOf(unit) >= 0 { // "S01 (X)"
		return label, axisOf(unit), ""
	}
	head, last := cutLast(label)
	if unit == "" && lengthUnit(last) != "" {
		if before, axis := cutLast(head); axisOf(axis) >= 0 {
			head, last, unit = before, axis, last
		}
	}
	if axis = axisOf(last); axis >= 0 && head != "" {
		return head, axis, unit
	}
	if n := len(label) - 1; n > 0 && label[n-1] >= '0' && label[n-1] <= '9' {
		if axis = axisOf(label[n:]); axis >= 0 {
			return label[:n], axis, unit
		}
	}
	return "", -1, ""
}

// axisFirst reads a cell that names an axis and then a marker, such as X_S01 or
// "X S01 [mm]". It returns axis -1 for any other.
func axisFirst(cell string) (marker string, axis int, unit string) {
	label, unit := cutUnit(cell)
	if len(label) < 3 || strings.IndexByte(" _:.-", label[1]) < 0 {
		return "", -1, ""
	}
	return strings.TrimSpace(label[2:]), axisOf(label[:1]), unit
}

// timeLabel reports whether a cell heads the time column, and what its stamps
// are to be divided by to be seconds, 0 if the cell does not say.
func timeLabel(cell string) (divisor float64, ok bool) {
	label, unit := cutUnit(cell)
	if timeWords[plainWord(label)] {
		return timeUnits[strings.ToLower(unit)], true
	}
	if word := plainWord(label); len(word) > 1 && timeUnits[word] > 0 { // "Seconds", "ms"
		return timeUnits[word], true
	}
	head, last := cutLast(label)
	divisor = timeUnits[strings.ToLower(last)]
	return divisor, divisor > 0 && timeWords[strings.TrimSuffix(plainWord(head), " in")]
}

// frameLabel reports whether a cell heads the column of frame numbers.
func frameLabel(cell string) bool {
	word := plainWord(cell)
	return frameWords[word] || frameWords[strings.TrimRight(word, "# ")]
}

// markerLabel reports whether a cell heads the column of marker names.
func markerLabel(cell string) bool { return markerWords[plainWord(cell)] }

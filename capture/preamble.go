package capture

import (
	"slices"
	"strconv"
	"strings"
)

// A preamble is what the lines before a header say about the table.
type preamble struct {
	rates []float64 // frames a second, in file order
	unit  Unit      // "" if not stated
	up    string    // "+x", "-z" …, "" if not stated
}

// readPreamble reads the lines before a header: keys and values side by side
// ("Capture rate,2500,Units,mm"), one above the other, or with a colon or an
// equals sign ("# rate = 2500 Hz"). What it does not know it passes over.
func readPreamble(lines []headLine, delimiter byte) preamble {
	var p preamble
	var above []string
	for _, line := range lines {
		text, _ := uncomment(strings.TrimSpace(line.text))
		cells := trimEmpty(split(text, delimiter))
		if len(cells) == 1 {
			cells = keyAndValue(cells[0])
		}
		for i, cell := range cells {
			if i > 0 {
				p.take(cells[i-1], cell)
			}
			if i < len(above) {
				p.take(above[i], cell)
			}
		}
		if len(cells) == 1 {
			p.take("", cells[0])
		}
		above = cells
	}
	return p
}

// keyAndValue splits a line that has no delimiter.
func keyAndValue(line string) []string {
	for _, sep := range []string{"=", ":", "\t", ";", ","} {
		if key, value, ok := strings.Cut(line, sep); ok {
			return []string{strings.TrimSpace(key), strings.TrimSpace(value)}
		}
	}
	return []string{line}
}

// take notes a value if its key is one of those that matter.
func (p *preamble) take(key, value string) {
	label, unit := cutUnit(key)
	tokens := strings.Fields(plainWord(label))
	if rate, hertz := parseRate(value); rate > 0 && (hertz || isRateKey(key)) && !isOtherRate(key) {
		p.rates = append(p.rates, rate)
	}
	if isPeriodKey(label) {
		if rate := 1 / parseTime(value, unit); rate > 0 && rate < 1e7 {
			p.rates = append(p.rates, rate)
		}
	}
	if p.unit == "" && slices.ContainsFunc(tokens, isUnitKey) {
		p.unit = lengthUnits[plainUnit(value)]
	}
	if p.up == "" && slices.ContainsFunc(tokens, isUpKey) {
		p.up = parseAxis(value)
	}
	if words := strings.Fields(plainWord(value)); p.up == "" && key == "" && len(words) == 2 && words[1] == "up" {
		p.up = parseAxis(words[0]) // "Y up"
	}
}

// isRateKey reports whether a key names the number of frames a second.
func isRateKey(key string) bool {
	word := plainWord(key)
	for _, token := range strings.FieldsFunc(word, func(c rune) bool { return c == ' ' || c == '(' || c == ')' || c == '[' || c == ']' }) {
		switch token {
		case "rate", "fps", "hz", "fs", "cadence", "freq":
			return true
		}
		for _, end := range []string{"framerate", "samplerate", "datarate", "camerarate", "capturerate", "bildrate", "abtastrate", "aufnahmerate", "frequenz"} {
			if strings.HasSuffix(token, end) {
				return true
			}
		}
		for _, start := range []string{"frequen", "fréquen", "frecuen"} {
			if strings.HasPrefix(token, start) {
				return true
			}
		}
	}
	return strings.Contains(word, "frames per second") || strings.Contains(word, "images par seconde") || strings.Contains(word, "bilder pro sekunde")
}

// isOtherRate reports whether a key names the rate of something else: of a shutter,
// a filter, another instrument.
func isOtherRate(key string) bool {
	word := plainWord(key)
	return slices.ContainsFunc([]string{"analog", "shutter", "exposure", "belichtung", "filter", "cut off", "cutoff", "low pass", "lowpass",
		"force", "emg", "mains", "bit rate", "strobe"}, func(other string) bool { return strings.Contains(word, other) })
}

// isPeriodKey reports whether a key names the time from one frame to the next.
func isPeriodKey(label string) bool {
	switch plainWord(label) {
	case "dt", "period", "sample period", "sampling period", "frame period", "frame interval", "sample interval", "sampling interval",
		"sample time", "time step", "timestep", "interval", "abtastintervall", "abtastzeit":
		return true
	}
	return false
}

// parseTime reads "0.0004 s" or, in the unit given, "0.4" as seconds, 0 if it is no
// time. Without a unit it is in seconds.
func parseTime(value, unit string) float64 {
	fields := strings.Fields(strings.ToLower(value))
	if len(fields) == 2 {
		unit = fields[1]
	}
	if len(fields) == 0 || len(fields) > 2 {
		return 0
	}
	divisor := 1.0
	if unit != "" {
		divisor = timeUnits[plainUnit(unit)]
	}
	v, err := strconv.ParseFloat(strings.Replace(fields[0], ",", ".", 1), 64)
	if err != nil || !(v > 0) || divisor == 0 {
		return 0
	}
	return v / divisor
}

func isUnitKey(token string) bool {
	switch token {
	case "unit", "units", "einheit", "einheiten", "unité", "unités", "unidad", "unidades":
		return true
	}
	return false
}

func isUpKey(token string) bool {
	switch token {
	case "up", "upaxis", "vertical", "hochachse", "vertikale":
		return true
	}
	return false
}

// parseRate reads "2500", "2500.0 Hz", "2,5 kHz" or "240 fps", 0 if it is none
// of them; hertz tells whether the unit was there.
func parseRate(s string) (rate float64, hertz bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	scale := 1.0
	for _, unit := range []struct {
		name  string
		scale float64
	}{{"khz", 1e3}, {"hz", 1}, {"fps", 1}, {"frames/s", 1}, {"1/s", 1}} {
		if number, ok := strings.CutSuffix(s, unit.name); ok {
			s, scale, hertz = strings.TrimSpace(number), unit.scale, true
			break
		}
	}
	if !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	rate, err := strconv.ParseFloat(s, 64)
	if err != nil || !(rate > 0 && rate < 1e7) {
		return 0, false
	}
	return rate * scale, hertz
}

// parseAxis reads "Y", "+z", "-Y axis" or "Z up" as "+y", "+z", "-y", "+z"; ""
// if it is none of them.
func parseAxis(s string) string {
	words := strings.Fields(strings.ToLower(s))
	if len(words) == 0 {
		return ""
	}
	sign, axis := "+", words[0]
	if axis != "" && (axis[0] == '+' || axis[0] == '-') {
		sign, axis = axis[:1], axis[1:]
	}
	if axisOf(axis) < 0 {
		return ""
	}
	return sign + axis
}

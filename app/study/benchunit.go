package study

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// A dimension is what a value of the bench is of. The first of its units is that
// in which the study keeps it.
type dimension struct {
	name  string // "a length"
	units []unit
}

type unit struct {
	name  string  // as it is written
	in    float64 // kept units in one
	other string  // other ways to write it, parted by spaces
}

// Conversions are exact but for that of the pound-force and what follows from
// it: 1 lbf = 4.4482216152605 N, 1 in = 25.4 mm, 1 lb = 453.59237 g (NIST Special
// Publication 811, appendix B).
const (
	lbf  = 4.4482216152605 // N
	kgf  = 9.80665         // N
	inch = 0.0254          // m
	oz   = 28.349523125    // g
	lb   = 16 * oz         // g
)

var (
	aLength    = &dimension{"a length", []unit{{"mm", 1, ""}, {"cm", 10, ""}, {"m", 1000, ""}, {"in", 25.4, "inch inches \" ”"}}}
	aMass      = &dimension{"a mass", []unit{{"g", 1, "gram grams"}, {"kg", 1000, ""}, {"oz", oz, "ounces"}, {"lb", lb, "lbs"}}}
	aForce     = &dimension{"a force", []unit{{"N", 1, ""}, {"kgf", kgf, "kg kp"}, {"lbf", lbf, "lb lbs"}, {"gf", kgf / 1000, "g"}}}
	aMoment    = &dimension{"a moment", []unit{{"N m", 1, ""}, {"lbf ft", lbf * 12 * inch, "lbft ftlb ftlbf ftlbs"}, {"lbf in", lbf * inch, "lbin inlb inlbf"}, {"kgf cm", kgf / 100, "kgcm"}, {"N mm", 1e-3, ""}}}
	aStiffness = &dimension{"a stiffness", []unit{{"N m²", 1, "nm2"}, {"lbf in²", lbf * inch * inch, "lbin2 psiin4"}, {"kgf mm²", kgf * 1e-6, "kgmm2"}, {"kgf m²", kgf, "kgm2"}, {"N mm²", 1e-6, "nmm2"}}}
	aFrequency = &dimension{"a frequency", []unit{{"cpm", 1, "cycles/min 1/min"}, {"Hz", 60, ""}}}
	anAngle    = &dimension{"an angle", []unit{{"deg", 1, "° degrees"}, {"rad", degree, ""}}}
	aDensity   = &dimension{"a mass per length", []unit{{"g/m", 1, "gperm"}, {"g/in", 1 / inch, "gperin"}, {"g/mm", 1000, "gpermm"}, {"kg/m", 1000, "kgperm"}}}
	aSwing     = &dimension{"a swing weight", []unit{{"oz in", 1, "ozin inoz"}, {"g mm", 1 / (oz * 25.4), "gmm"}}}
	aStrain    = &dimension{"a strain", []unit{{"µm/m", 1, "microstrain ue µe ppm"}, {"%", 1e4, "percent"}}}
	aNumber    = &dimension{"a number", []unit{{"", 1, ""}}}
	aShare     = &dimension{"a share", []unit{{"%", 1, "percent pct"}}}
)

var dimensions = []*dimension{aLength, aMass, aForce, aMoment, aStiffness, aFrequency, anAngle, aDensity, aSwing, aStrain, aShare}

// kept returns the unit in which the study keeps values.
func (d *dimension) kept() string { return d.units[0].name }

// unitKey returns a unit's name without what is written in many ways: "nm2" for
// "N·m²", "N m^2", "Nm2".
func unitKey(s string) string {
	s = strings.NewReplacer("²", "2", "°", "deg", "\"", "in", "”", "in", "%", "percent", "µ", "u", "μ", "u").Replace(strings.ToLower(s))
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '/' {
			return r
		}
		return -1
	}, s)
}

// find returns the unit that is written so; "" is the kept one.
func (d *dimension) find(text string) (unit, bool) {
	key := unitKey(text)
	for i, u := range d.units {
		if key == "" && i == 0 || key != "" && key == unitKey(u.name) ||
			slices.ContainsFunc(strings.Fields(u.other), func(o string) bool { return unitKey(o) == key }) {
			return u, true
		}
	}
	return unit{}, false
}

// unit returns the unit that is written so, or an error that names those there are.
func (d *dimension) unit(text string) (unit, error) {
	if u, ok := d.find(text); ok {
		return u, nil
	}
	names := make([]string, len(d.units))
	for i, u := range d.units {
		names[i] = u.name
	}
	return unit{}, fmt.Errorf("%q is no unit of %s; write %s", strings.TrimSpace(text), d.name, orList(names))
}

// orList returns "a, b or c".
func orList(list []string) string {
	last := len(list) - 1
	if last == 0 {
		return list[0]
	}
	return strings.Join(list[:last], ", ") + " or " + list[last]
}

// A decimalMark is how a table writes numbers.
type decimalMark int

const (
	markUnknown decimalMark = iota
	markPoint
	markComma
)

var (
	numberAtStart = regexp.MustCompile(`^[+\-−]?[0-9.,]*[0-9](?:[eE][+\-]?[0-9]+)?`)
	onlyComma     = regexp.MustCompile(`^[+\-−]?[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})$|^[+\-−]?0,[0-9]+$`)
	withPoint     = regexp.MustCompile(`[0-9]\.[0-9]|^[+\-−]?\.[0-9]`)
	thousands     = regexp.MustCompile(`^[+\-−]?[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?$`)
	thousandsDot  = regexp.MustCompile(`^[+\-−]?[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]+)?$`)
)

// markOf tells from the cells of a table which mark their numbers have: a comma
// where one stands before other than three digits, else a point where there is
// one.
func markOf(rows []sheetRow) decimalMark {
	found := markUnknown
	for _, row := range rows {
		for _, cell := range row.cells {
			number := numberAtStart.FindString(strings.TrimSpace(cell))
			switch {
			case onlyComma.MatchString(number):
				return markComma
			case withPoint.MatchString(number):
				found = markPoint
			}
		}
	}
	return found
}

// parseNumber reads a decimal with either mark. What may be thousands or
// decimals is an error, unless the table tells.
func parseNumber(text string, mark decimalMark) (float64, error) {
	text = strings.ReplaceAll(text, "−", "-")
	point, comma := strings.Contains(text, "."), strings.Contains(text, ",")
	switch {
	case point && comma && thousands.MatchString(text):
		text = strings.ReplaceAll(text, ",", "")
	case point && comma && thousandsDot.MatchString(text):
		text = strings.Replace(strings.ReplaceAll(text, ".", ""), ",", ".", 1)
	case comma && mark != markComma && thousands.MatchString(text):
		if mark == markUnknown {
			return 0, fmt.Errorf("%s may be %s or %s; write it without the comma, or with a point", text,
				strings.ReplaceAll(text, ",", ""), strings.Replace(text, ",", ".", 1))
		}
		text = strings.ReplaceAll(text, ",", "")
	case point && mark == markComma && thousandsDot.MatchString(text):
		return 0, fmt.Errorf("%s has a point where other numbers have a comma, and may be %s or %s; write it one way", text,
			strings.ReplaceAll(text, ".", ""), strings.Replace(text, ".", ",", 1))
	case comma:
		text = strings.Replace(text, ",", ".", 1)
	}
	return strconv.ParseFloat(text, 64)
}

// isMissing reports whether a cell says that there is no value.
func isMissing(text string) bool {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "-", "–", "—", "n/a", "na", "nan", "none", "missing", "?":
		return true
	}
	return false
}

// parse reads a number with a unit behind it, or in the unit given ("" is the
// kept one), and returns it in the kept unit.
func (d *dimension) parse(text, in string, mark decimalMark) (float64, error) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\u00a0", " "))
	number := numberAtStart.FindString(text)
	if number == "" {
		return 0, fmt.Errorf("%q is no number; write one in %s, or with its unit behind it", text, d.kept())
	}
	if behind := strings.TrimSpace(text[len(number):]); behind != "" {
		in = behind
	}
	v, err := parseNumber(number, mark)
	if err != nil {
		if errors.Is(err, strconv.ErrSyntax) || errors.Is(err, strconv.ErrRange) {
			return 0, fmt.Errorf("%q is no number; write one in %s, or with its unit behind it", text, d.kept())
		}
		return 0, err
	}
	u, err := d.unit(in)
	if err != nil {
		return 0, err
	}
	return rounded(v * u.in), nil
}

// rounded takes away what a conversion of a decimal adds in its last digits.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// A span is the values that are believed of a quantity: wide enough for any
// shaft that is swung, too narrow for a value in another unit. Common practice,
// no source.
type span struct{ least, most float64 }

// believed returns an error where a value lies beyond its span, with the unit in
// which it would not.
func (d *dimension) believed(v float64, s span) error {
	switch {
	case s == span{}, v >= s.least && v <= s.most:
		return nil
	case !(v > 0) && s.least >= 0 || math.IsInf(v, 0):
		return fmt.Errorf("%v %s; it must be positive", v, d.kept())
	}
	text := fmt.Sprintf("%.6g %s, which is not between %v and %v", v, d.kept(), s.least, s.most)
	var fits []string
	for _, u := range d.units[1:] {
		if w := v * u.in; w >= s.least && w <= s.most {
			fits = append(fits, fmt.Sprintf("%.6g %s", v, u.name))
		}
	}
	if len(fits) > 0 {
		text += "; if it is in another unit, write that behind it: " + orList(fits)
	}
	return errors.New(text)
}

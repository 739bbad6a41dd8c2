package study

import (
	"slices"
	"strings"
	"unicode"
)

// headingWords returns the words of a heading or item, without marks and units in
// brackets, and the unit in brackets, "" for none.
func headingWords(text string) (words []string, unit string) {
	if open := strings.LastIndexAny(text, "[("); open > 0 {
		inside, rest, ok := strings.Cut(text[open+1:], map[byte]string{'[': "]", '(': ")"}[text[open]])
		if ok {
			text, unit = text[:open]+" "+rest, inside
		}
	}
	text = strings.NewReplacer("²", "2", "³", "3", "±", " ± ", "⌀", " diameter ", "ø", " diameter ", "centre", "center").Replace(strings.ToLower(text))
	return strings.FieldsFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '±' && r != '/' && r != '%' && r != '°'
	}), unit
}

// A heading is what a column or an item may be called, and what its values are
// of.
type heading struct {
	names []string // of words, parted by single spaces
	of    *dimension
}

func newHeading(of *dimension, key, label, more string) heading {
	h := heading{of: of}
	for _, name := range append([]string{key, label}, strings.Split(more, "|")...) {
		words, _ := headingWords(name)
		if len(words) > 0 {
			h.names = append(h.names, strings.Join(words, " "))
		}
	}
	return h
}

// reads reports whether the words are a name of the heading, perhaps with a unit
// behind it, and that unit.
func (h heading) reads(words []string) (unit string, ok bool) {
	const longestUnit = 3 // words: "n m 2" is none, "kgf mm2" and "oz in" are
	for n := 0; n <= min(longestUnit, len(words)-1); n++ {
		name, unit := strings.Join(words[:len(words)-n], " "), strings.Join(words[len(words)-n:], " ")
		if !slices.Contains(h.names, name) {
			continue
		}
		if n == 0 {
			return "", true
		}
		if _, ok := h.of.find(unit); ok {
			return unit, true
		}
	}
	return "", false
}

// A role is what a column of a table of items holds.
type role int

const (
	noRole role = iota
	valueRole
	targetRole
	minusRole
	plusRole
	bothRole // minus and plus are one
	lowRole
	highRole
	unitRole
	itemRole
	clubRole
)

var roleWords = map[string]role{
	"value": valueRole, "measured": valueRole, "reading": valueRole, "actual": valueRole,
	"target": targetRole, "nominal": targetRole, "design": targetRole, "wanted": targetRole,
	"minus": minusRole, "lower tolerance": minusRole, "plus": plusRole, "upper tolerance": plusRole,
	"tolerance": bothRole, "tol": bothRole, "±": bothRole,
	"low": lowRole, "lowest": lowRole, "min": lowRole, "minimum": lowRole, "lower limit": lowRole,
	"high": highRole, "highest": highRole, "max": highRole, "maximum": highRole, "upper limit": highRole,
	"unit": unitRole, "units": unitRole,
	"item": itemRole, "items": itemRole, "quantity": itemRole, "property": itemRole, "test": itemRole,
	"club": clubRole, "clubs": clubRole, "shaft": clubRole, "id": clubRole, "label": clubRole, "name": clubRole, "sample": clubRole,
}

// roleOf returns the role that the last words name, and the words before them.
func roleOf(words []string) (role, []string) {
	for n := min(2, len(words)); n > 0; n-- {
		if r, ok := roleWords[strings.Join(words[len(words)-n:], " ")]; ok {
			return r, words[:len(words)-n]
		}
	}
	return noRole, words
}

// A naming is an item that a text names.
type naming struct {
	field *benchField
	role  role
	unit  string
}

// fieldNamed returns the item that a text names: "Weight [g]", "torque_deg",
// "frequency target".
func fieldNamed(text string) (naming, bool) {
	words, unit := headingWords(text)
	if len(words) == 0 {
		return naming{}, false
	}
	for _, try := range []func() (role, []string){
		func() (role, []string) { return valueRole, words },
		func() (role, []string) { return roleOf(words) },
	} {
		role, rest := try()
		if role < valueRole || role > highRole {
			continue
		}
		for i := range benchFields {
			f := &benchFields[i]
			behind, ok := newHeading(f.of, f.key, f.label, f.names).reads(rest)
			if !ok {
				behind, ok = newHeading(f.of, strings.TrimSuffix(f.key, unitSuffix(f)), "", "").reads(rest)
			}
			if ok {
				if unit == "" {
					unit = behind
				}
				return naming{f, role, unit}, true
			}
		}
	}
	return naming{}, false
}

// unitSuffix returns the unit at the end of the field's key.
func unitSuffix(f *benchField) string {
	for _, s := range []string{"_n_m", "_ozin", "_percent"} {
		if strings.HasSuffix(f.key, s) {
			return s
		}
	}
	return f.key[strings.LastIndexByte(f.key, '_'):]
}

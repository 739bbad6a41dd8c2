package study

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bendline/kinematics/contrast"
)

// lookedAt is the level of the interval of a difference that is looked at after
// every swing. Of two shafts that are the same, looks with 2 to 10 swings of
// each then show a difference once in 20 times, as one look at 95 % does: at 95 %
// they would once in 5 (TestLooksAreAllowedFor; compare Pocock, Biometrika
// 64:191-199, 1977, whose nominal level for 10 looks is 1.06 %).
const lookedAt = 0.99

// mostSwings is how many swings with each shaft a player is asked for at most.
const mostSwings = 30

// A Telling is what the swings so far say about a difference.
type Telling int

// The tellings.
const (
	Untold  Telling = iota // too few swings to tell anything
	InDoubt                // the difference is not larger than the player's own spread leaves in doubt
	Apart                  // it is
	Alike                  // it is smaller than the margin, whichever way the doubt goes
)

// A Standing is how a player's swings with two shafts stand to each other in one
// measure, in shown units. The errors that all swings with a shaft share count.
type Standing struct {
	Measure          Measure
	First, Second    Summary
	Value, Low, High float64 // second minus first, and the interval of looks after every swing; NaN where there is none
	Margin           float64 // the difference that matters; common practice, no source, where the study sets none
	Telling          Telling
	Shared           float64 // standard uncertainty of Value that all swings with a shaft share; Low and High count it
	OwnSpread        bool    // the difference is larger than the swings' own spread leaves in doubt
	More             int     // swings with each shaft until a difference of Margin would show four times in five; 0 for none, −1 for more than can be asked for or where it cannot be told
}

// Stand returns how two of a player's shafts stand to each other. The spread is
// that of each shaft's own swings (Welch), for More too; a shaft that was not
// swung twice is expected to spread as the player's others do. Nothing is said of
// a cause, nor which shaft is better.
func Stand(st *Study, all []Shaft, first, second Shaft, m Measure) Standing {
	s := Standing{Measure: m, First: first.Summary(m), Second: second.Summary(m), Margin: liveMargin(st, m), More: -1}
	t, err := contrast.Welch(first.values(m), second.values(m), lookedAt)
	s.Shared, s.OwnSpread = math.Hypot(first.shared(m), second.shared(m)), t.Low > 0 || t.High < 0
	t = t.Sharing(s.Shared, lookedAt)
	s.Value, s.Low, s.High = t.Difference, t.Low, t.High
	switch {
	case errors.Is(err, contrast.ErrNoSpread): // the same in every swing, as when read off a grid
		s.Low, s.High, s.Telling = s.Value, s.Value, Apart
		if math.Abs(s.Value) < s.Margin {
			s.Telling = Alike
		}
	case err != nil:
		s.Low, s.High = math.NaN(), math.NaN()
	case s.Low > 0 || s.High < 0:
		s.Telling = Apart
	case -s.Margin < s.Low && s.High < s.Margin:
		s.Telling = Alike
	default:
		s.Telling = InDoubt
	}
	a, b, spreadsKnown, ok := spreads(all, s.First, s.Second, m)
	if !ok {
		return s
	}
	left := contrast.Remaining(s.Margin, s.Shared, lookedAt, power)
	if left == 0 {
		return s // more swings do not help
	}
	n, ok := contrast.Need(left, spreadsKnown, lookedAt, power, 0, mostSwings, func(more int) (se, df float64) {
		na, nb := float64(s.First.Runs+more), float64(s.Second.Runs+more)
		if na < 2 || nb < 2 {
			return math.MaxFloat32, 1 // no test yet
		}
		va, vb := a*a/na, b*b/nb
		return math.Sqrt(va + vb), (va + vb) * (va + vb) / (va*va/(na-1) + vb*vb/(nb-1))
	})
	if ok {
		s.More = n
	}
	return s
}

// spreads returns the standard deviations that two shafts' swings are expected to
// have: their own or, where there is none yet, that over the swings with all
// shafts of the player; and by how many degrees of freedom they are known. ok is
// false where that is not known either, or there is no spread.
func spreads(all []Shaft, first, second Summary, m Measure) (a, b, known float64, ok bool) {
	var squares, df float64
	for _, shaft := range all {
		if v := shaft.Summary(m); v.Runs > 1 {
			squares += v.SD * v.SD * float64(v.Runs-1)
			df += float64(v.Runs - 1)
		}
	}
	usual := math.Sqrt(squares / df)
	own := func(v Summary) float64 {
		if v.Runs > 1 {
			known += float64(v.Runs - 1)
			return v.SD
		}
		known += df
		return usual
	}
	a, b = own(first), own(second)
	return a, b, known, a+b > 0
}

// liveMargin is the difference of a measure that matters.
func liveMargin(st *Study, m Measure) float64 {
	switch m.Key { // as those of Peaks, which compare.json knows
	case "lead_turn_ms":
		return usualMargins["droop_turn_ms"]
	case "bend_station_mm":
		return 50
	}
	return margin(st, nil, m).Value
}

// Words tells the standing in a sentence, of shafts named first and second.
func (s Standing) Words(first, second string) string {
	name := s.Measure.Label
	amount := func(v float64) string {
		return strconv.FormatFloat(v, 'f', -1, 64) + " " + s.Measure.Unit
	}
	value := strconv.FormatFloat(math.Abs(s.Value), 'f', s.Measure.Digits, 64) + " " + s.Measure.Unit
	way := "more"
	if s.Value < 0 {
		way = "less"
	}
	switch s.Telling {
	case Apart:
		return fmt.Sprintf("%s: %s %s with %s than with %s, which is larger than their own spread.", name, value, way, second, first)
	case Alike:
		return fmt.Sprintf("%s: less than %s apart.", name, amount(s.Margin))
	case Untold:
		return fmt.Sprintf("%s: cannot be told yet; %s.", name, s.plan(amount(s.Margin), "two swings with each are the least"))
	}
	if s.OwnSpread {
		return fmt.Sprintf("%s: larger than their own spread, but not than the doubt that the shafts' reference recordings leave.", name)
	}
	tooMuch := fmt.Sprintf("more than %d more swings with each may be needed to settle it", mostSwings)
	if contrast.Remaining(s.Margin, s.Shared, lookedAt, power) == 0 {
		tooMuch = "the shafts' reference recordings leave too much doubt to settle it"
	}
	return fmt.Sprintf("%s: not larger than their own spread so far; %s.", name, s.plan(amount(s.Margin), tooMuch))
}

// plan says how many more swings would show a difference, or what else where
// that cannot be told.
func (s Standing) plan(margin, otherwise string) string {
	name := strings.ToLower(s.Measure.Label)
	switch {
	case s.More < 0:
		return otherwise
	case s.More == 0:
		return fmt.Sprintf("a difference of %s in %s would have shown, most likely", margin, name)
	case s.More == 1:
		return fmt.Sprintf("1 more swing with each would most likely show a difference of %s in %s", margin, name)
	}
	return fmt.Sprintf("%d more swings with each would most likely show a difference of %s in %s", s.More, margin, name)
}

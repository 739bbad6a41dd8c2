package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/kinematics/contrast"
)

// A View is a second look at a difference, in shown units.
type View struct {
	Value, Low, High float64 // 95 % interval
	T, DF, P         float64
	About            string // whom it tells about: Wide, Narrow or Single
	Why              string // why it cannot be had, "" where it can; all numbers are then NaN but perhaps Value
	Alone            Alone
}

// Whom a View tells about. Players differ in how a club suits them: where that
// is not among what may vary, the interval is narrower, and holds for the players
// who were there.
const (
	Wide   = "players like these"
	Narrow = "these players"
	Single = "this player"
)

// An AtSpeed is a View at equal head speed.
type AtSpeed struct {
	View
	Slope, SlopeSE float64 // of the measure, a m/s
	Faster         float64 // m/s by which the prototype's runs were faster
}

// An Equivalence is the other question: whether the clubs are the same within a
// margin. P is of two one-sided tests (contrast.Test.Equivalence).
type Equivalence struct {
	Margin Margin
	P      float64 // small where they are the same; NaN where there is no interval
	Alone  float64 // P by the runs alone
}

// A Permutation is a difference's p without any supposed distribution.
type Permutation struct {
	P, SE float64 // SE of drawing, 0 where Exact
	Ways  int
	Exact bool
	Why   string // why there is none
}

// A Mixed is the View of the mixed model of players, each player's own taste
// for a club, and runs.
type Mixed struct {
	View
	PlayerSD, TasteSD, RunSD float64 // NaN where not known
}

// A Power says what this size of study can show.
type Power struct {
	Smallest float64 // true difference that it finds four times in five, as far as its spread is known (contrast.Power); NaN where there is no interval
	Sought   float64 // the margin

	// Runs that each player needs with each club for Sought to be found four
	// times in five, and players needed with runs as they are: 0 where no number
	// up to 1000 is enough. More is how many more than now. A study of one
	// player has no Players.
	Runs, RunsMore       int
	Players, PlayersMore int

	now  struct{ runs, players int } // fewest runs of a player with a club; players
	runs plan                        // by the number of runs
	more plan                        // by the number of players
}

// A plan is the standard error and the degrees of freedom of the difference in a
// study of n runs, or players: √(fixed + each/n), and once + gain·n. The spread
// behind it is known with so many degrees of freedom, and shared is what no
// number makes smaller.
type plan struct{ fixed, each, once, gain, known, shared float64 }

func (p plan) at(n int) (se, df float64) {
	return math.Sqrt(p.fixed + p.each/float64(n)), p.once + p.gain*float64(n)
}

// smallest returns the true difference that a study of n finds four times in
// five, NaN where it finds none.
func (p plan) smallest(n int) float64 {
	if se, df := p.at(n); se > 0 && df > 0 {
		return math.Hypot(contrast.Detectable(se, df, p.known, level, power), contrast.SharedReach(p.shared, level, power))
	}
	return math.NaN()
}

// need returns the smallest n that finds a difference so, 0 where none up to 1000
// does.
func (p plan) need(difference float64) int {
	const most = 1000
	left := contrast.Remaining(difference, p.shared, level, power)
	if left == 0 { // more of them do not help
		return 0
	}
	first := 1
	for first < most {
		if se, df := p.at(first); se > 0 && df > 0 {
			break
		}
		first++
	}
	n, _ := contrast.Need(left, p.known, level, power, first, most, p.at)
	return n
}

// Now returns how many runs each player has with each club at least, and how
// many players there are.
func (p Power) Now() (runs, players int) { return p.now.runs, p.now.players }

// WithRuns returns the true difference that is found four times in five with so
// many runs of each player with each club; NaN where that is not known.
func (p Power) WithRuns(n int) float64 { return p.runs.smallest(n) }

// WithPlayers returns the same for so many players with runs as they are; NaN in
// a study of one player.
func (p Power) WithPlayers(n int) float64 { return p.more.smallest(n) }

// A Spread splits the spread of a player's runs with one club.
type Spread struct {
	Runs        float64 // standard deviation, pooled over players and clubs
	Measurement float64 // standard uncertainty of one run: root mean square of u95/1.96
	Player      float64 // what is left for the player, 0 where measurement explains it all
}

// Share returns the part of the variance that is measurement, at most 1.
func (s Spread) Share() float64 {
	if s.Measurement >= s.Runs {
		return 1
	}
	return s.Measurement * s.Measurement / (s.Runs * s.Runs)
}

// power is how often a difference is found that the study is said to show.
const power = 0.8

// newView returns the view that a test of runs gives, with what the runs share
// counted besides.
func newView(own contrast.Test, shared float64, about string, err error) View {
	t := own.Sharing(shared, level)
	v := View{Value: t.Difference, Low: t.Low, High: t.High, T: t.T, DF: t.DF, P: t.P, About: about, Alone: alone(own)}
	if err != nil {
		v.Why = err.Error()
	}
	return v
}

// noView is a View that a study of this kind does not have.
func noView(why string) View {
	nan := math.NaN()
	return View{nan, nan, nan, nan, nan, nan, "", why, Alone{nan, nan, nan}}
}

func noAtSpeed(why string) AtSpeed { return AtSpeed{noView(why), math.NaN(), math.NaN(), math.NaN()} }

func newPermutation(p contrast.Permutation, err error) Permutation {
	out := Permutation{P: p.P, SE: p.SE, Ways: p.Ways, Exact: p.Exact}
	if err != nil {
		out.Why = err.Error()
	}
	return out
}

func newAtSpeed(a contrast.Adjusted, shared float64, about string, err error) AtSpeed {
	return AtSpeed{newView(a.Test, shared, about, err), a.Slope, a.SlopeSE, a.CovariateDiff}
}

// views adds to d what else is known of the difference: own is the test of the
// runs, t counts what they share besides.
func (c *Comparison) views(d *Difference, own, t contrast.Test) {
	const seed = 1 // any: the same study always gives the same p
	m := d.Measure
	value := func(r *Result) float64 { return m.AtImpact(r.Swing).Value * m.Scale }
	a, b := c.byPlayer(c.BaselineRuns, value), c.byPlayer(c.PrototypeRuns, value)
	d.Within = newPermutation(contrast.PermuteLabels(a, b, level, seed))
	d.Permutation = d.Within
	if c.Design == ManyPlayer {
		differences := make([]float64, len(a))
		for i := range a {
			differences[i] = contrast.Summarize(b[i]).Mean - contrast.Summarize(a[i]).Mean
		}
		d.Permutation = newPermutation(contrast.PermuteSigns(differences, level, seed))
	}

	runs := c.observations(value)
	adjusted, err := contrast.Ancova(runs, level)
	if c.Design == OnePlayer {
		const why = "one player's runs do not say how players differ"
		d.AtSpeed = newAtSpeed(adjusted, d.Shared, Single, err)
		d.Mixed = Mixed{noView(why), math.NaN(), math.NaN(), math.NaN()}
		d.MixedAtSpeed = noAtSpeed(why)
	} else {
		d.AtSpeed = newAtSpeed(adjusted, d.Shared, Narrow, err)
		mixed, err := contrast.MixedBlocks(runs, level)
		d.Mixed = Mixed{newView(mixed.Test, d.Shared, Wide, err), mixed.BlockSD, mixed.BlockSetSD, mixed.RunSD}
		mixed, err = contrast.MixedAncova(runs, level)
		d.MixedAtSpeed = newAtSpeed(mixed.Adjusted, d.Shared, Wide, err)
	}
	if m.Key == speed.Key {
		d.AtSpeed = noAtSpeed("head speed is what the other measures are adjusted for")
		d.MixedAtSpeed = d.AtSpeed
	}

	within := margin(c.study, c.Choices.Margins, m)
	d.Equivalence = Equivalence{within, t.Equivalence(within.Value), own.Equivalence(within.Value)}
	d.Spread = c.spread(m, slices.Concat(a, b))
	d.Power = c.power(a, b, t, within.Value)
	d.Outliers = c.outliers(value)
}

// speed is the measure that others are adjusted for.
var speed = Measures[slices.IndexFunc(Measures, func(m Measure) bool { return m.Key == "head_speed_m_s" })]

// byPlayer returns the values of each player's runs.
func (c *Comparison) byPlayer(runs []*Result, value func(*Result) float64) [][]float64 {
	out := make([][]float64, len(c.players))
	for i, p := range c.players {
		out[i] = valuesOf(runs, p, value)
	}
	return out
}

// observations returns the runs of both clubs with their head speed.
func (c *Comparison) observations(value func(*Result) float64) []contrast.Run {
	var out []contrast.Run
	for i, side := range [][]*Result{c.BaselineRuns, c.PrototypeRuns} {
		for _, r := range side {
			out = append(out, contrast.Run{
				Y: value(r), X: speed.AtImpact(r.Swing).Value * speed.Scale,
				Second: i == 1, Block: slices.Index(c.players, r.Run.Player),
			})
		}
	}
	return out
}

// spread splits the spread of runs; cells holds the values of one player's runs
// with one club each.
func (c *Comparison) spread(m Measure, cells [][]float64) Spread {
	var squares, df float64
	for _, x := range cells {
		if s := contrast.Summarize(x); s.N > 1 {
			squares += s.SD * s.SD * float64(s.N-1)
			df += float64(s.N - 1)
		}
	}
	var uncertainty, n float64
	for _, r := range slices.Concat(c.BaselineRuns, c.PrototypeRuns) {
		if u := m.AtImpact(r.Swing).U95 * m.Scale / coverage; !math.IsNaN(u) {
			of := shared(m, r.Swing) // which is the same in all runs
			uncertainty += math.Max(0, u*u-of*of)
			n++
		}
	}
	out := Spread{Runs: math.Sqrt(squares / df), Measurement: math.Sqrt(uncertainty / n)}
	out.Player = math.Sqrt(math.Max(0, out.Runs*out.Runs-out.Measurement*out.Measurement))
	if math.IsNaN(out.Runs + out.Measurement) {
		out.Player = math.NaN()
	}
	return out
}

// outliers returns the runs that lie apart from the same player's others with
// the club.
func (c *Comparison) outliers(value func(*Result) float64) []string {
	var ids []string
	for _, side := range [][]*Result{c.BaselineRuns, c.PrototypeRuns} {
		for _, p := range c.players {
			own := slices.DeleteFunc(slices.Clone(side), func(r *Result) bool { return r.Run.Player != p })
			for i, mark := range contrast.Outliers(valuesOf(own, p, value)) {
				if mark {
					ids = append(ids, own[i].Run.ID)
				}
			}
		}
	}
	return ids
}

// power plans studies like this one: a and b hold the values by player, t is the
// difference found.
func (c *Comparison) power(a, b [][]float64, t contrast.Test, sought float64) Power {
	out := Power{Smallest: math.NaN(), Sought: sought}
	if math.IsNaN(t.T) {
		return out
	}
	out.Smallest = math.Hypot(contrast.Detectable(t.SE, t.DF, t.DF, level, power), contrast.SharedReach(t.Shared, level, power))
	fewest := math.MaxInt // runs of a player with a club, now
	var players, within, difference, variance, df float64
	var differences []float64
	for i := range a {
		sa, sb := contrast.Summarize(a[i]), contrast.Summarize(b[i])
		if sa.N == 0 || sb.N == 0 {
			continue
		}
		fewest = min(fewest, sa.N, sb.N)
		players++
		differences = append(differences, sb.Mean-sa.Mean)
		difference += 1/float64(sa.N) + 1/float64(sb.N)
		for _, s := range []contrast.Summary{sa, sb} {
			if s.N > 1 {
				variance += s.SD * s.SD * float64(s.N-1)
				df += float64(s.N - 1)
			}
		}
	}
	if c.Design == OnePlayer {
		sa, sb := contrast.Summarize(a[0]), contrast.Summarize(b[0])
		va, vb := sa.SD*sa.SD, sb.SD*sb.SD
		welch := (va + vb) * (va + vb) / (va*va + vb*vb)
		out.runs = plan{each: va + vb, once: -welch, gain: welch, known: t.DF, shared: t.Shared}
		out.Runs = out.runs.need(sought)
	} else {
		// What players' differences spread by is their own taste, and the spread
		// of their runs, which more runs make smaller.
		s := contrast.Summarize(differences)
		if df > 0 {
			within = variance / df
			taste := math.Max(0, s.SD*s.SD-within*difference/players)
			if taste+within > 0 {
				out.runs = plan{fixed: taste / players, each: 2 * within / players, once: players - 1, known: t.DF, shared: t.Shared}
				out.Runs = out.runs.need(sought)
			}
		}
		out.more = plan{each: s.SD * s.SD, once: -1, gain: 1, known: t.DF, shared: t.Shared}
		out.Players = out.more.need(sought)
		out.PlayersMore = max(0, out.Players-int(players))
	}
	out.RunsMore = max(0, out.Runs-fewest)
	out.now.runs, out.now.players = fewest, int(players)
	return out
}

// Resolved reports whether the 95 % interval of a difference leaves out 0.
func (d Difference) Resolved() bool { return d.Low > 0 || d.High < 0 }

// Same reports whether the clubs are shown to be the same within the margin.
func (d Difference) Same() bool { return d.Equivalence.Margin.Value > 0 && d.Equivalence.P <= 1-level }

// Sameness says in a sentence whether the clubs are the same in this measure.
func (d Difference) Sameness() string {
	e := d.Equivalence
	within := fmt.Sprintf("within ±%v %s", e.Margin.Value, d.Measure.Unit)
	switch {
	case math.IsNaN(e.P):
		return fmt.Sprintf("Whether %s is the same %s cannot be said: %s.", strings.ToLower(d.Measure.Label), within, Plain(d.Why))
	case d.Same():
		return fmt.Sprintf("%s is the same %s (p = %.2g; margin: %s).", d.Measure.Label, within, e.P, e.Margin.Source)
	}
	return fmt.Sprintf("%s is not shown to be the same %s (p = %.2g; margin: %s).", d.Measure.Label, within, e.P, e.Margin.Source)
}

// Sentence says what the spread of runs is made of.
func (s Spread) Sentence(m Measure) string {
	shown := func(v float64) string { return fmt.Sprintf("%.*f %s", m.Digits+1, v, m.Unit) }
	switch {
	case math.IsNaN(s.Player):
		return fmt.Sprintf("What the run-to-run spread of %s is made of is not known.", strings.ToLower(m.Label))
	case s.Player == 0:
		return fmt.Sprintf("The run-to-run standard deviation of %s in %s is no more than the measurement's %s.", shown(s.Runs), strings.ToLower(m.Label), shown(s.Measurement))
	}
	return fmt.Sprintf("Of the run-to-run standard deviation of %s in %s, measurement explains %s (%.0f %% of the variance) and the player %s.",
		shown(s.Runs), strings.ToLower(m.Label), shown(s.Measurement), 100*s.Share(), shown(s.Player))
}

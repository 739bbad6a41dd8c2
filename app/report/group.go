package report

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"bendline/app/study"
)

// A group is the runs of one club that count.
type group struct {
	club *study.Club
	look look
	runs []*study.Result
}

// note says what the group's means are over: "6 runs, 3 players".
func (g group) note() string {
	return count(len(g.runs), "run") + ", " + count(len(g.players()), "player")
}

// players returns the ids of the players in the order of their first run.
func (g group) players() []string {
	var ids []string
	seen := map[string]bool{}
	for _, r := range g.runs {
		if !seen[r.Run.Player] {
			seen[r.Run.Player] = true
			ids = append(ids, r.Run.Player)
		}
	}
	return ids
}

// of returns the group's runs of one player.
func (g group) of(player string) group {
	one := group{club: g.club, look: g.look}
	for _, r := range g.runs {
		if r.Run.Player == player {
			one.runs = append(one.runs, r)
		}
	}
	return one
}

// A reading is a row of n numbers read from a run, NaN where not known.
type reading func(*study.Result) []float64

// mean returns the mean and standard deviation of a reading at each place: over
// the players' own means where the group has several players, else over runs.
// It is NaN where fewer than half of them have a value, and the deviation where
// fewer than two have.
func (g group) mean(n int, read reading) (mean, sd []float64) {
	var rows [][]float64
	if players := g.players(); len(players) > 1 {
		for _, p := range players {
			row, _ := g.of(p).mean(n, read)
			rows = append(rows, row)
		}
	} else {
		for _, r := range g.runs {
			rows = append(rows, read(r))
		}
	}
	mean, sd = make([]float64, n), make([]float64, n)
	known := make([]float64, 0, len(rows))
	for i := range n {
		known = known[:0]
		for _, row := range rows {
			if !math.IsNaN(row[i]) {
				known = append(known, row[i])
			}
		}
		mean[i], sd[i] = math.NaN(), math.NaN()
		if len(known) > 0 && 2*len(known) >= len(rows) {
			mean[i], sd[i] = stat.MeanStdDev(known, nil)
		}
	}
	return mean, sd
}

// atImpact returns a reading of the measure at impact, in its own unit.
func atImpact(m study.Measure) reading {
	return func(r *study.Result) []float64 { return []float64{m.AtImpact(r.Swing).Value * m.Scale} }
}

// band says what the shaded band of the groups is.
func band(groups []group) string {
	players := 0
	for _, g := range groups {
		players = max(players, len(g.players()))
	}
	if players > 1 {
		return "Lines: mean of the players’ means. Bands: ± 1 SD between players."
	}
	return "Lines: mean of the runs. Bands: ± 1 SD between runs."
}

func clubName(c *study.Club) string {
	if c.Label != "" {
		return c.Label
	}
	return c.ID
}

func playerName(s *study.Study, id string) string {
	if p := s.Player(id); p != nil && p.Label != "" {
		return p.Label
	}
	return id
}

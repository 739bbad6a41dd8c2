package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

func TestPlan(t *testing.T) {
	file, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	path := filepath.Join(out, "plan.json")
	type effect struct {
		What string
		U95  map[string]float64
	}
	planned := func(args ...string) (f struct {
		Format string
		Clubs  []struct {
			ID          string
			Noise       float64 `json:"noise_mm"`
			Rate        float64 `json:"rate_hz"`
			Places      string  `json:"marker_places"`
			U95         map[string]float64
			Suggestions []effect
			Without     []effect
		}
	}) {
		must(t, append([]string{"plan", file, "-o", path}, args...)...)
		if err := json.Unmarshal([]byte(read(t, path)), &f); err != nil {
			t.Fatal(err)
		}
		return f
	}
	usual, noisy := planned(), planned("--noise-mm", "0.4", "--rate-hz", "2000")
	if usual.Format != "bendline-plan" || len(usual.Clubs) != 4 {
		t.Fatalf("%+v", usual)
	}
	for i, c := range usual.Clubs {
		n := noisy.Clubs[i]
		if c.Noise != 0.2 || c.Rate != 2500 || c.Places != "reference" || n.Noise != 0.4 || n.Rate != 2000 || len(c.U95) != 7 {
			t.Errorf("%+v", c)
		}
		for m, u := range c.U95 {
			if !(u > 0 && n.U95[m] > u) {
				t.Errorf("%s: u95 of %s is %v, with more noise %v", c.ID, m, u, n.U95[m])
			}
		}
		if first := c.Suggestions[0]; !(first.U95["lead_mm"]+first.U95["droop_mm"] < c.U95["lead_mm"]+c.U95["droop_mm"]) {
			t.Errorf("%s: %q does not help", c.ID, first.What)
		}
	}
	said := must(t, "plan", file)
	for _, c := range usual.Clubs {
		for _, want := range []string{"club " + c.ID + ": u95 to expect", c.Suggestions[0].What, "without " + c.Without[0].What} {
			if !strings.Contains(said, want) {
				t.Errorf("%q is not in\n%s", want, said)
			}
		}
	}
	only(t, out, "plan.json")
	if code, _, stderr := call(t, "plan", file, "--noise-mm", "0"); code != exitFailed || strings.Count(stderr, "\n") != 1 {
		t.Errorf("no noise: exit %d, %q", code, stderr)
	}
}

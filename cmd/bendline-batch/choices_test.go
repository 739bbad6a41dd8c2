package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

func TestCompareByChoice(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	path := filepath.Join(out, "compare.json")
	must(t, "compare", study, "-o", path, "--margin", "lead_mm=2.5", "--margin", "twist_deg=0.2", "--leave-out", "out_of_spec,poor_fit", "--lot", "base,proto")
	var got struct {
		Measures []struct {
			Measure     string
			Equivalence struct {
				Margin float64
				Source string `json:"margin_source"`
			}
		}
		Choices struct {
			LeaveOut []string `json:"leave_out_flagged"`
		}
		Lot struct{ Clubs []string }
	}
	if err := json.Unmarshal([]byte(read(t, path)), &got); err != nil {
		t.Fatal(err)
	}
	for _, m := range got.Measures {
		want, source := 0.0, "chosen"
		switch m.Measure {
		case "lead_mm":
			want = 2.5
		case "twist_deg":
			want = 0.2
		default:
			want, source = m.Equivalence.Margin, "common practice, no source"
		}
		if m.Equivalence.Margin != want || m.Equivalence.Source != source {
			t.Errorf("%s: %+v", m.Measure, m.Equivalence)
		}
	}
	if len(got.Choices.LeaveOut) != 2 || len(got.Lot.Clubs) != 2 {
		t.Errorf("%+v, lot %v", got.Choices, got.Lot.Clubs)
	}
	only(t, out, "compare.json")
}

func TestChoicesAreRefused(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	path := filepath.Join(out, "compare.json")
	for _, c := range []struct {
		flag, value, want string
		code              int
	}{
		{"--margin", "lead_mm", "MEASURE=VALUE", exitUsage},
		{"--margin", "lead_mm=wide", "MEASURE=VALUE", exitUsage},
		{"--leave-out", "gap", "out_of_spec wrong_side poor_fit", exitUsage},
		{"--margin", "led_mm=3", `there is no measure "led_mm"; the measures are lead_mm, `, exitFailed},
		{"--margin", "lead_mm=-3", "it must be positive", exitFailed},
		{"--lot", "base", "a lot needs two clubs", exitFailed},
		{"--lot", "base,old", `there is no club "old"`, exitFailed},
	} {
		code, _, stderr := call(t, "compare", study, "-o", path, c.flag, c.value)
		if code != c.code || !strings.Contains(stderr, c.want) {
			t.Errorf("%s %s: exit %d, %q", c.flag, c.value, code, stderr)
		}
	}
	only(t, out)
	if _, stdout, _ := call(t, "compare", "-h"); !strings.Contains(stdout, "--leave-out out_of_spec,poor_fit") {
		t.Errorf("help: %q", stdout)
	}
}

package study_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"bendline/app/study"
	"bendline/sampledata"
)

// demoClubs writes the demo's clubs, without runs, and opens the study.
func demoClubs(t *testing.T) *study.Study {
	t.Helper()
	dir := t.TempDir()
	demo := sampledata.Demo()
	demo.Runs = nil
	if err := demo.Write(context.Background(), dir, nil); err != nil {
		t.Fatal(err)
	}
	s, err := study.Open(filepath.Join(dir, "study.json"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// No run is needed, and a club that did not hang yet is planned as well.
func TestForecast(t *testing.T) {
	s := demoClubs(t)
	hung, err := study.Forecast(s, study.DefaultForecastOptions())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(filepath.Dir(s.Path), s.Clubs[0].Reference)); err != nil {
		t.Fatal(err)
	}
	before, err := study.Forecast(s, study.DefaultForecastOptions())
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range hung {
		if !c.Hung || c.Why != nil || c.Club != s.Clubs[i].ID || len(c.U95) != len(study.Measures) {
			t.Errorf("%+v", c)
		}
		if n := len(s.Clubs[i].Markers.Names()); len(c.Without) != n {
			t.Errorf("%s: %d of %d markers can be left out", c.Club, len(c.Without), n)
		}
		if i > 0 && before[i].U95[0] != c.U95[0] {
			t.Errorf("%s: u95 of lead is %v, then %v", c.Club, c.U95[0], before[i].U95[0])
		}
	}
	first := before[0]
	if first.Hung || first.Why == nil {
		t.Errorf("a club without a reference: %+v", first)
	}
	if ratio := first.U95[0] / hung[0].U95[0]; !(ratio > 0.7 && ratio < 1.4) {
		t.Errorf("u95 of lead is %v, and %v before the club hung", hung[0].U95[0], first.U95[0])
	}
	if _, err := study.Forecast(s, study.ForecastOptions{NoiseMM: -1, RateHz: 2500}); err == nil {
		t.Error("noise below 0 was taken")
	}
}

package study

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func decimalOf(v float64) string { return strconv.FormatFloat(v, 'g', 15, 64) }

// Typed values, limits and rows of tables: with units, taken away, and refused.
func TestTyped(t *testing.T) {
	c := mustOpen(t, sheeted).Clubs[0]
	type step struct {
		key    string
		column BenchColumn
		text   string
		want   float64
	}
	for _, is := range []step{
		{"weight_g", BenchValue, "64,5", 64.5}, {"weight_g", BenchValue, "2.2 oz", 62.36895087}, {"weight_g", BenchTarget, "64", 64},
		{"weight_g", BenchPlus, "± 1.5", 1.5}, {"weight_g", BenchMinus, "−1.5", 1.5}, {"weight_g", BenchValue, "", math.NaN()},
		{"length_mm", BenchValue, "45.5 in", 1155.7}, {"butt_diameter_mm", BenchValue, "0.6\"", 15.24}, {"stiff_plane_deg", BenchValue, "-30°", -30},
		{"torque_moment_n_m", BenchValue, "1 lbf·ft", 1.35581794833}, {"frequency_tip_mass_g", BenchValue, "0", 0},
		{"swing_weight_ozin", BenchValue, "C9.5", 212.625}, {"swing_weight_ozin", BenchTarget, "d2", 217}, {"ei_percent", BenchPlus, "6", 6},
		{"cg_toe_mm", BenchValue, "35", 35},
	} {
		got, err := c.WithBenchText(is.key, is.column, is.text, 213.5)
		if err != nil {
			t.Errorf("%s, %v, %q: %v", is.key, is.column, is.text, err)
			continue
		}
		rows, err := got.BenchRows()
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(rows, func(r BenchRow) bool { return r.Key == is.key })
		if v := rows[i].Values[is.column]; !(math.Abs(v-is.want) < 1e-6) && !(math.IsNaN(v) && math.IsNaN(is.want)) {
			t.Errorf("%s, %v, %q gives %v, want %v", is.key, is.column, is.text, v, is.want)
		}
	}
	for _, is := range []struct {
		step
		says string
	}{
		{step{"weight_g", BenchValue, "heavy", 0}, `weight: "heavy" is no number; write one in g`},
		{step{"weight_g", BenchValue, "64 mm", 0}, `"mm" is no unit of a mass`},
		{step{"weight_g", BenchValue, "0", 0}, "weight is 0 g; it must be positive"},
		{step{"length_mm", BenchValue, "45.5", 0}, "write that behind it: 45.5 cm or 45.5 in"},
		{step{"length_mm", BenchValue, "1000", 0}, "stiffness at 1143 mm lies outside the shaft of 1000 mm"},
		{step{"length_mm", BenchValue, "", 0}, "must be positive"},
		{step{"weight_g", BenchTarget, "", 0}, "weight has a tolerance without a target"},
		{step{"butt_diameter_mm", BenchMinus, "1", 0}, "butt diameter has a tolerance without a target"},
		{step{"weight_g", BenchPlus, "-1", 0}, "not negative"},
		{step{"torque_beam_mm", BenchValue, "1100", 0}, "do not fit the shaft"},
		{step{"stiff_plane_deg", BenchTarget, "1", 0}, "has no target"},
		{step{"ei_percent", BenchValue, "1", 0}, "has no measured"},
	} {
		got, err := c.WithBenchText(is.key, is.column, is.text, 213.5)
		if err == nil || !strings.Contains(err.Error(), is.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s, %v, %q: error %v, want %q", is.key, is.column, is.text, err, is.says)
		}
		if string(got.Bench) != string(c.Bench) || string(got.Spec) != string(c.Spec) || got.Shaft.Length != c.Shaft.Length {
			t.Errorf("%s, %q changed the club", is.key, is.text)
		}
	}
}

func TestTypedStations(t *testing.T) {
	c := mustOpen(t, sheeted).Clubs[0]
	rows := func(c Club, table string) [][]float64 {
		t.Helper()
		r, err := stationTableOf(table).Rows(&c)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	got, err := c.WithStations("stiffness", 9, 0, [][]string{{"25 in", "40", "7665.99 lbf in²"}})
	if err != nil {
		t.Fatal(err)
	}
	if r := rows(got, "stiffness"); len(r) != 3 || r[1][0] != 635 || r[1][1] != 40 || math.Abs(r[1][2]-22) > 1e-4 {
		t.Errorf("a new row gives %v", r)
	}
	if got, err = got.WithStations("stiffness", 1, 0, [][]string{{""}}); err != nil || len(rows(got, "stiffness")) != 2 {
		t.Errorf("an emptied row stays: %v", err)
	}
	if got, err = c.WithStations("three_point", 0, 0, [][]string{{"410", "200", "50", "0,17"}}); err != nil || rows(got, "three_point")[0][3] != 0.17 {
		t.Errorf("%v", err)
	}
	if got, err = c.WithStations("mass", 0, 0, [][]string{{"0", "55"}}); err != nil || len(rows(got, "mass")) != 1 {
		t.Errorf("%v", err)
	}
	if got, err = c.WithStations("ei_percent", 1, 0, [][]string{{"600", "42"}}); err != nil || rows(got, "ei_percent")[1][1] != 42 {
		t.Errorf("%v", err)
	}
	for _, is := range []struct {
		table string
		row   int
		cells []string
		says  string
	}{
		{"stiffness", 0, []string{"1200", "60", "30"}, "EI and GJ at 1200 mm lies beyond the shaft of 1143 mm"},
		{"stiffness", 5, []string{"1200", "60", "30"}, "lies beyond the shaft"},
		{"stiffness", 0, []string{"127", "0", "30"}, "EI is 0 N m²; it must be positive"},
		{"stiffness", 0, []string{"127", "20907", "30"}, "write that behind it: 20907 lbf in²"},
		{"stiffness", 5, []string{"127", "60", "30"}, "stations must increase"},
		{"stiffness", 5, []string{"300", "60", ""}, "the row needs GJ as well"},
		{"three_point", 1, []string{"300", "200", "50", "0.17"}, "three-point bend at 300 mm follows that at 400 mm; stations must increase"},
		{"three_point", 1, []string{"1100", "200", "50", "0.3"}, "a support of the span"},
		{"ei_percent", 9, []string{"600", "x"}, `EI wanted: "x" is no number`},
	} {
		got, err := c.WithStations(is.table, is.row, 0, [][]string{is.cells})
		if err == nil || !strings.Contains(err.Error(), is.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s %v: error %v, want %q", is.table, is.cells, err, is.says)
		}
		if string(got.Bench) != string(c.Bench) || !slices.Equal(got.Shaft.EI, c.Shaft.EI) {
			t.Errorf("%s %v changed the club", is.table, is.cells)
		}
	}
}

// A column of a spreadsheet, put in from a cell on: all of it or nothing.
func TestTypedBlocks(t *testing.T) {
	c := mustOpen(t, sheeted).Clubs[0]
	got, err := c.WithStations("stiffness", 0, 1, [][]string{{"61,5"}, {"21"}})
	if err != nil || got.Shaft.EI[0] != 61.5 || got.Shaft.EI[1] != 21 || got.Shaft.GJ[0] != 36 {
		t.Errorf("EI is %v, %v", got.Shaft.EI, err)
	}
	got, err = c.WithStations("stiffness", 0, 0, [][]string{{"0", "70", "36"}, {"500", "45", "20"}, {"1100", "20", "8"}, {"300", "60", "30"}})
	if err != nil || !slices.Equal(got.Shaft.EI, []float64{70, 60, 45, 20}) {
		t.Errorf("a whole table gives %v, %v", got.Shaft.EI, err)
	}
	if got, err = c.WithBenchTexts("weight_g", BenchValue, [][]string{{"61", "61", "1", "2"}, {"", "565"}, {"-45"}}, 213.5); err != nil {
		t.Fatal(err)
	}
	s, l := mustSheet(t, got), got.mustLimits(t)
	if *s.WeightG != 61 || *l.WeightG.Plus != 2 || *s.BalanceMM != 560 || *l.BalanceMM.Target != 565 || *s.StiffPlaneDeg != -45 {
		t.Errorf("%+v, %+v", s, l)
	}
	for _, is := range []struct {
		do   func() (Club, error)
		says string
	}{
		{func() (Club, error) { return c.WithStations("stiffness", 0, 1, [][]string{{"61"}, {"20907"}}) }, "20907 lbf in²"},
		{func() (Club, error) { return c.WithStations("stiffness", 0, 2, [][]string{{"61", "7"}}) }, "do not fit into them from GJ on"},
		{func() (Club, error) { return c.WithStations("stiffness", 1, 1, [][]string{{"61"}, {"60"}}) }, "the row needs station as well"},
		{func() (Club, error) {
			return c.WithBenchTexts("weight_g", BenchValue, [][]string{{"61"}, {"x"}}, 213.5)
		}, `row 2: balance point: "x" is no number`},
		{func() (Club, error) {
			return c.WithBenchTexts("swing_weight_ozin", BenchValue, [][]string{{"220"}, {"1"}}, 213.5)
		}, "do not fit below swing weight"},
		{func() (Club, error) { return c.WithBenchTexts("weight_g", BenchPlus, [][]string{{"2", "1"}}, 213.5) }, "the last column is plus"},
	} {
		if got, err := is.do(); err == nil || !strings.Contains(err.Error(), is.says) || string(got.Bench) != string(c.Bench) || got.Shaft.EI[0] != 60 {
			t.Errorf("error %v, want %q", err, is.says)
		}
	}
}

// What is copied into a spreadsheet comes back as it was.
func TestBenchText(t *testing.T) {
	s := mustOpen(t, sheeted)
	c := &s.Clubs[0]
	text, err := c.BenchText()
	if err != nil {
		t.Fatal(err)
	}
	bare := *s
	bare.Clubs = slices.Clone(s.Clubs)
	bare.Clubs[0].Bench, bare.Clubs[0].Spec = nil, nil
	bare.Clubs[0].Shaft.EI = []float64{1, 2}
	got, taken, err := pasted(&bare, text)
	if err != nil || len(taken.Left) > 0 {
		t.Fatalf("%v, %v\n%s", err, taken, text)
	}
	want := mustSheet(t, *c)
	if back := mustSheet(t, got.Clubs[0]); !reflect.DeepEqual(back, want) {
		t.Errorf("the sheet is %+v, want %+v", back, want)
	}
	if back, want := got.Clubs[0].mustLimits(t), c.mustLimits(t); !reflect.DeepEqual(back, want) {
		t.Errorf("the spec is %+v, want %+v", back, want)
	}
	if !slices.Equal(got.Clubs[0].Shaft.EI, c.Shaft.EI) {
		t.Errorf("EI is %v", got.Clubs[0].Shaft.EI)
	}
}

// Settings are kept with the study and change what is worked out.
func TestSettings(t *testing.T) {
	s := mustOpen(t, sheeted)
	for key, text := range map[string]string{"d0_ozin": "211", "clamp_mm": "5 in", "tip_mass_g": "254", "soft_spot_percent": "3,5", "hands_mm": "150", "slope": "8",
		"swings": "5e3", "rig_amplitude_microstrain": "0.1 %", "radius_mm": "1.6 m", "head_g": "199", "cg_toe_mm": "34", "cg_back_mm": "12"} {
		var err error
		if s, err = s.WithSetting(key, text); err != nil {
			t.Fatal(key, err)
		}
	}
	b, err := encode(s.encode())
	if err != nil {
		t.Fatal(err)
	}
	if s, err = parse(b); err != nil {
		t.Fatal(err)
	}
	if got, want := s.BenchOptions(), (BenchOptions{211, 127, 254, 0.035}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got, want := s.SwingOptions(), (SwingOptions{HeadMass: 0.199, CGToe: 0.034, CGBack: 0.012, Radius: 1.6, Clamp: 0.15, WearSlope: 8, WearSwings: 5000, WearRigRange: 0.002}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	for key, is := range map[string][2]string{"slope": {"0", "it must be positive"}, "swings": {"many", "is no number"}, "d0_ozin": {"2", "not between 150 and 300"}, "rig_amplitude_microstrain": {"1 mm", "is no unit of a strain"}} {
		if _, err := s.WithSetting(key, is[0]); err == nil || !strings.Contains(err.Error(), is[1]) {
			t.Errorf("%s %q: %v", key, is[0], err)
		}
	}
	if got, err := s.WithSetting("slope", ""); err != nil || got.SwingOptions().WearSlope != DefaultSwingOptions().WearSlope {
		t.Errorf("taken away, the slope is not the usual one: %v", err)
	}
	if _, err := parse([]byte(strings.Replace(string(b), `"slope":8`, `"slope":-8`, 1))); err == nil || !strings.Contains(err.Error(), "bench_settings: slope is -8") {
		t.Errorf("%v", err)
	}
}

// Units against NIST Special Publication 811, appendix B: 1 lbf in² is 2.869815e-3
// N m², 1e6 kgf mm² is 9.80665 N m², 1 lbf ft is 1.355818 N m, 1 oz is 28.34952 g.
func TestUnits(t *testing.T) {
	for _, is := range []struct {
		of        *dimension
		text      string
		want, off float64
	}{
		{aStiffness, "1 lbf in²", 2.869815e-3, 1e-9}, {aStiffness, "1e6 kgf·mm^2", 9.80665, 1e-9}, {aStiffness, "3 kgf m²", 3 * 9.80665, 1e-9}, {aStiffness, "4e7 N mm²", 40, 1e-9},
		{aMoment, "1 lbf ft", 1.355818, 1e-6}, {aMoment, "12 in-lb", 1.355818, 1e-6}, {aMass, "1 oz", 28.34952, 1e-5}, {aMass, "0.5 lb", 226.796185, 1e-6},
		{aForce, "1 kg", 9.80665, 1e-9}, {aForce, "1 lbf", 4.448222, 1e-6}, {aLength, "44.5\"", 1130.3, 1e-9}, {aFrequency, "4.2 Hz", 252, 1e-9}, {anAngle, "0.1 rad", 5.72957795, 1e-7},
	} {
		got, err := is.of.parse(is.text, "", markUnknown)
		if err != nil || math.Abs(got-is.want) > is.off {
			t.Errorf("%s is %v, %v; want %v", is.text, got, err, is.want)
		}
	}
}

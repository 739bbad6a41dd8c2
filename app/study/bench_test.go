package study

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bendline/capture"
	"bendline/kinematics/beam"
)

// sheeted is a study with a sheet and a spec of every item, and keys of a later
// day in them.
const sheeted = `{"format":"bendline-study","version":1,"title":"",
 "clubs":[{"id":"base","role":"baseline","hand":"right",
   "shaft":{"length_mm":1143,"butt_diameter_mm":15.2,"tip_diameter_mm":8.6,
     "stiffness":[{"station_mm":127,"ei_n_m2":60,"gj_n_m2":36},{"station_mm":1143,"ei_n_m2":20,"gj_n_m2":8}]},
   "markers":{"grip":["G1","G2","G3"],"shaft":[],"head":["H1","H2","H3"],"heel":"H1","toe":"H2"},
   "reference":"r.csv",
   "bench":{"weight_g":60,"balance_mm":560,"by":"A",
     "frequency":{"cpm":241.7,"clamp_mm":127,"tip_mass_g":205,"rig":2},
     "torque":{"deg":3.9,"moment_n_m":1.35582,"clamp_mm":76,"beam_mm":1016},
     "butt_deflection":{"mm":68,"load_n":10,"clamp_mm":127,"beam_mm":1000},
     "three_point":[{"station_mm":400,"span_mm":200,"load_n":50,"deflection_mm":0.168,"note":"x"},{"station_mm":700,"span_mm":200,"load_n":50,"deflection_mm":0.222}],
     "assembly":{"mass_g":349.8,"balance_mm":824,"head_g":200,"grip_g":50}},
   "spec":{"weight_g":{"target":60.5,"minus":0.5,"plus":1,"source":"drawing"},"balance_mm":{"target":570,"minus":5,"plus":5},
     "frequency_cpm":{"target":242,"minus":3,"plus":3},"torque_deg":{"target":4,"minus":0.25,"plus":0.25},
     "swing_weight_ozin":{"target":227.5,"minus":1.75,"plus":1.75},"tip_deflection_mm":{"target":90,"minus":2,"plus":2},
     "ei_percent":{"minus":4,"plus":4,"stations":[{"station_mm":100,"ei_n_m2":60},{"station_mm":550,"ei_n_m2":45}]}}}],
 "players":[],"runs":[]}`

// edited returns the study with old replaced by new, which must be there.
func edited(t *testing.T, old, new string) string {
	t.Helper()
	if !strings.Contains(sheeted, old) {
		t.Fatalf("the study has no %s", old)
	}
	return strings.Replace(sheeted, old, new, 1)
}

func benchOfStudy(t *testing.T, text string) ClubBench {
	t.Helper()
	clubs, err := Bench(mustOpen(t, text), DefaultBenchOptions())
	if err != nil {
		t.Fatal(err)
	}
	return clubs[0]
}

func (b *ClubBench) check(t *testing.T, item string) Check {
	t.Helper()
	i := slices.IndexFunc(b.Checks, func(c Check) bool { return c.Item == item })
	if i < 0 {
		t.Fatalf("%s was not checked", item)
	}
	return b.Checks[i]
}

// A value on its limit has passed, one beyond has not, and one that is not there
// is missing.
func TestBenchChecks(t *testing.T) {
	b := benchOfStudy(t, sheeted)
	for item, want := range map[string]Verdict{
		"weight_g": Passed, "balance_mm": Failed, "frequency_cpm": Passed, "torque_deg": Passed,
		"swing_weight_ozin": Passed, "tip_deflection_mm": Missing,
	} {
		if c := b.check(t, item); c.Verdict != want {
			t.Errorf("%v; want it %v", c, want)
		}
	}
	if c := b.check(t, "weight_g"); c.Value != 60 || c.Low != 60 || c.High != 61.5 || c.Target != 60.5 {
		t.Errorf("weight %+v", c)
	}
	if got := b.check(t, "balance_mm").String(); got != "balance point 560.0 mm is out of spec, 565.0 to 575.0 mm" {
		t.Error(got)
	}
	// Stiffness: at 100 mm the table alone, at 550 mm the readings on both sides
	// as well.
	var ei []string
	for _, c := range b.Checks {
		if c.Item == "ei_percent" {
			ei = append(ei, c.Source)
			near(t, "EI off its target, %", c.Value, (c.EI.Value/c.EI.Target-1)*100, 1e-12)
		}
	}
	if want := []string{"stiffness", "three_point", "stiffness"}; !slices.Equal(ei, want) {
		t.Errorf("EI was checked from %v, want %v", ei, want)
	}
	if len(b.OutOfSpec()) != 1 || len(b.Missing()) != 1 {
		t.Errorf("out of spec %v, missing %v", b.OutOfSpec(), b.Missing())
	}
	b = benchOfStudy(t, edited(t, `"station_mm":550,"ei_n_m2":45`, `"station_mm":550,"ei_n_m2":47`))
	if n := len(b.OutOfSpec()); n != 3 {
		t.Errorf("with EI 7 %% off at 550 mm %d checks fail, want readings, table and balance: %v", n, b.OutOfSpec())
	}
	for _, limit := range []string{`"minus":0.5,`, `,"plus":1`} {
		b := benchOfStudy(t, edited(t, limit, ""))
		if c := b.check(t, "weight_g"); c.Verdict != Missing {
			t.Errorf("without a limit: %v", c)
		}
	}
	// A limit that is there still counts.
	b = benchOfStudy(t, strings.Replace(edited(t, `,"plus":1`, ""), `"weight_g":60,`, `"weight_g":59.9,`, 1))
	if c := b.check(t, "weight_g"); c.Verdict != Failed {
		t.Errorf("below its only limit: %v", c)
	}
}

// The values from stiffness are those of the beam (whose own values are held
// against published ones), in the sheet's set-up.
func TestBenchFromStiffness(t *testing.T) {
	b := benchOfStudy(t, sheeted)
	near(t, "frequency, cpm", b.FromStiffness.FrequencyCPM, 241.68, 0.01)
	bare := benchOfStudy(t, edited(t, `"tip_mass_g":205`, `"tip_mass_g":0`))
	near(t, "frequency without a tip mass, cpm", bare.FromStiffness.FrequencyCPM, 1017.50, 0.01)
	const mean = 28 / 1.5040773967762742 // of a GJ from 36 to 8: 28/ln(36/8)
	inside := (1092. - 127) / 1016       // of the taper, to station 1092 mm
	want := 1.35582 * ((0.127-0.076)/36 + 1.016/28*math.Log(36/(36-28*inside))) * 180 / math.Pi
	near(t, "torque, deg", b.FromStiffness.TorqueDeg, want, 1e-9)
	near(t, "mean GJ of the taper", beam.Curve{Station: []float64{0, 1}, Value: []float64{36, 8}}.HarmonicMean(0, 1), mean, 1e-9)
	near(t, "swing weight, oz in", b.SwingWeightOzIn, 227.54, 0.01)
	if b.SwingWeightLetter != "D8.0" {
		t.Errorf("swing weight letter %q", b.SwingWeightLetter)
	}
	near(t, "EI by F S³/48y", b.Readings[0].Formula, 50*0.008/48/0.168e-3, 1e-9)
	if r := b.Readings[0]; !(r.Bias < 0 && r.EI > r.Formula) {
		t.Errorf("a taper reads low: %+v", r)
	}

	o := DefaultBenchOptions()
	o.SwingWeightZero = 210
	clubs, err := Bench(mustOpen(t, sheeted), o)
	if err != nil {
		t.Fatal(err)
	}
	if got := clubs[0].SwingWeightLetter; got != "E0.0" {
		t.Errorf("with D0 at 210 oz in: %q", got)
	}
}

// A measured value apart from what the others give is told of with what could
// explain it; one that goes with them is not.
func TestBenchAgreements(t *testing.T) {
	find := func(b ClubBench, item string) Agreement {
		i := slices.IndexFunc(b.Agreements, func(a Agreement) bool { return a.Item == item })
		if i < 0 {
			t.Fatalf("%s was not held against anything", item)
		}
		return b.Agreements[i]
	}
	b := benchOfStudy(t, sheeted)
	for _, item := range []string{"frequency_cpm", "torque_deg", "butt_deflection_mm", "ei_n_m2"} {
		if a := find(b, item); !a.Agrees() || a.Explanation() != "" {
			t.Errorf("%v", a)
		}
	}
	if a := find(b, "assembly_mass_g"); a.Agrees() || !strings.Contains(a.Explanation(), "glue") {
		t.Errorf("40 g too many: %v", a)
	}
	for cpm, want := range map[string]string{"231.7": "gives way", "251.7": "holds more than stated"} {
		a := find(benchOfStudy(t, edited(t, "241.7", cpm)), "frequency_cpm")
		if a.Agrees() || !strings.Contains(a.Explanation(), want) {
			t.Errorf("%v; want %q", a, want)
		}
	}
}

// What is missing is not known and flagged, and nothing else suffers.
func TestBenchMissing(t *testing.T) {
	has := func(b ClubBench, code capture.Code, item string) bool {
		return slices.ContainsFunc(b.Flags, func(f BenchFlag) bool { return f.Code == code && f.Item == item })
	}
	b := benchOfStudy(t, edited(t, `"weight_g":60,`, ""))
	if !math.IsNaN(b.FromStiffness.FrequencyCPM) || math.IsNaN(b.FromStiffness.TorqueDeg) || !has(b, ItemMissing, "weight_g") {
		t.Errorf("without a weight: %+v, %v", b.FromStiffness, b.Flags)
	}
	b = benchOfStudy(t, edited(t, `"clamp_mm":127,"tip_mass_g":205,`, ""))
	near(t, "frequency in the usual set-up", b.FromStiffness.FrequencyCPM, 241.68, 0.01)
	if !has(b, SetUpTaken, "frequency") {
		t.Errorf("flags %v", b.Flags)
	}
	b = benchOfStudy(t, edited(t, `"beam_mm":1016`, `"x":1`))
	if !math.IsNaN(b.FromStiffness.TorqueDeg) || !has(b, ItemMissing, "torque") {
		t.Errorf("without a beam length: %+v, %v", b.FromStiffness, b.Flags)
	}
	b = benchOfStudy(t, full) // a club with next to nothing on its sheet
	if len(b.Checks) != 0 || !math.IsNaN(b.SwingWeightOzIn) || b.SwingWeightLetter != "" {
		t.Errorf("%+v", b)
	}
}

func TestBenchRefuses(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"cpm":241.7`, `"cpm":"fast"`, "bench.frequency.cpm: needs a number, has string"},
		{`"weight_g":60,`, `"weight_g":-60,`, "bench: weight_g is -60; it must be positive"},
		{`"tip_mass_g":205`, `"tip_mass_g":-205`, "frequency.tip_mass_g is -205"},
		{`"clamp_mm":127,"tip`, `"clamp_mm":1143,"tip`, "frequency: a clamp of 1143 mm does not fit the shaft of 1143 mm"},
		{`"beam_mm":1016`, `"beam_mm":1100`, "torque: a clamp of 76 mm and a beam of 1100 mm do not fit"},
		{`"station_mm":700`, `"station_mm":1200`, "three_point at 1200 mm lies beyond the shaft of 1143 mm"},
		{`"station_mm":700`, `"station_mm":400`, "three_point at 400 mm follows that at 400 mm; stations must increase"},
		{`"station_mm":700`, `"station_mm":1100`, "a support of the span of 200 mm lies beyond"},
		{`"deflection_mm":0.168`, `"deflection_mm":0`, "must all be positive"},
		{`"deflection_mm":0.168`, `"deflection_mm":0.000168`, "more than a solid steel bar has"},
		{`"ei_n_m2":60,"gj`, `"ei_n_m2":20907,"gj`, "if it is in lbf in² it is 60 N m²"},
		{`"gj_n_m2":36`, `"gj_n_m2":12544`, "gj_n_m2 at 127 mm is 12544 N m²"},
		{`"target":60.5,`, "", "spec: weight_g has a tolerance without a target"},
		{`"minus":0.5`, `"minus":-0.5`, "spec.weight_g: minus is -0.5"},
		{`"stations":[{"station_mm":100,"ei_n_m2":60},{"station_mm":550,"ei_n_m2":45}]`, `"stations":[]`, "ei_percent has a tolerance without a target"},
		{`"station_mm":550,"ei_n_m2":45`, `"station_mm":50,"ei_n_m2":47`, "ei_percent at 50 mm follows that at 100 mm"},
		{`"station_mm":550,"ei_n_m2":45`, `"station_mm":550,"ei_n_m2":0`, "ei_n_m2 is 0; it must be positive"},
		{`"station_mm":550,"ei_n_m2":45`, `"station_mm":1550,"ei_n_m2":47`, "ei_percent at 1550 mm lies beyond"},
	} {
		_, err := open(t, edited(t, c.old, c.new))
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), `club "base"`) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want %q", c.new, err, c.want)
		}
	}
}

// A sheet that was not touched is written byte for byte; one that was changed
// keeps the keys this version does not know.
func TestWithSheet(t *testing.T) {
	s := mustOpen(t, sheeted)
	c := s.Clubs[0]
	sheet, err := c.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	weight := 61.25
	sheet.WeightG, sheet.BalanceMM = &weight, nil
	sheet.ThreePoint = append([]BendReading{{300, 200, 50, 0.15}}, sheet.ThreePoint...)
	changed, err := c.WithSheet(sheet)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer(`"weight_g":60,"balance_mm":560,`, `"weight_g":61.25,`,
		`"three_point":[`, `"three_point":[{"station_mm":300,"span_mm":200,"load_n":50,"deflection_mm":0.15},`).Replace(string(c.Bench))
	sameJSON(t, changed.Bench, []byte(want))
	for _, key := range []string{`"by":"A"`, `"rig":2`, `"note":"x"`} {
		if !bytes.Contains(changed.Bench, []byte(key)) {
			t.Errorf("%s was lost in %s", key, changed.Bench)
		}
	}
	if got, err := changed.Sheet(); err != nil || *got.WeightG != weight || len(got.ThreePoint) != 3 {
		t.Errorf("read back %+v, %v", got, err)
	}
	spec, err := c.Limits()
	if err != nil {
		t.Fatal(err)
	}
	*spec.WeightG.Target = 61
	if changed, err = c.WithLimits(spec); err != nil {
		t.Fatal(err)
	}
	sameJSON(t, changed.Spec, []byte(strings.Replace(string(c.Spec), `"target":60.5`, `"target":61`, 1)))
	if *s.Clubs[0].mustLimits(t).WeightG.Target != 60.5 {
		t.Error("the study that was copied has changed")
	}
	spec.WeightG.Target = nil
	if _, err := c.WithLimits(spec); err == nil {
		t.Error("a tolerance without a target was taken")
	}
	bad := -1.
	sheet.WeightG = &bad
	if _, err := c.WithSheet(sheet); err == nil {
		t.Error("a negative weight was taken")
	}
	if empty, err := (Club{Shaft: c.Shaft}).WithSheet(Sheet{}); err != nil || empty.Bench != nil {
		t.Errorf("an empty sheet is %s, %v", empty.Bench, err)
	}
	if err := s.Save(filepath.Join(t.TempDir(), "study.json")); err != nil {
		t.Fatal(err)
	}
}

func (c *Club) mustLimits(t *testing.T) Spec {
	t.Helper()
	s, err := c.Limits()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The file of the simulated study keeps its contract: values near those of the
// club that was simulated, and null for what is missing.
func TestWriteBench(t *testing.T) {
	write := func(s *Study) (out struct {
		Format  string
		Version int
		Clubs   []struct {
			ID     string
			Checks []struct {
				Item  string
				Value *float64
				OK    *bool
			}
			From  map[string]any       `json:"from_stiffness"`
			EI    []map[string]float64 `json:"ei_from_three_point"`
			Swing *float64             `json:"swing_weight_ozin"`
			Flags []struct{ Code, Item, Detail string }
		}
	}) {
		clubs, err := Bench(s, DefaultBenchOptions())
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := WriteBench(&b, clubs, nil); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b.Bytes(), &out); err != nil {
			t.Fatal(err)
		}
		return out
	}
	got := write(simulated().study)
	if got.Format != "bendline-bench" || got.Version != 1 || len(got.Clubs) != 4 {
		t.Fatalf("%+v", got)
	}
	for i, c := range got.Clubs {
		sheet, err := simulated().study.Clubs[i].Sheet()
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.ID+": frequency, share", c.From["frequency_cpm"].(float64) / *sheet.Frequency.CPM, 1, 0.01)
		near(t, c.ID+": torque, share", c.From["torque_deg"].(float64) / *sheet.Torque.Deg, 1, 0.02)
		if len(c.EI) != 8 || c.Swing == nil {
			t.Errorf("%s: EI %v, swing weight %v", c.ID, c.EI, c.Swing)
		}
		out := slices.ContainsFunc(c.Flags, func(f struct{ Code, Item, Detail string }) bool {
			return f.Code == "out_of_spec" && f.Item == "weight_g"
		})
		if out != (c.ID == "proto-left") { // the one that was made too heavy
			t.Errorf("%s: flags %v", c.ID, c.Flags)
		}
	}
	bare := *simulated().study
	bare.Clubs = slices.Clone(bare.Clubs)
	bare.Clubs[0].Bench = nil
	for _, k := range write(&bare).Clubs[0].Checks {
		if k.Item != "ei_percent" && (k.Value != nil || k.OK != nil) {
			t.Errorf("%+v of a club without a sheet", k)
		}
	}
}

// Every run of a club out of spec says so.
func TestAnalyzeFlagsOutOfSpec(t *testing.T) {
	s := *simulated().study
	s.Clubs = slices.Clone(s.Clubs)
	i := slices.IndexFunc(s.Clubs, func(c Club) bool { return c.ID == "base" })
	sheet, err := s.Clubs[i].Sheet()
	if err != nil {
		t.Fatal(err)
	}
	heavy := *sheet.WeightG + 5
	sheet.WeightG = &heavy
	if s.Clubs[i], err = s.Clubs[i].WithSheet(sheet); err != nil {
		t.Fatal(err)
	}
	s.Runs = slices.DeleteFunc(slices.Clone(s.Runs), func(r Run) bool { return r.ID != "a-base-1" && r.ID != "a-proto-1" })
	for _, run := range s.Runs {
		r := AnalyzeRun(t.Context(), &s, run)
		if !r.OK() {
			t.Fatal(r.Err)
		}
		j := slices.IndexFunc(r.Flags, func(f capture.Flag) bool { return f.Code == capture.OutOfSpec })
		if (j >= 0) != (run.Club == "base") || j >= 0 && !strings.Contains(r.Flags[j].Detail, "weight") {
			t.Errorf("%s: flags %v", run.ID, r.Flags)
		}
	}
}

package study

import (
	"slices"
	"strings"
	"testing"
)

// Tables as spreadsheets copy and save them.
func TestWithTable(t *testing.T) {
	c := mustOpen(t, sheeted).Clubs[0]
	for _, text := range []string{
		"Station [mm]\tEI [N m²]\tGJ [N m²]\n0\t71,5\t36\n1143\t20\t8,25\n",
		"gj_n_m2;note;station_mm;ei_n_m2\r\n36;x;0;71,5\r\n8,25;;1143;20\r\n",
		"\ufeffstation_mm, ei_n_m2, gj_n_m2\n0, 71.5, 36\n1143, 20, 8.25",
	} {
		got, err := c.WithTable(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		s := got.Shaft
		if !slices.Equal(s.Station, []float64{0, 1.143}) || !slices.Equal(s.EI, []float64{71.5, 20}) || !slices.Equal(s.GJ, []float64{36, 8.25}) || s.Length != 1.143 {
			t.Errorf("%q: %+v", text, s)
		}
	}
	got, err := c.WithTable("station_mm\tspan_mm\tload_n\tdeflection_mm\n400\t200\t50\t0.17\n800\t200\t50\t0.25")
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := got.Sheet()
	if err != nil || len(sheet.ThreePoint) != 2 || sheet.ThreePoint[1].DeflectionMM != 0.25 || *sheet.WeightG != 60 {
		t.Errorf("%+v, %v", sheet, err)
	}
	if !strings.Contains(string(got.Bench), `"note":"x"`) {
		t.Errorf("the note at 400 mm was lost in %s", got.Bench)
	}
	if got, err = c.WithTable("station_mm\tg/per m\n0\t60\n1143\t45"); err != nil {
		t.Fatal(err)
	}
	b, err := got.Beam(mustSheet(t, got))
	if err != nil {
		t.Fatal(err)
	}
	mass, balance := b.Mass()
	near(t, "mass, kg", mass, 1.143*0.0525, 1e-12)
	near(t, "balance, m", balance, 1.143*(60+2*45)/3/105, 1e-12)
}

func mustSheet(t *testing.T, c Club) Sheet {
	t.Helper()
	s, err := c.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestWithTableRefuses(t *testing.T) {
	c := mustOpen(t, sheeted).Clubs[0]
	for text, want := range map[string]string{
		"":                                       "the table is empty",
		"station_mm\tei_n_m2\tgj_n_m2\n":         "the table is empty",
		"a\tb\n1\t2":                             "has the columns a, b; it needs station_mm, ei_n_m2",
		"station_mm\tei_n_m2\n0\t60":             "it needs station_mm, ei_n_m2, gj_n_m2",
		"station_mm\tg_per_m\n0\theavy":          `row 2: g_per_m is "heavy"`,
		"station_mm\tg_per_m\n0\t60\n500":        "row 3 has no g_per_m",
		"station_mm\tg_per_m\n9\t60\n0\t50":      "mass at 0 mm follows that at 9 mm",
		"station_mm\tg_per_m\n0\tInf":            "it must be positive",
		"station_mm\tg_per_m\n2000\t60":          "lies beyond the shaft",
		"station_mm;ei_n_m2;gj_n_m2\n0;0;36":     "ei_n_m2 at 0 mm is 0; it must be positive",
		"station_mm,ei_n_m2,gj_n_m2\n0,NaN,36\n": "it must be positive",
		"station_mm;ei_n_m2;gj_n_m2\n0;\"60;36":  "the table",
	} {
		got, err := c.WithTable(text)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want %q", text, err, want)
		}
		if string(got.Bench) != string(c.Bench) || !slices.Equal(got.Shaft.EI, c.Shaft.EI) {
			t.Errorf("%q changed the club", text)
		}
	}
}

// Whatever is pasted, a club that comes of it can be saved.
func FuzzWithTable(f *testing.F) {
	f.Add("Station [mm]\tEI [N m²]\tGJ [N m²]\n0\t71,5\t36\n")
	f.Add("station_mm;span_mm;load_n;deflection_mm\n400;200;50;0,17\n")
	f.Add("station_mm,g_per_m\n0,60\n")
	s, err := parse([]byte(sheeted))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := s.Clubs[0].WithTable(text)
		if err != nil {
			return
		}
		changed := *s
		changed.Clubs = []Club{c}
		if err := changed.Validate(); err != nil {
			t.Fatalf("%q gives a club that cannot be: %v", text, err)
		}
		b, err := encode(changed.encode())
		if err != nil {
			t.Fatal(err)
		}
		if _, err := parse(b); err != nil {
			t.Fatalf("%q gives a study that cannot be read: %v\n%s", text, err, b)
		}
	})
}

package study

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/unicode"
)

// pasted returns the study with a pasted table, for its one club.
func pasted(s *Study, text string) (*Study, BenchTaken, error) {
	t, err := PastedBench(text)
	if err != nil {
		return nil, BenchTaken{}, err
	}
	return s.WithBench([]BenchTable{t}, "")
}

func mustSheet(t *testing.T, c Club) Sheet {
	t.Helper()
	s, err := c.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Tables by station as spreadsheets copy and save them.
func TestPasteStations(t *testing.T) {
	s := mustOpen(t, sheeted)
	for _, text := range []string{
		"Station [mm]\tEI [N m²]\tGJ [N m²]\n0\t71,5\t36\n1143\t20\t8,25\n",
		"gj_n_m2;note;station_mm;ei_n_m2\r\n36;x;0;71,5\r\n8,25;;1143;20\r\n",
		"\ufeffstation_mm, ei_n_m2, gj_n_m2\n0, 71.5, 36\n1143, 20, 8.25",
		"Baseline shaft, EI machine\n\nStation (in)\tGJ (N·m²)\tEI (lbf in²)\n0\t36\t24914.498\n45\t8.25\t6969.09103\n",
		"club\tWeight\tFrequency\n\tg\tHz\nbase\t60\t4\n\nPosition (m)\tEI\tGJ\n0\t71.5 N m2\t36\n1.143\t20000000 N mm²\t8.25\n",
	} {
		got, _, err := pasted(s, text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		c := got.Clubs[0].Shaft
		if !slices.Equal(c.Station, []float64{0, 1.143}) || !slices.EqualFunc(c.EI, []float64{71.5, 20}, within(1e-5)) || !slices.Equal(c.GJ, []float64{36, 8.25}) || c.Length != 1.143 {
			t.Errorf("%q: %+v", text, c)
		}
	}
	got, _, err := pasted(s, "station_mm\tspan_mm\tload_n\tdeflection_mm\n400\t200\t50\t0.17\n800\t200\t50\t0.25")
	if err != nil {
		t.Fatal(err)
	}
	sheet := mustSheet(t, got.Clubs[0])
	if len(sheet.ThreePoint) != 2 || sheet.ThreePoint[1].DeflectionMM != 0.25 || *sheet.WeightG != 60 {
		t.Errorf("%+v", sheet)
	}
	if !strings.Contains(string(got.Clubs[0].Bench), `"note":"x"`) {
		t.Errorf("the note at 400 mm was lost in %s", got.Clubs[0].Bench)
	}
	if got, _, err = pasted(s, "station_mm\tg/per m\n0\t60\n1143\t45"); err == nil {
		t.Errorf("an unknown unit gave %+v", got.Clubs[0])
	}
	if got, _, err = pasted(s, "station_mm\tg/m\n0\t60\n1143\t45"); err != nil {
		t.Fatal(err)
	}
	b, err := got.Clubs[0].Beam(mustSheet(t, got.Clubs[0]))
	if err != nil {
		t.Fatal(err)
	}
	mass, balance := b.Mass()
	near(t, "mass, kg", mass, 1.143*0.0525, 1e-12)
	near(t, "balance, m", balance, 1.143*(60+2*45)/3/105, 1e-12)

	// EI alone leaves GJ, taken at the new stations.
	if got, _, err = pasted(s, "station_mm\tei_n_m2\n127\t60\n635\t40\n1143\t20"); err != nil {
		t.Fatal(err)
	}
	if c := got.Clubs[0].Shaft; !slices.Equal(c.EI, []float64{60, 40, 20}) || !slices.Equal(c.GJ, []float64{36, 22, 8}) {
		t.Errorf("EI alone gives %+v", c)
	}
	if got, _, err = pasted(s, "station_mm\ttarget_ei_n_m2\n200\t55\n400\t50"); err != nil {
		t.Fatal(err)
	}
	if e := got.Clubs[0].mustLimits(t).EIPercent; len(e.Stations) != 2 || e.Stations[1] != (EIPoint{400, 50}) || *e.Plus != 4 {
		t.Errorf("EI wanted is %+v", e)
	}
}

func within(tolerance float64) func(a, b float64) bool {
	return func(a, b float64) bool { return a-b <= tolerance && b-a <= tolerance }
}

// Items in rows and in columns, each with units of their own, give the same sheet.
func TestPasteItems(t *testing.T) {
	s := mustOpen(t, sheeted)
	for _, text := range []string{
		"item,unit,value,target,minus,plus\nweight,g,64.2,64,1,1.5\nfrequency,cpm,251.3,250,3,3\ntorque moment,lbf ft,1,,,\nballs,,3,,,\n",
		"Item\tValue\tTarget\tLow\tHigh\nWeight [oz]\t2.26458845\t64 g\t63 g\t65.5 g\nFrequency (Hz)\t4.18833333333\t250 cpm\t247 cpm\t253 cpm\ntorque_moment_n_m\t1.35581794833\nballs\t3\n",
		"club;Weight [g];weight target;weight minus;weight plus;Frequency;frequency target;frequency tolerance;torque moment lbf in;balls\nBASE;64,2;64;-1;1,5;251,3;250;3;12;3\n",
		"\tbase\tbase target\tbase minus\tbase plus\nweight\t64.2 g\t64\t1\t1.5\nfrequency\t251.3\t250\t3\t3\ntorque, moment\t1 ft-lb\nballs\t3",
	} {
		got, taken, err := pasted(s, text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		sheet, spec := mustSheet(t, got.Clubs[0]), got.Clubs[0].mustLimits(t)
		near(t, "weight", *sheet.WeightG, 64.2, 1e-5)
		near(t, "frequency", *sheet.Frequency.CPM, 251.3, 1e-6)
		near(t, "moment", *sheet.Torque.MomentNM, 1.35581794833, 1e-9)
		near(t, "weight wanted", *spec.WeightG.Target, 64, 0)
		near(t, "at least", *spec.WeightG.Minus, 1, 1e-12)
		near(t, "at most", *spec.WeightG.Plus, 1.5, 1e-12)
		near(t, "frequency, at most", *spec.FrequencyCPM.Plus, 3, 1e-12)
		if *sheet.BalanceMM != 560 || *sheet.Frequency.ClampMM != 127 {
			t.Errorf("%q changed what it does not name", text)
		}
		if len(taken.Left) != 1 || !strings.Contains(taken.String(), "balls") || !strings.Contains(taken.String(), " values") {
			t.Errorf("%q: %v", text, taken)
		}
		if *mustSheet(t, s.Clubs[0]).WeightG != 60 {
			t.Fatal("the study that was read into has changed")
		}
	}
	// A single item, with its heading.
	for _, text := range []string{"Weight [g]\n64,2\n", "Weight\t64.2", "weight_g,64.2\n", "weight\tg\t64.2\n"} {
		got, _, err := pasted(s, text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
		} else if w := *mustSheet(t, got.Clubs[0]).WeightG; w != 64.2 {
			t.Errorf("%q: %v", text, w)
		}
	}
	// A swing weight by its letter, for the study's D0.
	set, err := s.WithSetting("d0_ozin", "211")
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := pasted(set, "swing weight\tD2.5")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "D2.5 where D0 is 211", *mustSheet(t, got.Clubs[0]).Assembly.SwingWeightOzIn, 211+2.5*1.75, 1e-9)
}

// Every value that a sheet has, written as the screen copies it, is read back.
func TestEveryItemIsRead(t *testing.T) {
	s := mustOpen(t, sheeted)
	rows, err := s.Clubs[0].BenchRows()
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		f := benchFields[i]
		if !r.Takes[BenchValue] {
			continue
		}
		v := f.span.least + (f.span.most-f.span.least)*0.3
		for _, name := range []string{r.Key, r.Label, r.Label + " [" + r.Unit + "]"} {
			if n, ok := fieldNamed(name); !ok || n.field.key != r.Key || n.role != valueRole {
				t.Errorf("%q is taken for %+v, want %s", name, n, r.Key)
			}
		}
		b := &clubSheet{}
		if err := f.set(b, BenchValue, decimalOf(v), "", markUnknown, 213.5); err != nil {
			t.Errorf("%s: %v", r.Key, err)
		} else if got := **f.at(b); got != rounded(v) {
			t.Errorf("%s is %v, want %v", r.Key, got, v)
		}
		for _, u := range f.of.units { // and in every unit
			if err := f.set(b, BenchValue, decimalOf(v/u.in)+" "+u.name, "", markUnknown, 213.5); err != nil {
				t.Errorf("%s in %s: %v", r.Key, u.name, err)
			} else if got := **f.at(b); got/v < 1-1e-9 || got/v > 1+1e-9 {
				t.Errorf("%s in %s is %v, want %v", r.Key, u.name, got, v)
			}
		}
	}
	seen := map[string]string{}
	for _, f := range benchFields {
		for _, name := range newHeading(f.of, f.key, f.label, f.names).names {
			if seen[name] != "" && seen[name] != f.key {
				t.Errorf("%q names %s and %s", name, seen[name], f.key)
			}
			seen[name] = f.key
		}
	}
}

// A workbook with items on one worksheet, for both clubs, and the tables by
// station of each club on one called by its name.
func TestReadWorkbook(t *testing.T) {
	s := mustOpen(t, strings.Replace(sheeted, `}}}],`, `}}},`+strings.Replace(clubOf(sheeted), `"base"`, `"proto","label":"Proto 7"`, 1)+`],`, 1))
	path := filepath.Join(t.TempDir(), "bench.xlsx")
	read := func(weight any) []BenchTable {
		t.Helper()
		f := excelize.NewFile()
		fill := func(tab string, rows ...[]any) {
			if _, err := f.NewSheet(tab); err != nil {
				t.Fatal(err)
			}
			for i, row := range rows {
				at, _ := excelize.CoordinatesToCellName(2, i+3) // not at the corner
				if err := f.SetSheetRow(tab, at, &row); err != nil {
					t.Fatal(err)
				}
			}
		}
		fill("Shafts", []any{"Item", "Unit", "base", "Proto 7"}, []any{"Weight", "g", 61.5, weight}, []any{"Frequency", "cpm", "", 248.1})
		fill("proto", []any{"Station", "EI", "GJ"}, []any{"[cm]", "N m²", "N m²"}, []any{0, 70, 36}, []any{114.3, 18, 8})
		if err := f.SaveAs(path); err != nil {
			t.Fatal(err)
		}
		tables, err := ReadBench(path)
		if err != nil {
			t.Fatal(err)
		}
		return tables
	}
	got, taken, err := s.WithBench(read(63.25), "")
	if err != nil {
		t.Fatal(err)
	}
	base, proto := mustSheet(t, got.Clubs[0]), mustSheet(t, got.Clubs[1])
	if *base.WeightG != 61.5 || *base.Frequency.CPM != 241.7 || *proto.WeightG != 63.25 || *proto.Frequency.CPM != 248.1 {
		t.Errorf("%+v, %+v", base, proto)
	}
	if ei := got.Clubs[1].Shaft.EI; !slices.Equal(ei, []float64{70, 18}) || got.Clubs[0].Shaft.EI[0] != 60 {
		t.Errorf("EI of proto is %v", ei)
	}
	if want := "Taken for club base: 1 value; for Proto 7: 2 values, EI and GJ at 2 stations."; taken.String() != want {
		t.Errorf("%q, want %q", taken, want)
	}
	if _, _, err = s.WithBench(read("heavy"), ""); err == nil || !strings.Contains(err.Error(), `bench.xlsx, worksheet Shafts, row 4, column E: weight: "heavy" is no number`) {
		t.Errorf("a bad cell gives %v", err)
	}
}

// clubOf returns the club of the study, as in its file.
func clubOf(text string) string {
	a, b := strings.Index(text, `{"id"`), strings.Index(text, `],
 "players"`)
	return text[a:b]
}

// Text files in the encodings that spreadsheets save.
func TestReadBenchText(t *testing.T) {
	s, dir := mustOpen(t, sheeted), t.TempDir()
	wide, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String("Station [mm]\tEI [N m²]\tGJ [N m²]\n0\t71,5\t36\n1143\t20\t8\n")
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"utf16.txt": wide, "latin1.csv": "Station [mm];EI [N m\xb2];GJ [N m\xb2]\r\n0;71,5;36\r\n1143;20;8\r\n", "utf8.csv": "\ufeffStation [mm],EI [N m²],GJ [N m²]\n0,71.5,36\n1143,20,8\n",
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		tables, err := ReadBench(path)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got, _, err := s.WithBench(tables, ""); err != nil || got.Clubs[0].Shaft.EI[0] != 71.5 {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, is := range map[string]struct{ text, want string }{
		"none.csv": {"\n\n", "none.csv: the table is empty"}, "old.xls": {"\xd0\xcf\x11\xe0abc", "save it as .xlsx or as CSV"},
		"bin.csv": {"a\x00b\x00\x01", "neither text nor a workbook"}, "zip.xlsx": {"PK\x03\x04rubbish", "cannot be read as a workbook"},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(is.text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := ReadBench(path); err == nil || !strings.Contains(err.Error(), is.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want %q", name, err, is.want)
		}
	}
	if _, err := ReadBench(filepath.Join(dir, "nowhere.csv")); err == nil || !strings.Contains(err.Error(), "no such file") {
		t.Errorf("a missing file: %v", err)
	}
	if _, err := ReadBench(dir); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder: %v", err)
	}
}

// What cannot be is refused with a sentence that says where, whether pasted, read
// or typed, and nothing is taken.
func TestBenchTablesRefuse(t *testing.T) {
	s := mustOpen(t, sheeted)
	dir := t.TempDir()
	before, err := encode(s.encode())
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"":                               "the table is empty",
		"station_mm\tei_n_m2\tgj_n_m2\n": "row 1: the table is empty",
		"a\tb\n1\t2":                     "names nothing of a bench sheet; it needs items",
		"station_mm\tnote\n0\t60":        "has the columns station_mm, note; beside the station it needs EI and GJ",
		"station_mm\tg_per_m\n0\theavy":  `row 2, column B: mass per length: "heavy" is no number`,
		"station_mm\tg_per_m\n0\t60\n500\n900\t3":                             "",
		"station_mm\tspan_mm\tload_n\tdeflection_mm\n400\t200\t\t0.17":        "row 2, column C: load is missing",
		"station_mm\tg_per_m\n9\t60\n0\t50":                                   "row 3, column A: mass along the shaft at 0 mm follows that at 9 mm; stations must increase",
		"station_mm\tei_n_m2\tgj_n_m2\n9\t60\t30\n9\t50\t25":                  "stations must increase",
		"station_mm\tg_per_m\n0\tInf":                                         "is no number",
		"station_mm\tg_per_m\n1200\t60":                                       "row 2, column A: mass along the shaft at 1200 mm lies beyond the shaft of 1143 mm",
		"station_mm\tspan_mm\tload_n\tdeflection_mm\n1100\t200\t50\t0.17":     "a support of the span of 200 mm lies beyond",
		"station_mm;ei_n_m2;gj_n_m2\n0;0;36":                                  "row 2, column B: EI is 0 N m²; it must be positive",
		"station_mm;ei_n_m2;gj_n_m2\n0;-60;36":                                "EI is -60 N m²; it must be positive",
		"station_mm,ei_n_m2,gj_n_m2\n0,x,36\n":                                `EI: "x" is no number`,
		"station_mm,ei_n_m2,gj_n_m2\n0,20907,36\n":                            "row 2, column B: EI is 20907 N m², which is not between 0.5 and 2000; if it is in another unit, write that behind it: 20907 lbf in²",
		"station_mm,ei_n_m2,gj_n_m2\n0,60,12544\n":                            "row 2, column C: GJ is 12544 N m²",
		"station_mm,EI [kN m2],gj_n_m2\n0,60,36\n":                            `"kN m2" is no unit of a stiffness; write N m², lbf in², kgf mm², kgf m² or N mm²`,
		"station_mm\tspan_mm\tload_n\tdeflection_mm\n400\t200\t50\t0.0000017": "deflection is 1.7e-06 mm",
		"item,value\nweight,2.3\n":                                            "row 2, column B: weight is 2.3 g, which is not between 10 and 400; if it is in another unit, write that behind it: 2.3 oz",
		"item,value\nfrequency,4.2\n":                                         "write that behind it: 4.2 Hz",
		"item,value\nlength,45\n":                                             "write that behind it: 45 cm or 45 in",
		"item,value\nweight,-60\n":                                            "weight is -60 g; it must be positive",
		"item,value\nweight,6o\n":                                             `"o" is no unit of a mass`,
		"item,value,unit\nweight,60,mm\n":                                     `"mm" is no unit of a mass; write g, kg, oz or lb`,
		"item,minus,plus\ntip diameter,1,1\n":                                 "row 2, column B: tip diameter has a tolerance without a target; give the target",
		"item,value,low\ntip diameter,8.6,8\n":                                "tip diameter has a tolerance without a target",
		"item,value,target,high\nweight,60,60,59\n":                           "a limit of 59 g is on the wrong side of the target of 60",
		"item,plus\nweight,-1\n":                                              "-1 is a distance from the target, not negative",
		"club,weight,frequency\nother,60,240\n":                               `row 2, column A: there is no club "other"; the clubs are base`,
		"weight,frequency\n60,240\n61,241\n":                                  "row 3: it is the second row of values of one club",
		"item;value\nbalance point;1,130\n":                                   "1,130 may be 1130 or 1.130",
		"item,value\nfrequency clamp,400\nlength,350\n":                       "club \"base\": shaft: stiffness at 1143 mm lies outside the shaft of 350 mm",
		"item,value\nfrequency clamp,1200\n":                                  "frequency, clamp is 1200 mm, which is not between 0 and 500",
		"item,value\ntorque beam,1100\n":                                      "torque: a clamp of 76 mm and a beam of 1100 mm do not fit the shaft",
	} {
		path := filepath.Join(dir, "sheet.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, _, errPasted := pasted(s, text)
		tables, errRead := ReadBench(path)
		if errRead == nil {
			_, _, errRead = s.WithBench(tables, "")
		}
		for how, err := range map[string]error{"pasted": errPasted, "read": errRead} {
			switch {
			case want == "" && err != nil:
				t.Errorf("%q, %s: %v", text, how, err)
			case want == "":
			case err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n"):
				t.Errorf("%q, %s: error %v, want %q", text, how, err, want)
			case how == "read" && !strings.Contains(err.Error(), "sheet.csv") && !strings.Contains(err.Error(), "club \"base\"") && !strings.Contains(err.Error(), "names nothing"):
				t.Errorf("%q: %v does not name the file", text, err)
			}
		}
	}
	after, err := encode(s.encode())
	if err != nil || string(after) != string(before) {
		t.Error("what was refused has changed the study")
	}
}

// Whatever is pasted, a study that comes of it can be saved and read.
func FuzzPaste(f *testing.F) {
	f.Add("Station [mm]\tEI [N m²]\tGJ [N m²]\n0\t71,5\t36\n")
	f.Add("station_mm;span_mm;load_n;deflection_mm\n400;200;50;0,17\n")
	f.Add("station_mm,g_per_m\n0,60\n")
	f.Add("item,unit,value,target,minus,plus\nweight,oz,2.2,64,1,1\nEI band,,,,4,4\n")
	f.Add("club,weight,frequency,swing weight\nbase,64,250,D2\n")
	s, err := parse([]byte(sheeted))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		changed, _, err := pasted(s, text)
		if err != nil {
			return
		}
		if err := changed.Validate(); err != nil {
			t.Fatalf("%q gives a study that cannot be: %v", text, err)
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

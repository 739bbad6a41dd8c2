package capture

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// Every number is the float64 nearest to what is written, as strconv has it.
func TestNumberRounds(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	texts := []string{"0", "-0", "1", "+1.5", ".5", "5.", "-.25", "1e3", "-1.5E-7", "9007199254740992", "9007199254740993", "9007199254740992.5",
		"0.1", "123456789012345678901234567890", "0.000000000000000000000000123", "1.7976931348623157e308", "4.9e-324", "00000000000000000000000001.5", " 7 ", "\"2.5\"", "\" 2.5 \" ", "2.5\r"}
	for range 20000 {
		x := (rng.Float64() - 0.5) * math.Pow(10, float64(rng.IntN(8)))
		texts = append(texts, strconv.FormatFloat(x, 'f', rng.IntN(18), 64), strconv.FormatFloat(x, 'g', -1, 64))
	}
	for _, mark := range []byte{'.', ','} {
		for _, text := range texts {
			plain := ""
			for _, c := range text {
				if c != '"' && c != ' ' && c != '\r' {
					plain += string(c)
				}
			}
			want, err := strconv.ParseFloat(plain, 64)
			if err != nil {
				t.Fatal(err)
			}
			b := []byte(text + ";rest\n")
			for i := range b {
				if b[i] == '.' {
					b[i] = mark
				}
			}
			s := scanner{text: b, dialect: dialect{';', mark}}
			got, end, ok := s.number(0)
			if !ok || end != len(text) || math.Float64bits(got) != math.Float64bits(want) {
				t.Fatalf("%q: %v at %d, %v; want %v", b, got, end, ok, want)
			}
		}
	}
}

func TestNumberMissing(t *testing.T) {
	for _, text := range []string{"", "  ", "NaN", "nan", " NAN ", "NA", "n/a", "null", `""`, `"NaN"`} {
		s := scanner{text: []byte(text + ",\n"), dialect: dialect{',', '.'}}
		if v, end, ok := s.number(0); !ok || end != len(text) || !math.IsNaN(v) {
			t.Errorf("%q: %v at %d, %v", text, v, end, ok)
		}
	}
	for _, text := range []string{"x", "1 2", "1.2.3", "1_0", "0x1", "inf", "--1", "e5", `"1`, `"1"2`, "1,5"} {
		s := scanner{text: []byte(text + ";\n"), dialect: dialect{';', '.'}}
		if v, _, ok := s.number(0); ok {
			t.Errorf("%q reads as %v", text, v)
		}
	}
}

func FuzzNumber(f *testing.F) {
	for _, seed := range []string{"1.5", "-0.0004", "1e400", "9007199254740993.000", "\"3\"", ""} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, cell []byte) {
		s := scanner{text: append(cell, '\n'), dialect: dialect{',', '.'}}
		got, end, ok := s.number(0)
		if end >= len(s.text) {
			t.Fatalf("%q ends at %d", cell, end)
		}
		want, err := strconv.ParseFloat(string(s.text[:end]), 64)
		if err == nil && ok && !math.IsNaN(want) && math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: %v, want %v", cell, got, want)
		}
	})
}

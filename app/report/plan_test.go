package report

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"
)

// pngOf returns a picture in one colour as a PNG file.
func pngOf(t *testing.T, wide, high int) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, wide, high))
	for i := range img.Pix {
		img.Pix[i] = 0x90
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPlanPicksOrdersAndRetitles(t *testing.T) {
	a, c := medium.make()
	o := options
	o.Plan = Plan{
		{Kind: Method},
		{Kind: RunTable, Title: "All swings"},
		{Kind: Curves, Off: true},
		{Kind: Cover, Title: "What did we learn?", Note: "Say hello."},
	}
	d := must(New(a, c, o))
	var got []Kind
	for _, s := range d.Slides {
		got = append(got, s.Kind)
	}
	want := []Kind{Method, RunTable, RunTable, Cover}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("slides %v, want %v", got, want)
	}
	if h := d.Slides[2].Heading(); h != "All swings (2 of 2)" {
		t.Errorf("heading %q", h)
	}
	text := strings.Join(slideText(d.Slides[3]), " ")
	if !strings.Contains(text, "What did we learn?") || strings.Contains(text, "differ from") || d.Slides[3].Note != "Say hello." {
		t.Errorf("the cover says %q, its note %q", text, d.Slides[3].Note)
	}
}

func TestPlanIsKeptAsJSON(t *testing.T) {
	p := Plan{{Kind: Cover, Title: "a", Note: "b"}, {Kind: Instants, Off: true, BeforeMS: []float64{80, 0}}}
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	const want = `[{"slide":"cover","title":"a","note":"b"},{"slide":"instants","off":true,"before_ms":[80,0]}]`
	if string(b) != want {
		t.Errorf("got %s, want %s", b, want)
	}
	var back Plan
	if err := json.Unmarshal(b, &back); err != nil || !reflect.DeepEqual(back, p) {
		t.Errorf("read back %v, %v", back, err)
	}
	if err := DefaultPlan().Validate(); err != nil {
		t.Error(err)
	}
}

func TestPlanAndStyleAreChecked(t *testing.T) {
	a, c := small.make()
	for _, bad := range []struct {
		o    Options
		want string
	}{
		{Options{Plan: Plan{{Kind: "clip art"}}}, `slide 1 of the plan: there is no "clip art"; there are cover, impact`},
		{Options{Plan: Plan{{Kind: Instants, BeforeMS: []float64{1, 2, 3, 4, 5}}}}, "at most 4"},
		{Options{Plan: Plan{{Kind: Instants, BeforeMS: []float64{-1}}}}, "give 0 to 1000"},
		{Options{Style: Style{Accents: []string{"red"}}}, `accent colour "red"`},
		{Options{Style: Style{Accents: make([]string, 7)}}, "at most 6"},
		{Options{Style: Style{Logo: []byte("no picture")}}, "PNG or JPEG"},
	} {
		if _, err := New(a, c, bad.o); err == nil || !strings.HasPrefix(err.Error(), "report: ") || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("error %v, want %q", err, bad.want)
		}
	}
	if _, err := NewSheet(a, "p1", Options{Style: Style{Paper: "a3"}}); err == nil || !strings.Contains(err.Error(), `"a4"`) {
		t.Errorf("paper a3: %v", err)
	}
}

func TestStyle(t *testing.T) {
	a, c := medium.make()
	o := options
	o.Style = Style{Name: "House of bends", Accents: []string{"#102030"}, DecimalComma: true}
	d := must(New(a, c, o))
	all := ""
	for _, s := range d.Slides {
		text := slideText(s)
		if !strings.Contains(strings.Join(text, " "), "House of bends") {
			t.Errorf("%s does not name the house", s.Title)
		}
		if s.Kind != Files && s.Kind != Cover {
			all += strings.Join(text, " ")
		}
	}
	if m := regexp.MustCompile("[−+±][ \u00a0]?[0-9]+\\.[0-9]").FindString(all); m != "" || !strings.Contains(all, "±\u00a00,") {
		t.Errorf("numbers have a decimal point, not a comma: %q", m)
	}
	if got := d.looks[0].color; got != (color.NRGBA{0x10, 0x20, 0x30, 0xff}) || d.looks[1].color != looks[1].color {
		t.Errorf("colours %v, %v", got, d.looks[1].color)
	}
}

// The files page has what it takes to make the deck again, and it does.
func TestFilesPage(t *testing.T) {
	a, c := small.make()
	a.Results[0].Capture.SHA256 = strings.Repeat("ab", 32)
	o := options
	o.Plan = Plan{{Kind: Cover, Title: "x"}, {Kind: Files}}
	d := must(New(a, c, o))
	text := ""
	for _, s := range d.Slides[1:] {
		if !s.Hidden {
			t.Errorf("%s is not hidden", s.Title)
		}
		text += strings.Join(slideText(s), " ") + " "
	}
	for _, want := range []string{strings.Repeat("ab", 32), o.Date.Format(time.RFC3339), "Bendline 0.1.0", `{"slide":"cover","title":"x"}`, "study, as it is saved", `"Baseline":`} {
		if !strings.Contains(text, want) {
			t.Errorf("the files pages lack %q in %s", want, text)
		}
	}
}

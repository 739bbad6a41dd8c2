package report

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"path"
	"strings"
	"testing"
	"time"
)

// unpacked returns the files of a presentation.
func unpacked(t *testing.T, d *Deck) (files map[string][]byte, raw []byte) {
	t.Helper()
	var b bytes.Buffer
	if err := d.pptx(t.Context(), &b, silent); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	files = map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if files["/"+f.Name] != nil {
			t.Errorf("%s is in the archive twice", f.Name)
		}
		files["/"+f.Name] = data
		if !f.Modified.Equal(d.o.made().Truncate(time.Second)) && !d.Date.IsZero() {
			t.Errorf("%s is dated %v", f.Name, f.Modified)
		}
	}
	return files, b.Bytes()
}

func unmarshal(t *testing.T, data []byte, v any) {
	t.Helper()
	if err := xml.Unmarshal(data, v); err != nil {
		t.Fatalf("%v in %.200s", err, data)
	}
}

// Every part has a content type, is reached by a relationship, and every
// relationship it names and each id it uses leads somewhere (ECMA-376 part 2).
func TestPresentationPartsHoldTogether(t *testing.T) {
	for name, sc := range scenarios {
		a, c := sc.make()
		o := options
		o.Style.Logo = pngOf(t, 40, 20)
		o.Plan = DefaultPlan()
		o.Plan[1].Note = "first\nsecond"
		files, _ := unpacked(t, must(New(a, c, o)))

		var types struct {
			Default []struct {
				Extension string `xml:",attr"`
			}
			Override []struct {
				PartName    string `xml:",attr"`
				ContentType string `xml:",attr"`
			}
		}
		unmarshal(t, files["/[Content_Types].xml"], &types)
		typed := map[string]bool{}
		for _, o := range types.Override {
			typed[o.PartName] = o.ContentType != ""
			if files[o.PartName] == nil {
				t.Errorf("%s: %s has a content type and is not there", name, o.PartName)
			}
		}
		reached := map[string]bool{"/[Content_Types].xml": true}
		for file, data := range files {
			if strings.HasSuffix(file, ".rels") {
				reached[file] = true
				folder := path.Dir(path.Dir(file))
				decodeLinks(t, data, func(id, target string) {
					if path.IsAbs(target) {
						t.Errorf("%s: %s is told from the root", file, target)
					}
					target = path.Join(folder, target)
					reached[target] = true
					if files[target] == nil {
						t.Errorf("%s: %s leads to %s, which is not there", name, file, target)
					}
				})
				continue
			}
			if file != "/[Content_Types].xml" && !typed[file] {
				t.Errorf("%s: %s has no content type", name, file)
			}
			if strings.HasSuffix(file, ".xml") {
				wellFormed(t, file, data, files)
			}
		}
		for file := range files {
			if !reached[file] {
				t.Errorf("%s: no relationship leads to %s", name, file)
			}
		}
	}
}

// decodeLinks calls each with the id and the target of every relationship.
func decodeLinks(t *testing.T, data []byte, each func(id, target string)) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "Relationship" {
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			each(at["Id"], at["Target"])
		}
	}
}

// wellFormed checks a part: its XML, the relationship ids it uses, and that no
// shape's id is given twice.
func wellFormed(t *testing.T, file string, data []byte, files map[string][]byte) {
	t.Helper()
	links := map[string]bool{}
	dir, base := path.Split(file)
	if rels := files[dir+"_rels/"+base+".rels"]; rels != nil {
		decodeLinks(t, rels, func(id, _ string) { links[id] = true })
	}
	ids := map[string]bool{}
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			if strings.HasSuffix(a.Name.Space, "/relationships") && !links[a.Value] {
				t.Errorf("%s: %s is no relationship of it", file, a.Value)
			}
			if e.Name.Local == "cNvPr" && a.Name.Local == "id" {
				if ids[a.Value] {
					t.Errorf("%s: id %s is given twice", file, a.Value)
				}
				ids[a.Value] = true
			}
		}
	}
}

// Everything that is drawn as text outside of plots is text in the
// presentation, and nothing else is.
func TestPresentationHasTheSlidesText(t *testing.T) {
	d := deckOf(t, medium)
	files, _ := unpacked(t, d)
	for i, s := range d.Slides {
		var slide strings.Builder
		dec := xml.NewDecoder(bytes.NewReader(files["/ppt/slides/slide"+itoa(i+1)+".xml"]))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if text, ok := tok.(xml.CharData); ok {
				slide.Write(text)
				slide.WriteByte(' ')
			}
		}
		got := squeezed(slide.String())
		for _, p := range s.all() {
			switch p := p.(type) {
			case passage:
				for _, para := range p.paragraphs {
					if want := squeezed(strings.Join(para, " ")); !strings.Contains(got, want) {
						t.Errorf("slide %d lacks %q", i+1, want)
					}
				}
			case leaf:
				for _, r := range p.rows {
					for k := range r.cells {
						if want := squeezed(strings.Join(r.lines[k], " ")); !strings.Contains(got, want) {
							t.Errorf("slide %d lacks the cell %q", i+1, want)
						}
					}
				}
			}
		}
	}
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

func itoa(n int) string { return format{}.number(float64(n), 0) }

func TestPresentationNotesHiddenAndField(t *testing.T) {
	a, c := small.make()
	o := options
	o.Plan = Plan{{Kind: Cover, Title: "=1+1 <&>", Note: "One.\nTwo & three."}, {Kind: Files}}
	files, first := unpacked(t, must(New(a, c, o)))
	_, second := unpacked(t, must(New(a, c, o)))
	if !bytes.Equal(first, second) {
		t.Error("the same deck gives other bytes")
	}
	cover := string(files["/ppt/slides/slide1.xml"])
	if !strings.Contains(cover, "=1+1 &lt;&amp;&gt;") || !strings.Contains(cover, `type="title"`) || !strings.Contains(cover, `type="slidenum"`) {
		t.Errorf("title or page number is not as it should be: %s", cover)
	}
	if notes := string(files["/ppt/notesSlides/notesSlide1.xml"]); !strings.Contains(notes, "One.") || !strings.Contains(notes, "Two &amp; three.") {
		t.Errorf("notes: %s", notes)
	}
	if strings.Contains(cover, `show="0"`) || !strings.Contains(string(files["/ppt/slides/slide2.xml"]), `show="0"`) {
		t.Error("only the files should be hidden")
	}
	o.Plan[0].Note = ""
	if files, _ := unpacked(t, must(New(a, c, o))); files["/ppt/notesMasters/notesMaster1.xml"] != nil {
		t.Error("there is a master of notes without a note")
	}
}

// Text boxes lie on the slide, wide enough for what stands in them.
func TestPassageBoxes(t *testing.T) {
	for name, sc := range scenarios {
		for i, s := range deckOf(t, sc).Slides {
			for _, p := range s.all() {
				if p, ok := p.(passage); ok && p.long() > 0 {
					b := p.box()
					if b.Min.X < 0 || b.Min.Y < 0 || b.Max.X > Width || b.Max.Y > Height || b.Size().X < p.long() || b.Size().Y <= 0 {
						t.Errorf("%s, slide %d: the box of %q is %v", name, i+1, p.paragraphs, b)
					}
				}
			}
		}
	}
}

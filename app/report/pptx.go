package report

import (
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"strings"
	"time"
)

// The parts of a presentation that do not depend on its slides.
var (
	//go:embed pptx/theme.xml
	themeXML string
	//go:embed pptx/slidemaster.xml
	slideMasterXML string
	//go:embed pptx/slidelayout.xml
	slideLayoutXML string
	//go:embed pptx/notesmaster.xml
	notesMasterXML string
)

// Content types and relationships of ECMA-376 part 1, by the last word of their
// names.
const (
	presentationML = "application/vnd.openxmlformats-officedocument.presentationml."
	office         = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"

	namespaces = ` xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main"` +
		` xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"` +
		` xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main"`
)

// A presentation is a deck as PresentationML (ECMA-376). Text is in boxes and
// tables that can be edited; plots are pictures, vectors with a raster for
// programs that show none.
type presentation struct {
	pack   opcPackage
	main   *opcPart
	layout *opcPart
	notes  *opcPart // master; nil until there is a note
	theme  []byte
	media  map[[sha256.Size]byte]*opcPart
	slides []string // relationship ids
	noted  int
}

func newPresentation(accents []look) *presentation {
	p := &presentation{media: map[[sha256.Size]byte]*opcPart{}}
	colours := []string{"{ink}", rgb(ink), "{muted}", rgb(muted), "{grid}", rgb(grid)}
	for i, l := range accents {
		colours = append(colours, fmt.Sprintf("{accent%d}", i+1), rgb(l.color))
	}
	p.theme = []byte(strings.NewReplacer(colours...).Replace(themeXML))

	p.main = p.pack.add("/ppt/presentation.xml", presentationML+"presentation.main+xml", nil)
	p.pack.root.link(office+"officeDocument", p.main)
	master := p.pack.add("/ppt/slideMasters/slideMaster1.xml", presentationML+"slideMaster+xml", []byte(slideMasterXML))
	p.main.link(office+"slideMaster", master)
	p.layout = p.pack.add("/ppt/slideLayouts/slideLayout1.xml", presentationML+"slideLayout+xml", []byte(slideLayoutXML))
	master.link(office+"slideLayout", p.layout)
	p.layout.link(office+"slideMaster", master)
	theme := p.addTheme(1)
	master.link(office+"theme", theme)
	p.main.link(office+"theme", theme)
	return p
}

func (p *presentation) addTheme(n int) *opcPart {
	return p.pack.add(fmt.Sprintf("/ppt/theme/theme%d.xml", n), "application/vnd.openxmlformats-officedocument.theme+xml", p.theme)
}

// rgb returns a colour as six hexadecimal digits.
func rgb(c color.NRGBA) string { return fmt.Sprintf("%02X%02X%02X", c.R, c.G, c.B) }

// add adds a slide.
func (p *presentation) add(s Slide) error {
	n := len(p.slides) + 1
	part := p.pack.add(fmt.Sprintf("/ppt/slides/slide%d.xml", n), presentationML+"slide+xml", nil)
	part.link(office+"slideLayout", p.layout)
	shapes := &shapes{deck: p, slide: part, ids: 1}
	for _, each := range s.all() {
		each.shape(shapes)
	}
	if shapes.err != nil {
		return fmt.Errorf("report: slide %d: %w", n, shapes.err)
	}
	show := ""
	if s.Hidden {
		show = ` show="0"`
	}
	part.data = []byte(xmlHead + `<p:sld` + namespaces + show + `><p:cSld><p:spTree>` + emptyGroup + shapes.String() +
		`</p:spTree></p:cSld><p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr></p:sld>`)
	p.slides = append(p.slides, p.main.link(office+"slide", part))
	if s.Note != "" {
		p.note(part, s.Note)
	}
	return nil
}

const emptyGroup = `<p:nvGrpSpPr><p:cNvPr id="1" name=""/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr><p:grpSpPr/>`

// note adds the speaker's note of a slide, a paragraph for each of its lines.
func (p *presentation) note(slide *opcPart, text string) {
	if p.notes == nil {
		p.notes = p.pack.add("/ppt/notesMasters/notesMaster1.xml", presentationML+"notesMaster+xml", []byte(notesMasterXML))
		p.notes.link(office+"theme", p.addTheme(2))
		p.main.link(office+"notesMaster", p.notes)
	}
	p.noted++
	var b strings.Builder
	for l := range strings.SplitSeq(text, "\n") {
		fmt.Fprintf(&b, `<a:p><a:r><a:rPr lang="en-GB"/><a:t>%s</a:t></a:r></a:p>`, escaped(l))
	}
	note := p.pack.add(fmt.Sprintf("/ppt/notesSlides/notesSlide%d.xml", p.noted), presentationML+"notesSlide+xml",
		[]byte(xmlHead+`<p:notes`+namespaces+`><p:cSld><p:spTree>`+emptyGroup+
			`<p:sp><p:nvSpPr><p:cNvPr id="2" name="Slide"/><p:cNvSpPr><a:spLocks noGrp="1" noRot="1" noChangeAspect="1"/></p:cNvSpPr><p:nvPr><p:ph type="sldImg"/></p:nvPr></p:nvSpPr><p:spPr/></p:sp>`+
			`<p:sp><p:nvSpPr><p:cNvPr id="3" name="Notes"/><p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr><p:nvPr><p:ph type="body" sz="quarter" idx="3"/></p:nvPr></p:nvSpPr><p:spPr/><p:txBody><a:bodyPr/><a:lstStyle/>`+
			b.String()+`</p:txBody></p:sp></p:spTree></p:cSld><p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr></p:notes>`))
	note.link(office+"notesMaster", p.notes)
	note.link(office+"slide", slide)
	slide.link(office+"notesSlide", note)
}

// picture returns the part of a picture, the same for the same bytes.
func (p *presentation) picture(ext, kind string, data []byte) *opcPart {
	hash := sha256.Sum256(data)
	if p.media[hash] == nil {
		p.media[hash] = p.pack.add(fmt.Sprintf("/ppt/media/image%d.%s", len(p.media)+1, ext), kind, data)
	}
	return p.media[hash]
}

// write finishes the presentation.
func (p *presentation) write(w io.Writer, d *Deck) error {
	var b bytes.Buffer
	b.WriteString(xmlHead + `<p:presentation` + namespaces + `><p:sldMasterIdLst><p:sldMasterId id="2147483648" r:id="rId1"/></p:sldMasterIdLst>`)
	if p.notes != nil {
		fmt.Fprintf(&b, `<p:notesMasterIdLst><p:notesMasterId r:id="%s"/></p:notesMasterIdLst>`, p.main.link(office+"notesMaster", p.notes))
	}
	b.WriteString(`<p:sldIdLst>`)
	for i, id := range p.slides {
		fmt.Fprintf(&b, `<p:sldId id="%d" r:id="%s"/>`, 256+i, id)
	}
	fmt.Fprintf(&b, `</p:sldIdLst><p:sldSz cx="%d" cy="%d"/><p:notesSz cx="6858000" cy="9144000"/></p:presentation>`, emu(Width), emu(Height))
	p.main.data = b.Bytes()

	date := d.o.made().UTC().Format(time.RFC3339)
	core := p.pack.add("/docProps/core.xml", "application/vnd.openxmlformats-package.core-properties+xml", []byte(xmlHead+
		`<cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">`+
		`<dc:title>`+escaped(d.Title)+`</dc:title><dc:creator>`+escaped(d.o.creator())+`</dc:creator>`+
		`<dcterms:created xsi:type="dcterms:W3CDTF">`+date+`</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">`+date+`</dcterms:modified></cp:coreProperties>`))
	p.pack.root.link("http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties", core)
	return p.pack.write(w, d.o.made())
}

// pptx writes the deck as a presentation that can be edited: text in boxes,
// tables as tables, plots as pictures.
func (d *Deck) pptx(ctx context.Context, w io.Writer, progress Progress) error {
	p := newPresentation(d.looks)
	for i, s := range d.Slides {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := p.add(s); err != nil {
			return err
		}
		progress(i+1, len(d.Slides))
	}
	return p.write(w, d)
}

// encodePNG returns an illustration as a PNG file, two dots a point.
func (i illustration) encodePNG() ([]byte, error) {
	var b bytes.Buffer
	err := png.Encode(&b, i.raster(2))
	return b.Bytes(), err
}

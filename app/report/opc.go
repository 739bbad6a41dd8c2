package report

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"
	"time"
)

// An opcPackage is a file of the Open Packaging Conventions (ECMA-376 part 2):
// parts in a zip archive, each with a content type and relationships to others.
type opcPackage struct {
	parts []*opcPart
	root  opcPart // has only the relationships of the package itself
}

// An opcPart is one file of a package.
type opcPart struct {
	name  string // from the root, with the slash: "/ppt/presentation.xml"
	kind  string // content type
	data  []byte
	links []opcLink
}

// An opcLink is a relationship.
type opcLink struct{ kind, target string }

// add adds a part.
func (p *opcPackage) add(name, kind string, data []byte) *opcPart {
	part := &opcPart{name: name, kind: kind, data: data}
	p.parts = append(p.parts, part)
	return part
}

// link relates the part to another, once, and returns the id of that.
func (p *opcPart) link(kind string, to *opcPart) (id string) {
	l := opcLink{kind, to.name}
	for i := range p.links {
		if p.links[i] == l {
			return linkID(i)
		}
	}
	p.links = append(p.links, l)
	return linkID(len(p.links) - 1)
}

func linkID(i int) string { return fmt.Sprintf("rId%d", i+1) }

const (
	xmlHead      = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	opcLinksKind = "application/vnd.openxmlformats-package.relationships+xml"
)

// write writes the package, every file dated the same: 1980 at the earliest,
// where the dates of zip archives begin.
func (p *opcPackage) write(w io.Writer, date time.Time) error {
	if first := time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC); date.Before(first) {
		date = first
	}
	z := zip.NewWriter(w)
	put := func(name string, data []byte) error {
		f, err := z.CreateHeader(&zip.FileHeader{Name: strings.TrimPrefix(name, "/"), Method: zip.Deflate, Modified: date.UTC()})
		if err != nil {
			return err
		}
		_, err = f.Write(data)
		return err
	}
	if err := put("[Content_Types].xml", p.types()); err != nil {
		return err
	}
	if err := put("/_rels/.rels", p.root.linksXML()); err != nil {
		return err
	}
	for _, part := range p.parts {
		if err := put(part.name, part.data); err != nil {
			return err
		}
		if len(part.links) == 0 {
			continue
		}
		dir, base := path.Split(part.name)
		if err := put(dir+"_rels/"+base+".rels", part.linksXML()); err != nil {
			return err
		}
	}
	return z.Close()
}

// types is the list of content types.
func (p *opcPackage) types() []byte {
	b := bytes.NewBufferString(xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">`)
	fmt.Fprintf(b, `<Default Extension="rels" ContentType="%s"/>`, opcLinksKind)
	for _, part := range p.parts {
		fmt.Fprintf(b, `<Override PartName="%s" ContentType="%s"/>`, part.name, part.kind)
	}
	b.WriteString(`</Types>`)
	return b.Bytes()
}

// linksXML is the list of relationships. Targets are told from the folder of the
// part, as every program reads them; absolute ones are as valid, but not to all.
func (p *opcPart) linksXML() []byte {
	b := bytes.NewBufferString(xmlHead + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`)
	for i, l := range p.links {
		fmt.Fprintf(b, `<Relationship Id="%s" Type="%s" Target="%s"/>`, linkID(i), l.kind, p.relative(l.target))
	}
	b.WriteString(`</Relationships>`)
	return b.Bytes()
}

// relative returns the way to a part from the folder of p; the root of the package
// is the folder of the package itself.
func (p *opcPart) relative(to string) string {
	from := strings.Split(strings.TrimPrefix(path.Dir(p.name), "/"), "/")
	way := strings.Split(strings.TrimPrefix(to, "/"), "/")
	if p.name == "" || from[0] == "" || from[0] == "." {
		return strings.Join(way, "/")
	}
	for len(from) > 0 && len(way) > 1 && from[0] == way[0] {
		from, way = from[1:], way[1:]
	}
	return strings.Repeat("../", len(from)) + strings.Join(way, "/")
}

// escaped returns s as the text of an XML element or attribute; control
// characters become spaces.
func escaped(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		panic(err) // a strings.Builder takes everything
	}
	return b.String()
}

package capture

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// isC3D reports whether data begins like a C3D file: the number of a block and
// the key 0x50 (the C3D file format user guide, Motion Lab Systems 2008, "The
// header section"). A text may begin so too, but has no NUL; a header has, in
// the words it reserves.
func isC3D(data []byte) bool {
	return len(data) >= 2 && data[0] != 0 && !bytes.HasPrefix(data, []byte("\x89PNG")) && data[1] == c3dKey && bytes.IndexByte(data[:min(len(data), c3dBlock)], 0) >= 0
}

// decode returns data as UTF-8 without a byte order mark, and the name of the
// encoding it was in. Plain UTF-8 is not copied.
func decode(data []byte) (text []byte, name string, err error) {
	switch {
	case isC3D(data):
		return nil, "", errors.New("found a C3D file, which is binary; this reads text captures only")
	case bytes.HasPrefix(data, []byte("\x89PNG")), bytes.HasPrefix(data, []byte("\xff\xd8\xff")), bytes.HasPrefix(data, []byte("GIF8")):
		return nil, "", errors.New("found a picture; a capture is needed")
	case bytes.HasPrefix(data, []byte("%PDF-")):
		return nil, "", errors.New("found a PDF document; a capture is needed")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return nil, "", errors.New("found a zip archive or workbook; save its sheet as CSV text")
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return decodeAs(data[2:], "utf-16le")
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return decodeAs(data[2:], "utf-16be")
	}
	if bytes.IndexByte(data, 0) >= 0 {
		if wide := utf16Order(data); wide != "" {
			return decodeAs(data, wide)
		}
		return nil, "", errors.New("found NUL bytes, so this is a binary file; a text capture is needed")
	}
	if utf8.Valid(data) {
		return data, "utf-8", nil
	}
	return decodeAs(data, "latin-1")
}

func decodeAs(data []byte, name string) ([]byte, string, error) {
	var enc encoding.Encoding
	switch name {
	case "utf-16le":
		enc = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	case "utf-16be":
		enc = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	case "latin-1":
		// Windows-1252 is Latin-1 with printable marks where Latin-1 has
		// control codes, so it reads both.
		enc = charmap.Windows1252
	}
	text, err := enc.NewDecoder().Bytes(data)
	if err == nil && bytes.IndexByte(text, 0) >= 0 {
		err = errors.New("found NUL characters, so this is a binary file; a text capture is needed")
	}
	return text, name, err
}

// utf16Order tells the byte order of UTF-16 without a mark: in a capture nearly
// every character is ASCII, so nearly every other byte is NUL. It returns ""
// for anything else.
func utf16Order(data []byte) string {
	data = data[:min(len(data)&^1, 4096)]
	even, odd := 0, 0
	for i := 0; i < len(data); i += 2 {
		if data[i] == 0 {
			even++
		}
		if data[i+1] == 0 {
			odd++
		}
	}
	switch most := len(data) / 2 * 9 / 10; {
	case odd > most && even == 0:
		return "utf-16le"
	case even > most && odd == 0:
		return "utf-16be"
	}
	return ""
}

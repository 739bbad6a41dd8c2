package study

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"

	"bendline/capture"
)

// Layouts are the corrections made for files, by the layout of the file.
type Layouts map[string]capture.Hints

// With returns the layouts with other hints for one of them; empty hints are
// forgotten.
func (l Layouts) With(layout string, h capture.Hints) Layouts {
	changed := maps.Clone(l)
	if changed == nil {
		changed = Layouts{}
	}
	if reflect.ValueOf(h).IsZero() {
		delete(changed, layout)
	} else {
		changed[layout] = h
	}
	return changed
}

// The file of layouts, version 1.
const layoutsFormat = "bendline-layouts"

type layoutsJSON struct {
	Format  string  `json:"format"`
	Version int     `json:"version"`
	Layouts Layouts `json:"layouts"`
}

// ReadLayouts reads layouts from a file. A file that is not there gives none.
func ReadLayouts(path string) (Layouts, error) {
	var f layoutsJSON
	if err := readSmall(path, layoutsFormat, &f); err != nil {
		return nil, err
	}
	return f.Layouts, nil
}

// Write writes the layouts to a file, whole or not at all.
func (l Layouts) Write(path string) error {
	return writeSmall(path, layoutsJSON{layoutsFormat, 1, l})
}

// readSmall reads a JSON file that the program keeps for itself. A file that
// is not there leaves v as it is.
func readSmall(path, format string, v any) error {
	b, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	var head struct {
		Format  string
		Version float64
	}
	if err := json.Unmarshal(b, &head); err != nil {
		return fmt.Errorf("study: %s: %w", path, err)
	}
	if head.Format != format || head.Version != 1 {
		return fmt.Errorf("study: %s: found format %q, version %v; %q, version 1, is needed", path, head.Format, head.Version, format)
	}
	if err := json.Unmarshal(b, v); err != nil {
		return fmt.Errorf("study: %s: %w", path, err)
	}
	return nil
}

// writeSmall writes such a file, and its folder if need be.
func writeSmall(path string, v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	return WriteFile(path, func(w io.Writer) error {
		_, err := w.Write(append(b, '\n'))
		return err
	})
}

const (
	// layoutBytes is how much of a file is looked at for its layout.
	layoutBytes = 256 << 10
	// tableCells is the smallest number of cells in a line of a table: a time
	// and three coordinates. A shorter line is one of the preamble, which
	// differs from file to file.
	tableCells = 4
)

// layoutOf returns a word for how a text capture is laid out: a digest of the
// lines with the labels of its columns, which hold the delimiter, the names of
// the markers and the units. It is "" of a file in which no table is found. It
// asks for less than reading does, so that a layout can be corrected that
// cannot be read.
func layoutOf(path string) string {
	file, err := os.Open(path)
	if err != nil {
		return "" // reading it tells why
	}
	defer file.Close()
	head, err := io.ReadAll(io.LimitReader(file, layoutBytes))
	if err != nil {
		return ""
	}
	labels := sha256.New()
	found := false
	// A NUL is half of a UTF-16 letter, or there is no line of a table.
	for line := range bytes.Lines(bytes.ReplaceAll(head, []byte{0}, nil)) {
		text := strings.TrimRight(string(line), "\r\n")
		cells := strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ';' || c == '\t' })
		if len(cells) < tableCells {
			continue
		}
		if isData(cells) {
			if !found {
				return ""
			}
			return hex.EncodeToString(labels.Sum(nil))
		}
		found = true
		io.WriteString(labels, text+"\n") // a digest takes everything
	}
	return ""
}

// isData reports whether cells are those of a row of numbers, with the name of
// a marker among them perhaps.
func isData(cells []string) bool {
	numbers, words := 0, 0
	for _, c := range cells {
		c = strings.Trim(c, " \"")
		if _, err := strconv.ParseFloat(c, 64); err == nil {
			numbers++
		} else if c != "" {
			words++
		}
	}
	return numbers >= tableCells-1 && words <= 1
}

// layoutOfNames returns the word for the layout of a file that is no table.
func layoutOfNames(layout string, markers []string) string {
	sum := sha256.Sum256([]byte(layout + "\n" + strings.Join(markers, "\n")))
	return hex.EncodeToString(sum[:])
}

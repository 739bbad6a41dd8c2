package study

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
)

// A node is a JSON object read into K, a struct whose fields have json tags,
// and the keys that K does not name, as they were. Keys are matched exactly;
// null stands for absent.
type node[K any] struct {
	Known   K
	Unknown map[string]json.RawMessage
}

// A list is a JSON array of objects.
type list[K any] []node[K]

// A placeError is an error at a place in a JSON file: "runs[2].file".
type placeError struct {
	place string
	err   error
}

func (e *placeError) Error() string { return e.place + ": " + e.err.Error() }
func (e *placeError) Unwrap() error { return e.err }

// at puts place before the place of err.
func at(place string, err error) error {
	var inner *placeError
	if !errors.As(err, &inner) {
		return &placeError{place, err}
	}
	if !strings.HasPrefix(inner.place, "[") {
		place += "."
	}
	return &placeError{place + inner.place, inner.err}
}

// decode reads b, which is known to be valid JSON, into v.
func decode(b []byte, v any) error {
	err := json.Unmarshal(b, v)
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		wanted := fmt.Errorf("needs %s, has %s", kindName(wrong.Type), wrong.Value)
		if wrong.Field == "" {
			return wanted
		}
		return at(wrong.Field, wanted)
	}
	return err
}

// kindName says in words what JSON value a Go type is read from.
func kindName(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Slice, reflect.Array:
		return "a list"
	case reflect.Map, reflect.Struct:
		return "an object"
	case reflect.Int:
		return "a whole number"
	default:
		return "a number"
	}
}

func (n *node[K]) UnmarshalJSON(b []byte) error {
	var all map[string]json.RawMessage
	if err := decode(b, &all); err != nil {
		return err
	}
	var known K
	v := reflect.ValueOf(&known).Elem()
	for i := range v.NumField() {
		key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		raw, ok := all[key]
		if !ok {
			continue
		}
		delete(all, key)
		if string(raw) == "null" {
			continue
		}
		if err := decode(raw, v.Field(i).Addr().Interface()); err != nil {
			return at(key, err)
		}
	}
	n.Known, n.Unknown = known, all
	return nil
}

// MarshalJSON writes the known keys in the order of K's fields, then the
// unknown ones in alphabetical order.
func (n node[K]) MarshalJSON() ([]byte, error) {
	b, err := encode(n.Known)
	if err != nil {
		return nil, err
	}
	b = b[:len(b)-1] // the closing brace
	for _, key := range slices.Sorted(maps.Keys(n.Unknown)) {
		name, err := encode(key)
		if err != nil {
			return nil, err
		}
		if len(b) > 1 {
			b = append(b, ',')
		}
		b = append(append(append(b, name...), ':'), n.Unknown[key]...)
	}
	return append(b, '}'), nil
}

// IsZero reports whether the object holds nothing: an optional one is then left
// out.
func (n node[K]) IsZero() bool {
	return len(n.Unknown) == 0 && reflect.ValueOf(&n.Known).Elem().IsZero()
}

func (l *list[K]) UnmarshalJSON(b []byte) error {
	var items []json.RawMessage
	if err := decode(b, &items); err != nil {
		return err
	}
	*l = make(list[K], len(items))
	for i, raw := range items {
		if err := decode(raw, &(*l)[i]); err != nil {
			return at(fmt.Sprintf("[%d]", i), err)
		}
	}
	return nil
}

// find returns a copy of the first object that is, an empty one if none is.
func (l list[K]) find(is func(K) bool) node[K] {
	for _, n := range l {
		if is(n.Known) {
			return n
		}
	}
	return node[K]{}
}

// encode returns v as JSON on one line, with < and & as they are.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

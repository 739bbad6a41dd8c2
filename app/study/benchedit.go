package study

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
)

// WithSheet returns the club with another bench sheet. Keys of the old one that
// this version does not know stay where they were: a row of a table keeps them
// with its station. A sheet that cannot be is an error.
func (c Club) WithSheet(s Sheet) (Club, error) {
	if err := s.validate(&c); err != nil {
		return c, at("bench", err)
	}
	b, err := replace(c.Bench, s)
	if err != nil {
		return c, at("bench", err)
	}
	c.Bench = b
	return c, nil
}

// WithLimits returns the club with another spec, as WithSheet does.
func (c Club) WithLimits(s Spec) (Club, error) {
	if err := s.validate(millimetres(c.Shaft.Length)); err != nil {
		return c, at("spec", err)
	}
	b, err := replace(c.Spec, s)
	if err != nil {
		return c, at("spec", err)
	}
	c.Spec = b
	return c, nil
}

// replace returns v as JSON with the unknown keys of old, nil if it is empty.
func replace(old json.RawMessage, v any) (json.RawMessage, error) {
	b, err := encode(v)
	if err != nil {
		return nil, err
	}
	out, err := merge(old, b, reflect.TypeOf(v))
	if string(out) == "{}" {
		return nil, err
	}
	return out, err
}

// merge returns the JSON value now, written from a value of type t, with what in
// old t has no field for.
func merge(old, now json.RawMessage, t reflect.Type) (json.RawMessage, error) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case len(old) == 0 || string(old) == "null":
		return now, nil
	case t.Kind() == reflect.Slice:
		return mergeRows(old, now, t.Elem())
	case t.Kind() != reflect.Struct:
		return now, nil
	}
	var was node[struct{}]
	var is map[string]json.RawMessage
	if err := decode(old, &was); err != nil {
		return nil, err
	}
	if err := decode(now, &is); err != nil {
		return nil, err
	}
	var fields []string
	for i := range t.NumField() {
		key, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if v, ok := is[key]; ok {
			m, err := merge(was.Unknown[key], v, t.Field(i).Type)
			if err != nil {
				return nil, err
			}
			is[key], fields = m, append(fields, key)
		}
		delete(was.Unknown, key)
	}
	out := []byte("{")
	for _, key := range append(fields, slices.Sorted(maps.Keys(was.Unknown))...) {
		value, ok := is[key]
		if !ok {
			value = was.Unknown[key]
		}
		name, err := encode(key)
		if err != nil {
			return nil, err
		}
		if len(out) > 1 {
			out = append(out, ',')
		}
		out = append(append(append(out, name...), ':'), value...)
	}
	return append(out, '}'), nil
}

// mergeRows merges rows of the same station.
func mergeRows(old, now json.RawMessage, row reflect.Type) (json.RawMessage, error) {
	type station struct {
		StationMM float64 `json:"station_mm"`
	}
	var was, is []json.RawMessage
	if err := decode(old, &was); err != nil {
		return nil, err
	}
	if err := decode(now, &is); err != nil {
		return nil, err
	}
	at := func(b json.RawMessage) (float64, error) {
		var s station
		err := decode(b, &s)
		return s.StationMM, err
	}
	rows := map[float64]json.RawMessage{}
	for _, b := range was {
		s, err := at(b)
		if err != nil {
			return nil, err
		}
		rows[s] = b
	}
	for i, b := range is {
		s, err := at(b)
		if err != nil {
			return nil, err
		}
		if is[i], err = merge(rows[s], b, row); err != nil {
			return nil, err
		}
	}
	return encode(is)
}

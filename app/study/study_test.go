package study

import "testing"

func TestPlayerCalled(t *testing.T) {
	s := &Study{Players: []Player{{ID: "p-1", Label: "P. One"}, {ID: "p-2", Label: "Twin"}, {ID: "p-3", Label: "Twin"}, {ID: "Twin-4", Label: "p-1"}}}
	for name, want := range map[string]string{"p-1": "p-1", "P. One": "p-1", "Twin": "Twin", "nobody": "nobody"} {
		if got := s.PlayerCalled(name); got != want {
			t.Errorf("%q is %q, want %q", name, got, want)
		}
	}
}

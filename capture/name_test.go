package capture

import (
	"fmt"
	"testing"
)

func TestFoldName(t *testing.T) {
	for _, c := range []struct {
		name  string
		parts bool
		want  string
	}{
		{"S01", false, "s1"}, {"s-1", false, "s1"}, {"Club:S 01", false, "s1"}, {"Subject:S01", false, "s1"},
		{"Shaft:01", false, "shaft1"}, {"Shaft:01", true, "s1"}, {"shaft_10", true, "s10"},
		{"Grip.Front", true, "gfront"}, {"Head Toe", true, "htoe"}, {"S100", false, "s100"}, {"000", false, "0"},
		{"Größe 7", false, "größe7"}, {"***", false, ""}, {"", false, ""},
	} {
		if got := FoldName(c.name, c.parts); got != c.want {
			t.Errorf("FoldName(%q, %v) = %q, want %q", c.name, c.parts, got, c.want)
		}
	}
}

func TestIsUnnamed(t *testing.T) {
	for _, name := range []string{"*1", "*112", "U001", "P07", "12", "unlabeled 4", "Unlabelled_1022", "subject:*3", ""} {
		if !IsUnnamed(name) {
			t.Errorf("%q is taken for a name", name)
		}
	}
	for _, name := range []string{"S01", "G1", "Head toe", "LSHO", "subject:H2"} {
		if IsUnnamed(name) {
			t.Errorf("%q is taken for a number", name)
		}
	}
}

func TestRespelled(t *testing.T) {
	set := MarkerSet{Grip: []string{"G1", "G2"}, Shaft: []ShaftMarker{{Name: "S01"}, {Name: "S02"}}, Head: []string{"H1", "H2"}, Heel: "H1", Toe: "H2"}
	for _, c := range []struct {
		names []string
		want  string
	}{
		{[]string{"G1", "G2", "S01", "S02", "H1", "H2"}, "map[]"},
		{[]string{"club:G1", "g-2", "Shaft:01", "s_2", "Head 1", "HD02"}, "map[HD02:H2 Head 1:H1 Shaft:01:S01 club:G1:G1 g-2:G2 s_2:S02]"},
		{[]string{"S01", "s-1", "Shaft 2"}, "map[Shaft 2:S02]"},         // S01 is there under its own name
		{[]string{"a:S1", "b:S1"}, "map[]"},                             // two of one spelling
		{[]string{"S1", "Shaft 1", "*1", "x"}, "map[S1:S01]"},           // the nearer spelling
		{[]string{"Shaft 1", "SFT 1", "S\u202e1"}, "map[S\u202e1:S01]"}, // a control that turns text round is no letter
	} {
		if got := fmt.Sprint(Respelled(c.names, set)); got != c.want {
			t.Errorf("%q: %s, want %s", c.names, got, c.want)
		}
	}
}

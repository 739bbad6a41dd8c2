// Package cmd_test keeps the rooms of the project apart.
package cmd_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// rooms says which of the project's packages each may import, at any depth.
// A package that is not named here may not exist.
var rooms = map[string][]string{
	"bendline/capture":             {},
	"bendline/kinematics":          {},
	"bendline/kinematics/beam":     {},
	"bendline/kinematics/contrast": {},
	"bendline/widgets":             {},
	"bendline/sampledata":          {"bendline/capture", "bendline/kinematics"},
	"bendline/app/study": {
		"bendline/capture", "bendline/kinematics", "bendline/kinematics/beam", "bendline/kinematics/contrast",
	},
	"bendline/app/report": {
		"bendline/capture", "bendline/kinematics", "bendline/kinematics/beam", "bendline/kinematics/contrast",
		"bendline/app/study",
	},
	"bendline/app": {
		"bendline/capture", "bendline/kinematics", "bendline/kinematics/beam", "bendline/kinematics/contrast",
		"bendline/app/study", "bendline/app/report", "bendline/widgets", "bendline/sampledata",
	},
	"bendline/cmd/bendline": {
		"bendline/capture", "bendline/kinematics", "bendline/kinematics/beam", "bendline/kinematics/contrast",
		"bendline/app/study", "bendline/app/report", "bendline/widgets", "bendline/sampledata", "bendline/app",
	},
	"bendline/cmd/bendline-batch": {
		"bendline/capture", "bendline/kinematics", "bendline/kinematics/beam", "bendline/kinematics/contrast",
		"bendline/app/study", "bendline/app/report", "bendline/sampledata",
	},
}

// toolkitUsers may depend on Fyne; glUser alone on its driver, which needs cgo.
var toolkitUsers = []string{"bendline/widgets", "bendline/app", "bendline/cmd/bendline"}

const glUser = "bendline/cmd/bendline"

func list(t *testing.T, args ...string) []string {
	t.Helper()
	// -e: without cgo the driver's own packages do not build, and need not here.
	cmd := exec.Command("go", append([]string{"list", "-e"}, args...)...)
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %s: %v", strings.Join(args, " "), err)
	}
	return strings.Fields(string(out))
}

func TestRoomsStayApart(t *testing.T) {
	for _, p := range list(t, "./...") {
		if p == "bendline/cmd" { // this test
			continue
		}
		allowed, ok := rooms[p]
		if !ok {
			t.Errorf("%s is not a room of the design", p)
			continue
		}
		for _, d := range list(t, "-deps", p) {
			switch {
			case d == p:
			case strings.HasPrefix(d, "bendline/"):
				if !slices.Contains(allowed, d) {
					t.Errorf("%s may not depend on %s", p, d)
				}
			case d == "fyne.io/fyne/v2/app" && p != glUser:
				t.Errorf("%s depends on %s; only %s may", p, d, glUser)
			case strings.HasPrefix(d, "fyne.io/fyne/v2") && !slices.Contains(toolkitUsers, p):
				t.Errorf("%s depends on the toolkit (%s)", p, d)
			}
		}
	}
}

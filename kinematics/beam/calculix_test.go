package beam

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// A beam of 1 m and 60 g whose EI falls from 60 to 20 N m², in CalculiX 2.20: 80
// elements B32R of a pipe of radius 2 mm and wall 0.4 mm, with E and G of each
// element's middle and density 60 g/m over the pipe's area. Loads: 10 N across
// the tip; free vibration; vibration while it turns at 20π rad/s about x through
// the clamp, x being the direction of flapping. These are elements
// of another kind, with shear and the sections' rotary inertia in them, which slow
// the third mode by 2 parts in 10⁴.
//
// With ccx installed (Debian package calculix-ccx) the numbers are made again.
var calculix = struct{ tip, first, second, third, flap1, flap2, flap3 float64 }{
	6.866641e-02, 102.8755, 583.8261, 1579.862, 124.0988, 605.2952, 1601.112,
}

const (
	ccxSpin     = 20 * math.Pi // rad/s
	ccxElements = 80
)

func TestAgainstCalculiX(t *testing.T) {
	b := tapered(0, 1, 60, 20)
	b.Density = Constant(0.06)
	c := Cantilever{Beam: b}
	y, _ := c.mustDeflect(t, Load{Force: 10})
	m, spun := c.mustModes(t, 3), c.spun(ccxSpin).mustModes(t, 3)
	for _, is := range []struct {
		what      string
		got, want float64
	}{
		{"deflection", y, calculix.tip},
		{"first mode", m[0].Rate, calculix.first},
		{"second mode", m[1].Rate, calculix.second},
		{"third mode", m[2].Rate, calculix.third},
		{"first mode, turning", spun[0].Rate, calculix.flap1},
		{"second mode, turning", spun[1].Rate, calculix.flap2},
		{"third mode, turning", spun[2].Rate, calculix.flap3},
	} {
		near(t, is.what+" over CalculiX", is.got/is.want, 1, 3e-4)
	}
}

// The stored numbers are those of the program.
func TestCalculiXItself(t *testing.T) {
	ccx, err := exec.LookPath("ccx")
	if err != nil {
		t.Skip("CalculiX is not installed:", err)
	}
	if testing.Short() {
		t.Skip("it takes seconds")
	}
	const clamp = "*BOUNDARY\n1,1,6\n"
	static := field(t, ccx, clamp+"*STEP\n*STATIC\n*CLOAD\nTIP,1,10\n*NODE PRINT,NSET=TIP\nU\n*END STEP\n")
	near(t, "deflection", static[0][1]/calculix.tip, 1, 1e-6)
	const modes = "*FREQUENCY\n6\n*END STEP\n"
	free := field(t, ccx, clamp+"*STEP\n"+modes)
	near(t, "first mode", free[0][2]/calculix.first, 1, 1e-6)
	near(t, "second mode", free[2][2]/calculix.second, 1, 1e-6)
	near(t, "third mode", free[4][2]/calculix.third, 1, 1e-6)
	spun := field(t, ccx, clamp+fmt.Sprintf("*STEP,NLGEOM\n*STATIC\n*DLOAD\nEall,CENTRIF,%.12g,0,0,0,1,0,0\n*END STEP\n*STEP,PERTURBATION\n", ccxSpin*ccxSpin)+modes)
	near(t, "first mode, turning", spun[1][2]/calculix.flap1, 1, 1e-6)
	near(t, "second mode, turning", spun[3][2]/calculix.flap2, 1, 1e-6)
	near(t, "third mode, turning", spun[5][2]/calculix.flap3, 1, 1e-6)
}

// field runs the deck and returns the rows of numbers in its first table.
func field(t *testing.T, ccx, steps string) [][]float64 {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "deck.inp"), []byte(pipe()+steps), 0o600); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(ccx, "-i", "deck")
	run.Dir = dir
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("ccx: %v\n%s", err, out)
	}
	dat, err := os.ReadFile(filepath.Join(dir, "deck.dat"))
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	for line := range strings.Lines(string(dat)) {
		var row []float64
		for _, word := range strings.Fields(line) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				row = nil
				break
			}
			row = append(row, v)
		}
		if row != nil {
			rows = append(rows, row)
		} else if len(rows) > 0 && strings.TrimSpace(line) != "" {
			break
		}
	}
	if len(rows) == 0 {
		t.Fatalf("ccx printed no numbers:\n%s", dat)
	}
	return rows
}

// pipe returns the nodes, elements and materials of the deck.
func pipe() string {
	const outer, wall = 0.002, 0.0004
	inner := outer - wall
	inertia := math.Pi / 4 * (math.Pow(outer, 4) - math.Pow(inner, 4))
	area := math.Pi * (outer*outer - inner*inner)
	var d strings.Builder
	d.WriteString("*NODE,NSET=Nall\n")
	for i := range 2*ccxElements + 1 {
		fmt.Fprintf(&d, "%d,0,0,%.12g\n", i+1, float64(i)/(2*ccxElements))
	}
	d.WriteString("*ELEMENT,TYPE=B32R,ELSET=Eall\n")
	for e := range ccxElements {
		fmt.Fprintf(&d, "%d,%d,%d,%d\n", e+1, 2*e+1, 2*e+2, 2*e+3)
	}
	for e := range ccxElements {
		ei := 60 - 40*(float64(e)+0.5)/ccxElements
		fmt.Fprintf(&d, "*ELSET,ELSET=E%[1]d\n%[1]d\n*MATERIAL,NAME=M%[1]d\n*ELASTIC,TYPE=ENGINEERING CONSTANTS\n"+
			"%.10[2]g,%.10[2]g,%.10[2]g,0,0,0,%.10[3]g,%.10[3]g,\n%.10[3]g\n*DENSITY\n%.10[4]g\n"+
			"*BEAM SECTION,MATERIAL=M%[1]d,ELSET=E%[1]d,SECTION=PIPE\n%[5]g,%[6]g\n1,0,0\n",
			e+1, ei/inertia, ei/inertia/2, 0.06/area, outer, wall)
	}
	fmt.Fprintf(&d, "*NSET,NSET=TIP\n%d\n", 2*ccxElements+1)
	return d.String()
}

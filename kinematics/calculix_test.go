package kinematics

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The club that CalculiX bends: a rod of 57 elements with linear EI and GJ,
// held like hands hold it, by a pin at the butt end and a second one under the
// lower hand, so that the moment is 0 at the butt end and largest there. Short
// arms stand for the markers' stalks; the loads bend those of the head by some
// 3 µm. Stiffer ones make CalculiX take ten times the increments.
const (
	fePieces = 57
	feLength = 0.02 * fePieces // m
	feHands  = 10              // element ends from the butt end to the second pin
)

var (
	feShaft = Shaft{Length: feLength, Station: []float64{0, feLength}, EI: []float64{72, 20}, GJ: []float64{35, 8}}
	feGrip  = []r3.Vec{{X: 0.05}, {X: -0.03, Y: 0.04}, {X: -0.03, Y: -0.04}, {X: 0.01, Y: 0.03, Z: -0.03}}
	feHead  = []r3.Vec{{X: 0.05}, {X: -0.05}, {Y: 0.07, Z: 0.03}, {X: -0.02, Y: -0.03, Z: 0.02}}
)

// An feArm is a marker on its stalk: a node that the element end carries.
type feArm struct {
	at  int // element ends from the butt end
	arm r3.Vec
}

func feArms() (arms []feArm) {
	for _, p := range feGrip {
		arms = append(arms, feArm{0, p})
	}
	for i := range 11 { // from 280 mm on, every 80 mm
		sin, cos := math.Sincos(0.4 + 2*math.Pi/3*float64(i))
		arms = append(arms, feArm{14 + 4*i, r3.Vec{X: 0.012 * cos, Y: 0.012 * sin}})
	}
	for _, p := range feHead {
		arms = append(arms, feArm{fePieces, p})
	}
	return arms
}

// Numbers of nodes: the rod's run from 1, two for an element; each arm has its
// middle and its end.
func feNode(end int) int { return 2*end + 1 }
func feTip(arm int) int  { return 1000 + 2*arm + 1 }

// feDeck is the input of CalculiX 2.20: B32R with a pipe's section, Poisson's
// ratio 0 and engineering constants, so that E and G, set apart for each element,
// give its EI and GJ.
func feDeck() string {
	const radius, wall = 0.006, 0.001 // m
	inner := radius - wall
	second := math.Pi / 4 * (math.Pow(radius, 4) - math.Pow(inner, 4)) // m⁴; the polar one is twice as much
	var b strings.Builder
	arms := feArms()
	fmt.Fprintln(&b, "*NODE,NSET=ALL")
	put := func(n int, p r3.Vec) { fmt.Fprintf(&b, "%d,%.9g,%.9g,%.9g\n", n, p.X, p.Y, p.Z) }
	for i := range 2*fePieces + 1 {
		put(i+1, r3.Vec{Z: 0.01 * float64(i)})
	}
	for k, a := range arms {
		foot := r3.Vec{Z: 0.02 * float64(a.at)}
		put(feTip(k)-1, r3.Add(foot, r3.Scale(0.5, a.arm)))
		put(feTip(k), r3.Add(foot, a.arm))
	}
	piece := func(number, n1, n2, n3 int, ei, gj float64, side string) {
		e, g := ei/second, gj/(2*second)
		fmt.Fprintf(&b, "*ELEMENT,TYPE=B32R,ELSET=E%d\n%d,%d,%d,%d\n", number, number, n1, n2, n3)
		fmt.Fprintf(&b, "*MATERIAL,NAME=M%d\n*ELASTIC,TYPE=ENGINEERING CONSTANTS\n%.9g,%.9g,%.9g,0,0,0,%.9g,%.9g\n%.9g\n", number, e, e, e, g, g, g)
		fmt.Fprintf(&b, "*BEAM SECTION,ELSET=E%d,MATERIAL=M%d,SECTION=PIPE\n%g,%g\n%s\n", number, number, radius, wall, side)
	}
	for i := range fePieces {
		ei, gj := feShaft.Stiffness(0.02*float64(i) + 0.01)
		piece(i+1, 2*i+1, 2*i+2, 2*i+3, ei, gj, "1,0,0")
	}
	for k, a := range arms {
		piece(1000+k, feNode(a.at), feTip(k)-1, feTip(k), 100, 100, "0,0,1")
	}
	// Pins, and the first arm of the grip held sideways against the torque.
	fmt.Fprintf(&b, "*BOUNDARY\n%d,1,3\n%d,1,2\n%d,2,2\n", feNode(0), feNode(feHands), feTip(0))
	// A force at the tip end, and couples on two arms of the head: torque and bending.
	n := len(arms) - len(feHead)
	fmt.Fprintln(&b, "*STEP,NLGEOM\n*STATIC\n1,1\n*CLOAD")
	fmt.Fprintf(&b, "%d,1,3.5\n%d,2,-5\n", feNode(fePieces), feNode(fePieces))
	fmt.Fprintf(&b, "%d,2,-5\n%d,2,5\n%d,3,-6\n%d,3,6\n", feTip(n), feTip(n+1), feTip(n), feTip(n+1))
	fmt.Fprintln(&b, "*NODE PRINT,NSET=ALL,FREQUENCY=100\nU\n*END STEP")
	return b.String()
}

// feRead reads the displacements of the last time in a .dat file.
func feRead(t *testing.T, text string) map[int]r3.Vec {
	t.Helper()
	u := map[int]r3.Vec{}
	lines := bufio.NewScanner(strings.NewReader(text))
	for lines.Scan() {
		var n int
		var p r3.Vec
		if _, err := fmt.Sscan(lines.Text(), &n, &p.X, &p.Y, &p.Z); err == nil {
			u[n] = p
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return u
}

// feBent returns the displacements that CalculiX found: those kept in testdata,
// and where ccx is there, which must then agree, made anew with
//
//	ccx -i calculix
func feBent(t *testing.T) map[int]r3.Vec {
	t.Helper()
	deck, err := os.ReadFile("testdata/calculix.inp")
	if err != nil {
		t.Fatal(err)
	}
	if string(deck) != feDeck() {
		t.Fatal("testdata/calculix.inp is not the deck that this test describes")
	}
	dat, err := os.ReadFile("testdata/calculix.dat")
	if err != nil {
		t.Fatal(err)
	}
	kept := feRead(t, string(dat))
	ccx, err := exec.LookPath("ccx")
	if err != nil {
		return kept
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "calculix.inp"), deck, 0o600); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(ccx, "-i", "calculix")
	run.Dir = dir
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("ccx: %v\n%s", err, out)
	}
	if dat, err = os.ReadFile(filepath.Join(dir, "calculix.dat")); err != nil {
		t.Fatal(err)
	}
	made := feRead(t, string(dat))
	for n, u := range kept {
		nearVec(t, fmt.Sprintf("node %d made anew", n), made[n], u, 1e-6) // m: its own convergence
	}
	return kept
}

// The solver recovers a tapered rod that CalculiX bent in two planes and
// twisted, from its nodes as markers, without noise.
func TestSolverAgainstCalculix(t *testing.T) {
	u := feBent(t)
	arms := feArms()
	ref := &Reference{Shaft: feShaft, Hand: Right}
	var y []r3.Vec
	for k, a := range arms {
		rest := r3.Add(r3.Vec{Z: 0.02 * float64(a.at)}, a.arm)
		ref.Point, ref.SD = append(ref.Point, rest), append(ref.SD, 0)
		y = append(y, r3.Add(rest, u[feTip(k)]))
		switch a.at {
		case 0:
			ref.Markers.Grip = append(ref.Markers.Grip, k)
		case fePieces:
			ref.Markers.Head = append(ref.Markers.Head, k)
		default:
			ref.Markers.Shaft = append(ref.Markers.Shaft, ShaftMark{k, 0.02 * float64(a.at), r3.Norm(a.arm)})
		}
	}

	// The truth: sections carry their arms rigidly.
	grips, heads := len(feGrip), len(arms)-len(feHead)
	grip, err := Register(ref.Point[:grips], y[:grips], nil)
	if err != nil {
		t.Fatal(err)
	}
	end, err := Register(ref.Point[heads:], y[heads:], nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "misfit of the grip", grip.RMS, 0, 10e-6)
	near(t, "misfit of the head", end.RMS, 0, 10e-6)
	tip := section{Frame: grip.Inverse().Then(end.Frame)}
	tip.Origin = grip.ToClub(r3.Add(r3.Vec{Z: feLength}, u[feNode(fePieces)]))
	want := read(&tip, r3.Vec{}, 1)

	s := newSolver(newBentClub(ref))
	w := make([]float64, len(y))
	for _, c := range []struct {
		name         string
		sd           float64 // of a marker, m: beside it the prior pulls
		length, turn float64 // tolerance, m and rad; 0 for the u95 that the solver states
	}{
		// The kink at the pin lies between two knots, which leaves half a percent.
		{"smoothed", 20e-6, 0.3e-3, 0.3e-3},
		{"as they are", 200e-6, 0, 0},
	} {
		for k := range w {
			w[k] = 1 / (c.sd * c.sd)
		}
		st := state{pose: grip.Frame}
		prior := usual.prior()
		for range 3 { // the prior's width follows the bend
			s.renew()
			if !s.solve(&st, y, w, prior, fine) {
				t.Fatalf("%s: not settled", c.name)
			}
			prior.bend(&st.amp)
		}
		s.rod.bend(&st.amp, s.nodes, s.sections, true)
		got := read(&s.sections[len(s.sections)-1], r3.Vec{}, 1)
		for _, v := range []struct {
			what      string
			got, want *reading
			tolerance float64
		}{
			{"lead", &got.lead, &want.lead, c.length},
			{"droop", &got.droop, &want.droop, c.length},
			{"twist", &got.twist, &want.twist, c.turn},
			{"lead angle", &got.leadAngle, &want.leadAngle, c.turn},
			{"droop angle", &got.droopAngle, &want.droopAngle, c.turn},
		} {
			u95 := coverage * math.Sqrt(s.variance(&v.got.grad))
			if v.tolerance == 0 {
				v.tolerance = u95
			}
			t.Logf("%s, %s: %.5f, off by %.6f, u95 %.6f", c.name, v.what, v.want.value, v.got.value-v.want.value, u95)
			near(t, c.name+", "+v.what, v.got.value, v.want.value, v.tolerance)
		}
	}
}

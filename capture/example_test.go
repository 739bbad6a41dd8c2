package capture_test

import (
	"bytes"
	"fmt"
	"log"
	"os"
	"strings"

	"bendline/capture"
)

func Example() {
	const file = "Bildrate;250\n" +
		"\n" +
		"Bild;G1;;;S01;;\n" +
		";X;Y;Z;X;Y;Z\n" +
		";cm;cm;cm;cm;cm;cm\n" +
		"100;4,31;-13,75;101,28;1,07;-35,53;76,63\n" +
		"101;4,29;-13,77;101,29;;;\n" +
		"103;4,32;-13,76;101,31;1,05;-35,51;76,66\n"

	run, err := capture.ReadText(strings.NewReader(file), "run.csv", capture.Hints{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d frames at %v Hz from %v s\n", run.Frames(), run.Rate(), run.Start())

	club := capture.MarkerSet{
		Grip:  []string{"G1", "G2"},
		Shaft: []capture.ShaftMarker{{Name: "S01", Station: 0.3}},
	}
	for _, flag := range capture.Inspect(run, club) {
		fmt.Println(flag.Code, flag.Detail)
	}
	if err := capture.WriteText(os.Stdout, run); err != nil {
		log.Fatal(err)
	}
	// Output:
	// 4 frames at 250 Hz from 0.4 s
	// gap 1 frame without any marker, 1 of them absent from the file
	// marker_missing marker G2 is not in the file
	// gap 1 short dropout of up to 5 frames in 1 marker, 12 % of all positions
	// time_s,G1_x,G1_y,G1_z,S01_x,S01_y,S01_z
	// 0.400000,43.1,-137.5,1012.8,10.7,-355.3,766.3
	// 0.404000,42.9,-137.7,1012.9,,,
	// 0.408000,,,,,,
	// 0.412000,43.2,-137.6,1013.1,10.5,-355.1,766.6
}

// The stations of the shaft's markers tell in which unit a file is.
func ExampleMarkerSet_GuessUnit() {
	file := "time_s,S01_x,S01_y,S01_z,S02_x,S02_y,S02_z\n" +
		"0.00,0,0,40,0,0,10\n" +
		"0.01,1,0,40,1,0,10\n"
	run, err := capture.ReadText(strings.NewReader(file), "run.csv", capture.Hints{})
	if err != nil {
		log.Fatal(err)
	}
	club := capture.MarkerSet{Shaft: []capture.ShaftMarker{{Name: "S01", Station: 0.300}, {Name: "S02", Station: 1.062}}}
	if unit, ok := club.GuessUnit(run); ok {
		fmt.Println(unit, run.WithUnit(unit).Track("S01")[0])
	}
	// Output: in {0 0 1.016}
}

// A recording goes from a text to a C3D file and back.
func ExampleWriteC3D() {
	file := "# rate = 250\n# up = +z\nG1_x [mm],G1_y [mm],G1_z [mm]\n43.1,-137.5,1012.8\n,,\n43.0,-137.7,1012.9\n"
	run, err := capture.ReadText(strings.NewReader(file), "run.csv", capture.Hints{})
	if err != nil {
		log.Fatal(err)
	}
	var c3d bytes.Buffer
	if err := capture.WriteC3D(&c3d, run); err != nil {
		log.Fatal(err)
	}
	run, err = capture.Read(bytes.NewReader(c3d.Bytes()), int64(c3d.Len()), "run.c3d", capture.Hints{})
	if err != nil {
		log.Fatal(err)
	}
	o := run.Origin()
	fmt.Println(o.Layout, o.Encoding, o.Unit, o.Up, run.Rate())
	for _, p := range run.Track("G1") {
		fmt.Printf("%.4f\n", p)
	}
	// Output:
	// c3d intel real mm +z 250
	// {0.0431 -0.1375 1.0128}
	// {NaN NaN NaN}
	// {0.0430 -0.1377 1.0129}
}

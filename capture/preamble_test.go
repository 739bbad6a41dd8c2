package capture

import (
	"strings"
	"testing"
)

// The rate, the unit and the up axis are found under many names.
func TestPreamble(t *testing.T) {
	table := lines("Frame;A_x;A_y;A_z", "0;1;2;3", "1;1;2;3")
	for _, test := range []struct {
		text string
		rate float64
		unit Unit
		up   string
	}{
		{"Capture rate;2500\n", 2500, "", ""},
		{"Capture Rate (Hz);2500,0\n", 2500, "", ""},
		{"Frame rate: 2500 Hz\n", 2500, "", ""},
		{"FRAME_RATE=2500\n", 2500, "", ""},
		{"Frequency;2500\n", 2500, "", ""},
		{"Sampling frequency [Hz];2500\n", 2500, "", ""},
		{"fps;2500\n", 2500, "", ""},
		{"Hz;2500\n", 2500, "", ""},
		{"# 2500 Hz\n", 2500, "", ""},
		{"// rate: 2.5 kHz\n", 2500, "", ""},
		{"% fps = 2500\n", 2500, "", ""},
		{"Bildrate;2500\n", 2500, "", ""},
		{"Messfrequenz;2500 Hz\n", 2500, "", ""},
		{"Fréquence d'acquisition;2500\n", 2500, "", ""},
		{"Frecuencia;2500\n", 2500, "", ""},
		{"\"Capture rate\";\"2500\"\n", 2500, "", ""},
		{"DataRate;CameraRate;NumFrames;NumMarkers;Units\n2500;2500;3679;19;cm\n", 2500, Centimetre, ""},
		{"Take;7;Capture Frame Rate;2500.000;Total Frames;3679;Length Units;Meters\n", 2500, Metre, ""},
		{"Frames;3679\nRate;2500\nUp axis;Y\n", 2500, "", "+y"},
		{"Analog rate;10000\nRate;2500\nUp;-z\nUnit;inches\n", 2500, Inch, "-z"},
		{"# rate 250, as agreed\n# rate = 2500\n# Z up\n# units: mm\n", 2500, Millimetre, "+z"},
		{"Calibrated;3\nSeparate;4\nRate;n/a\nRate;2500\nVertical axis;+Z axis\n", 2500, "", "+z"},
	} {
		r, err := ReadText(strings.NewReader(test.text+table), "run", Hints{})
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
			continue
		}
		o := r.Origin()
		if r.Rate() != test.rate || o.Up != test.up || o.UnitGuessed != (test.unit == "") || test.unit != "" && o.Unit != test.unit {
			t.Errorf("%q: rate %v, origin %+v", test.text, r.Rate(), o)
		}
	}
}

// Labels of the clock in several languages, alone and with units.
func TestClockLabels(t *testing.T) {
	for _, test := range []struct {
		label   string
		divisor float64
		ok      bool
	}{
		{"time", 0, true}, {"Time_s", 1, true}, {"time_ms", 1e3, true}, {"Time (ms)", 1e3, true}, {"Zeit [s]", 1, true},
		{"Zeit in s", 1, true}, {"t", 0, true}, {"t_s", 1, true}, {"Temps", 0, true}, {"TIME (Seconds)", 1, true}, {"Tiempo {ms}", 1e3, true},
		{"Time stamp [µs]", 1e6, true}, {"timecode", 0, false}, {"time_x", 0, false}, {"", 0, false}, {"s", 0, false}, {"temp", 0, false},
	} {
		if divisor, ok := timeLabel(test.label); ok != test.ok || ok && divisor != test.divisor {
			t.Errorf("%q: %v, %v", test.label, divisor, ok)
		}
	}
	for label, want := range map[string]bool{"frame": true, "Frame#": true, "FRAME #": true, "Bild": true, "sample": true, "Field": true, "Frame No.": true, "#": true, "": false, "sub frame": false, "frames per second": false} {
		if frameLabel(label) != want {
			t.Errorf("frame label %q: %v", label, !want)
		}
	}
}

func TestCoordinateLabels(t *testing.T) {
	for _, test := range []struct {
		label, marker string
		axis          int
		unit          string
	}{
		{"S01_x", "S01", 0, ""}, {"S01 Y [mm]", "S01", 1, "mm"}, {"S01:Z", "S01", 2, ""}, {"S01.X", "S01", 0, ""}, {"S01-x", "S01", 0, ""},
		{"S01 (X)", "S01", 0, ""}, {"S01 : X (cm)", "S01", 0, "cm"}, {"S01_X_mm", "S01", 0, "mm"}, {"S01X", "S01", 0, ""}, {"S01__x", "S01_", 0, ""},
		{"club:S01_x", "club:S01", 0, ""}, {"m_x", "m", 0, ""}, {"x_x", "x", 0, ""}, {"S01_x_m_x", "S01_x_m", 0, ""},
		{"S01", "", -1, ""}, {"S01_vx", "", -1, ""}, {"x", "", -1, ""}, {"_x", "", -1, ""}, {"max", "", -1, ""}, {"", "", -1, ""}, {"[mm]", "", -1, "mm"},
	} {
		if marker, axis, unit := coordinate(test.label); marker != test.marker || axis != test.axis || axis >= 0 && unit != test.unit {
			t.Errorf("%q: marker %q, axis %d, unit %q", test.label, marker, axis, unit)
		}
	}
}

package study

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"

	"bendline/capture"
)

func TestWriteResults(t *testing.T) {
	a := analysis("p base 30", "p base fail")
	r := a.Results[0]
	r.Capture = Capture{Frames: 420, Rate: 1000, Markers: 19, SHA256: "ab"}
	r.Flags = []capture.Flag{{Code: capture.Gap, Marker: "S01", From: 1, To: 1.5, Detail: "a < b"}}
	r.Swing.Start, r.Swing.Impact.Value, r.Swing.Top = 0, 0.4, 0.1
	r.Swing.AtImpact.Lead.U95 = math.NaN()
	var b bytes.Buffer
	if err := WriteResults(&b, a); err != nil {
		t.Fatal(err)
	}
	sameJSON(t, b.Bytes(), []byte(`{"format":"bendline-results","version":1,"runs":[
		{"id":"r1","ok":true,"capture":{"frames":420,"rate_hz":1000,"markers":19,"sha256":"ab"},
		 "events":{"top_s":0.1,"impact_s":0.4},
		 "impact":{"lead_mm":{"value":30,"u95":null},"droop_mm":null,"twist_deg":null,"lead_angle_deg":null,"droop_angle_deg":null,"head_speed_m_s":null,"kick_speed_m_s":null},
		 "peak_lag":{"lead_mm":null,"time_s":null},
		 "quality":{"residual_rms_mm":0.1,"flags":[{"code":"gap","marker":"S01","from_s":1,"to_s":1.5,"detail":"a < b"}]}},
		{"id":"r2","ok":false,"error":"no such file"}]}`))
}

func TestWriteSeries(t *testing.T) {
	s := leadSwing(func(t float64) float64 { return 1000 * t })
	s.Lead.Value[1] = math.NaN()
	s.Filled = []bool{2: true}
	var b bytes.Buffer
	if err := WriteSeries(&b, s); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != "time_s,lead_mm,droop_mm,twist_deg,lead_angle_deg,droop_angle_deg,head_speed_m_s,kick_speed_m_s,"+
		"lead_mm_u95,droop_mm_u95,twist_deg_u95,lead_angle_deg_u95,droop_angle_deg_u95,head_speed_m_s_u95,kick_speed_m_s_u95,filled" {
		t.Errorf("header %s", got)
	}
	if len(rows) != 1+s.Frames() {
		t.Fatalf("%d lines for %d frames", len(rows), s.Frames())
	}
	if got := strings.Join(rows[1], ","); got != "5.0000000,-400.3333,,,,,,,2.0000,,,,,,,0" {
		t.Errorf("first frame %s", got)
	}
	if got := rows[3][15]; got != "1" {
		t.Errorf("a frame that rests on filled markers is written as %q", got)
	}
	if got := rows[2][1]; got != "" {
		t.Errorf("a gap is written as %q", got)
	}
}

func TestDoubts(t *testing.T) {
	s := leadSwing(func(float64) float64 { return 30 })
	if f := doubts(s); len(f) != 0 {
		t.Errorf("an ordinary swing: %v", f)
	}
	s.AtImpact.Lead.Value = 0.12
	s.AtImpact.Twist.Value = -0.2
	s.PeakLag.Value = -0.25
	s.Droop.Value = make([]float64, s.Frames())
	s.Droop.Value[300] = -0.16
	s.Droop.Value[50] = -9 // before the top
	s.RMS = 3e-3
	s.Other = []float64{2.5, 1}
	flags := doubts(s)
	var got []string
	for _, f := range flags {
		got = append(got, string(f.Code)+": "+f.Detail)
	}
	want := `outside_usual: lead at impact is 120.0 mm; usual is -80 to 100 mm
outside_usual: twist at impact is -11.46 deg; usual is -6 to 6 deg
outside_usual: peak lag is 250.0 mm; usual is at most 200 mm
outside_usual: peak toe-up is 160.0 mm; usual is at most 150 mm
several_blows: the head is slowed as by a ball at 2.500 s too; impact is taken at 5.400 s, where it loses more speed: set it by hand if that is the wrong one
poor_fit: the markers lie 3.0 mm from the fitted club, more than 2 mm: check the marker set, the reference and the stations`
	if strings.Join(got, "\n") != want {
		t.Errorf("flags\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

package study

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"bendline/capture"
	"bendline/kinematics"
)

// number is a float64 that is null in JSON where it is not finite.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	if v := float64(n); math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

func numbers(x []float64) []number {
	out := make([]number, len(x))
	for i, v := range x {
		out[i] = number(v)
	}
	return out
}

type resultsJSON struct {
	Format  string       `json:"format"`
	Version int          `json:"version"`
	Runs    []resultJSON `json:"runs"`
}

type resultJSON struct {
	ID       string                   `json:"id"`
	OK       bool                     `json:"ok"`
	Error    string                   `json:"error,omitempty"`
	Capture  *captureJSON             `json:"capture,omitempty"`
	Events   *swingEventsJSON         `json:"events,omitempty"`
	Impact   map[string]*estimateJSON `json:"impact,omitempty"` // by measure
	PeakLag  *peakJSON                `json:"peak_lag,omitempty"`
	Settings *settingsJSON            `json:"settings,omitempty"` // by hand
	Quality  *qualityJSON             `json:"quality,omitempty"`
}

type captureJSON struct {
	Frames  int    `json:"frames"`
	Rate    number `json:"rate_hz"`
	Markers int    `json:"markers"`
	SHA256  string `json:"sha256"`
}

type swingEventsJSON struct {
	Top    number `json:"top_s"`
	Impact number `json:"impact_s"`
}

type estimateJSON struct {
	Value number `json:"value"`
	U95   number `json:"u95"`
}

type peakJSON struct {
	Lead number `json:"lead_mm"`
	Time number `json:"time_s"`
}

type qualityJSON struct {
	Residual number     `json:"residual_rms_mm"`
	CutOff   number     `json:"cutoff_hz,omitzero"`
	Flags    []flagJSON `json:"flags"`
}

type flagJSON struct {
	Code   capture.Code `json:"code"`
	Marker string       `json:"marker"`
	From   number       `json:"from_s"`
	To     number       `json:"to_s"`
	Detail string       `json:"detail"`
}

// WriteResults writes the results of every run as JSON (bendline-results,
// version 1). A measure that is not known is null. A failed run has its error
// and nothing else.
func WriteResults(w io.Writer, a *Analysis) error {
	out := resultsJSON{"bendline-results", 1, make([]resultJSON, len(a.Results))}
	for i, r := range a.Results {
		out.Runs[i] = newResultJSON(r)
	}
	return writeJSON(w, out)
}

func newResultJSON(r *Result) resultJSON {
	if !r.OK() {
		return resultJSON{ID: r.Run.ID, Error: r.Err.Error()}
	}
	s := r.Swing
	out := resultJSON{
		ID: r.Run.ID, OK: true,
		Capture:  &captureJSON{r.Capture.Frames, number(r.Capture.Rate), r.Capture.Markers, r.Capture.SHA256},
		Events:   &swingEventsJSON{number(s.Top), number(s.Impact.Value)},
		Impact:   make(map[string]*estimateJSON, len(Measures)),
		PeakLag:  &peakJSON{number(s.PeakLag.Value * 1e3), number(s.PeakLag.Time)},
		Settings: r.Settings.json(),
		Quality:  &qualityJSON{number(s.RMS * 1e3), number(s.CutOff), make([]flagJSON, len(r.Flags))},
	}
	for _, m := range Measures {
		out.Impact[m.Key] = newEstimateJSON(m.AtImpact(s), m.Scale)
	}
	for i, f := range r.Flags {
		out.Quality.Flags[i] = flagJSON{f.Code, f.Marker, number(f.From), number(f.To), f.Detail}
	}
	return out
}

func newEstimateJSON(e kinematics.Estimate, scale float64) *estimateJSON {
	if math.IsNaN(e.Value) {
		return nil
	}
	return &estimateJSON{number(e.Value * scale), number(e.U95 * scale)}
}

// writeJSON writes v, indented, with < and & as they are.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	return nil
}

package study

import "io"

type forecastJSON struct {
	Format  string             `json:"format"`
	Version int                `json:"version"`
	Clubs   []clubForecastJSON `json:"clubs"`
}

type clubForecastJSON struct {
	ID          string               `json:"id"`
	Noise       number               `json:"noise_mm"`
	Rate        number               `json:"rate_hz"`
	Places      string               `json:"marker_places"` // "reference" or "usual"
	U95         map[string]number    `json:"u95"`           // by measure
	Suggestions []markerForecastJSON `json:"suggestions"`
	Without     []markerForecastJSON `json:"without"`
}

type markerForecastJSON struct {
	What string            `json:"what"`
	U95  map[string]number `json:"u95"`
}

// WriteForecast writes what to expect of captures as JSON (bendline-plan,
// version 1).
func WriteForecast(w io.Writer, clubs []ClubForecast) error {
	out := forecastJSON{"bendline-plan", 1, make([]clubForecastJSON, len(clubs))}
	for i, c := range clubs {
		places := "reference"
		if !c.Hung {
			places = "usual"
		}
		out.Clubs[i] = clubForecastJSON{
			c.Club, number(c.Options.NoiseMM), number(c.Options.RateHz), places,
			byMeasure(c.U95), newMarkerForecastsJSON(c.Better), newMarkerForecastsJSON(c.Without),
		}
	}
	return writeJSON(w, out)
}

func byMeasure(values []float64) map[string]number {
	out := make(map[string]number, len(Measures))
	for i, m := range Measures {
		out[m.Key] = number(values[i])
	}
	return out
}

func newMarkerForecastsJSON(all []MarkerForecast) []markerForecastJSON {
	out := make([]markerForecastJSON, len(all))
	for i, f := range all {
		out[i] = markerForecastJSON{f.What, byMeasure(f.U95)}
	}
	return out
}

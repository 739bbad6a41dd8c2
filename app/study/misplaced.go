package study

import (
	"fmt"
	"slices"

	"bendline/capture"
	"bendline/kinematics"
)

// misplaced returns what the fit found of markers that were not where the club
// has them: labels it gave back, markers that slid, markers measured at another time,
// points it left out.
func misplaced(s *kinematics.Swing, set capture.MarkerSet) []capture.Flag {
	names := set.Names()
	var flags []capture.Flag
	for _, e := range s.Exchanged {
		flags = append(flags, capture.Flag{Code: capture.LabelSwap, Marker: names[e.Track], From: e.From, To: e.To,
			Detail: fmt.Sprintf("points of %s bear the label %s; the fit gave them back", names[e.Track], names[e.Label])})
	}
	for _, d := range s.Slid {
		where := "tip"
		by := d.By
		if by < 0 {
			where, by = "butt", -by
		}
		flags = append(flags, capture.Flag{Code: capture.PoorFit, Marker: names[d.Track],
			Detail: fmt.Sprintf("%s sits %.1f mm nearer the %s end than in the reference: it slid, or its label is another's; the fit takes it to be there", names[d.Track], by*1e3, where)})
	}
	for _, w := range s.Skewed {
		when, by := "after", w.By.Value
		if by < 0 {
			when, by = "before", -by
		}
		flags = append(flags, capture.Flag{Code: capture.TimeSkew, Marker: names[w.Track],
			Detail: fmt.Sprintf("%s is measured %.3f ± %.3f ms %s the others in a frame; the fit takes it back", names[w.Track], by*1e3, w.By.U95*1e3, when)})
	}
	// A point or two astray costs nothing. Left out, points are a gap like any
	// other; where they are many, the marker is not where the set has it.
	const few, many = 3, 0.2
	for t, n := range s.Stray {
		if n < few {
			continue
		}
		f := capture.Flag{Code: capture.Gap, Marker: names[t],
			Detail: fmt.Sprintf("%s is not where the club has it in %d of %d frames, which were left out", names[t], n, s.Frames())}
		if float64(n) > many*float64(s.Frames()) {
			f.Code = capture.PoorFit
			f.Detail += ": it froze, fell off or bears another's label"
		}
		flags = append(flags, f)
	}
	return flags
}

// withoutRepaired returns the flags without the exchanged labels, and the skew of
// grip or head, that the fit repaired and tells of itself.
func withoutRepaired(flags []capture.Flag, s *kinematics.Swing, set capture.MarkerSet) []capture.Flag {
	names := set.Names()
	skewed := func(cluster []string) bool {
		return slices.ContainsFunc(s.Skewed, func(w kinematics.Skew) bool { return slices.Contains(cluster, names[w.Track]) })
	}
	return slices.DeleteFunc(flags, func(f capture.Flag) bool {
		if f.Code == capture.TimeSkew {
			return slices.Contains(set.Grip, f.Marker) && skewed(set.Grip) || slices.Contains(set.Head, f.Marker) && skewed(set.Head)
		}
		return f.Code == capture.LabelSwap && slices.ContainsFunc(s.Exchanged, func(e kinematics.Exchange) bool {
			return f.Marker == names[e.Track] || f.Marker == names[e.Label]
		})
	})
}

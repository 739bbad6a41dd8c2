// Package report makes the slides of a design review from an analysed study.
//
// New lays out a Deck. A slide is drawn once, on any vg.Canvas of
// Width × Height; the same drawing reaches PDF (vector, with selectable text
// and embedded fonts) and PNG. Nothing but the arguments enters a deck: the
// same study, options and date give the same bytes.
//
// Values are shown in the units of study.Measures. Where a value is not known
// (NaN) tables show an en dash and curves have a gap.
package report

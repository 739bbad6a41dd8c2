// Package report makes what leaves the laboratory from an analysed study: the
// slides of a design review, tables for further work, a moving picture, and a
// sheet for each player.
//
// # Slides
//
// New lays out a Deck by a Plan, in a house's Style. A slide is a list of parts
// (passages of text, leaves of tables, illustrations) with their places. Each
// part draws itself on any vg.Canvas, which gives PDF (vector, with selectable
// text and embedded fonts) and PNG, and writes itself as a shape that can be
// edited, which gives PPTX (ECMA-376). There is one layout of a slide.
//
// Write puts a deck into a file or a folder, by the ending of its name.
//
// # The rest
//
// WriteTables writes every table and curve as a workbook or as CSV files,
// WriteAnimation the shafts side by side on the way to impact as a GIF, and
// WriteSheet the sheet of a player as a PDF.
//
// Files are written whole or not at all. Nothing but the arguments enters them:
// the same study, options and date give the same bytes, and the last pages of a
// deck (hidden in a presentation) say which those were.
//
// # Marks
//
// What was set by hand is told wherever it matters: filter, window, exclusions and
// the number of corrected runs at the foot of every page, a star at the names of
// corrected runs and of clubs whose means rest on one. Characters that the fonts
// lack are drawn as □, which the foot says.
//
// # Values
//
// Values are shown in the units of study.Measures. Where a value is not known
// (NaN) tables show an en dash, curves have a gap, and cells of a workbook or a
// CSV file are empty.
package report

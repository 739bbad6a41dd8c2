// Package study holds a study: which captures belong to which club and player,
// how they were analysed, and what came out.
//
// Open reads a study file, Analyze imports and fits its runs, Compare tells a
// prototype from the baseline. Everything goes one way: a Study is a value that
// is never changed, an Analysis is made from it, a Comparison from that.
//
// In memory everything is in SI units. Files and tables show millimetres and
// degrees: names in files say so ("lead_mm"), and a Measure holds the factor.
//
// # Missing values
//
// NaN means not known. In JSON files a value that is not known is null; in CSV
// files its field is empty.
//
// # What fails, and how far
//
// A study file that cannot be understood, or contradicts itself, is refused by
// Open. A run whose capture cannot be had or fitted, wherever the reason lies,
// has its error in its Result, and the others go on.
package study

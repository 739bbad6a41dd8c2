// Package contrast tells two sets of runs apart: means and spreads, t tests
// with their intervals, and the same along curves.
//
// Functions are plain: they take slices, change none of them, and know nothing
// of golf. The first set is the baseline a, the second the prototype b, and a
// difference is always second minus first, b − a.
//
// # Missing values
//
// NaN means that a run did not yield the quantity. It is left out; in a paired
// test its pair is left out. Infinite values are not expected and give NaN.
//
// # What cannot be tested
//
// A test of too few values, or of values without any spread, has an error that
// says so. Its Difference is still given where both sets have a mean; the rest
// of it is NaN.
//
// # Which test
//
// Repeated runs of one player are two independent samples that need not spread
// alike: Welch. Several players who each swung both clubs are blocks: each
// gives one mean for each club, and the differences are tested: Paired. Runs of
// several players are never pooled.
package contrast

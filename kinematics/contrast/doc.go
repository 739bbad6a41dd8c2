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
// several players are never pooled. MixedBlocks is the second view: it has the
// runs within players, and weighs uneven numbers.
//
// Where something else than the club may have changed, Ancova and MixedAncova
// compare at equal values of a covariate such as head speed.
//
// # Whom it tells about
//
// Players differ in how a club suits them. Paired, PermuteSigns, MixedBlocks and
// MixedAncova count that among what may vary, and so tell about players like
// these. Ancova and PermuteLabels within blocks do not: their intervals are
// narrower and their p smaller, and hold for the players who were there. By
// simulation, with four runs that spread by 2 mm and a taste that spreads by 2
// mm, Ancova's 95 % interval holds the difference over all players 72 % of the
// time, that of MixedBlocks 92 % with three players and 93 % to 95 % with six,
// and Paired's 95 %. A mixed model that finds no taste (BlockSetSD 0) has not
// shown that there is none.
//
// # Sameness, and what could be seen
//
// That no difference is found does not show that there is none.
// Test.Equivalence asks whether two sets are the same within a margin;
// Detectable says how small a difference the study could have found, and Need
// how large a study would be needed. Precise splits the spread of several units
// of one design.
//
// # Many tests
//
// Holm keeps the chance of a false difference over several measures; WelchCurves
// and PairedCurves keep it along a curve.
package contrast

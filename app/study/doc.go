// Package study holds a study: which captures belong to which club and player,
// how they were analysed, and what came out.
//
// Open reads a study file, Analyze imports and fits its runs, Compare tells a
// prototype from the baseline. Everything goes one way: a Study is a value that
// is never changed, an Analysis is made from it, a Comparison from that.
//
// Bench holds the bench sheet of every club against its spec, and against
// itself; HoldAgainstSwings holds the bench against the swings. A club out of
// spec flags each of its runs. Sheet and Spec keep the units of the study file,
// as typed: their names say so.
//
// Stream hands results over one by one, as a window needs them, and Pool puts
// first contact where all runs together say that it was; Analyze is both. A Keep
// holds results from one time to the next under the hash of all they follow from.
// What is corrected by hand is part of the Run (Events, Swaps, Import.Columns):
// Corrections puts it into words, and Follows tells whether a result still holds.
//
// Markers are known by their names in a capture, by a club's Aliases ("aliases":
// {"name in captures": "marker"} in the study file), by their names spelt
// otherwise, and by the places of points on the club; flags label_matched tell
// of each, and how surely. Label holds one.
//
// In memory everything else is in SI units. Files and tables show millimetres
// and degrees: names in files say so ("lead_mm"), and a Measure holds the
// factor.
//
// # Comparisons
//
// A comparison's main answer is the difference of each measure at impact:
// Welch's t over the runs of one player, or the paired t over the means of
// several. Beside it stand other looks at the same difference, which carry whom
// they tell about: at equal head speed, by a mixed model, without a supposed
// distribution; whether the clubs are the same within a margin; how small a
// difference such a study can show; and how much of a player's run-to-run
// spread is measurement. Choices are the user's: the clubs, the margins,
// whether runs flagged out_of_spec, wrong_side or poor_fit are in (they are,
// unless left out), and a lot. A study keeps them ("comparison": {"baseline":
// "base", "prototype": "proto", "leave_out": ["out_of_spec"], "lot": ["p1",
// "p2"]}), and everything that shows a comparison prints them (ChoiceWords).
// Runs that lie apart are named, never dropped.
//
// The margins of sameness come from the comparison's Choices, else the study
// file ("margins": {"lead_mm": 3}, in shown units by measure), else from common
// practice, no source.
//
// # What all runs of a club share
//
// A club's reference recording and its table of stiffness are wrong by something,
// and by the same in all of its runs (kinematics.Swing.Systematic). The runs'
// spread does not show that, and more runs do not average it away. Every interval
// and p that is shown counts it beside the spread (contrast.Test.Sharing), and so
// do sameness, the smallest difference that is found, and the advice on more
// runs. Permutations and curves do not: they tell of the runs alone.
//
// # compare.json
//
// Each of "measures" (at impact) and "peaks" (of loading and release) has
//
//	measure, baseline, prototype, difference   the main answer
//	equivalence          margin, p, margin_source, words
//	holm_p               p adjusted over the measures, or over the peaks
//	with_systematic      in difference and models: u95, ci95 and p that count what
//	                     all runs of a club share; so p_with_systematic,
//	                     holm_p_with_systematic, ci95_with_systematic. ci95 and p
//	                     beside them are those of the runs alone, by the test's formula
//	permutation          p, ways, exact, p_standard_error where drawn; why where too few
//	permutation_within_players   the same, each player's runs dealt anew
//	at_equal_head_speed  analysis of covariance, player as block; slope_per_m_s
//	mixed_model          with player_sd, player_by_club_sd, run_sd
//	mixed_model_at_equal_head_speed
//	power                smallest_difference found four times in five; runs_needed and
//	                     players_needed to find "sought", and how many more than now;
//	                     null where no number up to 1000 is enough
//	run_to_run           sd, and what of it is measurement and player; words
//	outliers             runs that lie apart, which are in
//	by_player            each player's own means and difference
//
// In R, with a row a run, xc = x − ave(x, player) and x the head speed:
// at_equal_head_speed is lm(y ~ club + x + player), mixed_model
// lmerTest::lmer(y ~ club + (1 | player) + (1 | player:club)), and that at equal
// head speed lmerTest::lmer(y ~ club + xc + (1 | player) + (1 | player:club)).
//
// "curves" (over s to impact), "downswing_curves" (over per cent of the
// downswing) and "shaft_curves" (curvature at impact, over mm from the butt end)
// have x, the means and standard deviations of both clubs, the difference with
// low and high, a band that holds all of its true curve 95 % of the time, t with
// threshold (of permutation; ways, exact) and field_threshold (of random field
// theory), intervals, and words that name them. Where players are so few that
// none of this can be told of others like them, "these_players" has the same about
// them alone, their runs dealt anew within each player.
//
// "loading" has a table for each player, "choices" what was chosen, with words,
// "flagged" the doubtful runs and whether they are in, "left_out" the runs that
// are not, and "lot", where one was asked for, the spread between the clubs of
// a design and within one player's runs with one club.
//
// # Many machines, and captures to come
//
// AnalyzePart does every n-th run of a study, WritePart writes what came of it,
// and Merge joins what all parts wrote. First contact is pooled over all runs of
// a study; a part's file therefore also holds each run by itself, from which
// Merge pools anew, so that its results are those of the whole to the byte.
// bendline-batch merge -h shows a Slurm array and a Kubernetes indexed job.
//
// A Watch tells of files that land in a folder once they are whole; a Session
// takes them into a study, says what is to be put right before the next swing,
// and keeps study and results.json current.
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

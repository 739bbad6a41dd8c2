// Package capture reads the paths of markers that a motion capture system
// followed, and tells how good they are.
//
// A [Recording] holds named tracks at a steady rate, in metres and seconds, in
// the axes of the file. A frame in which a marker was not seen is NaN in all
// three coordinates. [Recording.Origin] tells what the file looked like and
// what had to be guessed. A [MarkerSet] names the markers of a club.
//
// # Text captures
//
// [Read] and [ReadFile] tell a text from a C3D file by its first bytes.
// [ReadText] reads tables without being told how they are laid out:
//
//   - wide: a row for each frame under one row of labels, such as S01_x,
//     S01 X [mm], S01:X, S01.X, S01 X (mm), S01_X_mm, S01X or
//     X_S01; points without
//     names, under x1, y1, z1, x2 … or X, Y, Z, X …, are called P01, P02 …;
//   - stacked: marker names over X, Y, Z over a row of units, which may be
//     missing;
//   - long: a row for each marker in each frame, under time, marker, x, y, z.
//
// Cells are set apart by commas, semicolons or tabs, and may be in quotes.
// Numbers have a decimal point, or a comma where that does not part cells. The
// text is UTF-8, UTF-16 or Latin-1, with or without a byte order mark, in lines
// that end in LF or CRLF. Delimiters at the end of a row, blank lines and lines
// that begin with #, // or % do not matter. A row of labels is looked for in
// the first 200 lines. Columns that are not part of an X, Y, Z triple are passed
// over, and so are triples in a unit that is not one of length or named as a
// force or moment, and a triple A_vel beside a triple A.
//
// Lines before the labels may state the rate ("Capture rate,2500",
// "# fps = 2500"), the unit and the vertical axis. A unit in the labels counts
// for more. If no unit is stated, that in which the markers make a cloud the
// size of a club is taken, and [Origin].UnitGuessed says so;
// [MarkerSet.GuessUnit] knows better, since it knows the stations, and
// [Recording.WithUnit] puts it right.
//
// # C3D captures
//
// [ReadC3D] reads the points of a file in the open C3D format, of any byte
// order, with integers or real numbers, as far as the file goes; [WriteC3D]
// writes one. What is damaged in a file and had to be put right is in
// [Origin].Flags.
//
// # Time
//
// A recording has a steady rate. It comes from the time column: a straight line
// through the stamps, replaced by the rate the file states if the two agree to
// half a frame over the whole file, or else by the roundest number that
// explains every stamp to its last digit. So stamps to the microsecond, or the
// millisecond, give 2500 and not 2499.98. Without a time column the rate is the
// stated one, and the frame column counts frames from 0 s.
//
// A step of k periods in time or frame number means that the file skips k-1
// frames; they are NaN, and counted in [Origin].Skipped. Where a stamp's last
// digit is worth more than a third of a period, stamps no longer tell one
// skipped frame from none; the frame column decides, if there is one, else rows
// follow one another unless nearly all stamps agree on some being skipped. A
// time that goes back, repeats, or is off by more than a quarter of a period is
// an error.
//
// # Names
//
// [Respelled] knows the markers of a set whose names are spelt otherwise in a
// file, [IsUnnamed] a name that only counts points. [Recording.Trajectories] joins
// such points, of which each may last for a frame only, into paths by where they
// are foretold, and [Recording.Assembled] makes a recording of paths that are
// known to be a marker.
//
// # Quality
//
// [Inspect] tells what is worth knowing about a recording as a list of [Flag]
// values: gaps, missing markers, markers that stand still while the others
// move, repeated frames, markers that are not where their distances from others
// put them or are measured at another time, damage to the file, guesses.
// [WriteText] writes a recording as plain CSV.
package capture

package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strings"

	"bendline/app/report"
	"bendline/app/study"
)

// A command is one word on the command line and what it does.
type command struct {
	name, args, does string

	arguments int  // how many it takes
	output    bool // takes -o FILE, and needs it
	choices   bool // takes the choices of a comparison
	bench     bool // takes --swings, --d0, --sheet, --club and --save
	house     bool // takes --date and --style
	plan      bool // takes --plan
	part      bool // takes --part
	watch     bool // takes --player and --club
	more      bool // takes more arguments than that
	help      string
	forecast  bool // takes --noise-mm, --rate-hz and, if wanted, -o
	run       func(context.Context, *job) error
}

// A job is a command with what it was given.
type job struct {
	args           []string
	out            string // file to write
	choices        study.Choices
	swings         bool   // hold the bench against the swings
	zero           string // swing weight called D0, oz in; "" for the study's own
	sheets         []string
	save           bool // of the study, with what the sheets say
	forecast       study.ForecastOptions
	report         report.Options
	part           study.Part // the zero Part is the whole
	player, club   string
	stdout, stderr io.Writer
}

// commands returns the commands in the order of the help.
func commands() []command {
	return []command{
		{name: "demo", args: "DIR", does: "write the demo study: DIR/study.json and its captures", arguments: 1, run: demo},
		{name: "convert", args: "FILE -o out.csv", does: "write a capture as plain CSV: time_s, then NAME_x,NAME_y,NAME_z in mm", arguments: 1, output: true, run: convert},
		{name: "check", args: "STUDY", does: "tell what is in each file and what is wrong with it", arguments: 1, run: check},
		{name: "analyze", args: "STUDY -o results.json [--part k/n]", does: "analyse every run, or of runs 1, 2, 3 … every n-th from run k on", arguments: 1, output: true, part: true, help: partHelp, run: analyze},
		{name: "merge", args: "PART… -o results.json", does: "join the results of all parts of a study", arguments: 1, more: true, output: true, help: partHelp, run: merge},
		{name: "watch", args: "STUDY DIR --player ID --club ID", does: "analyse captures as they land in a folder, until interrupted", arguments: 2, watch: true, help: watchHelp, run: watch},
		{name: "series", args: "STUDY RUN -o run.csv", does: "write the measures of one run, frame by frame", arguments: 2, output: true, run: series},
		{name: "compare", args: "STUDY -o compare.json " + choicesUsage, does: "compare a prototype with a baseline", arguments: 1, output: true, choices: true, run: compare},
		{name: "bench", args: "STUDY -o bench.json [--sheet FILE [--club ID] [--save]] [--swings] [--d0 OZIN]", does: "work out the bench sheet of each club and hold it against the spec and, if asked, against the swings", arguments: 1, output: true, bench: true, help: benchHelp, run: bench},
		{name: "plan", args: "STUDY " + planUsage, does: "tell, before a capture, how well each club's markers will show the values at impact, and which marker added or moved would help most", arguments: 1, forecast: true, run: plan},
		{name: "slides", args: "STUDY -o deck.pdf|deck.pptx|DIR [--plan plan.json] " + houseUsage + " " + choicesUsage, does: "make the slides of the design review: a PDF, a presentation, or a folder of pictures", arguments: 1, output: true, choices: true, house: true, plan: true, run: slides},
		{name: "tables", args: "STUDY -o tables.xlsx|DIR " + houseUsage + " " + choicesUsage, does: "write every table and curve: a workbook, or a folder of CSV files", arguments: 1, output: true, choices: true, house: true, run: tables},
		{name: "animate", args: "STUDY -o swing.gif " + houseUsage + " " + choicesUsage, does: "show the shafts of both clubs side by side on the way to impact", arguments: 1, output: true, choices: true, house: true, run: animate},
		{name: "sheet", args: "STUDY PLAYER -o sheet.pdf " + houseUsage, does: "make the one-page sheet of a player for the fitter", arguments: 2, output: true, house: true, run: sheet},
		{name: "version", does: "tell the version of the program", run: tellVersion},
	}
}

const helpEnd = `
A run that fails does not stop the others: what could be worked out is written,
the failed runs are named on standard error, and the exit code is 1. A file that
is refused makes the exit code 1 and writes nothing; a command line that is not
understood, 2.
`

func help(w io.Writer) {
	fmt.Fprint(w, "usage: bendline-batch COMMAND …\n\n")
	for _, c := range commands() {
		fmt.Fprintf(w, "  %s\n        %s\n", strings.TrimSpace(c.name+" "+c.args), c.does)
	}
	fmt.Fprint(w, helpEnd)
}

// dispatch finds the command and runs it.
func dispatch(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	if len(args) == 0 {
		help(stderr)
		return usageError("a command is needed")
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		help(stdout)
		return nil
	case "-version", "--version":
		args = []string{"version"}
	}
	for _, c := range commands() {
		if c.name == args[0] {
			j := &job{stdout: stdout, stderr: stderr}
			asked, err := j.parse(c, args[1:])
			if err != nil {
				return err
			}
			if asked {
				fmt.Fprintf(stdout, "usage: bendline-batch %s %s\n\n%s\n", c.name, c.args, c.does)
				fmt.Fprint(stdout, c.help)
				if c.choices {
					fmt.Fprint(stdout, choicesHelp)
				}
				if c.house {
					fmt.Fprint(stdout, houseHelp)
				}
				return nil
			}
			return c.run(ctx, j)
		}
	}
	return usageError(fmt.Sprintf("there is no command %q; bendline-batch help lists them", args[0]))
}

// parse reads arguments and flags, which may stand in any order. asked reports
// a call for help.
func (j *job) parse(c command, args []string) (asked bool, err error) {
	flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
	flags.SetOutput(io.Discard) // the error is told once, by run
	if c.output {
		flags.StringVar(&j.out, "o", "", "")
	}
	if c.bench {
		addBench(flags, j)
	}
	if c.forecast {
		addForecast(flags, j)
	}
	if c.choices {
		addChoices(flags, &j.choices)
	}
	if c.house {
		addHouse(flags, &j.report)
	}
	if c.part {
		addPart(flags, &j.part)
	}
	if c.watch {
		flags.StringVar(&j.player, "player", "", "")
		flags.StringVar(&j.club, "club", "", "")
	}
	if c.plan {
		addPlan(flags, &j.report.Plan)
	}
	usage := strings.TrimSpace("bendline-batch " + c.name + " " + c.args)
	for {
		err := flags.Parse(args)
		if err == flag.ErrHelp {
			return true, nil
		}
		if err != nil {
			return false, usageError(fmt.Sprintf("%v; usage: %s", err, usage))
		}
		if flags.NArg() == 0 {
			break
		}
		j.args = append(j.args, flags.Arg(0))
		args = flags.Args()[1:]
	}
	switch {
	case len(j.args) != c.arguments && !(c.more && len(j.args) > c.arguments):
		return false, usageError(fmt.Sprintf("%s takes %d arguments, not %d; usage: %s", c.name, c.arguments, len(j.args), usage))
	case c.watch && (j.player == "" || j.club == ""):
		return false, usageError(fmt.Sprintf("%s needs --player and --club with ids of the study; usage: %s", c.name, usage))
	case len(j.sheets) == 0 && (c.bench && j.club != "" || j.save):
		return false, usageError(fmt.Sprintf("--club and --save go with --sheet; usage: %s", usage))
	case c.output && j.out == "":
		return false, usageError(fmt.Sprintf("%s needs -o with the file to write; usage: %s", c.name, usage))
	}
	return false, nil
}

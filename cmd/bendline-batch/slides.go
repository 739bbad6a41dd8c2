package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"reflect"
	"time"

	"bendline/app/report"
	"bendline/app/study"
)

// houseUsage tells the flags that addHouse adds.
const houseUsage = "[--date 2025-03-14T09:30:00Z] [--style style.json]"

// houseHelp explains them, and --plan.
const houseHelp = `
  --date TIME                     the date to print and to keep in the file, RFC 3339;
                                  without it, now. Same date, same bytes
  --style style.json              the look of the house: {"name": "…",
                                  "accents": ["#0072b2", "#d55e00"], "logo": base64 of a
                                  PNG or JPEG, "decimal_comma": true, "paper": "letter"}
  --plan plan.json                the slides in their order: [{"slide": "cover",
                                  "title": "…", "note": "…", "off": false}, …]
`

// addHouse makes flags set what every page shares.
func addHouse(flags *flag.FlagSet, o *report.Options) {
	flags.Func("date", "", func(text string) (err error) {
		if o.Date, err = time.Parse(time.RFC3339, text); err != nil {
			return errors.New("it must be like 2025-03-14T09:30:00Z")
		}
		return nil
	})
	flags.Func("style", "", func(path string) error { return readJSON(path, &o.Style) })
}

func addPlan(flags *flag.FlagSet, p *report.Plan) {
	flags.Func("plan", "", func(path string) error { return readJSON(path, p) })
}

// readJSON reads a file of settings. A key that is not known is an error.
func readJSON(path string, v any) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	d := json.NewDecoder(f)
	d.DisallowUnknownFields()
	return d.Decode(v)
}

// options returns what was asked, dated now where no date was given.
func (j *job) options() report.Options {
	o := j.report
	o.Version = version()
	if o.Date.IsZero() {
		o.Date = time.Now()
	}
	return o
}

// compared analyses the study and compares two clubs. Where nothing can be
// compared c is nil, unless something was chosen about the comparison.
func (j *job) compared(ctx context.Context) (a *study.Analysis, c *study.Comparison, err error) {
	if a, err = j.analyzed(ctx); err != nil {
		return nil, nil, err
	}
	c, err = study.CompareWith(ctx, a, j.choices, nil)
	if err != nil {
		if !reflect.ValueOf(j.choices).IsZero() {
			return nil, nil, errors.Join(err, failedRuns(a))
		}
		fmt.Fprintln(j.stderr, "bendline-batch: nothing is compared:", err)
		return a, nil, nil
	}
	return a, c, nil
}

// A writer is a function of report that writes a file from a comparison.
type writer func(context.Context, *study.Analysis, *study.Comparison, string, report.Options, report.Progress) error

// write writes the file with a writer and tells how far it is.
func (j *job) write(ctx context.Context, what string, w writer) error {
	a, c, err := j.compared(ctx)
	if err != nil {
		return err
	}
	p := newProgress(j.stderr)
	err = w(ctx, a, c, j.out, j.options(), func(done, total int) { p.tell(done, total, what) })
	p.end()
	if err != nil {
		return err
	}
	return failedRuns(a)
}

// slides makes the deck.
func slides(ctx context.Context, j *job) error { return j.write(ctx, "slides", report.Write) }

// tables writes every table and curve.
func tables(ctx context.Context, j *job) error { return j.write(ctx, "tables", report.WriteTables) }

// animate writes the moving picture.
func animate(ctx context.Context, j *job) error { return j.write(ctx, "frames", report.WriteAnimation) }

// sheet makes the sheet of a player.
func sheet(ctx context.Context, j *job) error {
	a, err := j.analyzed(ctx)
	if err != nil {
		return err
	}
	if err := report.WriteSheet(ctx, a, a.Study.PlayerCalled(j.args[1]), j.out, j.options()); err != nil {
		return errors.Join(err, failedRuns(a))
	}
	return failedRuns(a)
}

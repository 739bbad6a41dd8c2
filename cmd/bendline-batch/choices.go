package main

import (
	"flag"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"bendline/app/study"
	"bendline/capture"
)

// choicesUsage tells the flags that addChoices adds.
const choicesUsage = "[--baseline ID --prototype ID] [--margin MEASURE=VALUE]… [--leave-out FLAG,FLAG] [--lot ID,ID,…]"

// choicesHelp explains them.
const choicesHelp = `
  --baseline ID, --prototype ID   the two clubs; without them those that the study
                                  keeps as chosen, else the first of each role
  --margin lead_mm=3              a difference below this counts as the same; may stand
                                  once for each measure, and goes before the study file's
  --leave-out out_of_spec,poor_fit
                                  leave out runs with one of these flags, "none" for no
                                  run; without it as the study has it, where they are in
                                  unless it says otherwise. They are named either way
  --lot ID,ID,…                   also tell how alike these clubs of one design are;
                                  "none" for no lot; without it the study's, if any
`

// addChoices makes flags set what the user decides about a comparison.
func addChoices(flags *flag.FlagSet, c *study.Choices) {
	flags.StringVar(&c.Baseline, "baseline", "", "")
	flags.StringVar(&c.Prototype, "prototype", "", "")
	flags.Func("margin", "", func(text string) error {
		key, figure, ok := strings.Cut(text, "=")
		v, err := strconv.ParseFloat(figure, 64)
		if !ok || err != nil {
			return fmt.Errorf("it must be MEASURE=VALUE, such as lead_mm=3")
		}
		if c.Margins == nil {
			c.Margins = map[string]float64{}
		}
		c.Margins[key] = v
		return nil
	})
	flags.Func("leave-out", "", func(text string) error {
		c.LeaveOut = []capture.Code{}
		if text == "none" {
			return nil
		}
		for word := range strings.SplitSeq(text, ",") {
			code := capture.Code(word)
			if !slices.Contains(study.Doubtful, code) {
				return fmt.Errorf("runs can be left out for %v, or none", study.Doubtful)
			}
			c.LeaveOut = append(c.LeaveOut, code)
		}
		return nil
	})
	flags.Func("lot", "", func(text string) error {
		if c.Lot = strings.Split(text, ","); text == "none" {
			c.Lot = []string{}
		}
		return nil
	})
}

// tellFlagged names the doubtful runs of a comparison and whether they are in.
func tellFlagged(w io.Writer, c *study.Comparison) {
	for _, f := range c.Flagged {
		words := make([]string, len(f.Codes))
		for i, code := range f.Codes {
			words[i] = string(code)
		}
		in := "is in; --leave-out leaves such runs out"
		if !f.In {
			in = "is left out"
		}
		fmt.Fprintf(w, "bendline-batch: run %q is flagged %s and %s\n", f.Run, strings.Join(words, ", "), in)
	}
}

package main

import (
	"context"
	"flag"
	"fmt"
	"io"

	"bendline/app/study"
)

// partHelp tells how to share a study out over machines.
const partHelp = `
A study of many runs is shared out over machines that see the same files:
analyze --part k/n does every n-th run, and merge joins what all n parts wrote
into the results that analyze writes of the whole, to the byte. Parts of another
study or program, missing parts and parts named twice are refused. Values at
impact in a part are pooled over that part alone: only merged ones are final.

With Slurm:

  #!/bin/sh
  #SBATCH --array=1-8
  bendline-batch analyze study.json -o part-$SLURM_ARRAY_TASK_ID.json \
      --part $SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT

and, once all are done, as sbatch --dependency=afterany:JOB:

  bendline-batch merge part-*.json -o results.json

With Kubernetes, an indexed job, whose indices start from 0:

  apiVersion: batch/v1
  kind: Job
  metadata: {name: bendline}
  spec:
    completionMode: Indexed
    completions: 8
    parallelism: 8
    template:
      spec:
        restartPolicy: Never
        containers:
        - name: part
          image: IMAGE
          command: [sh, -c]
          args:
          - bendline-batch analyze /study/study.json --part $((JOB_COMPLETION_INDEX+1))/8
            -o /study/part-$((JOB_COMPLETION_INDEX+1)).json
          volumeMounts: [{name: study, mountPath: /study}]
        volumes: [{name: study, persistentVolumeClaim: {claimName: CLAIM}}]

A part with a run that failed is written, and its exit code is 1, which a job
counts as a failure: end the command with "|| test -s part-….json" where that is
not wanted. merge names the runs that failed.
`

// addPart makes flags set the part.
func addPart(flags *flag.FlagSet, p *study.Part) {
	flags.Func("part", "", func(text string) (err error) {
		*p, err = study.ParsePart(text)
		return err
	})
}

// analyzePart writes the results of a part.
func analyzePart(ctx context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	p := newProgress(j.stderr)
	results, err := study.AnalyzePart(ctx, s, j.part, p.tell)
	p.end()
	if err != nil {
		return err
	}
	if err := study.WriteFile(j.out, func(w io.Writer) error { return study.WritePart(w, s, j.part, results) }); err != nil {
		return err
	}
	return failedRuns(&study.Analysis{Study: s, Results: results})
}

// merge writes the results that all parts make.
func merge(_ context.Context, j *job) error {
	results, err := study.Merge(j.args)
	if err != nil {
		return err
	}
	a := &study.Analysis{Results: results}
	if err := study.WriteFile(j.out, func(w io.Writer) error { return study.WriteResults(w, a) }); err != nil {
		return fmt.Errorf("nothing is merged: %w", err)
	}
	return failedRuns(a)
}

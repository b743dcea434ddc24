// Command trials measures the strip planner on the jobs of nest/trial and
// prints a table, in Markdown so that it can go into DEVELOPERS.md as it is.
//
//	go run ./cmd/trials                       every job, three seeds, 2 s and 30 s
//	go run ./cmd/trials --only bend --caps 5s one cap, the jobs whose names hold "bend"
//	go run ./cmd/trials --plain               plain strips as well, and the gain over them
//	go run ./cmd/trials --tilt 3deg           with struck edges that may be tilted so far
//
// A figure is the median over the seeds. Times are those of the machine; worth
// and bound come from a search that the clock ends, so they differ a little
// from one run to the next. What must not fall is kept by TestFloors of
// nest/trial, which counts steps and looks at no clock.
//
// Every plan is put through nest.Check. The exit code is 1 if one breaks a rule
// or is worth more than its bound, 2 if the command line is wrong.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	angles "strapwise/hide/measure"
	"strapwise/nest/trial"
)

func main() {
	switch err := run(os.Args[1:], os.Stdout, os.Stderr); {
	case errors.Is(err, flag.ErrHelp):
	case errors.As(err, new(usageError)):
		fmt.Fprintln(os.Stderr, "trials:", err)
		os.Exit(2)
	case err != nil:
		fmt.Fprintln(os.Stderr, "trials:", err)
		os.Exit(1)
	}
}

// usageError is a command line that asks for what there is not.
type usageError struct{ error }

func run(args []string, out, progress io.Writer) error {
	flags := flag.NewFlagSet("trials", flag.ContinueOnError)
	flags.SetOutput(progress)
	seeds := flags.Int("seeds", 3, "how many seeds, from 0 on, of each job")
	only := flags.String("only", "", "only the jobs whose names hold this `text`")
	caps := flags.String("caps", "2s,30s", "`times` after which a lay is stopped")
	plain := flags.Bool("plain", false, "lay plain strips as well, and tell what bands of several strips gain")
	tilt := flags.String("tilt", "0deg", "the most that struck edges may be tilted, an `angle`")
	file := flags.String("out", "", "`file` to write the table to as well")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		return usageError{err}
	}
	if flags.NArg() > 0 {
		return usageError{fmt.Errorf("found %q, expected flags only", flags.Arg(0))}
	}
	if *seeds < 1 {
		return usageError{fmt.Errorf("found %d seeds, expected 1 or more", *seeds)}
	}
	limits, err := durations(*caps)
	if err != nil {
		return usageError{err}
	}
	most, err := angles.ParseAngle(*tilt)
	if err != nil || most < 0 {
		return usageError{fmt.Errorf("found the tilt %q, expected an angle such as 3deg", *tilt)}
	}

	jobs := slices.DeleteFunc(trial.Instances(), func(in trial.Instance) bool { return !strings.Contains(in.Name, *only) })
	if len(jobs) == 0 {
		return usageError{fmt.Errorf("no job's name holds %q", *only)}
	}

	var table bytes.Buffer
	both := io.MultiWriter(out, &table)
	header(both)
	once := measure
	if *plain {
		once = measureBoth
	}
	wrong := 0
	for _, in := range jobs {
		for _, limit := range limits {
			var runs []measured
			for seed := range *seeds {
				job := in.Job(uint64(seed))
				job.Tools.Tilt = most
				m, err := once(job, uint64(seed), limit)
				if err != nil {
					return fmt.Errorf("%s of seed %d: %w", in.Name, seed, err)
				}
				for _, fault := range m.faults {
					fmt.Fprintf(progress, "%s of seed %d: %s\n", in.Name, seed, fault)
				}
				wrong += len(m.faults)
				runs = append(runs, m)
			}
			row(both, in, limit, runs)
		}
	}
	if *file != "" {
		if err := os.WriteFile(*file, table.Bytes(), 0o644); err != nil {
			return err
		}
	}
	if wrong > 0 {
		return fmt.Errorf("found %d faults in plans, expected none", wrong)
	}
	return nil
}

// durations reads a list of times such as "2s,30s".
func durations(list string) ([]time.Duration, error) {
	var out []time.Duration
	for _, text := range strings.Split(list, ",") {
		d, err := time.ParseDuration(strings.TrimSpace(text))
		if err != nil || d <= 0 {
			return nil, fmt.Errorf("found the time %q, expected one such as 2s", text)
		}
		out = append(out, d)
	}
	return out, nil
}

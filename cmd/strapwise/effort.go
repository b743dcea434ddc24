package main

import (
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"strapwise/nest/strip"
)

// effort is how hard to look for better lays: the flags of every command that lays.
type effort struct {
	limit time.Duration
	steps int
	seed  uint64
}

// flags adds them to a command; of says what each is for.
func (f *effort) flags(c *cobra.Command, of string) {
	c.Flags().DurationVar(&f.limit, "time", 10*time.Second, "longest time to look for better lays"+of)
	c.Flags().IntVar(&f.steps, "steps", strip.DefaultSteps, "most steps to look for better lays")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "of the search: another seed may find another lay")
}

// settle checks the flags. If only the time is told, all of it is used.
func (f *effort) settle(c *cobra.Command) error {
	if c.Flags().Changed("time") && !c.Flags().Changed("steps") {
		f.steps = math.MaxInt
	}
	return f.check()
}

// check refuses no time or no steps.
func (f *effort) check() error {
	switch {
	case f.limit <= 0:
		return &usage{fmt.Sprintf("--time: found %s, expected more than 0", f.limit), "write 10s or 2m"}
	case f.steps <= 0:
		return &usage{fmt.Sprintf("--steps: found %d, expected more than 0", f.steps), ""}
	}
	return nil
}

// options are those of the planner.
func (f *effort) options(u *ui) strip.Options {
	return strip.Options{Seed: f.seed, Steps: f.steps, Progress: func(value, bound float64) { u.progress("worth %.2f, no lay more than %.2f", value, bound) }}
}

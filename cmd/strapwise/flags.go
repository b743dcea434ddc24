package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"strapwise/hide/source"
)

// expected says what the value of a flag must be, by its type, and how to write
// one.
var expected = map[string]struct{ what, hint string }{
	"duration": {"a time with its unit", "write --%s 5s or --%s 2m"},
	"uint64":   {"a whole number of 0 or more", "write --%s 7"},
	"int":      {"a whole number", "write --%s 500"},
	"bool":     {"true or false", "write --%s alone"},
}

// counted is the value of a flag, and how often it was given.
type counted struct {
	pflag.Value
	times int
}

func (v *counted) Set(text string) error {
	v.times++
	return v.Value.Set(text)
}

// countFlags counts how often the flags of a command and of those below it are given, but
// for those that are lists, and those that are only on or off.
func countFlags(c *cobra.Command) {
	for _, flags := range []*pflag.FlagSet{c.PersistentFlags(), c.LocalNonPersistentFlags()} {
		flags.VisitAll(func(f *pflag.Flag) {
			if _, list := f.Value.(pflag.SliceValue); !list && f.Value.Type() != "bool" {
				f.Value = &counted{Value: f.Value}
			}
		})
	}
	for _, below := range c.Commands() {
		countFlags(below)
	}
}

// givenOnce refuses a flag that is given twice, and of which only one would count.
func givenOnce(c *cobra.Command, _ []string) (err error) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if v, ok := f.Value.(*counted); ok && v.times > 1 && err == nil {
			err = &usage{fmt.Sprintf("--%s: found it twice, expected it once", f.Name), "see " + c.CommandPath() + " --help"}
		}
	})
	return err
}

// flagMistake puts a mistake in a flag into the words of this tool.
func flagMistake(c *cobra.Command, err error) error {
	help := "see " + c.CommandPath() + " --help"
	var value *pflag.InvalidValueError
	var missing *pflag.ValueRequiredError
	var unknown *pflag.NotExistError
	switch {
	case errors.As(err, &value):
		return wrongValue(value.GetFlag(), fmt.Sprintf("%q", value.GetValue()), help)
	case errors.As(err, &missing):
		return wrongValue(missing.GetFlag(), "nothing", help)
	case errors.As(err, &unknown):
		if near := source.DidYouMean(unknown.GetSpecifiedName(), flagNames(c)); near != "" {
			help = strings.Replace(near, "did you mean ", "did you mean --", 1)
		}
	}
	return &usage{err.Error(), help}
}

func wrongValue(f *pflag.Flag, found, help string) error {
	e, ok := expected[f.Value.Type()]
	if !ok {
		_, what := pflag.UnquoteUsage(f)
		return &usage{fmt.Sprintf("--%s: found %s, expected %s", f.Name, found, what), help}
	}
	return &usage{fmt.Sprintf("--%s: found %s, expected %s", f.Name, found, e.what), strings.ReplaceAll(e.hint, "%s", f.Name)}
}

func flagNames(c *cobra.Command) []string {
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	return names
}

// noSuchCommand refuses an argument where a command was expected.
func noSuchCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, sub := range c.Commands() {
		names = append(names, sub.Name())
	}
	hint := source.DidYouMean(args[0], names)
	if hint == "" {
		hint = "see " + c.CommandPath() + " --help"
	}
	return &usage{fmt.Sprintf("unknown command %q", args[0]), hint}
}

// noArgs refuses arguments as a mistake on the command line.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &usage{fmt.Sprintf("found %q, expected no argument", args[0]), "see " + c.CommandPath() + " --help"}
	}
	return nil
}

// atMostOne refuses more than one argument.
func atMostOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return &usage{fmt.Sprintf("found %d arguments, expected at most one %s", len(args), what), "see " + c.CommandPath() + " --help"}
		}
		return nil
	}
}

func first(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

package main

import (
	"fmt"
	"path"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/workshop"
	"strapwise/report"
)

func newSheetTemplate(u *ui) *cobra.Command {
	var f paperFlags
	c := &cobra.Command{
		Use:   "template FILE",
		Short: "a template at full size",
		Long: `template draws a template of the workshop's patterns, by the name of its file, at full
size: as pdf on as many sheets of the paper as it takes, as svg on one page. It needs
no plan and no order.`,
		Example: "  strapwise sheet template cheek.svg\n  strapwise sheet template cheek.svg --paper letter",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usage{fmt.Sprintf("found %d arguments, expected one template", len(args)), "write cheek.svg, as workshop.toml does"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			w, err := workshop.OpenRules(u.workshop)
			if err != nil {
				return err
			}
			options, err := sheetOptions(w, f.paper)
			if err != nil {
				return err
			}
			t, err := templateNamed(w, args[0])
			if err != nil {
				return err
			}
			name := "template-" + fileName(strings.TrimSuffix(t.File, path.Ext(t.File)))
			return f.drawn(c.Context(), u, report.TemplateDrawing(t, options.Rule), name, options)
		},
	}
	f.of(c, "template")
	return c
}

// templateNamed is the template of a file as the house rules name it.
func templateNamed(w *workshop.Workshop, file string) (*nest.Template, error) {
	var known []string
	for _, t := range w.House.Templates() {
		if t.File == path.Clean(file) {
			return t, nil
		}
		known = append(known, t.File)
	}
	if len(known) == 0 {
		return nil, &usage{fmt.Sprintf("found the template %q, and no piece of the workshop's patterns has one", file), `a piece has it from template = "cheek.svg" in workshop.toml`}
	}
	return nil, &usage{fmt.Sprintf("found the template %q, expected one of %s", file, strings.Join(known, ", ")), source.DidYouMean(file, known)}
}

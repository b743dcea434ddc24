package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"strapwise/report"
)

// paperFlags say how what is drawn at full size, patterns and labels, is written.
type paperFlags struct{ as, out, paper string }

// of has a command take them; what is what it draws.
func (f *paperFlags) of(c *cobra.Command, what string) {
	c.Flags().StringVar(&f.as, "as", "pdf", "pdf or svg")
	c.Flags().StringVar(&f.out, "out", "", "the `folder` for the "+what+" (default plans/ in the workshop)")
	c.Flags().StringVar(&f.paper, "paper", "a4", "a4, a3 or letter")
}

func (f *paperFlags) check() error {
	if f.as != "pdf" && f.as != "svg" {
		return &usage{fmt.Sprintf("--as: found %q, expected pdf or svg", f.as), ""}
	}
	return nil
}

// drawn writes a drawing as a file of that name.
func (f *paperFlags) drawn(ctx context.Context, u *ui, page report.Page, name string, o sheetSettings) error {
	files, err := u.fullSize(page, name, f.as, o.Paper)
	if err != nil {
		return err
	}
	return writeFiles(ctx, u, f.out, files)
}

package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/nest/workshop"
	"strapwise/report"
)

// labelFlags are the flags of sheet labels.
type labelFlags struct {
	paperFlags
	grid  string
	hides []string
	first int
}

func newSheetLabels(u *ui) *cobra.Command {
	var f labelFlags
	c := &cobra.Command{
		Use:   "labels pieces [PLAN] | labels rack",
		Short: "stickers for cut pieces, or for the hides on the rack",
		Long: `labels sets stickers on sheets of paper, long side up and edge to edge: for the
pieces of a plan in the order in which they are cut, with order, set, part, size and
leather; or for the hides on the rack, with leather, area, longest run and where they
come from.`,
		Example: "  strapwise sheet labels pieces --stickers 3x8 --first 5\n  strapwise sheet labels rack --stickers 2x5",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 || args[0] != "pieces" && args[0] != "rack" {
				return &usage{fmt.Sprintf("found %q, expected pieces or rack", first(args)), ""}
			}
			if most := map[string]int{"pieces": 2, "rack": 1}[args[0]]; len(args) > most {
				return &usage{fmt.Sprintf("found %d arguments, expected at most %d", len(args), most), "strapwise sheet labels --help"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return f.write(c.Context(), u, args[0], args[1:]) },
	}
	f.of(c, "labels")
	c.Flags().StringArrayVar(&f.hides, "hide", nil, "only of this `hide` (may be given again)")
	c.Flags().StringVar(&f.grid, "stickers", "3x8", "how many on the paper, `ACROSSxDOWN`: side by side, and one below the other")
	c.Flags().IntVar(&f.first, "first", 1, "the sticker to begin with, on a sheet that was used before")
	return c
}

func (f labelFlags) write(ctx context.Context, u *ui, of string, args []string) error {
	grid, err := readGrid(f.grid, f.first)
	if err != nil {
		return err
	}
	if err := f.check(); err != nil {
		return err
	}
	var labels []report.Label
	var options sheetSettings
	if of == "rack" {
		labels, options, err = f.ofRack(u)
	} else {
		labels, options, err = f.ofPieces(ctx, u, args)
	}
	if err != nil {
		return err
	}
	if len(labels) == 0 {
		return &shortfall{"found nothing to label; nothing was written", ""}
	}
	pages := report.Stickers("labels: "+of, labels, options.Paper, grid)
	name := "labels-rack"
	if of == "pieces" {
		name = pieceLabels
	}
	files, err := u.pageFiles(pages, name, f.as)
	if err != nil {
		return err
	}
	return writeFiles(ctx, u, f.out, files)
}

// ofPieces are the labels of the pieces of a plan.
func (f labelFlags) ofPieces(ctx context.Context, u *ui, args []string) ([]report.Label, sheetSettings, error) {
	o, err := u.openHolding(ctx, args)
	if err != nil {
		return nil, sheetSettings{}, err
	}
	options, err := sheetOptions(o.shop, f.paper)
	if err != nil {
		return nil, options, err
	}
	hides := once(f.hides)
	if len(hides) == 0 {
		hides = cutHides(o.plan)
	}
	var out []report.Label
	for _, h := range hides {
		labels, err := report.PieceLabels(o.job, o.plan, h, options.Rule)
		if err != nil {
			return nil, options, &usage{"--hide: " + err.Error(), ""}
		}
		out = append(out, labels...)
	}
	return out, options, nil
}

// ofRack are the labels of the hides on the rack.
func (f labelFlags) ofRack(u *ui) ([]report.Label, sheetSettings, error) {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return nil, sheetSettings{}, err
	}
	options, err := sheetOptions(w, f.paper)
	if err != nil {
		return nil, options, err
	}
	job, err := w.Job(once(f.hides)...)
	if err != nil {
		return nil, options, &usage{"--hide: " + err.Error(), "strapwise rack list shows the rack"}
	}
	var out []report.Label
	for _, h := range job.Hides {
		r, err := inFigures(w, h)
		if err != nil {
			return nil, options, err
		}
		out = append(out, report.HideLabel(h, r.Use, r.LongestMM, probe, w.Rule))
	}
	return out, options, nil
}

// readGrid reads "3x8".
func readGrid(s string, first int) (report.StickerGrid, error) {
	across, down, ok := strings.Cut(s, "x")
	columns, err := strconv.Atoi(across)
	rows, err2 := strconv.Atoi(down)
	if !ok || err != nil || err2 != nil {
		return report.StickerGrid{}, &usage{fmt.Sprintf("--stickers: found %q, expected two whole numbers", s), "write 3x8 for three side by side and eight one below the other"}
	}
	g := report.StickerGrid{Columns: columns, Rows: rows, First: first}
	if err := g.Check(); err != nil {
		flag := "--stickers: "
		if (report.StickerGrid{Columns: columns, Rows: rows, First: 1}).Check() == nil {
			flag = "--first: "
		}
		return g, &usage{flag + err.Error(), ""}
	}
	return g, nil
}

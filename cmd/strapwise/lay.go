package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/safe"
	"strapwise/nest/strip"
	"strapwise/nest/workshop"
	"strapwise/report/yield"
)

// layFlags are the flags of lay.
type layFlags struct {
	hides []string
	out   string
	paper string
	effort
	by string
}

func newLay(u *ui) *cobra.Command {
	var f layFlags
	c := &cobra.Command{
		Use:   "lay",
		Short: "lay the orders out on the rack, and draw the cutting sheets",
		Long: `lay decides where on the hides every piece comes from: straight strips along the
backbone, around every flaw, for the most worth in complete sets. It writes
plan.json, a cutting sheet for every hide that is cut, and the yield report
(yield.txt and yield.json), and says how far any other lay could get.

Where all orders can be made, it looks for the cheapest hides that give them, as
far as their files tell what they cost, and says what no choice can cost less than.

It ends when its lay is proven the best, or when --steps or --time are used up; if
only --time is given, it uses all of it. Ctrl-C, or the system's asking it to end,
keeps the best lay so far. Every plan is checked by a second way before anything is
written.`,
		Example: "  strapwise lay --hide ash-3 --time 5s",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := f.settle(c); err != nil {
				return err
			}
			return lay(c.Context(), u, f)
		},
	}
	c.Flags().StringArrayVar(&f.hides, "hide", nil, "lay only on this `hide` (may be given again)")
	c.Flags().StringVar(&f.out, "out", "", "the `folder` for plan and sheets (default plans/ in the workshop)")
	c.Flags().StringVar(&f.paper, "paper", "a4", "of the sheets: a4, a3 or letter")
	c.Flags().StringVar(&f.by, "by", "", "orders due on or before this `date` come first, whatever their worth")
	f.flags(c, "")
	return c
}

func lay(ctx context.Context, u *ui, f layFlags) error {
	// To be told to end stops the search, which keeps its best. What is then
	// written is written whole.
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	w, err := workshop.Open(u.workshop)
	if err != nil {
		return err
	}
	if err := someOrders(w); err != nil {
		return err
	}
	job, err := w.Job(f.hides...)
	if err != nil {
		return &usage{"--hide: " + err.Error(), "strapwise rack list shows the rack"}
	}
	if job.By, err = byDate(f.by); err != nil {
		return err
	}
	options, err := sheetOptions(w, f.paper)
	if err != nil {
		return err
	}
	dir := u.plansDir(f.out)
	if begun(w, dir) {
		return inUse(dir)
	}
	u.notes(w)
	u.unstruck(ctx, w)
	plan, err := planned(ctx, w, job, f.limit, f.options(u))
	if err != nil {
		return err
	}
	report := yield.Of(job, plan)
	if len(plan.Pieces) == 0 {
		report.Plan = "" // there is none to look for
		if u.json {
			err = u.value(layResult{Files: []string{}, Report: report})
		} else {
			u.text("%s", report.Text(options.Rule, reportWidth))
		}
		if err != nil {
			return err
		}
		return &shortfall{"no set can be made from this rack; nothing was written", "the reasons stand in the report above"}
	}
	files, err := u.write(context.WithoutCancel(ctx), dir, job, plan, report, options)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(layResult{Files: files, Report: report})
	}
	u.text("%s", report.Text(options.Rule, reportWidth))
	wrote(u, files)
	return nil
}

// someOrders refuses to plan for an order book that asks for nothing: the plan would be
// an empty one, in place of what is there.
func someOrders(w *workshop.Workshop) error {
	if len(w.Lines) == 0 {
		return &shortfall{filepath.Join(w.Dir, workshop.BookFile) + " has no orders in it; nothing was written", "an order is a row below the heading"}
	}
	return nil
}

// unstruck tells of sets that are made and would be laid again.
func (u *ui) unstruck(ctx context.Context, w *workshop.Workshop) {
	made, err := rack.Unstruck(ctx, w)
	if err != nil { // the record is not needed here, and rack audit tells all of it
		u.note("note: %s", err)
		return
	}
	var sets []string
	for _, l := range made {
		sets = append(sets, l.Order+" "+numbered("set", l.Sets))
	}
	if len(sets) > 0 {
		u.note("note: made by the record, and not struck from orders.csv, so that they are laid again: %s", strings.Join(sets, ", "))
	}
}

// byDate reads the date of --by, if it is given.
func byDate(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	by, ok := source.Day(text)
	if !ok {
		return by, &usage{fmt.Sprintf("--by: found %q, expected a date", text), "write 2027-03-01"}
	}
	return by, nil
}

// reportWidth is how many letters wide the yield report is set.
const reportWidth = 96

// layResult is what lay prints as JSON.
type layResult struct {
	Files []string `json:"files"`
	yield.Report
}

// planned makes the plan of a job and has it checked, in at most so long.
func planned(ctx context.Context, w *workshop.Workshop, job nest.Job, limit time.Duration, o strip.Options) (nest.Plan, error) {
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	plan, err := strip.Lay(ctx, job, o)
	if err != nil {
		return nest.Plan{}, &shortfall{err.Error(), "nothing was written"}
	}
	plan.Inputs = w.Inputs
	return checked(job, plan)
}

// checked is a plan as its file will have it, which rounds its places, after
// it has been checked by a second way.
func checked(job nest.Job, plan nest.Plan) (nest.Plan, error) {
	plan, err := nest.DecodePlan(planFile, plan.Encode())
	if err != nil {
		return nest.Plan{}, &shortfall{err.Error(), "nothing was written"}
	}
	if faults := nest.Check(job, plan); len(faults) > 0 {
		return nest.Plan{}, failed(faults)
	}
	return plan, nil
}

// failed says that a plan just made breaks rules.
func failed(faults []nest.Violation) error {
	return &shortfall{
		fmt.Sprintf("the plan fails its own check and breaks %s; first: %s", source.Count(broken(faults), "rule"), faults[0]),
		"nothing was written; this is a fault of strapwise, please report it with the workshop's files",
	}
}

// write puts the plan, its sheets and the yield report into the folder, and
// takes away the sheets of the plan that was there before.
func (u *ui) write(ctx context.Context, dir string, job nest.Job, plan nest.Plan, report yield.Report, o sheetSettings) ([]string, error) {
	files, err := u.planFiles(job, plan, report, o)
	if err != nil {
		return nil, err
	}
	return replace(ctx, dir, files, func() []string { return oldSheets(dir) })
}

// planFiles are a plan, its yield report and its sheets.
func (u *ui) planFiles(job nest.Job, plan nest.Plan, y yield.Report, o sheetSettings) ([]safe.File, error) {
	figures, err := json.MarshalIndent(y, "", "  ")
	if err != nil {
		return nil, err
	}
	files := []safe.File{
		{Name: planFile, Data: plan.Encode()},
		{Name: "yield.json", Data: append(figures, '\n')},
		{Name: "yield.txt", Data: []byte(y.Text(o.Rule, reportWidth))},
	}
	sheets, err := u.sheets(job, plan, cutHides(plan), o, "sheet-", "svg")
	return append(files, sheets...), err
}

// begun reports whether hides on the rack are being cut by the plan in a folder: it is
// the only record of that.
func begun(w *workshop.Workshop, dir string) bool {
	plan, known := planIn(dir)
	return known && slices.ContainsFunc(plan.Hides, func(l nest.HideLay) bool {
		return slices.ContainsFunc(w.Hides, func(h *hide.Hide) bool { return h.Name() == l.Hide }) &&
			slices.ContainsFunc(l.Bands, func(b nest.Band) bool { return b.Cut })
	})
}

// inUse says that the plan in a folder is not to be replaced by another.
func inUse(dir string) error {
	return &shortfall{
		filepath.Join(dir, planFile) + " is being cut, and says what is cut; nothing was written",
		"strapwise relay lays the rest of it again; when all is cut, strapwise rack put-away; to begin anew, move it away, or give another --out",
	}
}

// planIn is the plan in a folder, if there is one that can be read.
func planIn(dir string) (nest.Plan, bool) {
	data, err := source.ReadFile(filepath.Join(dir, planFile), planFile, nest.MaxPlanBytes)
	if err != nil {
		return nest.Plan{}, false
	}
	plan, err := nest.DecodePlan(planFile, data)
	return plan, err == nil
}

// oldSheets are what has been drawn in a folder of its plan: it would mislead beside
// another plan. Other files are none of our business.
func oldSheets(dir string) []string {
	plan, known := planIn(dir)
	if !known {
		return nil
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range entries {
		if e.Type().IsRegular() && drawnOf(plan, e.Name()) {
			out = append(out, e.Name())
		}
	}
	return out
}

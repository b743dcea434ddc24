package main

import (
	"context"
	"fmt"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"syscall"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/safe"
	"strapwise/nest/strip"
	"strapwise/nest/workshop"
	"strapwise/report"
	"strapwise/report/yield"
)

// relayFlags are the flags of relay.
type relayFlags struct {
	cut, apart, ripped, found, spoilt, keep, hides []string

	out, paper, by string
	stay           bool
	effort
}

func newRelay(u *ui) *cobra.Command {
	var f relayFlags
	c := &cobra.Command{
		Use:   "relay [PLAN]",
		Short: "lay again around what has been cut and what has been found",
		Long: `relay lays the rest of a plan again when some of it is cut: after a scar has turned
up, a piece was spoilt, or the order book has changed. What is cut stays where it
is. The rest is laid for the most worth, and among lays of equal worth for the
fewest changes to what was marked. It says what changed, what that cost, and the
least that would make good a set that is lost. Without PLAN it takes plans/plan.json
of the workshop, and puts the new plan and its sheets in its place.

What is cut is told by the numbers on the sheet; where the plan cuts several hides,
with the hide before it, ash-3: 1-6.

  --cut 1-6              these bands, into all their pieces; "to 6" is the same
  --cut 7a               this block; the others of its band are cut off
  --cut "A12·3 main"     this piece, and what comes before it in its block
  --ripped 7,8           these bands are off the hide, but not cut up
  --apart 9              this band is cut into its blocks, and they are whole

A band comes off after those before it, so that they count as ripped. What an
earlier relay was told need not be told again.

  --found "scar on band 7, 310 to 340 mm"        from the squared end; or on block 7a
  --found "flesh cut on band 7, 12 to 13 1/4 in" seen from the flesh side
  --found "hole at 410, 220 mm size 12 mm"       in the coordinates of the hide's file
  --found "scar from 200, 90 to 320, 130 mm width 12 mm"

The rest is laid on the whole rack, whatever lay was told, unless --hide says on which
hides; those that are begun are always among them.

With --stay only what cannot stay where it is marked is laid otherwise; without it
relay says what that would be worth.

A find is added to the hide's file, in which nothing else changes. Pieces cut before
it was known count as spoilt if they lie on it; --keep "A12·3 main" says that you
have judged one to be sound. The order book is read anew.`,
		Example: `  strapwise relay --cut 1-6 --found "scar on band 7, 310 to 340 mm"`,
		Args:    atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := f.settle(c); err != nil {
				return err
			}
			return relay(c.Context(), u, f, args)
		},
	}
	c.Flags().StringArrayVar(&f.cut, "cut", nil, "bands, blocks or pieces that are cut, by `name` as on the sheet")
	c.Flags().StringArrayVar(&f.ripped, "ripped", nil, "bands that are ripped off the hide, by `number`")
	c.Flags().StringArrayVar(&f.apart, "apart", nil, "bands that are cut into blocks, by `number`")
	c.Flags().StringArrayVar(&f.found, "found", nil, "a `flaw` that was met, and where (may be given again)")
	c.Flags().StringArrayVar(&f.spoilt, "spoilt", nil, "what is cut and useless: bands, blocks, pieces or sets, by `name`")
	c.Flags().StringArrayVar(&f.keep, "keep", nil, "a `piece` on a flaw that you have judged to be sound")
	c.Flags().StringArrayVar(&f.hides, "hide", nil, "besides those begun, lay only on this `hide` (may be given again)")
	c.Flags().BoolVar(&f.stay, "stay", false, "all that can stays where it is marked, whatever could be gained")
	c.Flags().StringVar(&f.out, "out", "", "the `folder` for plan and sheets (default plans/ in the workshop)")
	c.Flags().StringVar(&f.paper, "paper", "a4", "of the sheets: a4, a3 or letter")
	c.Flags().StringVar(&f.by, "by", "", "orders due on or before this `date` come first, whatever their worth")
	f.flags(c, "")
	return c
}

func relay(ctx context.Context, u *ui, f relayFlags, args []string) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	o, err := u.open(ctx, args)
	if err != nil {
		return err
	}
	if err := someOrders(o.shop); err != nil {
		return err
	}
	options, err := sheetOptions(o.shop, f.paper)
	if err != nil {
		return err
	}
	if dir := u.plansDir(f.out); begun(o.shop, dir) && !sameFile(filepath.Join(dir, planFile), o.path) {
		return inUse(dir)
	}
	b := &bench{plan: o.plan, path: o.path, shop: o.shop, job: o.job, begun: o.plan.Begin(), files: map[string][]byte{}, was: map[string][]byte{}}
	u.notes(o.shop)
	for _, file := range o.plan.Stale(o.shop.Inputs) {
		u.note("note: %s has changed since the plan was made", file)
	}
	if len(o.away) > 0 {
		return &shortfall{
			fmt.Sprintf("%s of this plan has been put away; nothing was written", o.away[0].Name()),
			"strapwise rack undo takes that back; or strike from orders.csv what is made, and strapwise lay lays the rest",
		}
	}
	if err := b.belongs(b.onRack(o.plan)); err != nil {
		return err
	}
	if err := b.find(f.found); err != nil {
		return err
	}
	if err := b.mark(f); err != nil {
		return err
	}
	if err := b.keepTo(f.hides); err != nil {
		return err
	}
	b.begun.Plan = b.onRack(b.begun.Plan)
	if err := b.belongs(b.begun.Plan); err != nil {
		return err
	}
	if err := b.judge(f.keep); err != nil {
		return err
	}
	if b.job.By, err = byDate(f.by); err != nil {
		return err
	}
	plan, err := b.relaid(ctx, f, options, u)
	if err != nil {
		return err
	}
	result := b.tell(plan)
	if len(plan.Pieces)+len(plan.Spare)+len(plan.Spoilt) == 0 {
		return &shortfall{"no set can be made from what is left; nothing was written", "strapwise lay says why"}
	}
	result.Files, err = b.write(context.WithoutCancel(ctx), u, u.plansDir(f.out), plan, options)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(result)
	}
	u.text("%s", result.text(options.Rule))
	wrote(u, result.Files)
	return nil
}

// sameFile reports whether two paths lead to one file.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	y, err2 := os.Stat(b)
	return err == nil && err2 == nil && os.SameFile(x, y)
}

// relaid is the new plan, checked.
func (b *bench) relaid(ctx context.Context, f relayFlags, o sheetSettings, u *ui) (nest.Plan, error) {
	ctx, cancel := context.WithTimeout(ctx, f.limit)
	defer cancel()
	begun := &b.begun.Plan
	for i := range begun.Hides {
		l := &begun.Hides[i]
		if l.Ripped() == b.plan.Lay(l.Hide).Ripped() {
			continue // what the sheet of the plan has done before the next rip may not be done
		}
		var err error
		if l.SquaredMM, l.Chalked, err = report.Lines(b.job, b.plan, l.Hide, o.Rule); err != nil {
			return nest.Plan{}, &source.Error{File: b.path, Rule: err.Error()}
		}
	}
	options := f.options(u)
	options.Stay = f.stay
	plan, err := strip.Relay(ctx, b.job, *begun, options)
	if err != nil {
		return nest.Plan{}, &shortfall{err.Error(), "nothing was written"}
	}
	plan.Inputs = b.shop.Inputs
	plan.Relaid.From, plan.Relaid.Found = report.Mark(b.plan), append([]nest.Found{}, b.finds...)
	if plan, err = checked(b.job, plan); err != nil {
		return nest.Plan{}, err
	}
	if faults := nest.CheckRelaid(b.job, *begun, plan); len(faults) > 0 {
		return nest.Plan{}, failed(faults)
	}
	return plan, nil
}

// write replaces the plan and its sheets, and the files of hides on which something
// was found with their lines in the record: all of it or nothing. Only a process that
// dies between the two leaves what was found written, and the plan as it was.
func (b *bench) write(ctx context.Context, u *ui, dir string, plan nest.Plan, o sheetSettings) ([]string, error) {
	files, err := u.planFiles(b.job, plan, yield.Of(b.job, plan), o)
	if err != nil {
		return nil, err
	}
	if len(b.files) == 0 {
		return replace(ctx, dir, files, func() []string { return oldSheets(dir) })
	}
	if sameFile(dir, b.shop.Dir) {
		return nil, &usage{"--out: found the workshop itself, expected a folder for plans", "leave it out for plans/ in the workshop"}
	}
	r, err := rack.Open(ctx, b.shop.Dir)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	plans, err := safe.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer plans.Close()
	today, err := day("")
	if err != nil {
		return nil, err
	}
	var finds []rack.Find
	var paths []string
	for _, name := range slices.Sorted(maps.Keys(b.files)) {
		finds = append(finds, rack.Find{Hide: name, Was: b.was[name], Now: b.files[name]})
		paths = append(paths, filepath.Join(b.shop.Dir, filepath.FromSlash(workshop.HideFile(name))))
	}
	err = r.Find(today, finds, safe.Part{In: plans, Files: instead(files, oldSheets(dir))})
	return append(paths, pathsIn(dir, files)...), refused(err)
}

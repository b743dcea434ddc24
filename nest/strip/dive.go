package strip

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"strapwise/nest/internal/linear"
)

// A dive fills what is free of a lay by asking the master problem again and
// again. It solves the master over the free windows of the hides, with the
// pieces that lie already as gifts; takes over the band that the master's
// mixture of lays uses most; and asks anew, with fewer windows and more gifts.
// So every band is laid at prices that know what still fits, what the sets
// begun still want, and what leather is left to give it. (Diving heuristics:
// Sadykov and others, INFORMS Journal on Computing 31, 2019.)
type dive struct {
	p       *problem
	build   *builder
	random  *rand.Rand
	lay     *lay
	windows []window
	known   []mixture // lays that it may mix
	shaken  float64   // how much windows are asked at other prices than the master's, as the deviation of their logarithm
	price   []float64
	filled  float64 // how often the depth of a hide was filled to look for lays
}

// window is a free stretch of a hide, and whether a band adjoins it at its ends.
type window struct {
	ground    int
	lo, hi    int
	near, far bool
}

// mixture is a lay of a window, band by band.
type mixture struct {
	ground int
	bands  []band
}

func newDive(p *problem, build *builder, random *rand.Rand, l *lay, grounds []int) *dive {
	return &dive{p: p, build: build, random: random, lay: l, windows: p.free(l, grounds), price: make([]float64, len(p.kinds))}
}

// free gives the windows of a lay on the grounds named.
func (p *problem) free(l *lay, grounds []int) []window {
	var out []window
	for _, gi := range grounds {
		g := p.grounds[gi]
		at, near := g.y0, g.part.ripped()
		for i := range l.bands[gi] {
			b := &l.bands[gi][i]
			if b.y > at {
				out = append(out, window{gi, at, b.y, near, true})
			}
			at, near = b.end(), true
		}
		if g.y1 > at {
			out = append(out, window{gi, at, g.y1, near, false})
		}
	}
	return out
}

// run dives until no window can give anything that is wanted, or stop says so.
func (d *dive) run(stop func() bool) error {
	for len(d.windows) > 0 && !stop() {
		master, columns, err := d.solve()
		if err != nil {
			return err
		}
		if !d.take(master, columns) {
			return nil
		}
	}
	return nil
}

// column is a mixture in the master.
type column struct {
	window int
	bands  []band
	number int // in the master
}

// solve finds the best mixture of lays of the free windows. It returns the
// master and the columns in it that are lays.
func (d *dive) solve() (*linear.Program, []column, error) {
	const (
		rounds = 12   // of asking the windows
		most   = 4000 // pivots
		pays   = 1e-6 // of the worth: what a new lay must promise
		little = 0.02 // of the mean worth of leather: what a piece without price is worth laying
	)
	p := d.p
	limits := make([]float64, len(p.kinds)+len(d.windows))
	for k := range p.kinds {
		limits[k] = float64(d.lay.laid[k])
	}
	for w := range d.windows {
		limits[len(p.kinds)+w] = 1
	}
	master := linear.New(limits)
	for _, r := range p.rows {
		var takes []linear.Entry
		for _, n := range r.needs {
			takes = append(takes, linear.Entry{Row: n.kind, By: float64(n.count)})
		}
		master.Add(r.worth, float64(r.qty), takes)
	}
	var columns []column
	gives := make([]float64, len(p.kinds))
	offer := func(w int, bands []band) {
		clear(gives)
		for i := range bands {
			bands[i].cuts(func(c cut) { gives[c.kind]-- })
		}
		entries := []linear.Entry{{Row: len(p.kinds) + w, By: 1}}
		for k, n := range gives {
			if n != 0 {
				entries = append(entries, linear.Entry{Row: k, By: n})
			}
		}
		cost := p.job.Tools.Effort * float64(len(bands))
		columns = append(columns, column{w, bands, master.Add(-cost, 1, entries)})
	}
	for _, m := range d.known {
		for w, win := range d.windows {
			if win.ground != m.ground {
				continue
			}
			if bands := win.holds(m.bands); len(bands) > 0 {
				offer(w, bands)
			}
		}
	}
	want := make([]int, len(p.kinds))
	for range rounds {
		if _, err := master.Solve(most); err != nil {
			return nil, nil, err
		}
		for k, kd := range p.kinds {
			d.price[k] = master.Price(k) + little*kd.area*p.unit + 2*p.job.Tools.Effort
			if d.shaken > 0 {
				d.price[k] *= math.Exp(d.shaken * d.random.NormFloat64())
			}
		}
		news := 0
		for w, win := range d.windows {
			for k := range p.kinds {
				want[k] = max(0, p.demand[k]-d.lay.laid[k])
			}
			g := p.grounds[win.ground]
			d.filled += float64(win.hi-win.lo) / float64(g.y1-g.y0)
			trial := &lay{bands: make([][]band, len(p.grounds)), laid: make([]int, len(p.kinds))}
			d.build.window(trial, win.ground, win.lo, win.hi, win.near, win.far, d.price, want)
			worth := 0.0
			for k, n := range trial.laid {
				worth += float64(n) * master.Price(k)
			}
			if worth-master.Price(len(p.kinds)+w) > pays*max(1, master.Value()) {
				bands := trial.bands[win.ground]
				offer(w, bands)
				d.known = append(d.known, mixture{win.ground, bands})
				news++
			}
		}
		if news == 0 {
			break
		}
	}
	return master, columns, nil
}

// holds gives those of the bands that lie in the window.
func (w window) holds(bands []band) []band {
	var out []band
	for _, b := range bands {
		if b.y >= w.lo && b.end() <= w.hi {
			out = append(out, b)
		}
	}
	return out
}

// take lays the band that the master uses most. It reports false if there is
// none.
func (d *dive) take(master *linear.Program, columns []column) bool {
	type use struct {
		window int
		band   band
		weight float64
	}
	var uses []use
	for _, c := range columns {
		x := master.X(c.number)
		if x < 1e-7 {
			continue
		}
		for _, b := range c.bands {
			i := slices.IndexFunc(uses, func(u use) bool { return u.window == c.window && u.band.same(&b) })
			if i < 0 {
				i = len(uses)
				uses = append(uses, use{c.window, b, 0})
			}
			uses[i].weight += x
		}
	}
	for i := range uses { // ties fall at random
		uses[i].weight += 0.05 * d.random.Float64()
	}
	slices.SortStableFunc(uses, func(a, b use) int { return cmp.Compare(b.weight, a.weight) })
	for _, u := range uses {
		if d.fix(u.window, u.band) {
			return true
		}
	}
	return false
}

// fix lays one band in a window, and splits the window. It reports false if it
// leaves a gap that cannot be ripped off.
func (d *dive) fix(wi int, b band) bool {
	win := d.windows[wi]
	tight := func(gap int) bool { return gap > 0 && gap < d.p.gap }
	if win.near && tight(b.y-win.lo) || win.far && tight(win.hi-b.end()) {
		return false
	}
	b.cuts(func(c cut) { d.lay.laid[c.kind]++ })
	at, _ := slices.BinarySearchFunc(d.lay.bands[win.ground], b.y, func(b band, y int) int { return cmp.Compare(b.y, y) })
	d.lay.bands[win.ground] = slices.Insert(d.lay.bands[win.ground], at, b)
	var rest []window
	if b.y > win.lo {
		rest = append(rest, window{win.ground, win.lo, b.y, win.near, true})
	}
	if win.hi > b.end() {
		rest = append(rest, window{win.ground, b.end(), win.hi, true, win.far})
	}
	d.windows = slices.Replace(d.windows, wi, wi+1, rest...)
	return true
}

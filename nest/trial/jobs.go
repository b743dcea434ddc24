package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/nest/orders"
)

// article is a line of the price list: a built-in pattern, finished width and
// size in inches, and what a customer pays for one.
type article struct {
	pattern     string
	width, size float64
	price       float64
}

// articles are the price list, whose sets have 29 sizes of piece between them.
// Prices are invented: the work, and about twice the leather.
var articles = []article{
	{"raised", 1, 14, 38},
	{"raised", 1, 16, 41},
	{"raised", 1, 18, 44},
	{"raised", 1, 20, 47.5},
	{"raised", 1.25, 18, 52},
	{"raised", 1.25, 20, 55.5},
	{"raised", 1.25, 22, 59},
	{"flat", 0.75, 12, 18},
	{"flat", 0.75, 14, 19.5},
	{"flat", 1, 16, 25},
	{"flat", 1, 18, 27},
	{"belt", 1.25, 36, 54},
	{"belt", 1.5, 34, 58},
	{"belt", 1.5, 38, 62},
	{"lead", 0.75, 48, 34},
	{"lead", 0.75, 72, 46},
	{"strap", 1, 30, 24},
	{"strap", 1.25, 44, 38},
}

// house is the workshop that makes them: the built-in patterns and uses.
var house = must(orders.NewHouse(nil, nil, []orders.Leather{{Name: strapLeather, Substance: 3.8}}, useNames(), nil))

func useNames() []string {
	var names []string
	for _, u := range hide.BuiltInUses() {
		names = append(names, u.Name)
	}
	return names
}

// job is a workshop's job without orders: built-in uses, and the tools of a
// workshop that says nothing of them but that its marks are 1/32 in.
func job(hides ...*hide.Hide) nest.Job {
	j := nest.Job{
		Hides: hides,
		Uses:  map[string]hide.Use{},
		Tools: nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in, Grips: in, Deepest: 4 * in, Part: in},
	}
	for _, u := range hide.BuiltInUses() {
		j.Uses[u.Name] = u
	}
	return j
}

// set is one row of the order book, for so many of an article.
func (a article) set(id string, qty int) nest.Order {
	line, err := house.Article(a.pattern, a.width*in, a.size*in, strapLeather)
	o := must(line.Order, err)
	o.ID, o.Qty, o.Worth = id, qty, a.price
	return o
}

// area is what the pieces of one set of an order cover, in mm².
func area(o nest.Order) float64 {
	sum := 0.0
	for _, p := range o.Parts {
		sum += float64(p.Count) * p.Area()
	}
	return sum
}

// book draws rows of one to four articles from the price list, each row at a
// price a little off the list's, until their pieces cover so much leather, in
// mm², or there are so many sets.
func book(r *rand.Rand, cover float64, sets int) []nest.Order {
	var rows []nest.Order
	for sets > 0 && cover > 0 {
		a := articles[r.IntN(len(articles))]
		const step = 0.5 // money
		a.price = math.Round(a.price*chance.Between(r, 0.9, 1.1)/step) * step
		o := a.set(fmt.Sprintf("A%d", len(rows)+1), min(1+r.IntN(4), sets))
		rows = append(rows, o)
		sets -= o.Qty
		cover -= float64(o.Qty) * area(o)
	}
	return rows
}

// Worth asks for the most worth from one hide: an order book of mixed articles
// whose pieces would cover more than half as much leather again as there is.
func Worth(h *hide.Hide, seed uint64) nest.Job {
	j := job(h)
	const ample = 1.6
	j.Orders = book(chance.Rand(seed, ofOrders), ample*h.Area(), math.MaxInt)
	return j
}

// Sets asks for the greatest number of one article that a hide gives: raised
// collars, their size drawn from the price list, worth 1 each. More are asked
// for than its area could hold.
func Sets(h *hide.Hide, seed uint64) nest.Job {
	j := job(h)
	r := chance.Rand(seed, ofOrders)
	a := articles[r.IntN(slices.IndexFunc(articles, func(a article) bool { return a.pattern != "raised" }))]
	a.price = 1
	o := a.set("A1", 1)
	o.Qty = 1 + int(h.Area()/area(o))
	j.Orders = []nest.Order{o}
	return j
}

// Demand says how many pieces Strips asks for.
type Demand int

// The demands: 12 to 40 of each size, near twice what the leather holds; or
// just over what it holds, so that few pieces of a size are left for the last
// bands.
const (
	Ample Demand = iota
	Scant
)

// Strips asks for the most area from a rectangular bend of 2400 × 650 mm with
// so many flaws: seven sizes of single pieces, worth their area in mm², none of
// which may touch a flaw. Marks are 1 mm and the cutter needs no grip, so that
// such bends can be solved by other means.
func Strips(seed uint64, flaws int, d Demand) nest.Job {
	const length, depth, sizes = 2400.0, 650.0, 7
	s := hide.Spec{
		Name: fmt.Sprintf("bend-%d", seed), Leather: strapLeather, Form: "bend",
		Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}},
	}
	on := chance.Form{Length: [2]float64{length, length}, Depth: [2]float64{depth, depth}, Plain: true}.Grow(s.Name, s.Leather, seed)
	s.Flaws = strewn(on, seed, flaws).Flaws
	j := job(must(hide.New(s)))
	j.Tools = nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100, Deepest: 100, Part: 25}
	r := chance.Rand(seed, ofOrders)
	whole := 0.0
	for i := range sizes {
		l, w := float64(260+r.IntN(640)), float64(16+r.IntN(34))
		o := nest.Order{
			ID: fmt.Sprintf("A%d", i+1), FirstSet: 1, Qty: 12 + r.IntN(29), Worth: l * w,
			Parts: []nest.Part{{Name: "main", Leather: strapLeather, Use: "load", Length: l, Width: w, Count: 1}},
		}
		whole += float64(o.Qty) * o.Worth
		j.Orders = append(j.Orders, o)
	}
	if d == Scant {
		const over = 1.1 // of the whole rectangle
		for i := range j.Orders {
			o := &j.Orders[i]
			o.Qty = max(1, int(math.Round(float64(o.Qty)*over*length*depth/whole)))
		}
	}
	return j
}

// stockFlaws is how many flaws each hide of a rack has.
const stockFlaws = 12

// Stock asks for all orders from the cheapest choice of so many hides: every
// third a side, the others bends, with prices a square foot that differ by a
// third. Twelve sets are ordered for each hide, 500 at most, which fill less
// than half of the leather.
func Stock(seed uint64, hides int) nest.Job {
	const perHide, most = 12, 500
	r := chance.Rand(seed, ofRack)
	var rack []*hide.Hide
	for i := range hides {
		f := bend
		if i%3 == 2 {
			f = side
		}
		s := grown(f, fmt.Sprintf("hide-%03d", i+1), r.Uint64(), stockFlaws)
		perFoot := chance.Between(r, 7, 9.4)
		s.Cost = decimal.NewFromFloat(perFoot * measure.SquareFeet(planar.Area(orb.Ring(s.Outline)))).Round(2)
		rack = append(rack, must(hide.New(s)))
	}
	j := job(rack...)
	j.Orders = book(chance.Rand(seed, ofOrders), math.MaxFloat64, min(perHide*hides, most))
	return j
}

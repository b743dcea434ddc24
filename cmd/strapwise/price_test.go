package main

import (
	"encoding/json"
	"testing"

	"github.com/shopspring/decimal"
)

// priceAddsUp: whatever the workshop, the leather of all orders and of none, and what
// goes back, are what was paid, to the penny, and the parts of every bill make its price.
func priceAddsUp(t *testing.T, dir string) {
	t.Helper()
	out, errs, code := strapwise("price", "--workshop", dir, "--flaws=false", "--json", "--quiet")
	if code != 0 {
		t.Fatalf("price: exit %d: %s", code, errs)
	}
	var got priceFigures
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	sum := func(parts ...*string) decimal.Decimal {
		all := decimal.Zero
		for _, p := range parts {
			if p != nil {
				all = all.Add(decimal.RequireFromString(*p))
			}
		}
		return all
	}
	var ofHides, ofOrders decimal.Decimal
	for _, h := range got.Hides {
		if parts := sum(h.Net, h.Flaws, h.Waste, h.Remnant); !parts.Equal(sum(h.Paid)) {
			t.Errorf("%s: the parts add up to %v, paid were %v", h.Hide, parts, sum(h.Paid))
		}
		ofHides = ofHides.Add(sum(h.Net, h.Flaws, h.Waste))
	}
	for _, o := range got.Orders {
		ofOrders = ofOrders.Add(sum(o.Leather, o.Flaws, o.Waste))
		cost := sum(o.Leather, o.Flaws, o.Waste, o.ByArea, o.Hardware, o.Thread, o.Work)
		if price := cost.Add(sum(o.Overhead, o.Margin, o.Tax)); !cost.Equal(sum(o.Cost)) || !price.Equal(sum(o.Price)) {
			t.Errorf("%s: the parts make %v and %v, told are %v and %v", o.Order, cost, price, sum(o.Cost), sum(o.Price))
		}
	}
	for _, u := range got.None {
		ofOrders = ofOrders.Add(sum(u.Net, u.Flaws, u.Waste))
	}
	if !ofHides.Equal(ofOrders) {
		t.Errorf("leather for %v was used, orders have taken %v", ofHides, ofOrders)
	}
}

package record

import (
	"testing"

	"github.com/shopspring/decimal"
)

func TestShareCost(t *testing.T) {
	// 10.00 in three: the odd penny goes to the earliest.
	got := ShareCost(Pennies(decimal.RequireFromString("10")), []int64{5, 5, 5})
	if got[0].Decimal.StringFixed(2) != "3.34" || got[1].Decimal.StringFixed(2) != "3.33" || got[2].Decimal.StringFixed(2) != "3.33" {
		t.Errorf("found %v", got)
	}
	if got := ShareCost(Pennies(decimal.Decimal{}), []int64{1, 2}); got[0].Valid || got[1].Valid {
		t.Errorf("shares of a cost not known: %v", got)
	}
	if got := Pennies(decimal.RequireFromString("14.205")).Decimal.String(); got != "14.21" {
		t.Errorf("found %s", got)
	}
}

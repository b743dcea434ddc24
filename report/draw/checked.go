package draw

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// checked says what of a page no writer can draw: the first item whose figures are
// no numbers, or a page of no size.
func checked(page report.Page) error {
	if !(page.Width > 0 && page.Height > 0) || math.IsInf(page.Width+page.Height, 0) {
		return fmt.Errorf("found a page of %g by %g mm, expected more than nothing", page.Width, page.Height)
	}
	return checkedItems(page.Items, true)
}

func checkedItems(items []report.Item, views bool) error {
	for i, item := range items {
		var err error
		switch it := item.(type) {
		case report.Shape:
			err = finite(it.Points...)
		case report.Text:
			if err := finite(it.At, orb.Point{it.Size, it.Turn}); err != nil {
				return fmt.Errorf("item %d, %q: %w", i, it.String(), err)
			}
		case report.View:
			if !views {
				err = errors.New("found a view within a view, expected shapes and texts")
			} else if err = finite(it.At, it.From.Min, it.From.Max); err == nil {
				err = checkedItems(it.Items, false)
			}
		default:
			err = fmt.Errorf("found a %T, expected a shape, a text or a view", item)
		}
		if err != nil {
			return fmt.Errorf("item %d: %w", i, err)
		}
	}
	return nil
}

func finite(pts ...orb.Point) error {
	for _, p := range pts {
		if math.IsNaN(p[0]-p[0]) || math.IsNaN(p[1]-p[1]) { // an infinity less itself is none either
			return fmt.Errorf("found the place (%g, %g), expected numbers", p[0], p[1])
		}
	}
	return nil
}

package report

import (
	"context"
	"fmt"
	"testing"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

// BenchmarkSheet is the sheet of one hide with 60 flaws.
func BenchmarkSheet(b *testing.B) {
	for _, h := range []*hide.Hide{trial.Bend(1, 60), trial.Side(1, 60)} {
		b.Run(fmt.Sprint(h.Form()), func(b *testing.B) {
			job := trial.Worth(h, 1)
			plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1, Steps: 12})
			if err != nil {
				b.Fatal(err)
			}
			o := Options{Rule: measure.Rule{System: measure.Inch, Mark: job.Tools.Mark}}
			for b.Loop() {
				if _, err := Sheet(job, plan, h.Name(), o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

package forecast

import (
	"math"
	"slices"
)

// Distribution is what each of many hides gave, least first. There is at least one.
type Distribution []int

func newDistribution(counts []int) Distribution {
	d := slices.Clone(counts)
	slices.Sort(d)
	return d
}

// AtLeast is the most that a share of the hides, from 0 to 1, gave or exceeded.
func (d Distribution) AtLeast(share float64) int { return d[d.rank(share)] }

// rank is the place of that hide, from 0.
func (d Distribution) rank(share float64) int {
	const lost = 1e-9 // of a share that is a whole number of hides
	n := float64(len(d))
	return min(len(d)-1, max(0, len(d)-int(math.Ceil(share*n-lost))))
}

// deviations are those of a normal number that nineteen of twenty keep within.
const deviations = 1.96

// Between is where AtLeast would lie nineteen times in twenty if other hides were
// drawn: the places of so many binomial standard deviations either way.
func (d Distribution) Between(share float64) (lo, hi int) {
	n := float64(len(d))
	off := deviations * math.Sqrt(share*(1-share)/n)
	return d.AtLeast(min(1, share+off)), d.AtLeast(max(1/n, share-off))
}

// Mean is the average.
func (d Distribution) Mean() float64 {
	sum := 0
	for _, n := range d {
		sum += n
	}
	return float64(sum) / float64(len(d))
}

// MeanBetween is where Mean would lie nineteen times in twenty if other hides were
// drawn.
func (d Distribution) MeanBetween() (lo, hi float64) {
	off := deviations * d.Deviation() / math.Sqrt(float64(len(d)))
	return d.Mean() - off, d.Mean() + off
}

// Deviation is the standard deviation of one hide.
func (d Distribution) Deviation() float64 {
	mean, sum := d.Mean(), 0.0
	for _, n := range d {
		sum += (float64(n) - mean) * (float64(n) - mean)
	}
	return math.Sqrt(sum / float64(max(1, len(d)-1)))
}

package maxplus

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// row is a row of so many numbers, few enough of them different that sums are often equal.
func row(r *rand.Rand, n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = int32(r.IntN(12)) << r.IntN(20)
	}
	return out
}

// within gives a copy of the row in the midst of others, and what those were, so that nothing
// may be written there.
func within[T int16 | int32 | uint64](row []T) (inside, all, before []T) {
	const around = 40
	all = make([]T, len(row)+2*around)
	for i := range all {
		all[i] = T(i%7 + 1)
	}
	copy(all[around:], row)
	return all[around:][:len(row)], all, slices.Clone(all)
}

// untouched fails if anything around a row of so many has changed.
func untouched[T int16 | int32 | uint64](t *testing.T, all, before []T, n int) {
	t.Helper()
	const around = 40
	if !slices.Equal(all[:around], before[:around]) || !slices.Equal(all[around+n:], before[around+n:]) {
		t.Errorf("%d numbers: written beside the row", n)
	}
}

// equal fails if two rows differ.
func equal[T int16 | int32 | uint64](t *testing.T, what string, got, want []T) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s of %d numbers: %v, not %v", what, len(want), got, want)
	}
}

// TestManyAtATime: rows of all lengths come out as they do number by number, and nothing
// beside them is written to.
func TestManyAtATime(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := range 131 {
		for range 4 {
			as, bs := row(r, 5*n+9), row(r, 5*n+9)
			a, b := as[:n], bs[:n]

			var sums Sums
			for range r.IntN(6) {
				sums.Add(r.IntN(4*n+9), r.IntN(4*n+9))
			}
			to, all, before := within(row(r, n))
			want := slices.Clone(to)
			sums.Greatest(to, a, as, bs)
			greatestPlain(want, a, as, bs, sums.list)
			equal(t, "the greatest sums", to, want)
			untouched(t, all, before, n)

			to, all, before = within(row(r, n))
			want = slices.Clone(to)
			Lift(to, to, b)
			liftPlain(want, want, b)
			equal(t, "the greater", to, want)
			untouched(t, all, before, n)

			best, all, before := within(row(r, n))
			from, allFrom, beforeFrom := within(make([]int16, n))
			base, at := int32(r.IntN(1<<10)-1<<9), int16(r.IntN(1<<15))
			want, wantFrom := slices.Clone(best), slices.Clone(from)
			Chain(best, from, a, b, base, at)
			chainPlain(want, wantFrom, a, b, base, at)
			equal(t, "a chain", best, want)
			equal(t, "where it comes from", from, wantFrom)
			untouched(t, all, before, n)
			untouched(t, allFrom, beforeFrom, n)
		}
	}
}

// TestKnapsacks: knapsacks of all sizes are filled as they are number by number.
func TestKnapsacks(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for n := 1; n < 400; n++ {
		best, all, before := within(make([]int32, n))
		last, allLast, beforeLast := within(make([]int32, n))
		want, wantLast := slices.Clone(best), slices.Clone(last)
		for range 1 + r.IntN(5) {
			length, value, it := 1+r.IntN(n+4), int32(r.IntN(90)-5), int32(r.IntN(30))
			if r.IntN(2) == 0 {
				Repeat(best, last, length, value, it)
				if length < n {
					repeatPlain(want, wantLast, length, value, it)
				}
				equal(t, "what is added last", last, wantLast)
			} else {
				taken, allTaken, beforeTaken := within(make([]uint64, n/64+1))
				wantTaken := slices.Clone(taken)
				Take(best, taken, length, value)
				takePlain(want, wantTaken, length, value)
				equal(t, "what is taken", taken, wantTaken)
				untouched(t, allTaken, beforeTaken, len(taken))
			}
			equal(t, "a knapsack", best, want)
		}
		untouched(t, all, before, n)
		untouched(t, allLast, beforeLast, n)
	}
}

// TestRefusesShortRows: rows that a sum runs out of are refused, as a slice would.
func TestRefusesShortRows(t *testing.T) {
	for _, reach := range []int{8, 9, 40} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("a sum from %d on of 23 numbers, of rows of 16: not refused", reach)
				}
			}()
			var sums Sums
			sums.Add(reach, 0)
			sums.Greatest(make([]int32, 16), make([]int32, 16), make([]int32, 23), make([]int32, 23))
		}()
	}
}

// BenchmarkGreatest is the greatest of six sums, as many numbers of each as a hide has cells from
// somewhere on.
func BenchmarkGreatest(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 1))
	for _, n := range []int{7, 27, 90} {
		to, as, bs := make([]int32, n), row(r, 7*n), row(r, 7*n)
		var sums Sums
		for i := range 6 {
			sums.Add(i*n, i*n)
		}
		b.Run(fmt.Sprintf("numbers=%d", n), func(b *testing.B) {
			for b.Loop() {
				sums.Greatest(to, to, as, bs)
			}
		})
		b.Run(fmt.Sprintf("numbers=%d/plain", n), func(b *testing.B) {
			for b.Loop() {
				greatestPlain(to, to, as, bs, sums.list)
			}
		})
	}
}

// Package maxplus does the sums of dynamic programs on rows of whole numbers, many
// numbers at a time where the processor can: row by row, the greatest of some sums.
//
// Rows are slices of equal length, or as much of a longer one. A function writes to
// nothing but the rows that it is to change, and gives the same numbers on every
// processor: portable.go says what, number by number; on amd64 with AVX2 the same is
// done eight numbers at a time (maxplus_amd64.s). Sums must fit in 32 bits.
package maxplus

// sum is that of two rows: one that begins at a in the first of two slices of rows, and one at b in
// the second.
type sum struct{ a, b int32 }

// Sums are sums of rows of which the greatest is sought. The zero value is none.
type Sums struct {
	list []sum
	a, b int // where the last of each slice begins
}

// Add adds a sum.
func (s *Sums) Add(a, b int) {
	s.list = append(s.list, sum{int32(a), int32(b)})
	s.a, s.b = max(s.a, a), max(s.b, b)
}

// Len is how many sums there are.
func (s *Sums) Len() int { return len(s.list) }

// Greatest makes each number of to the greatest of the sums there and of least. It may be
// least, but no row of a sum.
func (s *Sums) Greatest(to, least, a, b []int32) {
	if len(s.list) == 0 || len(to) == 0 {
		copy(to, least[:len(to)])
		return
	}
	_, _ = a[s.a+len(to)-1], b[s.b+len(to)-1]
	greatest(to, least[:len(to)], a, b, s.list)
}

// Lift makes each number of to the greater of those of a and b; to may be one of them.
func Lift(to, a, b []int32) { lift(to, a[:len(to)], b[:len(to)]) }

// Chain makes each number of best the sum of base and the greater of those of a and b, where
// that is more, and from is at there.
func Chain(best []int32, from []int16, a, b []int32, base int32, at int16) {
	chain(best, from[:len(best)], a[:len(best)], b[:len(best)], base, at)
}

// Repeat adds a kind of thing to a knapsack that takes any number of each, best being what it
// holds at the most for every room from 0 on: where one more of it, of such length and value,
// pays, best takes it and last is it. The length must be positive.
func Repeat(best, last []int32, length int, value, it int32) {
	if length < len(best) {
		repeat(best, last[:len(best)], length, value, it)
	}
}

// Take adds one thing of such length and value to a knapsack, as Repeat does, that takes it or
// leaves it: bit x of taken, 64 to a number, says which in a room of x. taken must be clear and
// have a bit for each room. The length must be positive.
func Take(best []int32, taken []uint64, length int, value int32) {
	if length < len(best) {
		_ = taken[(len(best)-1)/64]
		take(best, taken, length, value)
	}
}

package maxplus

import "golang.org/x/sys/cpu"

// wide is how many numbers are done at a time, and fast whether the processor can.
const wide = 8

var fast = cpu.X86.HasAVX2

// Each of these wants n, the length of the rows, to be at least wide, chainAVX2 twice that.

//go:noescape
func greatestAVX2(to *int32, n int, least, a, b *int32, sums *sum, count int)

//go:noescape
func liftAVX2(to *int32, n int, a, b *int32)

//go:noescape
func chainAVX2(best *int32, n int, from *int16, a, b *int32, base int32, at int16)

// repeatAVX2 does whole lots of eight of the rooms from length on, which must be at least eight.
//
//go:noescape
func repeatAVX2(best, last *int32, n, length int, value, it int32)

// takeAVX2 does the rooms from lo to hi, both multiples of eight, downward.
//
//go:noescape
func takeAVX2(best *int32, taken *uint64, lo, hi, length int, value int32)

func greatest(to, least, a, b []int32, sums []sum) {
	if !fast || len(to) < wide {
		greatestPlain(to, least, a, b, sums)
		return
	}
	greatestAVX2(&to[0], len(to), &least[0], &a[0], &b[0], &sums[0], len(sums))
}

func lift(to, a, b []int32) {
	if !fast || len(to) < wide {
		liftPlain(to, a, b)
		return
	}
	liftAVX2(&to[0], len(to), &a[0], &b[0])
}

func chain(best []int32, from []int16, a, b []int32, base int32, at int16) {
	if !fast || len(best) < 2*wide {
		chainPlain(best, from, a, b, base, at)
		return
	}
	chainAVX2(&best[0], len(best), &from[0], &a[0], &b[0], base, at)
}

func repeat(best, last []int32, length int, value, it int32) {
	rest := length
	if fast && length >= wide {
		repeatAVX2(&best[0], &last[0], len(best), length, value, it)
		rest += (len(best) - length) / wide * wide
	}
	repeatPlain(best[rest-length:], last[rest-length:], length, value, it)
}

func take(best []int32, taken []uint64, length int, value int32) {
	lo, hi := (length+wide-1)/wide*wide, len(best)/wide*wide
	if !fast || lo >= hi {
		takePlain(best, taken, length, value)
		return
	}
	takeBetween(best, taken, length, value, hi, len(best))
	takeAVX2(&best[0], &taken[0], lo, hi, length, value)
	takeBetween(best, taken, length, value, length, lo)
}

package maxplus

// What the functions of this package do, number by number.

func greatestPlain(to, least, a, b []int32, sums []sum) {
	copy(to, least[:len(to)])
	for _, s := range sums {
		a, b := a[s.a:][:len(to)], b[s.b:][:len(to)]
		for i, v := range to {
			to[i] = max(v, a[i]+b[i])
		}
	}
}

func liftPlain(to, a, b []int32) {
	a, b = a[:len(to)], b[:len(to)]
	for i := range to {
		to[i] = max(a[i], b[i])
	}
}

func chainPlain(best []int32, from []int16, a, b []int32, base int32, at int16) {
	from, a, b = from[:len(best)], a[:len(best)], b[:len(best)]
	for i, v := range best {
		if to := base + max(a[i], b[i]); to > v {
			best[i], from[i] = to, at
		}
	}
}

func repeatPlain(best, last []int32, length int, value, it int32) {
	for x := length; x < len(best); x++ {
		if v := best[x-length] + value; v > best[x] {
			best[x], last[x] = v, it
		}
	}
}

func takePlain(best []int32, taken []uint64, length int, value int32) {
	takeBetween(best, taken, length, value, length, len(best))
}

// takeBetween is takePlain for rooms from lo to hi, not included.
func takeBetween(best []int32, taken []uint64, length int, value int32, lo, hi int) {
	for x := hi - 1; x >= lo; x-- {
		if v := best[x-length] + value; v > best[x] {
			best[x] = v
			taken[x/64] |= 1 << (x % 64)
		}
	}
}

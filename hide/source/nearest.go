package source

import (
	"fmt"
	"strings"
)

// DidYouMean is a hint at the known name that a mistyped one most likely stands
// for, empty if none is near: at most two letters, and no more than a third of
// the word, typed wrong. Capitals do not count.
func DidYouMean(word string, known []string) string {
	const longest = 64 // letters: a longer word is no slip of the finger
	if len(word) > longest {
		return ""
	}
	best, least := "", min(2, (len([]rune(word))+2)/3)+1
	for _, k := range known {
		if d := distance([]rune(strings.ToLower(word)), []rune(strings.ToLower(k))); d < least {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %s?", best)
}

// distance is how many letters must be put in, taken out, changed or swapped
// with the next to turn a into b, none of them twice (Damerau, 1964, by the rows
// of Wagner and Fischer, 1974).
func distance(a, b []rune) int {
	before, row, next := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, ra := range a {
		next[0] = i + 1
		for j, rb := range b {
			d := row[j]
			if ra != rb {
				d++
			}
			d = min(d, row[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && ra == b[j-1] && a[i-1] == rb {
				d = min(d, before[j-1]+1)
			}
			next[j+1] = d
		}
		before, row, next = row, next, before
	}
	return row[len(b)]
}

package source

import (
	"fmt"
	"strings"
)

// DidYouMean is a hint at the known name that a mistyped one most likely stands
// for, empty if none is near: at most two letters, and no more than a third of
// the word, typed wrong.
func DidYouMean(word string, known []string) string {
	const longest = 64 // letters: a longer word is no slip of the finger
	if len(word) > longest {
		return ""
	}
	best, least := "", min(2, (len([]rune(word))+2)/3)+1
	for _, k := range known {
		if d := distance([]rune(strings.ToLower(word)), []rune(k)); d < least {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %s?", best)
}

// distance is how many letters must be put in, taken out or changed to turn a
// into b (Wagner and Fischer, 1974).
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, ra := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j, rb := range b {
			d := diagonal
			if ra != rb {
				d++
			}
			diagonal = row[j+1]
			row[j+1] = min(d, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

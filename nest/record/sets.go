package record

import (
	"fmt"
	"slices"
	"strings"
)

// SetNumbers writes the numbers of sets as a person would: "1-3 5". They come
// sorted, each once.
func SetNumbers(sets []int) string {
	sets = slices.Clone(sets)
	slices.Sort(sets)
	sets = slices.Compact(sets)
	var out []string
	for i := 0; i < len(sets); {
		j := i
		for j+1 < len(sets) && sets[j+1] == sets[j]+1 {
			j++
		}
		if i == j {
			out = append(out, fmt.Sprint(sets[i]))
		} else {
			out = append(out, fmt.Sprintf("%d-%d", sets[i], sets[j]))
		}
		i = j + 1
	}
	return strings.Join(out, " ")
}

package main

import "testing"

func TestNumbered(t *testing.T) {
	for numbers, want := range map[string]string{"4": "set 4", "1-2": "sets 1-2", "1-2 4": "sets 1-2 and 4", "1 3 5-6": "sets 1 and 3 and 5-6"} {
		if got := numbered("set", numbers); got != want {
			t.Errorf("%q: found %q, expected %q", numbers, got, want)
		}
	}
}

package main

import (
	"testing"

	"strapwise/nest/workshop"
)

// The name of the folder stands on paper, and turns no words round there.
func TestSheetsShowTheFolder(t *testing.T) {
	options, err := sheetOptions(&workshop.Workshop{Dir: "shops/ash \u202e& son"}, "a4")
	if err != nil || options.Workshop != `ash \u202e& son` {
		t.Errorf("found %q, %v", options.Workshop, err)
	}
}

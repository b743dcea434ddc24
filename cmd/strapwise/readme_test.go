package main

import (
	"os"
	"strings"
	"testing"
)

// TestReadmeHasTheTemplate: the drawing of the README is that which
// testdata/script/template.txtar lays and draws.
func TestReadmeHasTheTemplate(t *testing.T) {
	read := func(file string) string {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	_, block, found := strings.Cut(read("../../README.md"), "```svg\n")
	drawing, _, _ := strings.Cut(block, "```")
	if !found || !strings.Contains(read("../../testdata/script/template.txtar"), "-- drawn/cheek.svg --\n"+drawing+"-- ") {
		t.Errorf("the drawing of the README is not that of template.txtar:\n%s", drawing)
	}
}

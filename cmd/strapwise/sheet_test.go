package main

import (
	"bytes"
	"errors"
	"runtime"
	"slices"
	"strconv"
	"sync/atomic"
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

// What is made of hides comes in their order, whichever is done first; of as many at once as
// there are processors; and of two that fail, the first is told.
func TestOfHides(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(3))
	u := newUI(&bytes.Buffer{}, &bytes.Buffer{})
	var hides []string
	for i := range 30 {
		hides = append(hides, strconv.Itoa(i))
	}
	var now, tooMany atomic.Int64
	third := make(chan bool)
	got, err := ofHides(u, hides, func(i int) (string, error) {
		defer now.Add(-1)
		if now.Add(1) > 3 {
			tooMany.Add(1)
		}
		switch i {
		case 0, 1: // are done after the third
			<-third
		case 2:
			close(third)
		}
		return hides[i], nil
	})
	if err != nil || !slices.Equal(got, hides) || tooMany.Load() > 0 {
		t.Errorf("found %v, %v, and %d begun beside three others, expected them in order and none", got, err, tooMany.Load())
	}
	second := make(chan bool)
	_, err = ofHides(u, hides[:2], func(i int) (int, error) {
		if i == 0 {
			<-second
		} else {
			close(second)
		}
		return 0, errors.New(hides[i])
	})
	if err == nil || err.Error() != "0" {
		t.Errorf("found the error %v, expected that of the first hide", err)
	}
}

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"strapwise/nest"
)

// full is a disk with no room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// TestUnprintable: a result that cannot be printed is told, exit 1.
func TestUnprintable(t *testing.T) {
	dir := workshopWith(t, nil)
	if _, errs, code := strapwise("lay", "--workshop", dir); code != 0 {
		t.Fatal(errs)
	}
	for _, args := range [][]string{
		{"pieces"},
		{"pieces", "--json"},
		{"lay"},
		{"lay", "--json"},
		{"tally", "--pattern", "flat", "--width", "1in", "--size", "16in"},
		{"tally", "--pattern", "flat", "--width", "1in", "--size", "16in", "--json"},
		{"check"},
		{"check", "--json"},
		{"sheet"},
		{"sheet", "--json"},
		{"rack", "list"},
		{"rack", "show", "ash-1", "--json"},
		{"rack", "audit"},
		{"rack", "audit", "--json"},
		{"rack", "take-in", "ash-2", "--leather", "strap", "--form", "bend", "--size", "1m x 1m"},
		{"rack", "undo"},
		{"rack", "accept", "ash-1"},
		{"rack", "put-away"},
		{"rack", "undo", "--json"},
		{"--help"},
		{"lay", "--help"},
		{"completion", "bash"},
	} {
		var errs bytes.Buffer
		code := run(context.Background(), append(args, "--workshop", dir, "--quiet"), full{}, &errs)
		if code != 1 || !strings.Contains(errs.String(), "could not be printed: no space left on device") {
			t.Errorf("%v: exit %d, %s", args, code, errs.String())
		}
	}
}

// TestLongNames: a message repeats no file at length, and moves no cursor.
func TestLongNames(t *testing.T) {
	long := strings.Repeat("name", 1<<18)
	for name, files := range map[string]map[string]string{
		"key":     {"hides/ash-1.toml": soundHide + long + " = 1\n"},
		"formula": {"workshop.toml": soundRules + "[patterns.flat]\npitch = \"" + long + "\"\n"},
		"use":     {"workshop.toml": soundRules + "[patterns.flat.pieces.main]\nuse = \"" + long + "\"\n"},
		"colours": {"workshop.toml": soundRules + "[patterns.flat.pieces.main]\nuse = \"\\u001b[31m\"\n"},
	} {
		_, errs, code := strapwise("lay", "--workshop", workshopWith(t, files))
		if code != 2 || len(errs) > 3000 || strings.Contains(errs, "\x1b") {
			t.Errorf("%s: exit %d, %d letters: %.300q", name, code, len(errs), errs)
		}
	}
	dir := workshopWith(t, nil)
	if _, errs, code := strapwise("lay", "--workshop", dir); code != 0 {
		t.Fatal(errs)
	}
	file := filepath.Join(dir, "plans", "plan.json")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, bytes.Replace(data, []byte(`"part": "main"`), []byte(`"part": "\u001b[31m`+long+`"`), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	out, _, code := strapwise("check", "--workshop", dir)
	if code != 1 || len(out) > 3000 || strings.Contains(out, "\x1b") {
		t.Errorf("plan: exit %d, %d letters: %.300q", code, len(out), out)
	}
}

// toldToEnd runs a command without end until the system tells it to end, and
// returns what it printed.
func toldToEnd(t *testing.T, args ...string) string {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("no such signal")
	}
	// Caught here as well, so that one that comes too early ends no test.
	caught := make(chan os.Signal, 1)
	signal.Notify(caught, syscall.SIGTERM)
	defer signal.Stop(caught)
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		t.Fatal(err)
	}
	type ended struct {
		out, errs string
		code      int
	}
	done := make(chan ended, 1)
	go func() {
		out, errs, code := strapwise(append(args, "--time", "5m", "--steps", "1000000000")...)
		done <- ended{out, errs, code}
	}()
	again := time.NewTicker(50 * time.Millisecond)
	defer again.Stop()
	for {
		select {
		case e := <-done:
			if e.code != 0 {
				t.Fatal(e.errs)
			}
			return e.out
		case <-again.C:
			if err := self.Signal(syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestToldToEnd: lay, when the system tells it to end, keeps the best so far.
func TestToldToEnd(t *testing.T) {
	out := t.TempDir()
	toldToEnd(t, "lay", "--workshop", filepath.Join("..", "..", "testdata", "demo"), "--out", out)
	data, err := os.ReadFile(filepath.Join(out, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	if p, err := nest.DecodePlan("plan.json", data); err != nil || p.Result.Stop != nest.StopInterrupted {
		t.Errorf("stopped as %q, %v", p.Result.Stop, err)
	}
}

// TestTallyToldToEnd: so does tally, and counts the hides that were still to
// come as far as the first lay goes. Of such a sheet of leather no search so far
// has proven the count at once.
func TestTallyToldToEnd(t *testing.T) {
	const butt = "leather = \"strap\"\nform = \"butt\"\nsize = [\"55in\", \"55in\"]\n"
	dir := workshopWith(t, map[string]string{"hides/ash-1.toml": butt, "hides/ash-2.toml": butt})
	var got tallyResult
	out := toldToEnd(t, "tally", "--workshop", dir, "--pattern", "raised", "--width", "1in", "--size", "16in", "--json")
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Hides) != 2 {
		t.Fatalf("counted %d hides, want 2", len(got.Hides))
	}
	for _, h := range got.Hides {
		if h.Stop != nest.StopInterrupted || h.Sets < 30 || h.Bound <= h.Sets || h.Proven {
			t.Errorf("%s: %d sets, no more than %d, proven %v, stopped as %q", h.Hide, h.Sets, h.Bound, h.Proven, h.Stop)
		}
	}
}

// TestOneRule: what breaks is counted by rules, and one is one.
func TestOneRule(t *testing.T) {
	dir := workshopWith(t, nil)
	if _, errs, code := strapwise("lay", "--workshop", dir); code != 0 {
		t.Fatal(errs)
	}
	file := filepath.Join(dir, "plans", "plan.json")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := nest.DecodePlan(file, data)
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		spoil func(*nest.Plan)
		rules string
	}{
		"nothing put back": {func(p *nest.Plan) { p.Hides[0].Remnants = nil }, "1 rule"},
		"tired twice":      {func(p *nest.Plan) { p.Hides[0].Remnants, p.Result.Stop = nil, "tired" }, "2 rules"},
	} {
		spoiled, err := nest.DecodePlan(file, plan.Encode())
		if err != nil {
			t.Fatal(err)
		}
		c.spoil(&spoiled)
		if err := os.WriteFile(file, spoiled.Encode(), 0o644); err != nil {
			t.Fatal(err)
		}
		out, errs, code := strapwise("check", "--workshop", dir)
		if code != 1 || !strings.Contains(errs, "the plan breaks "+c.rules+"\n") || !strings.Contains(out, "remnant: ash-1: leaves") {
			t.Errorf("%s: exit %d\n%s%s", what, code, out, errs)
		}
	}
}

package main

import (
	"bytes"
	"context"
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
		{"check"},
		{"check", "--json"},
		{"sheet"},
		{"sheet", "--json"},
		{"rack", "list"},
		{"rack", "show", "ash-1", "--json"},
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

// TestToldToEnd: lay, when the system tells it to end, keeps the best so far.
func TestToldToEnd(t *testing.T) {
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
	out := t.TempDir()
	done := make(chan string, 1)
	go func() {
		_, errs, code := strapwise("lay", "--workshop", filepath.Join("..", "..", "testdata", "demo"), "--out", out, "--time", "5m", "--steps", "1000000000")
		if code != 0 {
			done <- errs
		}
		close(done)
	}()
	again := time.NewTicker(50 * time.Millisecond)
	defer again.Stop()
	for {
		select {
		case errs := <-done:
			if errs != "" {
				t.Fatal(errs)
			}
			data, err := os.ReadFile(filepath.Join(out, "plan.json"))
			if err != nil {
				t.Fatal(err)
			}
			if p, err := nest.DecodePlan("plan.json", data); err != nil || p.Result.Stop != nest.StopInterrupted {
				t.Errorf("stopped as %q, %v", p.Result.Stop, err)
			}
			return
		case <-again.C:
			if err := self.Signal(syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
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

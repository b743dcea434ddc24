package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"strapwise/nest/safe"
)

// killsEnv is how many times TestKilled kills a command; a few if it is not set.
const killsEnv = "STRAPWISE_KILLS"

// A story in which everything is written that the rack and the plans can have
// written.
var story = [][]string{
	{"rack", "take-in", "elm-1", "--leather", "strap", "--form", "sheet", "--size", "700mm x 300mm", "--cost", "20.01"},
	{"lay", "--steps", "2"},
	{"relay", "--steps", "2", "--cut", "ash-1: to 2", "--found", "elm-1: scar at 300, 100 mm size 12 mm"},
	{"rack", "put-away", "--hide", "ash-1"},
	{"sheet"},
	{"rack", "accept", "oak-1"},
	{"rack", "undo"},
	{"rack", "put-away"},
	{"rack", "undo"},
}

func storyFiles() map[string]string {
	return map[string]string{
		"orders.csv":       "order,qty,pattern,width,size,leather\nA1,3,flat,1in,16in,strap\nA2,40,strap,2in,20in,strap\n",
		"hides/ash-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\ncost = 31.07\noutline = [[0,0],[700,0],[700,260],[0,240]]\n",
		"hides/oak-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\ncost = 90\noutline = [[0,0],[900,0],[900,360],[0,340]]\n",
	}
}

// dead is a disk on which nothing can be written any more from call number at on:
// what a process leaves that ends there.
type dead struct {
	safe.System
	at, calls int
}

func (d *dead) ended() error {
	if d.calls++; d.calls > d.at {
		return fmt.Errorf("ended at call %d", d.at)
	}
	return nil
}

func (d *dead) MkdirAll(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		return nil
	}
	if err := d.ended(); err != nil {
		return err
	}
	return d.System.MkdirAll(dir)
}

func (d *dead) Write(path string, data []byte, mode fs.FileMode) error {
	if err := d.ended(); err != nil {
		if d.calls == d.at+1 { // in the middle of it
			_ = d.System.Write(path, data[:len(data)/2], mode)
		}
		return err
	}
	return d.System.Write(path, data, mode)
}

func (d *dead) Link(path, other string) error {
	if err := d.ended(); err != nil {
		return err
	}
	return d.System.Link(path, other)
}

func (d *dead) Rename(from, to string) error {
	if err := d.ended(); err != nil {
		return err
	}
	return d.System.Rename(from, to)
}

func (d *dead) Remove(path string) error {
	if err := d.ended(); err != nil {
		return err
	}
	return d.System.Remove(path)
}

func (d *dead) SyncFolder(dir string) error {
	if err := d.ended(); err != nil {
		return err
	}
	return d.System.SyncFolder(dir)
}

// files are those of a workshop, by their paths, but for hidden ones.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.Walk(dir, func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() || info.Name()[0] == '.' {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		out[rel] = string(readFile(t, path))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// copyOf is a copy of a workshop as it is; sheets have its name on them.
func copyOf(t *testing.T, dir string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), filepath.Base(dir))
	if err := os.CopyFS(to, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	return to
}

// TestEndedAtEachWrite: each command of the story ends at each of its writes in
// turn. The next command finds the workshop as it was before, or as it is to be
// after, and the record holds. What relay finds may be known before it is laid round.
func TestEndedAtEachWrite(t *testing.T) {
	t.Parallel()
	dir := workshopWith(t, storyFiles())
	for i, args := range story {
		before := files(t, dir)
		whole := copyOf(t, dir)
		args := append(args, "--quiet")
		if _, errs, code := strapwise(append(args, "--workshop", whole)...); code != 0 {
			t.Fatalf("%v: %s", args, errs)
		}
		after := files(t, whole)
		if maps.Equal(before, after) && args[0] != "sheet" {
			t.Fatalf("%v changes nothing", args)
		}
		ends, came, between := 0, 0, 0
		for at := 0; ; at++ {
			cut := copyOf(t, dir)
			d := &dead{at: at}
			var out bytes.Buffer
			code := run(safe.On(context.Background(), d), append(args, "--workshop", cut), &out, &out)
			if said, c := runHere("rack", "audit", "--workshop", cut); c != 0 {
				t.Fatalf("step %d, %v, ended at write %d: %s", i, args, at, said)
			}
			now := files(t, cut)
			plans, err := os.ReadDir(filepath.Join(cut, "plans"))
			if err == nil && len(plans) > 0 { // plans are a folder of their own, finished by who reads them
				_, _ = runHere("check", "--workshop", cut)
				now = files(t, cut)
			}
			switch {
			case maps.Equal(now, after):
				came++
			case args[0] == "relay" && maps.Equal(now, foundOnly(before, after)):
				between++
			case !maps.Equal(now, before):
				t.Fatalf("step %d, %v, ended at write %d: neither as before nor as after: %s", i, args, at, cmp.Diff(after, now))
			case code == 0:
				t.Fatalf("step %d, %v, ended at write %d: said to be done, and it is not", i, args, at)
			}
			if d.calls <= at {
				break
			}
			ends++
		}
		if ends < 5 || came < 2 {
			t.Errorf("%v: ended at %d writes, and came through %d times: too few to say anything", args, ends, came)
		}
		if (args[0] == "relay") != (between > 0) {
			t.Errorf("%v: ended %d times between its two folders", args, between)
		}
		dir = whole
	}
}

// foundOnly are the files of a workshop of which only the folder of plans is as before.
func foundOnly(before, after map[string]string) map[string]string {
	out := map[string]string{}
	for file, text := range before {
		if strings.HasPrefix(file, "plans") {
			out[file] = text
		}
	}
	for file, text := range after {
		if !strings.HasPrefix(file, "plans") {
			out[file] = text
		}
	}
	return out
}

// TestKilled: the system kills the commands of the story at any time. The record
// opens and holds each time, and each command is all done or not at all.
func TestKilled(t *testing.T) {
	t.Parallel()
	if runtime.GOOS == "windows" {
		t.Skip("no such signal")
	}
	n := 16
	if s := os.Getenv(killsEnv); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	rng := rand.New(rand.NewPCG(9, 9))
	// What each command takes when nobody kills it.
	sound := workshopWith(t, storyFiles())
	dir := copyOf(t, sound)
	var long []time.Duration
	states := []map[string]string{files(t, dir)}
	for _, args := range story {
		begun := time.Now()
		if out, err := command(t, dir, args).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", args, out)
		}
		long = append(long, time.Since(begun))
		states = append(states, files(t, dir))
	}
	killed, done := 0, 0
	for killed < n {
		dir := copyOf(t, sound)
		for i := 0; i < len(story); i++ {
			c := command(t, dir, story[i])
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			// Most of the time a command reads; the later it is, the more it writes.
			late := 0.3 + 0.9*rng.Float64()
			time.Sleep(time.Duration(late * float64(long[i])))
			_ = c.Process.Kill()
			survived := c.Wait() == nil
			if survived {
				done++
			} else {
				killed++
			}
			if said, code := runHere("rack", "audit", "--workshop", dir); code != 0 {
				t.Fatalf("%v, killed: %s", story[i], said)
			}
			if _, err := os.Stat(filepath.Join(dir, "plans", planFile)); err == nil {
				_, _ = runHere("check", "--workshop", dir) // finishes what was begun there
			}
			switch now := files(t, dir); {
			case maps.Equal(now, states[i+1]):
			case !survived && (maps.Equal(now, states[i]) || story[i][0] == "relay" && maps.Equal(now, foundOnly(states[i], states[i+1]))):
				if rng.IntN(3) > 0 { // again, from where it was
					i--
					continue
				}
				if said, code := runHere(append(story[i], "--workshop", dir)...); code != 0 {
					t.Fatalf("%v, after it was killed: %s", story[i], said)
				}
			default:
				t.Fatalf("%v, killed: neither as before nor as after", story[i])
			}
		}
	}
	t.Logf("killed %d times; %d were done before", killed, done)
}

// command runs the program as a process of its own.
func command(t *testing.T, dir string, args []string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self, append(args, "--workshop", dir, "--quiet")...)
	c.Env = append(os.Environ(), asProgram+"=1")
	return c
}

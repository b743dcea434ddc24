package main

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"strapwise/nest/record"
)

// mounted is a small disk with a workshop on it. again mounts it anew with other
// options.
func mounted(t *testing.T, size string) (disk, dir string, again func(options string)) {
	t.Helper()
	disk = t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size="+size, "tmpfs", disk).CombinedOutput(); err != nil {
		t.Skipf("no small disk can be had: %s", out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", disk).CombinedOutput(); err != nil {
			t.Errorf("%s", out)
		}
	})
	dir = filepath.Join(disk, "workshop")
	if err := os.CopyFS(dir, os.DirFS(workshopWith(t, storyFiles()))); err != nil {
		t.Fatal(err)
	}
	return disk, dir, func(options string) {
		t.Helper()
		if out, err := exec.Command("mount", "-o", "remount,"+options, disk).CombinedOutput(); err != nil {
			t.Fatalf("%s", out)
		}
	}
}

// TestFullDisk: on a disk with too little room nothing is half written.
func TestFullDisk(t *testing.T) {
	t.Parallel()
	disk, dir, _ := mounted(t, "96k")
	refused, made := 0, 0
	for room := 0; room < 24; room++ {
		// Room for so many pages of memory is left.
		filler := filepath.Join(disk, "filler")
		_ = os.Remove(filler)
		fill(t, filler, room*4096)
		before := files(t, dir)
		for _, args := range [][]string{
			{"rack", "take-in", fmt.Sprintf("elm-%d", room), "--leather", "strap", "--form", "sheet", "--size", "700mm x 300mm"},
			{"lay", "--steps", "2"},
			{"rack", "put-away"},
			{"rack", "undo"},
		} {
			said, code := runHere(append(args, "--workshop", dir)...)
			now := files(t, dir)
			switch {
			case code == 0:
				made++
			case !maps.Equal(now, before):
				t.Fatalf("%v: exit %d, and something has changed: %s", args, code, said)
			case code == 1 && strings.Contains(said, "no space left on device"):
				refused++
			case !strings.Contains(said, "expected a plan") && !strings.Contains(said, "nothing to undo") && !strings.Contains(said, "found no hide named"):
				t.Fatalf("%v: exit %d: %s", args, code, said)
			}
			if said, code := runHere("rack", "audit", "--workshop", dir); code != 0 {
				t.Fatalf("%v: %s", args, said)
			}
			before = now
		}
	}
	if refused < 5 || made < 5 {
		t.Errorf("%d refused and %d made: too few to say anything", refused, made)
	}
	t.Logf("%d refused, %d made", refused, made)
}

// fill writes a file until only so many bytes are left on its disk.
func fill(t *testing.T, path string, room int) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	size := 0
	for page := make([]byte, 4096); ; size += len(page) {
		if _, err := f.Write(page); err != nil {
			break
		}
	}
	if err := f.Truncate(int64(max(0, size-room))); err != nil {
		t.Fatal(err)
	}
}

// TestReadOnlyDisk: where nothing may be written, the rack can be read, and what
// would change it is refused.
func TestReadOnlyDisk(t *testing.T) {
	t.Parallel()
	_, dir, again := mounted(t, "2m")
	steps := [][]string{{"lay", "--steps", "2"}, {"rack", "put-away", "--hide", "ash-1"}, {"rack", "undo"}, {"rack", "take-in", "elm-1", "--leather", "strap", "--form", "sheet", "--size", "700mm x 300mm"}, {"rack", "accept", "oak-1"}, {"sheet"}}
	for i := range steps { // also of a workshop that never was written to
		again("ro")
		before := files(t, dir)
		for _, args := range [][]string{{"rack", "list"}, {"rack", "show", "oak-1"}, {"rack", "audit"}, {"pieces"}} {
			if said, code := runHere(append(args, "--workshop", dir)...); code != 0 {
				t.Errorf("%v: exit %d: %s", args, code, said)
			}
		}
		for n, args := range steps {
			said, code := runHere(append(args, "--workshop", dir)...)
			if code == 0 || n == i && !strings.Contains(said, "read-only file system") {
				t.Errorf("%v: exit %d: %s", args, code, said)
			}
		}
		again("rw")
		if !maps.Equal(before, files(t, dir)) {
			t.Fatal("something has changed")
		}
		if said, code := runHere(append(steps[i], "--workshop", dir)...); code != 0 {
			t.Fatalf("%v: %s", steps[i], said)
		}
	}
}

// TestManyCommandsAtOnce: commands of several people at the same time are done one
// after another, and none is lost.
func TestManyCommandsAtOnce(t *testing.T) {
	t.Parallel()
	dir := workshopWith(t, storyFiles())
	const people, each = 4, 4
	var all sync.WaitGroup
	for p := range people {
		all.Go(func() {
			for n := range each {
				name := fmt.Sprintf("h%d-%d", p, n)
				for _, args := range [][]string{
					{"rack", "take-in", name, "--leather", "strap", "--form", "sheet", "--size", "700mm x 300mm", "--cost", "1.01"},
					{"rack", "audit"},
				} {
					if out, err := command(t, dir, args).CombinedOutput(); err != nil {
						t.Errorf("%v: %s", args, out)
					}
				}
			}
		})
	}
	all.Wait()
	j, err := record.Decode(record.File, readFile(t, filepath.Join(dir, record.File)))
	if err != nil {
		t.Fatal(err)
	}
	l, err := j.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	if n := len(l.Bought()); n != people*each || len(l.Entries) != n {
		t.Errorf("found %d hides in %d entries, expected %d", n, len(l.Entries), people*each)
	}
}

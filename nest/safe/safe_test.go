package safe_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"strapwise/hide/source"
	"strapwise/nest/safe"
)

// folderWith makes a folder of files.
func folderWith(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// filesOf are the files of a folder that are not hidden.
func filesOf(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name()[0] == '.' {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// hidden are the hidden files of a folder, but for its lock.
func hidden(t testing.TB, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && d.Name()[0] == '.' && d.Name() != ".strapwise-lock" {
			out = append(out, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A change with one of everything: a file replaced, a new one in a folder that is
// there and in one that is not, one moved and one taken away.
var (
	was = map[string]string{"book": "old book", "hides/a": "a hide", "hides/b": "another", "hides/c": "a third"}
	is  = map[string]string{"book": "new book, which is longer", "hides/b": "another", "hides/a-r1": "a rest", "cut/a": "a hide"}

	theChange = []safe.File{
		{Name: "hides/a-r1", Data: []byte("a rest")},
		{Name: "cut/a", Data: []byte("a hide")},
		{Name: "hides/a", Gone: true},
		{Name: "hides/c", Gone: true},
		{Name: "hides/never-was", Gone: true},
		{Name: "book", Data: []byte("new book, which is longer")},
	}
)

// replace makes the change on a disk.
func replace(d safe.Disk, dir string) error {
	f, err := safe.Open(safe.On(context.Background(), d), dir)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Replace(theChange)
}

func open(t testing.TB, dir string) {
	t.Helper()
	f, err := safe.Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
}

func TestReplace(t *testing.T) {
	dir := folderWith(t, was)
	if err := replace(safe.System{}, dir); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(is, filesOf(t, dir)); diff != "" {
		t.Error(diff)
	}
	if left := hidden(t, dir); len(left) > 0 {
		t.Errorf("%v is left over", left)
	}
}

// The power fails at each call in turn. What the next command finds is all as it
// was or all as it is to be; as it is to be, if the change was reported as made.
func TestPowerFailsAtEachCall(t *testing.T) {
	for _, kind := range []string{"killed", "power cut"} {
		before, after := 0, 0
		for at := 0; ; at++ {
			rng := rand.New(rand.NewPCG(uint64(at), 3))
			dir := folderWith(t, was)
			d := &lossy{dying: dying{at: at, rng: rng}}
			var err error
			if kind == "killed" {
				err = replace(&d.dying, dir)
			} else {
				err = replace(d, dir)
				d.powerCut()
			}
			// The next command is killed as well, somewhere.
			again := &dying{at: rng.IntN(8), rng: rng}
			if f, err := safe.Open(safe.On(context.Background(), again), dir); err == nil {
				f.Close()
			}
			open(t, dir)
			switch now := filesOf(t, dir); {
			case maps.Equal(now, was) && err != nil:
				before++
			case maps.Equal(now, is):
				after++
			default:
				t.Fatalf("%s at call %d (%v): neither as it was nor as it is to be: %v", kind, at, err, now)
			}
			// What is left over is gone after the next change.
			if err := replace(safe.System{}, dir); err != nil {
				t.Fatal(err)
			}
			if left := hidden(t, dir); len(left) > 0 {
				t.Errorf("%s at call %d: %v is left over", kind, at, left)
			}
			if !d.dead {
				break
			}
		}
		if before < 10 || after < 5 {
			t.Errorf("%s: %d times before, %d after: too few to say anything", kind, before, after)
		}
		t.Logf("%s: %d times as it was, %d times as it is to be", kind, before, after)
	}
}

// One call fails, each in turn, with the disk full or a file held by another
// program: the change is made, or it is told that it was not and all is as it was.
func TestACallFails(t *testing.T) {
	failed := 0
	for at := 0; ; at++ {
		dir := folderWith(t, was)
		d := &failing{at: at}
		err := replace(d, dir)
		now := filesOf(t, dir)
		if err == nil && !maps.Equal(now, is) || err != nil && !maps.Equal(now, was) {
			t.Fatalf("call %d: %v, and found %v", at, err, now)
		}
		if err != nil {
			failed++
			if e, ok := errors.AsType[*safe.Error](err); !ok || e.Help == "" {
				t.Errorf("call %d: found the error %T %v", at, err, err)
			}
		}
		open(t, dir)
		if !maps.Equal(filesOf(t, dir), now) {
			t.Errorf("call %d: the next command changed something", at)
		}
		if left := hidden(t, dir); err != nil && len(left) > 0 {
			t.Errorf("call %d: %v is left over", at, left)
		}
		if _, there := os.Stat(filepath.Join(dir, "cut")); err != nil && there == nil {
			t.Errorf("call %d: an empty folder is left over", at)
		}
		if d.calls <= at {
			break
		}
	}
	if failed < 15 {
		t.Errorf("%d calls failed: too few to say anything", failed)
	}
}

// What is not to be written over is not, and is told.
// A change of two folders is made or not made in both, whichever call fails. The
// whole of each is there even if the process dies, at whatever call.
func TestTogether(t *testing.T) {
	change := func(d safe.Disk, one, two string) error {
		ctx := safe.On(context.Background(), d)
		a, err := safe.Open(ctx, one)
		if err != nil {
			return err
		}
		defer a.Close()
		b, err := safe.Open(ctx, two)
		if err != nil {
			return err
		}
		defer b.Close()
		return safe.Together(safe.Part{In: a, Files: theChange}, safe.Part{In: b, Files: theChange})
	}
	whole := func(dir string) (string, bool) {
		open(t, dir) // which finishes what was cut short
		for name, want := range map[string]map[string]string{"before": was, "after": is} {
			if cmp.Equal(want, filesOf(t, dir)) {
				return name, true
			}
		}
		return "", false
	}
	met := map[string]int{}
	for at := range 200 {
		for _, dies := range []bool{false, true} {
			one, two := folderWith(t, was), folderWith(t, was)
			var d safe.Disk = &failing{at: at}
			if dies {
				d = &dying{at: at, rng: rand.New(rand.NewPCG(uint64(at), 1))}
			}
			err := change(d, one, two)
			a, ok := whole(one)
			b, ok2 := whole(two)
			if !ok || !ok2 {
				t.Fatalf("call %d, dies %v: a folder is neither before nor after: %v", at, dies, err)
			}
			if a != b && (!dies || a == "before") {
				t.Errorf("call %d, dies %v: one is %s and the other %s: %v", at, dies, a, b, err)
			}
			if !dies && (err == nil) != (a == "after") {
				t.Errorf("call %d: %v, and all is %s", at, err, a)
			}
			met[a+b]++
		}
	}
	for _, want := range []string{"beforebefore", "afterbefore", "afterafter"} {
		if met[want] == 0 {
			t.Errorf("never met %s: %v", want, met)
		}
	}
}

// Who may read a file stays as it was.
func TestModeStays(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows knows no such modes")
	}
	dir := folderWith(t, was)
	book := filepath.Join(dir, "book")
	if err := os.Chmod(book, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := replace(safe.System{}, dir); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(book); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("found %v, %v", info.Mode(), err)
	}
}

func TestReplaceRefuses(t *testing.T) {
	for _, c := range []struct {
		rule string
		file safe.File
		want string
	}{
		{"a folder in the way", safe.File{Name: "hides", Data: []byte("x")}, "hides is a folder, expected a file"},
		{"out of the folder", safe.File{Name: "../x", Data: []byte("x")}, `found the name "../x", expected a file in the folder`},
		{"twice", theChange[0], "found hides/a-r1 twice, expected it once"},
		{"below a file", safe.File{Name: "book/x", Data: []byte("x")}, "book: cannot be made a folder: not a directory"},
	} {
		dir := folderWith(t, was)
		f, err := safe.Open(context.Background(), dir)
		if err != nil {
			t.Fatal(err)
		}
		err = f.Replace(append([]safe.File{c.file}, theChange...))
		f.Close()
		if err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
		}
		if !maps.Equal(filesOf(t, dir), was) {
			t.Errorf("%s: found %v", c.rule, filesOf(t, dir))
		}
	}
}

// A change that was cut short is not finished over what a person has written since,
// nor from a list that nobody can read.
func TestUnfinished(t *testing.T) {
	cut := func() string { // after the list is in its place, before the first rename
		for at := 0; ; at++ {
			dir := folderWith(t, was)
			d := &dying{at: at, rng: rand.New(rand.NewPCG(1, 1))}
			_ = replace(d, dir)
			if _, err := os.Stat(filepath.Join(dir, ".strapwise-change")); err == nil && maps.Equal(filesOf(t, dir), was) {
				return dir
			}
		}
	}
	for _, c := range []struct{ rule, file, text, want string }{
		{"an edit", "book", "my own book", "book has been changed by another program meanwhile: move it away"},
		{"half a list", ".strapwise-change", `{"format": "strapwise-ch`, "the list of its files cannot be read"},
		{"a list of another kind", ".strapwise-change", `{"format": "other/1"}`, "the list of its files cannot be read"},
		{"a list out of the folder", ".strapwise-change", `{"format": "strapwise-change/1", "files": [{"name": "../x"}]}`, `found the name "../x"`},
	} {
		dir := cut()
		if err := os.WriteFile(filepath.Join(dir, c.file), []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		before := filesOf(t, dir)
		_, err := safe.Open(context.Background(), dir)
		if e, ok := source.As(err); !ok || !strings.Contains(err.Error(), c.want) || e.Hint == "" {
			t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
		}
		if diff := cmp.Diff(before, filesOf(t, dir)); diff != "" {
			t.Errorf("%s: %s", c.rule, diff)
		}
		if err := safe.Reading(context.Background(), dir, func() error { return nil }); err == nil {
			t.Errorf("%s: read as if nothing had happened", c.rule)
		}
	}
	// A folder that is mended, but for the list itself, is read all the same.
	mended, read := cut(), 0
	ctx := safe.On(context.Background(), stuck{})
	for range 2 {
		if err := safe.Reading(ctx, mended, func() error { read++; return nil }); err != nil || !maps.Equal(filesOf(t, mended), is) {
			t.Errorf("read with %v", err)
		}
	}
	if read != 2 {
		t.Errorf("read %d times, expected 2", read)
	}
	// What was to become of the files is lost: they stay what they were.
	dir := cut()
	if err := os.Remove(filepath.Join(dir, "hides", ".a-r1.strapwise-new")); err != nil {
		t.Fatal(err)
	}
	open(t, dir)
	if diff := cmp.Diff(was, filesOf(t, dir)); diff != "" {
		t.Error(diff)
	}
}

// Many change a folder at once and others read it: no change is lost, and nobody
// reads half of one.
func TestManyAtOnce(t *testing.T) {
	const writers, rounds = 6, 8
	dir := folderWith(t, map[string]string{"a": "", "b": ""})
	var all sync.WaitGroup
	for range writers {
		all.Go(func() {
			for range rounds {
				f, err := safe.Open(context.Background(), dir)
				if err != nil {
					t.Error(err)
					return
				}
				data, err := os.ReadFile(filepath.Join(dir, "a"))
				if err == nil {
					data = append(data, 'x')
					err = f.Replace([]safe.File{{Name: "a", Data: data}, {Name: "b", Data: data}})
				}
				if err != nil {
					t.Error(err)
				}
				f.Close()
			}
		})
		all.Go(func() {
			for range rounds {
				err := safe.Reading(context.Background(), dir, func() error {
					a, err := os.ReadFile(filepath.Join(dir, "a"))
					if err != nil {
						return err
					}
					b, err := os.ReadFile(filepath.Join(dir, "b"))
					if err == nil && string(a) != string(b) {
						err = fmt.Errorf("a has %d letters and b %d", len(a), len(b))
					}
					return err
				})
				// The very first change may come between: then it is read again.
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if a := filesOf(t, dir)["a"]; len(a) != writers*rounds {
		t.Errorf("found %d changes, expected %d", len(a), writers*rounds)
	}
}

// Who waits too long is told, and a read-only folder can be read and not changed.
func TestReadOnly(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("the system lets this user write everywhere")
	}
	dir := folderWith(t, was)
	for _, d := range []string{filepath.Join(dir, "hides"), dir} {
		if err := os.Chmod(d, 0o555); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(d, 0o755)
	}
	if err := replace(safe.System{}, dir); err == nil {
		t.Error("a read-only folder was changed")
	}
	read := false
	if err := safe.Reading(context.Background(), dir, func() error { read = true; return nil }); err != nil || !read {
		t.Errorf("a read-only folder is not read: %v", err)
	}
	if diff := cmp.Diff(was, filesOf(t, dir)); diff != "" {
		t.Error(diff)
	}
}

func TestBusy(t *testing.T) {
	dir := folderWith(t, was)
	f, err := safe.Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for what, err := range map[string]error{
		"changing": func() error { _, err := safe.Open(ctx, dir); return err }(),
		"reading":  safe.Reading(ctx, dir, func() error { return nil }),
	} {
		if e, ok := errors.AsType[*safe.Error](err); !ok || !strings.HasSuffix(e.What, "another strapwise is at work in this folder") {
			t.Errorf("%s: found %v", what, err)
		}
	}
}

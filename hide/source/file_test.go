package source

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

func TestReadFileTakesOnlyPlainFilesOfItsSize(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(at("full"), make([]byte, 2<<20), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at("over"), make([]byte, 2<<20+1), 0o644); err != nil {
		t.Fatal(err)
	}
	if data, err := ReadFile(at("full"), "a", 2<<20); err != nil || len(data) != 2<<20 {
		t.Errorf("read %d bytes, %v", len(data), err)
	}
	cases := []struct{ name, path, want string }{
		{"one byte more", at("over"), "a: larger than 2 MB, expected a smaller file"},
		{"folder", dir, "a: found a folder, expected a file"},
		{"nothing", at("none"), "a: found no such file"},
	}
	if runtime.GOOS != "windows" {
		if err := os.Symlink(at("none"), at("link")); err != nil {
			t.Fatal(err)
		}
		cases = append(cases, []struct{ name, path, want string }{
			{"link to nothing", at("link"), "a: found a link to nothing, expected a file"},
			{"a device that never ends", "/dev/zero", "a: found something that is no plain file, expected a file"},
		}...)
	}
	for _, c := range cases {
		_, err := ReadFile(c.path, "a", 2<<20)
		if _, ok := As(err); !ok || err.Error() != c.want {
			t.Errorf("%s: got %v, want %s", c.name, err, c.want)
		}
		if missing := errors.Is(err, fs.ErrNotExist); missing != (c.name == "nothing") {
			t.Errorf("%s: missing is %v", c.name, missing)
		}
	}
}

package workshop

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/hide/source"
)

// The rack: one file for each hide, named for it.
const (
	rackDir = "hides"
	hideExt = ".toml"
)

func (w *Workshop) readRack() error {
	entries, err := os.ReadDir(filepath.Join(w.Dir, rackDir))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &source.Error{File: rackDir, Rule: "cannot be read: " + source.Cause(err), Hint: "hides is a folder with one file for each piece of leather"}
	}
	seen := map[string]string{} // by the name in small letters
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), hideExt)
		if !ok || strings.HasPrefix(e.Name(), ".") { // editors keep their own files so
			continue
		}
		file := path.Join(rackDir, e.Name())
		if other := seen[strings.ToLower(name)]; other != "" {
			return &source.Error{File: file, Rule: fmt.Sprintf("found the same name as %s but for capitals, expected another", other), Hint: "some computers cannot tell the two apart"}
		}
		seen[strings.ToLower(name)] = file
		if err := w.readHide(file, name); err != nil {
			return err
		}
	}
	// The folder is sorted with the endings on, where ash-2 is before ash.
	slices.SortFunc(w.Hides, func(a, b *hide.Hide) int { return strings.Compare(a.Name(), b.Name()) })
	return nil
}

func (w *Workshop) readHide(file, name string) error {
	data, err := w.read(file)
	if err != nil {
		return err
	}
	h, err := intake.Read(file, data, name, w.Kinds)
	if err != nil {
		return err
	}
	for _, l := range w.Leathers {
		if l.Name == h.Leather() {
			w.Hides = append(w.Hides, h)
			return nil
		}
	}
	fault := &source.Error{File: file, Path: "leather"}
	if doc, err := source.TOML(file, data, &map[string]any{}); err == nil {
		fault.Line = doc.Line("leather")
	}
	if len(w.Leathers) == 0 {
		fault.Rule = fmt.Sprintf("found the leather %q, and %s lists none", h.Leather(), rulesFile)
	} else {
		fault.Rule = fmt.Sprintf("found the leather %q, expected one of %s", h.Leather(), strings.Join(w.leatherNames(), ", "))
	}
	fault.Hint = fmt.Sprintf("add [%s] to %s", source.Key("leathers", h.Leather()), rulesFile)
	return fault
}

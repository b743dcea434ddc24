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

	"github.com/maruel/natural"

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
	at := filepath.Join(w.Dir, rackDir)
	entries, err := os.ReadDir(at)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Lstat(at); err == nil {
			return &source.Error{File: rackDir, Rule: "found a link to nothing, expected a folder"}
		}
		for _, name := range w.misnamed(rackDir) {
			w.Warnings = append(w.Warnings, fmt.Sprintf("found %s and no %s: expected that name", name, rackDir))
		}
		return nil
	case err != nil:
		return &source.Error{File: rackDir, Rule: "cannot be read: " + source.Cause(err), Hint: "hides is a folder with one file for each piece of leather"}
	}
	seen := map[string]string{} // by the name in small letters
	var odd []string
	for _, e := range entries {
		file := path.Join(rackDir, e.Name())
		name, ok := strings.CutSuffix(e.Name(), hideExt)
		if !ok || strings.HasPrefix(e.Name(), ".") {
			if !kept(e.Name()) {
				odd = append(odd, file)
			}
			continue
		}
		if other := seen[strings.ToLower(name)]; other != "" {
			return &source.Error{File: file, Rule: fmt.Sprintf("found the same name as %s but for capitals, expected another", other), Hint: "some computers cannot tell the two apart"}
		}
		seen[strings.ToLower(name)] = file
		if err := w.readHide(file, name); err != nil {
			return err
		}
	}
	w.overlooked(odd)
	// The folder is sorted with the endings on, where ash-2 is before ash, and ash-10 before ash-2.
	slices.SortFunc(w.Hides, func(a, b *hide.Hide) int { return natural.Compare(a.Name(), b.Name()) })
	return nil
}

// kept reports whether a file is one that people or their programs keep beside
// those of the workshop: hidden, a backup, or a picture.
func kept(name string) bool {
	if name[0] == '.' {
		return !strings.HasPrefix(name, "..") // no program hides its files so
	}
	if strings.HasSuffix(name, "~") || name[0] == '#' {
		return true
	}
	switch strings.ToLower(path.Ext(name)) {
	case ".bak", ".orig", ".old", ".tmp", ".swp", ".swo":
		return true
	case ".jpg", ".jpeg", ".png", ".heic", ".webp", ".tif", ".tiff", ".gif", ".svg", ".pdf", ".dxf":
		return true
	case ".db", ".ini": // that some systems write into every folder
		return true
	}
	return false
}

// overlooked warns of files of the rack that are not read as hides.
func (w *Workshop) overlooked(files []string) {
	const most = 10
	for i, file := range files {
		if i == most {
			w.Warnings = append(w.Warnings, fmt.Sprintf("%s: %d more files like these", rackDir, len(files)-most))
			return
		}
		w.Warnings = append(w.Warnings, fmt.Sprintf("%s is not on the rack: expected a file named %s/NAME%s, in small letters at its end", file, rackDir, hideExt))
	}
}

func (w *Workshop) readHide(file, name string) error {
	data, err := w.read(file)
	if err != nil {
		return err
	}
	h, err := w.Hide(file, data, name)
	if err != nil {
		return err
	}
	w.Hides = append(w.Hides, h)
	w.compareStamp(file, h)
	return nil
}

// Hide reads a hide file as one of this workshop: of a leather and with kinds of
// flaw that its rules know, and as thick as they say where the file tells no substance.
// The error is a *source.Error.
func (w *Workshop) Hide(file string, data []byte, name string) (*hide.Hide, error) {
	h, err := intake.Read(file, data, name, w.Kinds)
	if err != nil {
		return nil, err
	}
	names := w.LeatherNames()
	if slices.Contains(names, h.Leather()) {
		return h.Of(w.Nominal(h.Leather())), nil
	}
	fault := &source.Error{File: file, Path: "leather"}
	if doc, err := source.TOML(file, data, &map[string]any{}); err == nil {
		fault.Line = doc.Line("leather")
	}
	if len(names) == 0 {
		fault.Rule = fmt.Sprintf("found the leather %q, and %s lists none", h.Leather(), RulesFile)
	} else {
		fault.Rule = fmt.Sprintf("found the leather %q, expected one of %s", h.Leather(), strings.Join(names, ", "))
	}
	if fault.Hint = source.DidYouMean(h.Leather(), names); fault.Hint == "" {
		fault.Hint = fmt.Sprintf("add [%s] to %s", source.Key("leathers", h.Leather()), RulesFile)
	}
	return nil, fault
}

// HideFile is the file of a hide on the rack, relative to the workshop, with / in it.
func HideFile(name string) string { return path.Join(rackDir, name+hideExt) }

// farFromStamp is how many times larger or smaller than its stamp an outline may
// be. Leather drifts by a few parts in a hundred with the weather (code of practice
// for area measurement), and a side fills 0.885 of the rectangle of a first
// estimate (common practice, no source); beyond this lies a slip.
const farFromStamp = 1.5

// compareStamp warns of an area as stamped that is not that of the outline.
func (w *Workshop) compareStamp(file string, h *hide.Hide) {
	stamped, drawn := h.Stamped(), h.Area()
	if stamped > 0 && (stamped > farFromStamp*drawn || drawn > farFromStamp*stamped) {
		w.Warnings = append(w.Warnings, fmt.Sprintf("%s: area: found %s as stamped, and the outline has %s: look at the units, or whether a part has been cut off",
			file, w.Rule.Area(stamped), w.Rule.Area(drawn)))
	}
}

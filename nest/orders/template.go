package orders

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide/drawing"
	"strapwise/hide/source"
	"strapwise/nest"
)

// templates are the drawings that pieces are cut to, each read once.
type templates struct {
	read  func(file string) ([]byte, error)
	known map[string]*nest.Template
}

// of reads the templates of a pattern that has passed its check.
func (t templates) of(p *pattern) error {
	for _, pc := range p.inOrder() {
		if pc.template.text == "" {
			continue
		}
		var err error
		if pc.drawn, err = t.file(pc.template); err != nil {
			return err
		}
	}
	return nil
}

// file reads the drawing that a piece names.
func (t templates) file(w word) (*nest.Template, error) {
	no := func(rule, hint string) (*nest.Template, error) { return nil, w.doc.Fault(w.path, rule, hint) }
	name := w.text
	quoted := fmt.Sprintf("%q", source.Shorten(name, source.Quoted))
	const within = "a template lies in the workshop's folder: cheek.svg, templates/cheek.svg"
	switch {
	case strings.Contains(name, `\`) || strings.ContainsFunc(name, source.IsControl):
		return no("found "+quoted+", expected the name of a drawing, its folders parted by /", within)
	case !filepath.IsLocal(filepath.FromSlash(name)) || slices.Contains(strings.Split(name, "/"), ".."):
		return no("found "+quoted+", which leads out of the workshop, expected a file in it", within)
	case strings.ToLower(path.Ext(name)) != ".svg":
		return no("found "+quoted+", expected a drawing in SVG, its name with .svg at the end", "")
	}
	name = path.Clean(name)
	if known := t.known[name]; known != nil {
		return known, nil
	}
	data, err := t.read(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return no("found no file "+quoted+" in the workshop, expected the drawing of the template", "")
	case err != nil:
		return nil, err
	}
	outline, err := drawing.Outline(name, data)
	if err != nil {
		return nil, err
	}
	for i, what := range []string{"long", "wide"} {
		if mm := outline.Bound().Max[i]; !(mm >= leastCut && mm <= longest) {
			return nil, &source.Error{
				File: name, Rule: fmt.Sprintf("found an outline %s %s, expected %s to %s", millimetres(mm), what, millimetres(leastCut), millimetres(longest)),
				Hint: "look at the unit of the drawing's width and height, and at its viewBox",
			}
		}
	}
	t.known[name] = &nest.Template{File: name, Outline: outline}
	return t.known[name], nil
}

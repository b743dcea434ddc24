package draw

import (
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"strapwise/report"
)

// face is the name in a document of the type that goes into it: the Go fonts, by
// whose widths pages are set.
const face = "go"

// fonts puts the type into the document: of each face the letters that are used.
func (p *pdf) fonts() {
	p.AddUTF8FontFromBytes(face, "", goregular.TTF)
	p.AddUTF8FontFromBytes(face, "B", gobold.TTF)
}

// missing stands for letters that the type does not have.
const missing = '□'

var regular = sync.OnceValue(func() *sfnt.Font {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic("draw: a font compiled into the program does not parse: " + err.Error())
	}
	return f
})

// has reports whether the type has a letter that a document can take.
func has(r rune) bool {
	var buffer sfnt.Buffer
	i, err := regular().GlyphIndex(&buffer, r)
	return err == nil && i != 0 && r <= 0xFFFF
}

// inFont is a text with only such letters as the type has, and reports whether
// that is all of it.
func inFont(s string) (string, bool) {
	only := strings.Map(func(r rune) rune {
		if has(r) {
			return r
		}
		return missing
	}, s)
	return only, only == s
}

// Lacking are the letters of pages that PDF shows as boxes, since its type does not have
// them: each once, in the order in which they are met.
func Lacking(pages []report.Page) string {
	var out strings.Builder
	var look func(items []report.Item)
	look = func(items []report.Item) {
		for _, item := range items {
			switch it := item.(type) {
			case report.View:
				look(it.Items)
			case report.Text:
				for _, r := range report.Plain(it.Runs) {
					if !has(r) && !strings.ContainsRune(out.String(), r) {
						out.WriteRune(r)
					}
				}
			}
		}
	}
	for _, page := range pages {
		look(page.Items)
	}
	return out.String()
}

package draw

import (
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
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
const missing = "□"

var regular = sync.OnceValue(func() *sfnt.Font {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic("draw: a font compiled into the program does not parse: " + err.Error())
	}
	return f
})

// inFont is a text with only such letters as the type has, and reports whether
// that is all of it.
func inFont(s string) (string, bool) {
	var buffer sfnt.Buffer
	var b strings.Builder
	all := true
	for _, r := range s {
		if i, err := regular().GlyphIndex(&buffer, r); err != nil || i == 0 || r > 0xFFFF {
			b.WriteString(missing)
			all = false
			continue
		}
		b.WriteRune(r)
	}
	return b.String(), all
}

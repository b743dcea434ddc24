package draw

import (
	"bytes"
	"fmt"
	"html/template"
	"unicode/utf8"

	"strapwise/report"
)

// HTML writes a cutting sheet as one file that needs no other and no network: the
// picture as SVG, the list as a table with boxes to tick. It prints as black on
// white. It is XML as well. Equal cards give equal bytes.
func HTML(c report.Card) ([]byte, error) {
	svg, err := SVG(c.Picture)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = cardPage.Execute(&out, struct {
		report.Card
		SVG template.HTML
	}{c, template.HTML(svg[bytes.Index(svg, []byte("<svg")):])}) // written and escaped by SVG
	return bytes.Map(legible, out.Bytes()), err
}

// Picture writes a page as one HTML file that needs no other and no network: the
// picture as SVG, as wide as the window or the paper.
func Picture(page report.Page) ([]byte, error) {
	svg, err := SVG(page)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = picturePage.Execute(&out, struct {
		Title string
		SVG   template.HTML
	}{page.Title, template.HTML(svg[bytes.Index(svg, []byte("<svg")):])}) // written and escaped by SVG
	return bytes.Map(legible, out.Bytes()), err
}

var picturePage = template.Must(template.New("picture").Parse(`<!DOCTYPE html>
<html lang="en" xmlns="http://www.w3.org/1999/xhtml">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>{{.Title}}</title>
<style>
body { margin: 0 auto; max-width: 75em; background: white; }
svg { width: 100%; height: auto; }
@media print { body { max-width: none; } @page { margin: 10mm; } }
</style>
</head>
<body>
{{.SVG}}</body>
</html>
`))

// legible is a letter, or what stands for one that no page may hold (XML 1.0, 2.2).
func legible(r rune) rune {
	if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
		return utf8.RuneError
	}
	return r
}

// hair is a space so thin that it is hardly seen. It keeps 6 and 3⁄16 from being copied as
// 63⁄16.
const hair = "\u200a"

// runs sets a text, fractions as such.
func runs(all []report.Run) template.HTML {
	var b bytes.Buffer
	for _, r := range all {
		if r.Den == 0 {
			b.WriteString(template.HTMLEscapeString(r.Words))
			continue
		}
		if g, ok := glyphs[[2]int64{r.Num, r.Den}]; ok {
			b.WriteString(g)
			continue
		}
		if set := b.Bytes(); len(set) > 0 && set[len(set)-1] >= '0' && set[len(set)-1] <= '9' {
			b.WriteString(hair)
		}
		fmt.Fprintf(&b, "<span class=\"fraction\"><sup>%d</sup>%s<sub>%d</sub></span>", r.Num, stroke, r.Den)
	}
	return template.HTML(b.String())
}

var cardPage = template.Must(template.New("card").Funcs(template.FuncMap{"runs": runs, "plain": report.Plain, "accent": func() template.CSS { return template.CSS(accent) }}).Parse(`<!DOCTYPE html>
<html lang="en" xmlns="http://www.w3.org/1999/xhtml">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>{{.Picture.Title}}</title>
<style>
body { font: 16px/1.4 system-ui, sans-serif; color: black; background: white; margin: 1.5em auto; padding: 0 1em; max-width: 75em; }
header { border-bottom: 2px solid; display: flex; flex-wrap: wrap; gap: 0 1em; align-items: baseline; }
h1 { font-size: 1.8em; margin: 0; }
.plan { margin-left: auto; }
p { margin: 0.3em 0; }
svg { width: 100%; height: auto; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: normal; font-size: 0.85em; border-bottom: 1px solid; }
td, th { padding: 0.25em 0.8em 0.25em 0; vertical-align: baseline; }
tr { break-inside: avoid; }
td.name { font-weight: bold; white-space: nowrap; }
td.in { padding-left: 1em; }
.set { text-align: right; white-space: nowrap; }
td.set { font-weight: bold; }
td.same { font-weight: normal; }
.cut { display: inline-block; margin-right: 1.2em; white-space: nowrap; }
.cut b { margin-right: 0.3em; }
.new { color: {{accent}}; }
.fraction { white-space: nowrap; }
sup, sub { font-size: 0.65em; line-height: 0; }
input { width: 1.3em; height: 1.3em; margin: 0; vertical-align: -0.2em; }
label { display: inline-block; min-width: 1.6em; }
footer { border-top: 1px solid; margin-top: 1em; font-size: 0.85em; }
@media screen { input { width: 28px; height: 28px; } label { padding: 8px; } }
@media print { body { font-size: 10pt; margin: 0; padding: 0; max-width: none; } @page { margin: 10mm; } }
</style>
</head>
<body>
<header>
<h1>{{.Name}}</h1>
<span>{{.About}}</span>
<span class="plan">{{.Mark}}</span>
</header>
{{range .Facts}}<p>{{.}}</p>
{{end}}<figure style="margin: 0.5em 0">
{{.SVG}}</figure>
<table>
<thead>
<tr><th scope="col">done</th><th scope="col">no.</th><th scope="col" class="set">cutter</th><th scope="col">what to do</th><th scope="col">cross-cut at</th></tr>
</thead>
<tbody>
{{range $n, $line := .Lines}}<tr{{if .New}} class="new"{{end}}>{{if .Tick}}<td><label><input type="checkbox" aria-label="done: {{with .Name}}{{.}} {{end}}{{plain .Do}}"/></label></td>{{else}}<td></td>{{end -}}
{{if or .Name .Set}}<td class="name{{if .In}} in{{end}}">{{.Name}}</td><td class="set{{if .Same}} same{{end}}">{{runs .Set}}</td><td>{{runs .Do}}</td><td>
{{- if .Cuts}}<label><input type="checkbox" aria-label="cut: {{.Name}}"/></label>{{range .Cuts}}<span class="cut{{if .New}} new{{end}}"><b>{{runs .At}}</b> {{.Off}}</span> {{end}}{{end}}</td>
{{- else}}<td colspan="4">{{runs .Do}}</td>{{end}}</tr>
{{end}}</tbody>
</table>
<footer><p>{{.Cautions}}</p></footer>
</body>
</html>
`))

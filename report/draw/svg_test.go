package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report"
	"strapwise/report/internal/made"
)

func page(items ...report.Item) report.Page {
	return report.Page{Width: 100, Height: 50, Title: "t", Items: items}
}

func TestItems(t *testing.T) {
	at := orb.Point{1, 2}
	line := []orb.Point{{0, 0}, {1.23456, -0.0001}}
	for name, c := range map[string]struct {
		item report.Item
		want string
	}{
		"a line":                    {report.Shape{Points: line, Weight: 0.35}, `<path d="M0 0L1.235 0" fill="none" stroke="black" stroke-width="0.35"/>`},
		"an open shape has no fill": {report.Shape{Points: line, Weight: 1, Fill: report.Solid}, `<path d="M0 0L1.235 0" fill="none" stroke="black" stroke-width="1"/>`},
		"a dashed outline":          {report.Shape{Points: line, Closed: true, Weight: 0.6, Dash: []float64{3, 1.5}}, `<path d="M0 0L1.235 0Z" fill="none" stroke="black" stroke-width="0.6" stroke-dasharray="3 1.5"/>`},
		"solid without a line":      {report.Shape{Points: line, Closed: true, Fill: report.Solid}, `<path d="M0 0L1.235 0Z" fill="black"/>`},
		"solid, what has changed":   {report.Shape{Points: line, Closed: true, Fill: report.Solid, Weight: 1, Accent: true}, `<path d="M0 0L1.235 0Z" fill="#8b0f14" stroke="#8b0f14" stroke-width="1"/>`},
		"words of what has changed": {report.Text{At: at, Size: 3, Accent: true, Runs: []report.Run{{Words: "a"}}}, `<text x="1" y="2" font-size="3" fill="#8b0f14" xml:space="preserve">a</text>`},
		"hatch":                     {report.Shape{Points: line, Closed: true, Fill: report.Hatch}, `<path d="M0 0L1.235 0Z" fill="url(#hatch)"/>`},
		"stipple":                   {report.Shape{Points: line, Closed: true, Fill: report.Stipple}, `<path d="M0 0L1.235 0Z" fill="url(#stipple)"/>`},
		"dense":                     {report.Shape{Points: line, Closed: true, Fill: report.Dense}, `<path d="M0 0L1.235 0Z" fill="url(#dense)"/>`},
		"bare paper":                {report.Shape{Points: line, Closed: true, Fill: report.Bare}, `<path d="M0 0L1.235 0Z" fill="white"/>`},
		"words are escaped":         {report.Text{At: at, Size: 3, Runs: []report.Run{{Words: `<A&"B'`}}}, `<text x="1" y="2" font-size="3" xml:space="preserve">&lt;A&amp;&#34;B&#39;</text>`},
		"bold, at its end":          {report.Text{At: at, Size: 3, Bold: true, Anchor: report.End, Runs: []report.Run{{Words: "a"}}}, `<text x="1" y="2" font-size="3" font-weight="bold" text-anchor="end" xml:space="preserve">a</text>`},
		"turned anticlockwise":      {report.Text{At: at, Size: 3, Turn: 90, Anchor: report.Middle, Runs: []report.Run{{Words: "a"}}}, `<text x="1" y="2" font-size="3" text-anchor="middle" transform="rotate(-90 1 2)" xml:space="preserve">a</text>`},
		"a fraction of one letter":  {report.Text{At: at, Size: 3, Runs: []report.Run{{Words: "1"}, {Num: 3, Den: 8}}}, `>1⅜</text>`},
		"a fraction of small figures": {
			report.Text{At: at, Size: 10, Runs: []report.Run{{Words: "1"}, {Num: 11, Den: 32}}},
			`>1<tspan font-size="6.2" dy="-3">11</tspan><tspan dy="3">⁄</tspan><tspan font-size="6.2">32</tspan></text>`,
		},
	} {
		got, err := SVG(page(c.item))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(got), c.want) {
			t.Errorf("%s: found no %s in\n%s", name, c.want, got)
		}
	}
}

func TestSVGRefuses(t *testing.T) {
	nan := math.NaN()
	for rule, p := range map[string]report.Page{
		"expected more than nothing": {Width: 0, Height: 10},
		"item 0: found the place":    page(report.Shape{Points: []orb.Point{{0, 0}, {nan, 1}}}),
		`item 0, "x": found`:         page(report.Text{At: orb.Point{math.Inf(1), 0}, Runs: []report.Run{{Words: "x"}}}),
		"found a <nil>":              page(nil),
	} {
		if _, err := SVG(p); err == nil || !strings.Contains(err.Error(), rule) {
			t.Errorf("got %v, expected %q", err, rule)
		}
	}
}

// The sheets of all the invented plans are well-formed, refer to nothing
// outside, use no colour, and come out the same twice.
func TestSheetsAsSVG(t *testing.T) {
	for name, f := range map[string]func() (nest.Job, nest.Plan, error){
		"side": made.Side, "whole": made.Whole, "sheet": made.Sheet,
		"random": func() (nest.Job, nest.Plan, error) { return made.Random(3) },
	} {
		t.Run(name, func(t *testing.T) {
			j, p, err := f()
			if err != nil {
				t.Fatal(err)
			}
			var twice [2][]byte
			for i := range twice {
				pages, err := report.Sheet(j, p, j.Hides[0].Name(), report.Options{Rule: measure.RuleOf(measure.Inch), Workshop: `A & B <"straps">`})
				if err != nil {
					t.Fatal(err)
				}
				if twice[i], err = SVG(pages[0]); err != nil {
					t.Fatal(err)
				}
			}
			if d := cmp.Diff(string(twice[0]), string(twice[1])); d != "" {
				t.Errorf("not the same twice: %s", d)
			}
			for d := xml.NewDecoder(bytes.NewReader(twice[0])); ; {
				_, err := d.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			for _, link := range regexp.MustCompile(`(href|src)="[^"]*"|url\([^)]*\)|@import`).FindAllString(string(twice[0]), -1) {
				if !strings.HasPrefix(link, "url(#") {
					t.Errorf("refers to %s", link)
				}
			}
			for _, ink := range regexp.MustCompile(`(fill|stroke)="([^"]*)"`).FindAllStringSubmatch(string(twice[0]), -1) {
				if ink[2] != "none" && ink[2] != "black" && ink[2] != "white" && !strings.HasPrefix(ink[2], "url(#") {
					t.Errorf("found ink %s", ink[0])
				}
			}
			if !bytes.Contains(twice[0], []byte(`width="297.000mm" height="210.000mm"`)) {
				t.Error("not the size of its paper")
			}
		})
	}
}

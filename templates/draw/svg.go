package draw

import (
	"bytes"
	"cmp"
	"fmt"
	"strings"

	"jarwright/templates/plain"
)

// SVG gives the drawing as a file of its own, drawn for that width.
func (d Drawing) SVG(width float64) []byte {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	b.Write(d.svg("picture", width, true))
	return b.Bytes()
}

// InlineSVG gives the drawing, drawn for that width, as an element for a page. Its
// class is wide, print or phone, so that a page can hold one for each and show that
// which fits. The id must be its own within the page and a plain word.
func (d Drawing) InlineSVG(id string, width float64) []byte { return d.svg(id, width, false) }

// edge is the paper left around a picture that is a file of its own.
const edge = 16.0

func (d Drawing) svg(id string, width float64, alone bool) []byte {
	s := d.layout(width)
	var b bytes.Buffer
	pad := 0.0
	if alone {
		pad = edge
	}
	wide, high, from := num(s.width+2*pad), num(s.height+2*pad), num(-pad)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="%s" viewBox="%s %s %s %s" width="%s" height="%s" role="img" `+
		`aria-labelledby="%s-title %s-desc" font-family='%s'>`+"\n", s.name, from, from, wide, high, wide, high, id, id, faces)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, plain.XML(d.name()), id,
		plain.XML(plain.Line(d.Description)))
	if alone {
		fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" fill="%s"/>`+"\n", from, from, wide, high, Paper)
	}
	for _, it := range s.items {
		switch it := it.(type) {
		case area:
			fmt.Fprintf(&b, `<path d="%sZ" fill="%s"/>`+"\n", path(it.at), it.fill)
		case stroke:
			it.svg(&b)
		case words:
			it.svg(&b)
		}
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func (s stroke) svg(b *bytes.Buffer) {
	end := ""
	if s.fill != "" {
		end = "Z"
	}
	fmt.Fprintf(b, `<path d="%s%s" fill="%s" stroke="%s" stroke-width="%s"`, path(s.at), end, cmp.Or(s.fill, "none"), s.color, num(s.width))
	var dash []string
	for _, v := range s.dash {
		dash = append(dash, num(v))
	}
	if dash != nil {
		fmt.Fprintf(b, ` stroke-dasharray="%s"`, strings.Join(dash, " "))
	}
	b.WriteString(` stroke-linejoin="round"/>` + "\n")
}

func (t words) svg(b *bytes.Buffer) {
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" fill="%s"`, num(t.x), num(t.y), num(t.size), t.color)
	if t.anchor != "start" {
		fmt.Fprintf(b, ` text-anchor="%s"`, t.anchor)
	}
	if t.bold {
		b.WriteString(` font-weight="bold"`)
	}
	if strings.HasSuffix(t.text, " ") {
		b.WriteString(` xml:space="preserve"`)
	}
	if t.halo {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="4" stroke-linejoin="round" paint-order="stroke"`, Paper)
	}
	fmt.Fprintf(b, ">%s", plain.XML(t.text))
	for _, r := range t.more {
		weight := "normal"
		if r.bold {
			weight = "bold"
		}
		fmt.Fprintf(b, `<tspan font-size="%s" font-weight="%s" fill="%s">%s</tspan>`, num(r.size), weight, r.color, plain.XML(r.text))
	}
	b.WriteString("</text>\n")
}

// name is the title, or what the first plot shows where there is none.
func (d Drawing) name() string {
	if d.Title == "" && len(d.Panels) > 0 {
		return plain.Line(d.Panels[0].Y.Label() + " against " + d.Panels[0].X.Label())
	}
	return plain.Line(d.Title)
}

func path(at []XY) string {
	var b strings.Builder
	for i, p := range at {
		b.WriteString([...]string{"M", "L"}[min(i, 1)] + num(p.X) + " " + num(p.Y))
	}
	return b.String()
}

// num writes a length with at most two decimals.
func num(v float64) string {
	s := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

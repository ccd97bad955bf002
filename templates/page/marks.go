package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// mark is the program's mark: five jars from mud to clear on a gauge board, the planning dose through it.
var mark = drawMark()

// Mark draws the mark for a page around the reports.
func Mark() template.HTML { return mark }

// MarkSVG is the mark as a file.
func MarkSVG() []byte {
	return []byte(strings.NewReplacer("<svg ", `<svg xmlns="http://www.w3.org/2000/svg" `, "currentColor", "#16211F", "var(--paper)", "#FAF9F4").Replace(string(mark)))
}

func drawMark() template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="mark" viewBox="0 0 84 41" width="84" height="41" role="img" aria-label="jarwright: a row of jars clearing">`)
	const pitch, wide, top, foot = 16.8, 11.4, 7.0, 27.0
	for i := range 5 {
		x := 2.7 + pitch*float64(i)
		switch left := foot - top; i {
		case 0:
			box(&b, x, top, wide, left)
		case 1, 2: // mud thins out: lines further apart
			for y, gap := top, 3.9*float64(i); y < foot-1; y += gap {
				box(&b, x, y, wide, 2.4-0.8*float64(i-1))
			}
		default: // clear water over what has settled
			box(&b, x, top, wide, 0.9)
			box(&b, x, foot-4.4, wide, 4.4)
		}
		fmt.Fprintf(&b, `<path d="M%s 2L%s 3.6V25.4q0 1.6 1.6 1.6h8.2q1.6 0 1.6 -1.6V3.6L%s 2" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linejoin="round" stroke-linecap="round"/>`,
			at(x-1.5), at(x), at(x+wide+1.5))
	}
	fmt.Fprint(&b, `<path d="M.4 31H83.6V34H.4Z" fill="none" stroke="currentColor" stroke-width=".8"/>`)
	for i := range 5 {
		box(&b, pitch*float64(i), 31, pitch/2, 3)
	}
	b.WriteString(`<path d="M55.9 30H61.7V35H55.9Z" fill="var(--paper)"/>`)
	box(&b, 57, 29.2, 3.6, 9)
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

func box(b *strings.Builder, x, y, w, h float64) {
	fmt.Fprintf(b, `<path d="M%s %sh%sv%sh-%sZ" fill="currentColor"/>`, at(x), at(y), at(w), at(h), at(w))
}

// at writes a length of a drawing.
func at(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// inJars is a chance as so many clear jars of a row: the fewest jars that tell it, ten at most.
func inJars(of float64) (clear, all int) {
	for n := 2; n <= 10; n++ {
		if k := math.Round(of * float64(n)); math.Abs(k/float64(n)-of) < 0.005 && k < float64(n) {
			return int(k), n
		}
	}
	return int(math.Round(of * 10)), 10
}

// odds says a chance in words.
func odds(c Chance) string {
	k, n := inJars(c.Of)
	switch {
	case k == n:
		return "meets it nearly every time"
	case k == 1 && n == 2:
		return "meets it every second time"
	case k == 1:
		return fmt.Sprintf("meets it once in %d times", n)
	}
	return fmt.Sprintf("meets it %d times in %d", k, n)
}

// jars draws a row of jars, so many of them clear.
func jars(clear, all int) template.HTML {
	var b strings.Builder
	const pitch, tall = 21.0, 36.0
	wide := pitch*float64(all) - 2
	fmt.Fprintf(&b, `<svg class="odds" viewBox="0 0 %s %s" width="%s" height="%s" aria-hidden="true">`, at(wide), at(tall), at(wide), at(tall))
	for i := range all {
		x := pitch*float64(i) + 2
		surface, fill := 9.0, "var(--silt)"
		if i < clear {
			fmt.Fprintf(&b, `<path d="M%s 10h15v20h-15Z" fill="var(--clear)"/>`, at(x))
			surface = 30
		}
		fmt.Fprintf(&b, `<path d="M%s %sh15V31.4q0 2.6 -2.6 2.6h-9.8q-2.6 0 -2.6 -2.6Z" fill="%s"/>`, at(x), at(surface), fill)
		fmt.Fprintf(&b, `<path d="M%s 9.4h15" stroke="var(--ink)" stroke-width=".8"/>`, at(x))
		fmt.Fprintf(&b, `<path d="M%s 1.6L%s 4.4V31.2q0 2.8 2.8 2.8h9.4q2.8 0 2.8 -2.8V4.4L%s 1.6" fill="none" stroke="var(--ink)" stroke-width="1.5" stroke-linejoin="round" stroke-linecap="round"/>`,
			at(x-1.6), at(x), at(x+16.6))
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

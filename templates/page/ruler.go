package page

import (
	"fmt"
	"html/template"
	"strings"

	"jarwright/templates/plain"
)

// Ruler is a gauge board that is read straight across: what stands above it belongs to what stands
// below it. Places go from 0 to 1 along the board.
type Ruler struct {
	// Above and Below name the two scales with their units.
	Above, Below string
	Top, Bottom  []Tick
	// Blocks is how many blocks the board has.
	Blocks int
	// Now is where it stands: the words above and below, bold.
	Now float64
	// Small leaves room for a wide number beside it.
	Small          bool
	NowTop, NowLow string
}

// Tick is a place on a scale; one without words is a line alone.
type Tick struct {
	At    float64
	Words string
}

// svg draws the board for a page, for paper and for a phone; name says what it is of.
func (r *Ruler) svg(name string) template.HTML {
	if r == nil {
		return ""
	}
	var b strings.Builder
	wide, print := 520.0, 430.0
	if r.Small {
		wide, print = 380, 320
	}
	r.draw(&b, name, "wide", wide)
	r.draw(&b, name, "print", print)
	r.draw(&b, name, "phone", 326)
	return template.HTML(b.String())
}

func (r *Ruler) draw(b *strings.Builder, name, class string, wide float64) {
	const left, board, tall, letter = 20.0, 58.0, 9.0, 6.6
	span := wide - 2*left
	x := func(at float64) float64 { return left + span*at }
	fmt.Fprintf(b, `<svg class="ruler %s" viewBox="0 0 %s 108" width="%s" height="108" role="img" aria-label="%s">`, class, at(wide), at(wide),
		plain.XML(set(fmt.Sprintf("%s: %s for %s; now %s for %s", name, r.Below, r.Above, r.NowLow, r.NowTop))))
	text := func(at_ float64, y, size float64, anchor, extra, s string) {
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" text-anchor="%s"%s>%s</text>`, at(at_), at(y), at(size), anchor, extra, plain.XML(set(s)))
	}
	const soft, bold = ` class="soft"`, ` font-weight="700"`
	text(0, 13, 13, "start", soft, r.Above)
	text(wide-2, 103, 13, "end", soft, r.Below)
	fmt.Fprintf(b, `<path d="M%s %sh%sv%sh-%sZ" fill="#fff" stroke="var(--ink)"/>`, at(left), at(board), at(span), at(tall), at(span))
	for i := 0; i < r.Blocks; i += 2 {
		w := span / float64(max(r.Blocks, 1))
		fmt.Fprintf(b, `<path d="M%s %sh%sv%sh-%sZ" fill="var(--ink)"/>`, at(left+w*float64(i)), at(board), at(w), at(tall), at(w))
	}
	// words that would touch those of the place it stands at, or the ones before, give way
	clear := func(last *float64, at_, size float64, s, now string, nowSize float64) bool {
		half := float64(len([]rune(s))) * letter * size / 13 / 2
		mid := float64(len([]rune(now))) * letter * nowSize / 13 / 2
		gap := at_ - x(r.Now)
		if gap < 0 {
			gap = -gap
		}
		if at_-half < *last+5 || gap < half+mid+5 {
			return false
		}
		*last = at_ + half
		return true
	}
	last := -10.0
	for _, t := range r.Top {
		fmt.Fprintf(b, `<path d="M%s 44v14" stroke="var(--ink)" stroke-width="1.4"/>`, at(x(t.At)))
		if t.Words != "" && clear(&last, x(t.At), 13, t.Words, r.NowTop, 17) {
			text(x(t.At), 40, 13, "middle", "", t.Words)
		}
	}
	last = -10.0
	for _, t := range r.Bottom {
		fmt.Fprintf(b, `<path d="M%s 67v5" stroke="var(--ink)" stroke-width="1.2"/>`, at(x(t.At)))
		if t.Words != "" && clear(&last, x(t.At), 13, t.Words, r.NowLow, 18) {
			text(x(t.At), 86, 13, "middle", "", t.Words)
		}
	}
	fmt.Fprintf(b, `<path d="M%s 27h12v58h-12Z" fill="var(--paper)"/><path d="M%s 27h8v58h-8Z" fill="var(--ink)"/>`, at(x(r.Now)-6), at(x(r.Now)-4))
	text(x(r.Now), 22, 17, "middle", bold, r.NowTop)
	text(x(r.Now), 102, 18, "middle", bold, r.NowLow)
	b.WriteString("</svg>\n")
}

package page

import (
	"fmt"
	"html/template"
	"strings"

	"jarwright/templates/plain"
)

// Limits are bars on which a figure stands against its limits.
type Limits []Limit

// Limit is a figure, the least and the most that it may be, 0 for none, and what it says in words.
type Limit struct {
	Name, Says    string
	Now, From, To float64
}

// svg draws the bar: what is not to be is hatched, where the figure stands is the board's mark.
func (l Limit) svg() template.HTML {
	const wide, tall, y = 240.0, 22.0, 6.5
	low, high := 0.0, 1.3*max(l.To, l.Now)
	switch {
	case l.To == 0:
		high = max(1.3*l.Now, 1.6*l.From)
	case l.From > 0:
		span := l.To - l.From
		low, high = min(l.From-0.35*span, l.Now-0.1*span), max(l.To+0.35*span, l.Now+0.1*span)
	}
	x := func(v float64) float64 { return 5 + (wide-10)*(v-low)/(high-low) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="limit" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-label="%s">`, at(wide), at(tall), at(wide), at(tall), plain.XML(set(l.Name+": "+l.Says)))
	fmt.Fprintf(&b, `<path d="M%s %sH%sV%sH%sZ" fill="#fff" stroke="var(--ink)"/>`, at(x(low)), at(y), at(x(high)), at(tall-y), at(x(low)))
	not := func(from, to, edge float64) {
		for c := from; c < to-1; c += 6 {
			end := min(c+tall-2*y, to)
			fmt.Fprintf(&b, `<path d="M%s %sL%s %s" stroke="var(--red)" stroke-width="1.2"/>`, at(c), at(tall-y), at(end), at(tall-y-(end-c)))
		}
		fmt.Fprintf(&b, `<path d="M%s 2V%s" stroke="var(--red)" stroke-width="2.4"/>`, at(edge), at(tall-2))
	}
	if l.From > 0 {
		not(x(low), x(l.From), x(l.From))
	}
	if l.To > 0 {
		not(x(l.To), x(high), x(l.To))
	}
	fmt.Fprintf(&b, `<path d="M%s 0h10v%sh-10Z" fill="var(--paper)"/><path d="M%s 0h6v%sh-6Z" fill="var(--ink)"/></svg>`, at(x(l.Now)-5), at(tall), at(x(l.Now)-3), at(tall))
	return template.HTML(b.String())
}

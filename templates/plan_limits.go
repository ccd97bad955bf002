package templates

import (
	"strings"

	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// onLimits are the checks that the board of limits shows, by rule: what is looked at, and whether the limit is the
// least of it; a limit of two figures is a range.
var onLimits = []struct {
	rule, name string
	least      bool
}{
	{"alkalinity-low", "Alkalinity left", true},
	{"ph-outside-range", "pH", false},
	{"co2-high", "Carbon dioxide", false},
	{"nh3-high", "Free ammonia", false},
	{"nh3-aerated", "Free ammonia, aerated", false},
}

// limitsText shows on pages where the water stands against each limit, and reports that it did; text has it in its tables and in
// the list of checks.
func limitsText(t *Text, f caution.Findings) bool {
	var list []page.Limit
	for _, x := range onLimits {
		l, tightest := page.Limit{}, -1.0
		for _, c := range f.Checks {
			found, bound := numbersOf(c.Found), numbersOf(c.Limit)
			if c.Rule != x.rule || len(found) != 1 || len(bound) == 0 {
				continue
			}
			now := page.Limit{Name: x.name, Now: found[0]}
			says, near := "%s, at most %s", found[0]/max(bound[0], 1e-9)
			switch {
			case len(bound) == 2:
				now.From, now.To, says = bound[0], bound[1], "%s, between %s"
				near = max(bound[0]/max(found[0], 1e-9), found[0]/max(bound[1], 1e-9))
			case x.least:
				now.From, says, near = bound[0], "%s, at least %s", bound[0]/max(found[0], 1e-9)
			default:
				now.To = bound[0]
			}
			limit := c.Limit
			if len(bound) == 2 {
				limit = note.Say("%s and %s", c.Limit.Args...)
			}
			now.Says = t.opt.Say(says, firstNumber(c.Found), limit)
			if near > tightest {
				l, tightest = now, near
			}
		}
		if tightest >= 0 {
			list = append(list, l)
		}
	}
	for _, r := range f.Residuals {
		if d := residualObject(r); d.Has("limit") {
			key, worst := "expected", ""
			if !d.Has(key) {
				key, worst = "worst_case", ", worst case"
			}
			now, _ := d.Fig(key).Document()
			to, _ := d.Fig("limit").Document()
			name := t.opt.Say("%s as %s%s", r.Chemical, strings.TrimPrefix(d.Said("as"), "as "), worst)
			says := figure.Say("%s, at most %s", unitless(d.Fig(key)), d.Fig("limit"))
			if d.Has("still_rising") {
				says = risesOn(says.And("; "), d)
			}
			list = append(list, page.Limit{Name: upperFirst(name), Now: now, To: to, Says: t.opt.Show(says)})
		}
	}
	if len(list) < 2 {
		return false
	}
	t.Part("Against the limits")
	return t.keep(Block{Kind: LimitsBlock, Limits: list})
}

// numbersOf are the figures of a phrase.
func numbersOf(p note.Phrase) (out []float64) {
	for _, a := range p.Args {
		if r, ok := a.(quantity.Rounded); ok {
			v, _ := r.Q.Show(quantity.Metric)
			out = append(out, v)
		}
	}
	return out
}

// firstNumber is the first figure of a phrase.
func firstNumber(p note.Phrase) any {
	for _, a := range p.Args {
		if r, ok := a.(quantity.Rounded); ok {
			return r
		}
	}
	return ""
}

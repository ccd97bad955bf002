package sheet

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// A target goes over several cells of a row, "Target | turbidity <= 3 NTU | 10 min", "Target | turbidity | <= 3 | NTU":
// none of them is a fact of its own.

// targetRow reads the name of a target with all of its cells, and passes over these cells themselves.
func (t *textCell) targetRow() bool {
	for c := t.c - 1; c >= 0 && c > t.c-mostTargetCells; c-- {
		if _, to := t.targetRun(c); to >= t.c {
			return true
		}
	}
	val, to := t.targetRun(t.c)
	if to < 0 {
		return false
	}
	d := t.base
	d.kind, d.keyed, d.text = factTarget, true, strings.TrimRight(t.v.At(t.r, t.c).Text, ":= ")+" | "+val
	t.b.facts = append(t.b.facts, d)
	return true
}

// mostTargetCells is how many cells a target has at most: name, reading, sign with number, unit, time.
const mostTargetCells = 6

// targetRun joins the cells right of the name of a target, and gives the last of them; -1 where they are not several.
func (t *textCell) targetRun(c int) (val string, to int) {
	x := t.v.At(t.r, c)
	h := layout.ReadHeading(x.Text)
	if t.in(t.r, c) || !h.Target || h.Jar || h.Amount || strings.ContainsAny(x.Text, "0123456789") {
		return "", -1
	}
	cells, numbered := 0, false
	for k := c + 1; k < c+mostTargetCells; k++ {
		next := t.v.At(t.r, k)
		s := strings.TrimSpace(asShown(next))
		_, unit := words.OnlyUnit(s)
		number := strings.ContainsAny(s, "0123456789")
		after, timed := targetTime(s)
		switch {
		case next.Blank() || t.in(t.r, k) || next.Date():
			k = c + mostTargetCells
			continue
		case val == "":
			val = s
		case timed && numbered:
			parts := strings.Split(val, "; ")
			for i, part := range parts {
				if layout.ReadHeading(part).Reading != jartest.PH || len(parts) == 1 { // which settles nothing
					parts[i] += after
				}
			}
			val = strings.Join(parts, "; ")
		case numbered && number && comparing.MatchString(s):
			val += "; " + s
		case !numbered && number && (comparing.MatchString(s) || layout.IsFigure(s)), numbered && unit:
			val += " " + s
		default:
			k = c + mostTargetCells
			continue
		}
		cells, to, numbered = cells+1, k, numbered || number
	}
	if cells < 2 || !numbered {
		return "", -1
	}
	return val, to
}

// targetTime reads a cell that is a settling time and nothing else, "10 min", "after 10 min", as a target has it.
func targetTime(s string) (string, bool) {
	for _, before := range [...]string{" ", " at "} {
		if rest, minutes, ok := jartest.AtTime(strings.ToLower(before + s)); ok && minutes > 0 && strings.TrimSpace(rest) == "" {
			return " at " + trimFloat(minutes) + " min", true
		}
	}
	return "", false
}

package site

import (
	_ "embed" // the table is part of the program
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/gauge"
	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed ranges.txt
var rangeTable string

// span is what is plausible of a field, as ranges.txt has it; an empty end bounds nothing.
type span struct {
	usual, physical [2]string // low and high, in unit
	unit, source    string
}

// pairing is what one field may be at most, against another of the same record.
type pairing struct {
	sheet, field, other string
	times               float64
	level               note.Level
	means               string
}

type plausible struct {
	spans map[[2]string]span // by sheet and field
	pairs []pairing
}

var plausibles = sync.OnceValue(func() plausible {
	out := plausible{spans: map[[2]string]span{}}
	sources, rows := table.Sourced(rangeTable)
	levels := map[string]note.Level{"caution": note.Caution, "error": note.Error}
	for _, r := range rows {
		if r[0] == "pair" {
			times, _ := table.Number(r[3])
			out.pairs = append(out.pairs, pairing{r[1], r[2], r[4], times, levels[r[5]], r[6]})
			continue
		}
		out.spans[[2]string{r[1], r[2]}] = span{usual: [2]string{r[3], r[4]}, physical: [2]string{r[5], r[6]}, unit: r[7], source: sources[r[8]]}
	}
	return out
})

// limits holds values against what is plausible of their field.
type limits[T any] struct {
	f     Field
	parse func(string) (T, error)
}

// end is a bound of the table.
func (l limits[T]) end(text string) (v T, ok bool) {
	if text == "" {
		return v, false
	}
	v, err := l.parse(strings.TrimSpace(text + " " + l.f.span.unit))
	if err != nil {
		panic("site: ranges.txt: " + l.f.Name + ": " + err.Error()) // a test reads every line
	}
	return v, true
}

// within tells whether a value lies between two ends, else on which side, and names the ends.
func (l limits[T]) within(x T, ends [2]string) (ok, above bool, band note.Phrase) {
	low, hasLow := l.end(ends[0])
	high, hasHigh := l.end(ends[1])
	switch above = hasHigh && size(x) > size(high); {
	case hasLow && hasHigh:
		band = note.Say("%s to %s", spoken(low), spoken(high))
	case hasHigh:
		band = note.Say("up to %s", spoken(high))
	default:
		band = note.Say("from %s", spoken(low))
	}
	return !above && !(hasLow && size(x) < size(low)), above, band
}

// meant asks what was meant by a value that cannot be or is not usual.
func (l limits[T]) meant(full string) string {
	return l.f.meant(full, func(text string) bool {
		v, err := l.parse(text)
		if err != nil || size(v) == 0 {
			return false
		}
		usual, _, _ := l.within(v, l.f.span.usual)
		can, _, _ := l.within(v, l.f.span.physical)
		return usual && can
	})
}

// nothing is the smallest number that a field takes beside zero, in its working unit: below it nobody measures
// anything, and what is divided by it leaves what numbers can hold.
const nothing = 1e-9

// judge gives an error where a value cannot be, a caution that asks where it is not
// usual. full is the value as written.
func (l limits[T]) judge(x T, full string) (note.Note, bool) {
	none := size(x) == 0
	if !none && math.Abs(size(x)) < nothing {
		return note.Fault("value-impossible", "%q is next to nothing", full).Do("correct it, or leave it out").From(l.f.span.source), true
	}
	if ok, _, band := l.within(x, l.f.span.physical); !ok && !(none && l.f.zero) {
		return note.Fault("value-impossible", "%q is beyond what can be (%s)%s", full, band, l.meant(full)).Do("correct it").From(l.f.span.source), true
	}
	ok, above, band := l.within(x, l.f.span.usual)
	if ok || none {
		return note.Note{}, false
	}
	far := "less"
	if above {
		far = "more"
	}
	return note.New(note.Caution, "value-unusual", "%q is "+far+" than is usual (%s)%s", full, band, l.meant(full)).
		Do("correct it, or leave it if it is so").From(l.f.span.source).ByTen(l.f.feeds && l.meant(full) != ""), true
}

// meant asks whether the same number in another unit of the field, or with its
// decimal point elsewhere, was meant, as far as one of them is usual.
func (f Field) meant(full string, usual func(string) bool) string {
	v, unit, err := quantity.Split(full)
	if err != nil {
		return ""
	}
	write := func(v float64, unit string) string { return strings.TrimSpace(quantity.Brief(v, 6) + " " + unit) }
	var found []string
	first := func(texts ...string) {
		if i := slices.IndexFunc(texts, usual); i >= 0 {
			found = append(found, `"`+texts[i]+`"`)
		}
	}
	var units, shifts []string
	if unit == "%" { // most often a share between 0 and 1 was written for it
		shifts = append(shifts, write(v*100, unit))
	}
	for _, u := range UnitChoices(f.Unit) {
		if u != unit {
			units = append(units, write(v, u))
		}
	}
	for k := 1.0; k <= 6; k++ {
		shifts = append(shifts, write(v/math.Pow(10, k), unit), write(v*math.Pow(10, k), unit))
	}
	first(shifts...)
	first(units...)
	if len(found) == 0 {
		return ""
	}
	return "; did you mean " + strings.Join(found, " or ") + "?"
}

// spoken is a value as a sentence takes it.
func spoken(x any) any {
	switch v := x.(type) {
	case Reading:
		return note.Say("%s %s", quantity.Number(v.V), gauge.Unit(v.Key))
	case SludgeDose:
		return v.InSludge
	case Knob:
		if v.Unit == "" {
			return quantity.Setting(v.V)
		}
		return note.Say("%s %s", quantity.Number(v.V), v.Unit)
	case float64:
		return quantity.Number(v)
	}
	return x
}

// size is the number in a value, NaN where it holds none; only sizes of one field are compared.
func size(x any) float64 {
	switch v := x.(type) {
	case Reading:
		return v.size()
	case SludgeDose:
		return v.size()
	case Knob:
		return v.V
	case quantity.Money:
		return v.Amount
	case quantity.Price:
		return v.Amount
	}
	switch v := reflect.ValueOf(x); v.Kind() {
	case reflect.Float64:
		return v.Float()
	case reflect.Int:
		return float64(v.Int())
	}
	return math.NaN()
}

// known gives what a member of a record holds, nil where nothing was given, and its place.
func (f Field) known(record any) (value any, at note.Place) {
	v := f.home(record)
	at = v.FieldByName("At").Interface().(note.Place)
	if v.FieldByName("OK").Bool() {
		value = v.FieldByName("V").Interface()
	}
	return value, at
}

// Pairs holds fields of one record against each other, but for those that were asked about.
func (s *Site) Pairs(asked note.List) (out note.List) {
	for _, p := range plausibles().pairs {
		sh, f := Row(p.sheet, p.field)
		_, g := Row(p.sheet, p.other)
		for row := 0; ; row++ {
			record := sh.record(s, row, false)
			if record == nil {
				break
			}
			a, at := f.known(record)
			b, other := g.known(record)
			said := slices.ContainsFunc(slices.Concat(asked, out), func(n note.Note) bool { return n.Place == at || n.Place == other })
			if !said && a != nil && b != nil && size(b) > 0 && size(a) > size(b)*p.times {
				out.Add(p.says(a, b).At(at))
			}
			if !sh.List {
				break
			}
		}
	}
	return out
}

func (p pairing) says(a, b any) note.Note {
	more := note.Say("more than")
	if p.times > 1 {
		more = note.Say("more than %s times", quantity.Number(p.times))
	}
	if r, ok := a.(Reading); ok && r.Key == gauge.Tube { // of which more is clearer
		more = note.Say("muddier than")
		if p.times > 1 {
			more = note.Say("more than %s times as muddy as", quantity.Number(p.times))
		}
	}
	return note.New(p.level, "values-disagree", "%s %s is %s the %s %s: %s%s", p.field, spoken(a), more, p.other, spoken(b), p.means,
		quantity.TimesOff(size(a), size(b))).Do("correct one of the two")
}

package site

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"sync"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// exampleSite is the example as it is read.
var exampleSite = sync.OnceValue(func() Site {
	var blocks []block
	values := Example("", "")
	for _, sh := range Sheets() {
		b := block{sheet: sh}
		for _, v := range values[sh.Name] {
			r := row{entries: map[string]entry{}}
			for name, text := range v {
				r.entries[name] = entry{text: text}
			}
			b.rows = append(b.rows, r)
		}
		blocks = append(blocks, b)
	}
	s, _ := decode("", blocks, nil) // a test reads it without fault
	return s
})

// twoDigits finds a number that is hardly met by chance.
var twoDigits = regexp.MustCompile(`[1-9]\.?0*[1-9]`)

// telling reports that a value is the example's own rather than anybody's: neither
// a round number nor a default, or words that only the example has.
func (f Field) telling(x any) bool {
	if t, ok := x.(string); ok {
		return strings.Contains(t, "(example)")
	}
	q, ok := x.(quantity.Quantity)
	if !ok || !f.Numeric || f.Unit == "h" {
		return false
	}
	v, _ := q.Show(quantity.Metric)
	return twoDigits.MatchString(quantity.Brief(v, 4))
}

// chance is how many telling values of a sheet may be the example's by chance.
const chance = 2

// leftovers names what stands of the example in a site that says it holds its own:
// the example's name, rows that are the example's from end to end, and telling
// values of a sheet that has more of them than chance would give.
func (s *Site) leftovers() note.List {
	if !s.Place.Examples.OK || s.Place.Examples.V {
		return nil
	}
	var names []string
	var first note.Place
	name := func(what string, at note.Place) {
		if names == nil {
			first = at
		}
		names = append(names, fmt.Sprintf("%s (%s)", what, note.Place{Sheet: at.Sheet, Cell: at.Cell}))
	}
	example := exampleSite()
	for _, sh := range Sheets() {
		for row := 0; ; row++ {
			own := sh.record(s, row, !sh.List)
			if own == nil {
				break
			}
			told, whole := sh.alike(own, &example)
			switch {
			case sh.List && whole:
				_, at := sh.Fields[0].known(own)
				name(fmt.Sprintf("a row of %s, %q", sh.Name, told[0].text), at)
			case !sh.List && (len(told) > chance || len(told) > 0 && sh.Name == "Place"):
				for _, x := range told {
					name(x.field.Name, x.at)
				}
			}
			if !sh.List {
				break
			}
		}
	}
	if names == nil {
		return nil
	}
	const most = 8
	if more := len(names) - most; more > 1 {
		names = append(names[:most], fmt.Sprintf("%d more", more))
	}
	return note.List{note.New(note.Caution, "example-left", "the site says that its values are its own, but some are those of the example: %s",
		strings.Join(names, ", ")).At(first).Do("put your own in, or empty them")}
}

// sameValue is a value that is the example's too.
type sameValue struct {
	field Field
	text  string
	at    note.Place
}

// alike lists the telling values that a record shares with the example's; of a list
// it tells whether the record is one of the example's rows from end to end.
func (sh Sheet) alike(own any, example *Site) (told []sameValue, whole bool) {
	for row := 0; ; row++ {
		other := sh.record(example, row, !sh.List)
		if other == nil {
			return nil, false
		}
		var told []sameValue
		given, differs := 0, false
		for _, f := range sh.Fields {
			a, at := f.known(own)
			b, _ := f.known(other)
			same := reflect.DeepEqual(a, b)
			differs = differs || !same
			if a == nil || !same {
				continue
			}
			given++
			if f.telling(a) || sh.List && given == 1 {
				told = append(told, sameValue{f, fmt.Sprint(a), at})
			}
		}
		if !sh.List {
			return told, false
		}
		if whole := !differs && (given > 3 || len(told) > 1); whole {
			return told, true
		}
	}
}

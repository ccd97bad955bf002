package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// settingsSheet is the name of the small sheet in which a workbook can carry the
// overrides that the command line has: a name and a value on each row.
const settingsSheet = "jarwright"

// settings takes the overrides out of the settings sheet, if there is one, and
// gives the other sheets. What the caller set stands above the sheet.
func (b *bench) settings(grids []*layout.Area) []*layout.Area {
	var out []*layout.Area
	for _, g := range grids {
		if !strings.EqualFold(strings.TrimSpace(g.Name), settingsSheet) {
			out = append(out, g)
			continue
		}
		if g.Fault != nil {
			b.notes.Add(*g.Fault)
		}
		v := layout.View{Area: g}
		for r := range g.Rows {
			name, val, third := layout.Text(v.At(r, 0)), layout.Text(v.At(r, 1)), layout.Text(v.At(r, 2))
			if name == "" || val == "" {
				continue
			}
			if err := b.setting(name, val, third); err != nil {
				for _, n := range note.Of(err, "bad-setting") {
					b.notes.Add(n.At(g.Place(r, 1)))
				}
			}
		}
	}
	return out
}

// setting takes one row: a value may have its unit in the third cell.
func (b *bench) setting(name, val, third string) error {
	key := strings.Trim(words.Fold(name), " :")
	if key == "setting" || key == "name" {
		return nil // the heading of the sheet
	}
	for _, s := range settingRows {
		if s.name == key || s.also == key {
			return s.set(&b.opt, val, third)
		}
	}
	return note.Fault("unknown-setting", "setting %q is not known%s", name, note.DidYouMean(key, settingNames())).Do("use one of %s", strings.Join(settingNames(), ", "))
}

// settingRows are the settings: what the caller set already stays.
var settingRows = []struct {
	name, also string
	set        func(o *Options, val, third string) error
}{
	{"sheet", "", func(o *Options, val, _ string) error { return unset(&o.Sheet, val, plainText) }},
	{"range", "", func(o *Options, val, _ string) error { return unset(&o.Range, val, plainText) }},
	{"chemical", "", func(o *Options, val, _ string) error { return unset(&o.Chemical, val, plainText) }},
	{"basis", "", func(o *Options, val, _ string) error { return o.addBasis(val) }},
	{"stock", "", func(o *Options, val, third string) error { return unset(&o.Stock, withUnit(val, third), ParseStock) }},
	{"density", "", func(o *Options, val, third string) error {
		return unset(&o.Density, withUnit(val, third), quantity.Parse[quantity.Density])
	}},
	{"jar volume", "jar-volume", func(o *Options, val, third string) error {
		return unset(&o.JarVolume, withUnit(val, third), quantity.Parse[quantity.Volume])
	}},
	{"column", "", func(o *Options, val, third string) error {
		if !slices.ContainsFunc(o.Columns, func(had Override) bool { return layout.SameText(had.Header, val) }) {
			o.Columns = append(o.Columns, Override{Header: val, Meaning: third})
		}
		return nil
	}},
	{"decimal", "", func(o *Options, val, _ string) error {
		if o.Decimal == 0 && (val == "," || val == ".") {
			o.Decimal = rune(val[0])
		}
		return nil
	}},
}

func withUnit(val, third string) string { return strings.TrimSpace(val + " " + third) }

func plainText(s string) (string, error) { return s, nil }

// unset fills an option that has its zero value.
func unset[T comparable](had *T, text string, parse func(string) (T, error)) error {
	var zero T
	if *had != zero {
		return nil
	}
	v, err := parse(text)
	if err == nil {
		*had = v
	}
	return err
}

func settingNames() []string {
	var out []string
	for _, s := range settingRows {
		out = append(out, s.name)
	}
	return out
}

// ParseStock reads the strength of a stock: "10 g/L", or "1 %" for 10 g/L, as
// benches mean it.
func ParseStock(s string) (quantity.Concentration, error) {
	t := strings.TrimSpace(s)
	if f, err := quantity.Parse[quantity.Fraction](t); err == nil {
		t = quantity.Sig(f.In("%"), 12) + " % w/v"
	}
	c, err := quantity.Parse[quantity.Concentration](t)
	if n := note.Of(err, ""); err != nil && len(n) == 1 && n[0].Code == "unit-missing" { // a dose is mg/L, a stock a thousand times that
		err = note.Fault("unit-missing", "the strength of a stock, %q, has no unit", t).Do(`write it like "10 g/L" (g/L, mg/L, %% w/v)`)
	}
	if err == nil && c <= 0 {
		err = note.Fault("bad-stock", "stock %q must be above zero", s)
	}
	return c, err
}

package sheet

import (
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
	o := &b.opt
	withUnit := strings.TrimSpace(val + " " + third)
	switch key := strings.Trim(words.Fold(name), " :"); key {
	case "sheet":
		if o.Sheet == "" {
			o.Sheet = val
		}
	case "range":
		if o.Range == "" {
			o.Range = val
		}
	case "chemical":
		if o.Chemical == "" {
			o.Chemical = val
		}
	case "basis":
		if o.Basis == "" {
			basis, err := quantity.ParseBasis(val)
			if err != nil {
				return err
			}
			o.Basis = basis
		}
	case "stock":
		if o.Stock == 0 {
			c, err := ParseStock(withUnit)
			if err != nil {
				return err
			}
			o.Stock = c
		}
	case "density":
		if o.Density == 0 {
			d, err := quantity.Parse[quantity.Density](withUnit)
			if err != nil {
				return err
			}
			o.Density = d
		}
	case "jar volume", "jar-volume":
		if o.JarVolume == 0 {
			v, err := quantity.Parse[quantity.Volume](withUnit)
			if err != nil {
				return err
			}
			o.JarVolume = v
		}
	case "column":
		for _, had := range o.Columns {
			if layout.SameText(had.Header, val) {
				return nil
			}
		}
		o.Columns = append(o.Columns, Override{Header: val, Meaning: third})
	case "decimal":
		if o.Decimal == 0 && (val == "," || val == ".") {
			o.Decimal = rune(val[0])
		}
	case "setting", "name":
	default:
		return note.Fault("unknown-setting", "setting %q is not known%s", name, note.DidYouMean(key, settingNames)).Do("use one of %s", strings.Join(settingNames, ", "))
	}
	return nil
}

var settingNames = []string{"sheet", "range", "chemical", "basis", "stock", "density", "jar volume", "column", "decimal"}

// ParseStock reads the strength of a stock: "10 g/L", or "1 %" for 10 g/L, as
// benches mean it.
func ParseStock(s string) (quantity.Concentration, error) {
	t := strings.TrimSpace(s)
	if f, err := quantity.Parse[quantity.Fraction](t); err == nil {
		t = quantity.Sig(f.In("%"), 12) + " % w/v"
	}
	c, err := quantity.Parse[quantity.Concentration](t)
	if err == nil && c <= 0 {
		err = note.Fault("bad-stock", "stock %q must be above zero", s)
	}
	return c, err
}

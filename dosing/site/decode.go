package site

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// block is one sheet as it stands in a file: rows of entries by field name. An
// item sheet has one row.
type block struct {
	sheet Sheet
	rows  []row
	// missing tells where a value that is not there would stand.
	at note.Place
}

type row struct {
	entries map[string]entry // by the field's name in the table
	at      note.Place
}

// decode gives the blocks their meaning. All faults are reported at once.
func decode(file string, blocks []block, faults note.List) (Site, error) {
	s := Site{File: file}
	seen := map[string]bool{}
	for _, b := range blocks {
		seen[b.sheet.Name] = true
		for i, r := range b.rows {
			record := b.sheet.record(&s, i, true)
			if b.sheet.place != nil {
				b.sheet.place(record, r.at)
			}
			for _, f := range b.sheet.Fields {
				e, ok := r.entries[f.Name]
				if !ok {
					e = entry{at: r.at}
					if !b.sheet.List {
						e.at = b.at
					}
				}
				if err := f.put(record, e, f); err != nil {
					faults = append(faults, note.Of(err, "bad-value")...)
				} else if f.Need == Needed && strings.TrimSpace(e.text) == "" {
					faults = append(faults, note.Fault("value-missing", "%s of the %s is missing", f.Name, thing(b.sheet)).At(e.at).
						Do("fill it in, such as %q (%s)", example(f), f.Meaning))
				}
			}
		}
	}
	for _, sh := range Sheets() { // a sheet that is not there still gives its cells a place
		if !seen[sh.Name] && !sh.List {
			r := sh.record(&s, 0, true)
			for _, f := range sh.Fields {
				_ = f.put(r, entry{at: note.Place{File: file, Sheet: sh.Name}}, f)
			}
		}
	}
	faults = append(faults, s.references()...)
	if err := faults.Err(); err != nil {
		return s, err
	}
	return s, nil
}

func thing(s Sheet) string {
	if s.List {
		return s.Thing
	}
	return strings.ToLower(s.Name)
}

func example(f Field) string {
	if f.Example == "" {
		return f.Unit
	}
	return strings.TrimSpace(f.Example + " " + f.Unit)
}

// references checks that every name used in one sheet stands in the other, and
// that no name stands twice.
func (s Site) references() note.List {
	var out note.List
	unique := func(what string, names []quantity.Known[string]) []string {
		var list []string
		seen := map[string]note.Place{}
		for _, n := range names {
			if !n.OK {
				continue
			}
			if first, ok := seen[fold(n.V)]; ok {
				out.Add(note.Fault("name-twice", "%s %q stands twice (first in %s)", what, n.V, first.Cell).At(n.At).Do("give each %s its own name", what))
			}
			seen[fold(n.V)] = n.At
			list = append(list, n.V)
		}
		return list
	}
	refer := func(v quantity.Known[string], what, sheet string, names []string) {
		if !v.OK {
			return
		}
		for _, n := range names {
			if fold(n) == fold(v.V) {
				return
			}
		}
		out.Add(note.Fault("name-unknown", "%s %q is not in the sheet %s%s", what, v.V, sheet, note.DidYouMean(v.V, names)).At(v.At).
			Do("add it to %s or correct the name", sheet))
	}
	chemicals := unique("chemical", each(s.Chemicals, func(c Chemical) quantity.Known[string] { return c.Name }))
	stocks := unique("stock", each(s.Stocks, func(c Stock) quantity.Known[string] { return c.Name }))
	pumps := unique("pump", each(s.Pumps, func(c Pump) quantity.Known[string] { return c.Name }))
	tanks := unique("tank", each(s.Tanks, func(c Tank) quantity.Known[string] { return c.Name }))
	for _, c := range s.Chemicals {
		refer(c.Stock, "stock", "Stocks", stocks)
		refer(c.Pump, "pump", "Pumps", pumps)
	}
	for _, k := range s.Stocks {
		refer(k.Tank, "tank", "Tanks", tanks)
		refer(k.MixTank, "tank", "Tanks", tanks)
	}
	for _, d := range s.Drawdown {
		refer(d.Pump, "pump", "Pumps", pumps)
	}
	refer(s.Solids.Bin, "tank", "Tanks", tanks)
	refer(s.Solids.Tank, "tank", "Tanks", tanks)
	for _, p := range s.Prices {
		refer(p.Chemical, "chemical", "Chemicals", append(chemicals[:len(chemicals):len(chemicals)], otherPrices...))
	}
	for _, a := range s.Accepted {
		refer(a.Chemical, "chemical", "Chemicals", chemicals)
	}
	return out
}

func each[T any](list []T, name func(T) quantity.Known[string]) []quantity.Known[string] {
	out := make([]quantity.Known[string], len(list))
	for i, x := range list {
		out[i] = name(x)
	}
	return out
}

// Stock finds a stock by name.
func (s Site) Stock(name string) (Stock, bool) {
	for _, x := range s.Stocks {
		if fold(x.Name.V) == fold(name) {
			return x, true
		}
	}
	return Stock{}, false
}

// Pump finds a pump by name.
func (s Site) Pump(name string) (Pump, bool) {
	for _, x := range s.Pumps {
		if fold(x.Name.V) == fold(name) {
			return x, true
		}
	}
	return Pump{}, false
}

// Tank finds a tank by name.
func (s Site) Tank(name string) (Tank, bool) {
	for _, x := range s.Tanks {
		if fold(x.Name.V) == fold(name) {
			return x, true
		}
	}
	return Tank{}, false
}

// Readings lists the drawdown readings of a pump, in the order of the sheet.
func (s Site) Readings(pump string) []Drawdown {
	var out []Drawdown
	for _, d := range s.Drawdown {
		if fold(d.Pump.V) == fold(pump) {
			out = append(out, d)
		}
	}
	return out
}

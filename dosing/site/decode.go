package site

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// block is one sheet as it stands in a file: rows of entries by field name. An
// item sheet has one row.
type block struct {
	sheet Sheet
	rows  []row
	at    note.Place // where a value that is not there would stand
}

type row struct {
	entries map[string]entry // by the field's name in the table
	at      note.Place
}

// decode gives the blocks their meaning. All faults are reported at once.
func decode(file string, blocks []block, faults note.List) (Site, error) {
	s := Site{File: file}
	seen := map[string]bool{}
	order := func(b block) int {
		return slices.IndexFunc(Sheets(), func(sh Sheet) bool { return sh.Name == b.sheet.Name })
	}
	blocks = slices.Clone(blocks) // by the table: goods are weighed by what stands in Chemicals
	slices.SortStableFunc(blocks, func(a, b block) int { return cmp.Compare(order(a), order(b)) })
	for _, b := range blocks {
		seen[b.sheet.Name] = true
		for i, r := range b.rows {
			record := b.sheet.record(&s, i, true)
			b.sheet.place(record, r.at)
			for _, f := range b.sheet.Fields {
				e, ok := r.entries[f.Name]
				if !ok {
					e = entry{at: r.at}
					if !b.sheet.List {
						e.at = b.at
					}
				}
				e.us = s.Place.Units.V == UnitsUS // which stands in the first sheet
				if k, ok := record.(*Stock); ok && f.member == "Product" {
					e = made(b.sheet, f, e, k.densityIn(b.sheet, r))
				}
				e, volume, err := s.weighed(b.sheet, f, r, e)
				if err == nil {
					err = f.put(record, e)
				}
				switch x := record.(type) {
				case *Price:
					x.bought(f, volume, e.at)
				case *Chemical:
					x.carried(f, volume, e.at)
				}
				if err != nil {
					faults = append(faults, note.Of(err, "bad-value")...)
				} else if f.Need == Needed && strings.TrimSpace(e.text) == "" {
					faults = append(faults, note.Fault("value-missing", "%s of %s is missing", f.Name, b.sheet.one(f, r)).At(e.at).
						Do("%s", note.Say("fill it in").If(example(f) != "", ", such as %q", e.example(f)).And(" (%s)", f.Meaning)))
				}
			}
			for _, f := range b.sheet.Fields { // the basis stands behind the dose
				if err := s.counts(f, record, r.entries[f.Name]); err != nil {
					faults = append(faults, note.Of(err, "basis-twice")...)
				}
			}
		}
	}
	for _, sh := range Sheets() { // a sheet that is not there still gives its cells a place
		if !seen[sh.Name] && !sh.List {
			r := sh.record(&s, 0, true)
			for _, f := range sh.Fields {
				_ = f.put(r, entry{at: note.Place{File: file, Sheet: sh.Name}})
			}
		}
	}
	s.Flow.Opens = s.Place.From
	s.fedNeat()
	faults = append(faults, s.references()...)
	faults = append(faults, s.Pairs(faults)...)
	s.Notes = faults.Only(note.Caution)
	return s, faults.Err()
}

// one names the row of a list in which a field is missing, as far as it has a name.
func (sh Sheet) one(f Field, r row) string {
	name := strings.TrimSpace(r.entries[sh.Fields[0].Name].text)
	switch {
	case !sh.List || name == "":
		return "the " + thing(sh)
	case f.Name == sh.Thing: // of a price, the thing that it is for says more
		return strconv.Quote(name)
	}
	return "the " + thing(sh) + " " + strconv.Quote(name)
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

// asFarmsSay is the word for such a product that is answered in, where a site has it.
const asFarmsSay = "undiluted"

// undiluted reports a word for a product that is fed as it is delivered.
func undiluted(text string) bool {
	return slices.Contains([]string{asFarmsSay, "neat", "as delivered", "full strength"}, fold(text))
}

// fedNeat takes a stock that is called undiluted, and of which there is no row, for none.
func (s *Site) fedNeat() {
	for i := range s.Chemicals {
		if k := &s.Chemicals[i].Stock; k.OK && undiluted(k.V) {
			if _, row := s.Stock(k.V); !row {
				s.Chemicals[i].Undiluted = fold(k.V) == asFarmsSay
				k.V, k.OK = "", false
			}
		}
	}
}

// references checks that every name used in one sheet stands in the other, and
// that no name stands twice.
func (s Site) references() note.List {
	var out note.List
	refer := func(v quantity.Known[string], what, sheet string, names []string) {
		same := func(n string) bool { return fold(n) == fold(v.V) }
		if v.OK && !slices.ContainsFunc(names, same) {
			out.Add(note.Fault("name-unknown", "%s %q is not in the site under %s%s", what, v.V, sheet, note.DidYouMean(v.V, names)).At(v.At).
				Do("add it to %s or correct the name", sheet))
		}
	}
	chemicals, stocks := unique("chemical", s.Chemicals, &out), unique("stock", s.Stocks, &out)
	pumps, tanks := unique("pump", s.Pumps, &out), unique("tank", s.Tanks, &out)
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
	bought := slices.Concat(chemicals, otherPrices)
	if s.Sludge.Polymer.OK { // which need be no row of Chemicals
		bought = append(bought, s.Sludge.Polymer.V)
	}
	for _, p := range s.Prices {
		refer(p.Chemical, "chemical", "Chemicals", bought)
	}
	for _, p := range s.Ponds {
		for _, n := range p.Named(chemicals) {
			refer(quantity.Known[string]{V: n, OK: true, At: p.Chemical.At}, "chemical", "Chemicals", chemicals)
		}
	}
	for _, a := range s.Accepted {
		refer(a.Chemical, "chemical", "Chemicals", chemicals)
	}
	return out
}

// Named are the chemicals that a pond's row says go in, none where it says nothing: one of these names as it stands, else what commas part.
func (p Pond) Named(chemicals []string) (out []string) {
	if !p.Chemical.OK {
		return nil
	}
	if slices.ContainsFunc(chemicals, func(n string) bool { return fold(n) == fold(p.Chemical.V) }) {
		return []string{p.Chemical.V}
	}
	for n := range strings.SplitSeq(p.Chemical.V, ",") {
		out = append(out, strings.TrimSpace(n))
	}
	return out
}

// named is a record that others name.
type named interface {
	Chemical | Stock | Pump | Tank
	name() quantity.Known[string]
}

func (c Chemical) name() quantity.Known[string] { return c.Name }
func (k Stock) name() quantity.Known[string]    { return k.Name }
func (p Pump) name() quantity.Known[string]     { return p.Name }
func (t Tank) name() quantity.Known[string]     { return t.Name }

// unique lists the names of a sheet's records, each of which may stand once.
func unique[T named](what string, records []T, faults *note.List) (names []string) {
	seen := map[string]note.Place{}
	for _, r := range records {
		n := r.name()
		if !n.OK {
			continue
		}
		if first, ok := seen[fold(n.V)]; ok {
			faults.Add(note.Fault("name-twice", "%s %q stands twice (first in %s)", what, n.V, first.Cell).
				At(n.At).Do("give each %s its own name", what))
		}
		seen[fold(n.V)] = n.At
		names = append(names, n.V)
	}
	return names
}

func find[T named](records []T, name string) (r T, ok bool) {
	i := slices.IndexFunc(records, func(x T) bool { return fold(x.name().V) == fold(name) })
	if i < 0 {
		return r, false
	}
	return records[i], true
}

// Stock finds a stock by name.
func (s Site) Stock(name string) (Stock, bool) { return find(s.Stocks, name) }

// Pump finds a pump by name.
func (s Site) Pump(name string) (Pump, bool) { return find(s.Pumps, name) }

// Tank finds a tank by name.
func (s Site) Tank(name string) (Tank, bool) { return find(s.Tanks, name) }

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

package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// siteFlag is a flag that fills in a field of the site: the field's row in the
// table gives its help, its example, its checks and the words of its faults, which
// name the flag in place of a cell.
type siteFlag struct {
	name, sheet, field string
	usage              string // instead of the field's own words
	bare               string // the unit of a bare number, where one may be given
	need               string // what to do where it is missing
	instead            string // a flag that stands in for it
	repeat             bool   // each use is a row of its own
	// put is for a flag that fills in several fields.
	put func(b *flagSite, row int, text string, at note.Place)
	// then says what else follows once every flag is read; with is set with the flag.
	then func(b *flagSite)
}

// siteFlags are the flags that make a site, or change one.
type siteFlags []siteFlag

// plainly makes flags that are called as their fields are: "least flow" is --least-flow.
func plainly(sheet string, fields ...string) siteFlags {
	out := make(siteFlags, len(fields))
	for i, f := range fields {
		out[i] = siteFlag{name: strings.ReplaceAll(strings.ToLower(f), " ", "-"), sheet: sheet, field: f}
	}
	return out
}

// flagSite is the site that flags describe, and what is wrong with them.
type flagSite struct {
	site.Site
	faults note.List
}

func (b *flagSite) put(sheet string, row int, field, text, bare string, at note.Place) {
	b.faults.Add(note.Of(b.Put(sheet, row, field, text, bare, at), "bad-flag")...)
}

// add makes the flags of a command.
func (t siteFlags) add(c *cobra.Command) {
	for _, f := range t {
		usage := f.usage
		var choices []string
		if f.field != "" {
			_, field := site.Row(f.sheet, f.field)
			choices = field.Choices
			if usage == "" {
				usage = field.Help()
			}
		}
		if f.repeat {
			c.Flags().StringArray(f.name, nil, usage+" (repeat for more)")
		} else {
			c.Flags().String(f.name, "", usage)
		}
		if choices != nil && f.name != "basis" { // whose words the command completes itself
			offers(c, f.name, choices)
		}
	}
}

// given lists what a flag was given, empty texts left out.
func (f siteFlag) given(c *cobra.Command) []string {
	value := c.Flags().Lookup(f.name).Value
	texts := []string{value.String()}
	if many, is := value.(interface{ GetSlice() []string }); is {
		texts = many.GetSlice()
	}
	return slices.DeleteFunc(texts, func(s string) bool { return strings.TrimSpace(s) == "" })
}

// used names a flag that was given, or "".
func (t siteFlags) used(c *cobra.Command) string {
	for _, f := range t {
		if c.Flags().Changed(f.name) {
			return f.name
		}
	}
	return ""
}

// site makes the site that the flags describe. All that is wrong is told at once.
func (t siteFlags) site(c *cobra.Command) (site.Site, error) {
	var b flagSite
	t.fill(c, &b)
	for _, f := range t {
		if len(f.given(c)) > 0 {
			continue
		}
		if f.need != "" && !(f.instead != "" && c.Flags().Changed(f.instead)) {
			b.faults.Add(note.Fault("flag-missing", "--%s is missing", f.name).Do("%s", f.need))
		}
		if f.field != "" { // what is not given has a place too, for who asks for it
			b.put(f.sheet, 0, f.field, "", "", note.Place{Cell: "--" + f.name})
		}
	}
	for _, n := range b.Site.Pairs(slices.Concat(b.Notes, b.faults)) {
		if n.Level == note.Error {
			b.faults.Add(n)
		} else {
			b.Notes.Add(n)
		}
	}
	return b.Site, b.faults.Err()
}

// over gives a site with what the flags say in place of its own.
func (t siteFlags) over(c *cobra.Command, s site.Site) (site.Site, error) {
	b := flagSite{Site: s}
	t.fill(c, &b)
	return b.Site, b.faults.Err()
}

// fill puts what the flags say into a site.
func (t siteFlags) fill(c *cobra.Command, b *flagSite) {
	for _, f := range t {
		for i, text := range f.given(c) {
			at := note.Place{Cell: "--" + f.name}
			if f.put != nil {
				f.put(b, i, text, at)
			} else {
				b.put(f.sheet, i, f.field, text, f.bare, at)
			}
		}
	}
	for _, f := range t {
		if f.then != nil && len(f.given(c)) > 0 {
			f.then(b)
		}
	}
}

// The flags that plan and clarify share.
var (
	waterFlags = slices.Concat(plainly("Water", "pH", "alkalinity", "temperature", "salinity", "conductivity", "hardness", "DOC"), siteFlags{
		{name: "tan", sheet: "Water", field: "total ammonia"},
		{name: "co2", sheet: "Water", field: "carbon dioxide"},
		{name: "also-kept", sheet: "Place", field: "also kept here"},
		{name: "animal", repeat: true, usage: `animals that the treated water reaches, such as "rainbow trout"`,
			put: func(b *flagSite, row int, text string, at note.Place) {
				b.put("Animals", row, "name", text, "", at)
				b.put("Animals", row, "species", text, "", at)
			},
			then: func(b *flagSite) {
				if !b.Place.Purpose.OK {
					b.Place.Purpose = quantity.Some(site.ForAnimals)
				}
			}},
	})
	chemicalFlags = slices.Concat(plainly("Chemicals", "strength", "strength counts", "density", "basicity", "alkalinity taken", "charge"), siteFlags{
		{name: "stock-density", sheet: "Stocks", field: "density", then: fromStock}, // first, as a strength by mass needs it
		{name: "stock", usage: `product per litre of stock, such as "50 g/L" (neat when absent)`, sheet: "Stocks", field: "product in stock", then: fromStock},
		{name: "pump-max", sheet: "Pumps", field: "largest rate", then: byPump},
	})
	solidsFlags = siteFlags{
		{name: "per-ntu", sheet: "Solids", field: "solids per NTU"},
		{name: "sludge", sheet: "Solids", field: "float or sludge solids"},
		{name: "skim", sheet: "Solids", field: "skim every"},
		{name: "skim-water", sheet: "Solids", field: "water at each pass"},
		{name: "bin", usage: `bin for float or sludge, such as "432 L"; nine tenths of it count`,
			put:  func(b *flagSite, _ int, text string, at note.Place) { b.tank("bin", text, at) },
			then: func(b *flagSite) { b.Solids.Bin = quantity.Some("bin") }},
	}
)

// fromStock has the first chemical fed from the first stock, which needs no name.
func fromStock(b *flagSite) {
	if len(b.Chemicals) > 0 {
		b.Chemicals[0].Stock.OK = true
	}
}

// byPump has it fed by the first pump.
func byPump(b *flagSite) {
	if len(b.Chemicals) > 0 {
		b.Chemicals[0].Pump.OK = true
	}
}

// tank adds a tank.
func (b *flagSite) tank(name, volume string, at note.Place) {
	row := len(b.Tanks)
	b.put("Tanks", row, "name", name, "", at)
	b.put("Tanks", row, "volume", volume, "", at)
}

// identify names the product of a chemical that the flags describe, and keeps what
// there is to say of that; named gives the chemical's own name.
func identify(s *site.Site, row int, named func(c site.Chemical, p product.Product) string) error {
	c := &s.Chemicals[row]
	p, notes, err := dosing.Identify(c, len(s.Stocks) > 0 && s.Stocks[0].Product.OK, product.Default())
	if err != nil {
		return err
	}
	s.Notes.Add(notes...)
	if c.Product.OK {
		c.Name.V, c.Name.OK = named(*c, p), true
	}
	c.Name.At = note.Place{} // the notes on the feed are about no flag
	return nil
}

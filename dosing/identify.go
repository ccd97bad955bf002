package dosing

import (
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ActiveSubstance is what the strength of a product counts of which nothing but
// that strength is known.
const ActiveSubstance quantity.Basis = "as active substance"

// Identify names the product of a row of Chemicals that was said in a few words,
// so that the rest can read it like any other: the catalogue's where its name is
// there, else one of the user's own where the row says what has to be known, else
// what the basis most likely means, and the notes say so. diluted tells that a
// stock is made up of it, so that its density need not be known. It gives the
// catalogue's product, if it is one.
func Identify(c *site.Chemical, diluted bool, catalogue product.Catalogue) (p product.Product, notes note.List, err error) {
	if !c.Basis.OK {
		return p, nil, note.Fault("basis-missing", "the dose %s has no basis", c.Dose.V).
			Do(`add --basis, such as --basis "as product" or --basis "as alum 14-hydrate"`)
	}
	described := c.Density.OK || diluted
	if c.Name.OK {
		p, err = Labelled(*c, c.Basis.V, catalogue)
		switch {
		case err == nil:
			c.Product = quantity.Some(p.ID)
		case doubtful(err):
		case c.Strength.OK && described:
			err = nil
		}
		return p, nil, err
	}
	p, err = catalogue.GuessFor(c.Basis.V)
	switch {
	case err == nil:
		c.Product = quantity.Some(p.ID)
		level, differs := note.Info, ""
		if diluted && len(p.Perhaps) > 0 && !c.Strength.OK && !c.Density.OK { // the stock is made up of it
			level, differs = note.Caution, ", though it is sold in other strengths: a stock made up of another holds up to twice as much"
		}
		notes.Add(note.New(level, "chemical-guessed", "the basis %q is taken to mean %s"+differs, c.Basis.V, p.Name).
			Do("name another with --chemical"))
	case described:
		err = nil
		c.Name = quantity.Some("the product")
		notes.Add(note.New(note.Info, "chemical-not-named",
			"the chemical is not named: nothing is known of its hazards and of what it does to the water").Do("name it with --chemical"))
	}
	return p, notes, err
}

package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ChemicalBasis is what the doses of a chemical count, by a name that the user gave it.
type ChemicalBasis struct {
	Chemical string
	Basis    quantity.Basis
}

// SiteBasis is what a site, or who else it is from, says that doses of a chemical count. Where the
// site takes its dose from the sheet, the sheet may not say another thing; else it is that of its own dose.
// Lent is that of another chemical of the site: it holds for what the sheet calls by a name that the site does
// not know, and not where it is none of that. Told is one that nothing shows beside the doses of the sheet, so that
// a note says whose it is.
type SiteBasis struct {
	quantity.Known[quantity.Basis]
	From      string
	FromSheet bool
	Lent      bool
	Told      bool
}

// where is the place that says it, in brackets; nothing where it has none.
func (s SiteBasis) where() string {
	if s.At == (note.Place{}) {
		return ""
	}
	return " (" + s.At.String() + ")"
}

// ParseChemicalBasis reads "alum=as Al", or "as Al" of no chemical by name.
func ParseChemicalBasis(s string) (x ChemicalBasis, err error) {
	name, basis, named := strings.Cut(s, "=")
	if x.Chemical = strings.TrimSpace(name); !named {
		x.Chemical, basis = "", s
	} else if x.Chemical == "" {
		return x, note.Fault("bad-basis", "basis %q names no chemical", s).Do(`write it like "alum=as product"`)
	}
	if x.Basis, err = quantity.ParseBasis(basis); err == nil && x.Basis == quantity.NotStated {
		err = note.Fault("bad-basis", "%q says no basis", s).Do(`write it like "as product" or "alum=as product"`)
	}
	return x, err
}

// AddBasis takes what a command line says that doses count: the last of a chemical's counts.
func (o *Options) AddBasis(x ChemicalBasis) {
	if x.Chemical == "" {
		o.Basis = x.Basis
		return
	}
	o.Bases = slices.Insert(o.Bases, 0, x)
}

// addBasis takes a row of the settings sheet, below what the caller set.
func (o *Options) addBasis(text string) error {
	x, err := ParseChemicalBasis(text)
	switch {
	case err != nil:
		return err
	case x.Chemical != "":
		o.Bases = append(slices.Clone(o.Bases), x)
	case o.Basis == quantity.NotStated:
		o.Basis = x.Basis
	}
	return nil
}

// of reports that it names a chemical: by the whole name, its beginning, its end or another name of it.
func (x ChemicalBasis) of(chemical string) bool {
	given, name := strings.ToLower(x.Chemical), strings.ToLower(chemical)
	return given == name || strings.HasPrefix(name, given+" ") || strings.HasSuffix(name, " "+given) || canonChem(x.Chemical) == chemical
}

// UnmetBases refuses a basis of a chemical that none of the series has.
func (o Options) UnmetBases(series []jartest.Series) (l note.List) {
	var names []string
	for _, s := range series {
		for _, c := range s.Chemicals {
			if !slices.Contains(names, c.Name) {
				names = append(names, c.Name)
			}
		}
	}
	for _, x := range o.Bases {
		if len(names) > 0 && !slices.ContainsFunc(names, x.of) {
			l.Add(note.Fault("chemical-unknown", "--basis: no series has a chemical named %q%s", x.Chemical, note.DidYouMean(x.Chemical, names)).
				Do("name it as the sheet does: %s", strings.Join(names, ", ")))
		}
	}
	return l
}

// givenBasis is what the user says of a chemical by its name.
func (o Options) givenBasis(chemical string) (quantity.Basis, bool) {
	if i := slices.IndexFunc(o.Bases, func(x ChemicalBasis) bool { return x.of(chemical) }); i >= 0 {
		return o.Bases[i].Basis, true
	}
	return o.Basis, false
}

// basis is what the doses of a chemical count: what was given for it by name, before what the
// sheet says, before what the site says, before what was given for all. What the sheet says and
// does not count is told, and a site that takes its dose from the sheet may not contradict it.
func (m *maker) basis(chemical string, f field) quantity.Basis {
	b := m.b
	given, named := b.opt.givenBasis(chemical)
	var site SiteBasis
	if !named && b.opt.Counts != nil {
		site = b.opt.Counts(chemical)
	}
	from := "--basis"
	if site.OK {
		given, from = site.V, site.From
	}
	before := len(b.notes)
	stated, sure := m.statedBasis(chemical, f)
	if name := cmp.Or(f.chem, canonChem(chemical)); stated == quantity.AsActive && !holdsActive(name) {
		m.strangeBasis(f, f.Place, "active", fmt.Sprintf("in column %q", f.Head.Text))
		stated, sure = quantity.NotStated, false
	}
	if given == quantity.NotStated {
		return stated
	}
	says := slices.Clone(b.notes[before:])
	b.notes = b.notes[:before] // what is doubtful in the sheet is settled by what was given
	switch fits := countsIn(cmp.Or(f.chem, canonChem(chemical)), strings.TrimPrefix(string(given), "as ")); {
	case !fits:
		b.notes = append(b.notes, says...)
		if site.OK && site.Lent {
			return stated
		}
		level := note.Caution
		if named || site.OK {
			level = note.Error
		}
		said := b.say(level, "basis-of-other", f.Place, "%s says %s, which is none of %s", from, given, chemical)
		if site.OK {
			said.do(b, "correct it there")
		} else {
			said.do(b, `state its own with --basis "%s=as product"`, chemical)
		}
		return stated
	case !sure || stated == given:
		if site.OK && site.Told && stated != given {
			b.say(note.Info, "basis-of-site", f.Place, "the sheet does not say what the doses of %s count; %s is taken from %s%s", chemical, given, from, site.where()).
				do(b, `if they count another thing, say it with --basis "%s=as product"`, chemical)
		}
		return given
	case named:
		b.say(note.Caution, "basis-overruled", f.Place, "the sheet says that the doses of %s count %s, and --basis says %s; --basis is taken", chemical, stated, given).
			do(b, "make both say the same")
		return given
	}
	b.notes = append(b.notes, says...)
	switch {
	case !site.OK:
		b.say(note.Info, "basis-kept", f.Place, "the sheet says that the doses of %s count %s, and so they do; --basis without a name fills in what no sheet says", chemical, stated).
			do(b, `overrule the sheet with --basis "%s=%s"`, chemical, given)
	case site.FromSheet:
		b.say(note.Error, "basis-contradicts", f.Place, "the sheet says that the doses of %s count %s, and %s says %s%s", chemical, stated, from, given, site.where()).
			do(b, "correct the one that is wrong")
	}
	return stated
}

// stateIt is how to say what the doses of a column count.
func stateIt(f field) string {
	return `state it with --basis, such as --basis "` + strings.TrimPrefix(f.chem+"=", "=") + `as product"`
}

package sheet

import (
	"cmp"
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

// givenBasis is what the user says of a chemical by its name, or the site does.
func (o Options) givenBasis(chemical string) (basis quantity.Basis, ofSite, ok bool) {
	if i := slices.IndexFunc(o.Bases, func(x ChemicalBasis) bool { return x.of(chemical) }); i >= 0 {
		return o.Bases[i].Basis, false, true
	}
	if o.Counts == nil {
		return quantity.NotStated, false, false
	}
	basis, ok = o.Counts(chemical)
	return basis, true, ok
}

// basis is what the doses of a chemical count: what was given for it by name, before what the
// sheet says, before what was given for all. What the sheet says and does not count is told.
func (m *maker) basis(chemical string, f field) quantity.Basis {
	b := m.b
	given, ofSite, named := b.opt.givenBasis(chemical)
	if !named {
		given = b.opt.Basis
	}
	before := len(b.notes)
	stated, sure := m.statedBasis(f)
	if given == quantity.NotStated {
		return stated
	}
	says := slices.Clone(b.notes[before:])
	b.notes = b.notes[:before] // what is doubtful in the sheet is settled by what was given
	from := "--basis"
	if ofSite {
		from = "the site"
	}
	switch fits := countsIn(cmp.Or(f.chem, canonChem(chemical)), strings.TrimPrefix(string(given), "as ")); {
	case !fits:
		b.notes = append(b.notes, says...)
		level := note.Caution
		if named {
			level = note.Error
		}
		b.say(level, "basis-of-other", f.Place, "%s says %s, which is none of %s", from, given, chemical).
			do(b, `state its own with --basis "%s=as product"`, chemical)
		return stated
	case !sure || stated == given:
		return given
	case !named:
		b.notes = append(b.notes, says...)
		b.say(note.Info, "basis-kept", f.Place, "the sheet says that the doses of %s count %s, and so they do; --basis without a name fills in what no sheet says", chemical, stated).
			do(b, `overrule the sheet with --basis "%s=%s"`, chemical, given)
		return stated
	}
	b.say(note.Caution, "basis-overruled", f.Place, "the sheet says that the doses of %s count %s, and %s says %s; %s is taken", chemical, stated, from, given, from).
		do(b, "make both say the same")
	return given
}

// stateIt is how to say what the doses of a column count.
func stateIt(f field) string {
	return `state it with --basis, such as --basis "` + strings.TrimPrefix(f.chem+"=", "=") + `as product"`
}

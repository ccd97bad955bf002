package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// uses lists by role what of a heading the role has a use for, or may stand there
// without a bearing on the numbers below. What else a heading says is understood
// somewhere, but not here.
var uses = map[role][]string{
	asDose: {"chem", "metal", "role:dose", "role:chemical", "role:jar", "role:value", "meta:product", "meta:all", "meta:volume", "stage:after", "given"},
	asStock: {"chem", "metal", "role:dose", "role:chemical", "role:jar", "role:value", "role:stock", "role:neat", "meta:product", "meta:all", "meta:volume",
		"meta:strength", "meta:burette", "dilution", "stage:after", "given"},
	asReading: {"reading", "role:value", "role:jar", "role:replicate", "stage:after", "stage:onto-filter", "filtered", "removal", "logremoval", "stat:mean", "role:note", "role:date"},
}

// spare gives what of a column's heading its role has no use for.
func spare(f field) []layout.Piece {
	var out []layout.Piece
	own := false // the column's own unit has been met
	salt := hydrateOf(f)
	said := f.Head.Stated()
	_, form, named := words.NamedForm(said)
	if f.dosed() {
		said = layout.WithoutProduct(said)
	}
	pieces := layout.Pieces(said)
	for i, p := range pieces {
		switch {
		case p.Concept == layout.SaysFiller && f.role != asReading && len(p.Text) == 1 && i > 0 && i == len(pieces)-1: // "mg/L d" joins nothing
			out = append(out, p)
		case p.Concept == layout.SaysUnit && !own && p.Unit.Kind == f.Head.Unit.Kind && !f.perElse(p):
			own = true
			number, _, _ := strings.Cut(p.Text, " ")
			coded := slices.Contains(f.spent, number) || strings.HasSuffix(f.chem, "-"+number) // "ZK-18 mg/L"
			if p.Counted && f.role == asDose && number != f.Head.Index && !coded {             // "units of 10 mg/L"
				out = append(out, layout.Piece{Text: "x " + p.Text, Concept: layout.SaysNumber})
			}
		case f.saysSpread(p) || f.used(p, salt) || p.Concept == "" && f.ownWord(p.Text), named && f.dosed() && saysForm(p.Text, form):
		default:
			out = append(out, p)
		}
	}
	return append(out, f.countsOfReading()...)
}

// saysForm reports a word of what names a form of goods, or another for that form.
func saysForm(word string, form words.FormAt) bool {
	return strings.Contains(" "+form.Text+" ", " "+word+" ") ||
		slices.ContainsFunc(words.Forms(word), func(x words.FormAt) bool { return x.Form == form.Form })
}

// used reports a piece of a heading that the column's role has a use for; salt is what
// the heading names with its crystal water.
func (f field) used(p layout.Piece, salt string) bool {
	kind, _, _ := strings.Cut(p.Concept, ":")
	if f.perElse(p) {
		return false
	}
	switch p.Concept {
	case layout.SaysFiller:
		return true
	case "metal:Al", "metal:Fe":
		if f.role == asReading {
			return f.metalRead()
		}
	case "place", "role:test": // one with a name is the sample's, a bare one where it was read
		if f.role == asReading && f.Head.Index != "" {
			return true
		}
	case "stage:before":
		return f.role == asReading && f.Head.Unfiltered
	case layout.SaysUnit:
		return condition(f.role, p)
	case layout.SaysNumber:
		return p.Text == f.Head.Index && f.numbered() || slices.Contains(f.spent, p.Text) || f.Head.Top > 0 && p.Text == trimFloat(f.Head.Top) || strings.Contains(salt, p.Text)
	case layout.SaysSign:
		return p.Text == "@"
	case "stat:other":
		return f.Head.Top > 0 // "max 1000"
	case "":
		return strings.Contains(salt, p.Text) || slices.Contains(f.spent, p.Text)
	}
	has := func(list []string) bool { return slices.Contains(list, p.Concept) || slices.Contains(list, kind) }
	return has(uses[f.role]) || has(f.spent) || slices.Contains(f.spent, p.Text)
}

// metalRead reports a reading of a metal left in the water.
func (f field) metalRead() bool {
	return f.key == jartest.ResidualAl || f.key == jartest.ResidualFe || f.part != ""
}

// ownWord reports an unknown word that is the name of a chemical, or of which a salt, a
// basis or the label of the column is made.
func (f field) ownWord(word string) bool {
	unknownChemical := f.role == asDose && f.Head.Chem == "" && f.chem != "" && !f.Head.Dose
	return unknownChemical || word == f.Head.Index && f.numbered() && !f.unitLetter(word) || word != f.Head.Index && !strings.Contains(" "+f.Head.Rest+" ", " "+word+" ")
}

// numbered reports that the number or letter at the end of a heading tells the column from others: that
// of a reading, of a word for the dose, or of a product's name. Beside the name of a salt it may be a
// strength.
func (f field) numbered() bool {
	if f.role == asReading || f.Head.Chem == "" || strings.HasSuffix(f.chem, "polymer") {
		return true
	}
	at := strings.LastIndex(words.Fold(f.Head.Text), f.Head.Index)
	before := words.Fold(f.Head.Text)[:max(0, at)]
	hits := words.Find(strings.TrimSpace(before))
	counting := f.Head.Index >= "1" && f.Head.Index <= "3" && len(f.Head.Index) == 1 // no strength is as low
	return strings.HasSuffix(before, "-") || counting && len(hits) > 0 && strings.HasPrefix(hits[len(hits)-1].Concept, "chem:") && hits[len(hits)-1].To == len(strings.TrimSpace(before)) || len(hits) > 0 && slices.ContainsFunc(hits, func(x words.Hit) bool {
		return x.To == len(strings.TrimSpace(before)) && slices.Contains(besidesNumber, x.Concept)
	})
}

// besidesNumber are what a column is numbered by.
var besidesNumber = []string{"role:dose", "role:chemical", "role:jar", "role:stock", "role:test", "role:replicate"}

// condition reports a second amount of a heading that says how the column was dosed or read.
func condition(r role, p layout.Piece) bool {
	if !p.Counted {
		return false
	}
	switch p.Unit.Kind {
	case words.Minutes, words.Length: // settled for, filtered through
		return r == asReading
	case words.Percent, words.Conc, words.Volume: // strength of the stock, water of the jar
		return r == asStock
	}
	return false
}

// hydrated are the names of a salt with its crystal water.
var hydrated = words.NewPattern(`h2o|hydrate|hydrous`)

// hydrateOf gives the salt with its crystal water that the heading of a dose names, as a
// basis: "Al2(SO4)3·18H2O", "alum 14-hydrate".
func hydrateOf(f field) string {
	text := words.Fold(f.Head.Text)
	if !hydrated.MatchString(text) {
		return ""
	}
	name, _, _ := strings.Cut(strings.ReplaceAll(text, "[", "("), " (")
	var said []string
	for _, w := range strings.Fields(name) {
		if _, ok := words.OnlyUnit(w); !ok && !words.Means(w, "role:dose") {
			said = append(said, w)
		}
	}
	name = strings.Trim(strings.Join(said, " "), " ,;:")
	if _, counted, ok := strings.Cut(name, " as "); ok {
		name = counted
	}
	if _, ok := quantity.BasisOf(name); !ok || !hydrated.MatchString(name) {
		return ""
	}
	return name
}

// rate gives the time that a column's amounts are for each of, if its heading says so.
func rate(f field) string {
	for _, p := range layout.Pieces(f.Head.Stated()) {
		if p.Concept == layout.SaysUnit && p.Unit.Kind == words.Minutes && p.After == "per" {
			return p.Text
		}
	}
	return ""
}

// strengthSaid reports a share in the heading of a dose by weight: what is weighed is a
// product of that strength.
func strengthSaid(f field) bool {
	return f.role == asDose && slices.ContainsFunc(layout.Pieces(f.Head.Stated()), func(p layout.Piece) bool {
		return p.Concept == layout.SaysUnit && p.Unit.Kind == words.Percent && p.Counted
	})
}

// textsOf joins what pieces say.
func textsOf(ps []layout.Piece) string {
	var out []string
	for _, p := range ps {
		if p.After == "per" {
			out = append(out, p.After)
		}
		out = append(out, p.Text)
	}
	return strings.Join(out, " ")
}

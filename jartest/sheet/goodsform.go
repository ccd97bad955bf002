package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/words"
)

// formsNamed gives each chemical the form that its dose column's heading, or what names the chemical of its table, says
// that it comes in, and a name that tells it: a powder is another product than the solution, of several times its strength.
func (b *bench) formsNamed(series []jartest.Series) {
	said := map[*jartest.Chemical][]words.FormAt{}
	say := func(s jartest.Series, text string) {
		chem, form, ok := words.NamedForm(text)
		for k := range s.Chemicals {
			if c := &s.Chemicals[k]; ok && (c.Name == chem || related(c.Name, chem)) { // "cationic polymer powder" over "Polymer"
				said[c] = append(said[c], form)
			}
		}
	}
	for i := range series {
		for t, fields := range b.byTable {
			if series[i].Place.Sheet != t.View.Name || series[i].Place.File != t.View.File || series[i].Place.Cell != t.RangeName() {
				continue
			}
			for _, f := range fields {
				if f.dosed() {
					say(series[i], f.Head.Text)
				}
			}
		}
	}
	for _, x := range b.facts {
		if x.kind != factChemical || b.disagree[x.at] {
			continue
		}
		for _, s := range b.seriesBeside(series, x) {
			say(s, x.text)
		}
	}
	for c, forms := range said {
		if !conflict(forms) {
			c.Form, c.Name = forms[0].Form, namedBy(c.Name, forms[0])
		}
	}
}

// conflict reports that two places say two forms.
func conflict(forms []words.FormAt) bool {
	for _, x := range forms {
		if x.Form != forms[0].Form {
			return true
		}
	}
	return false
}

// namedBy is a name with the sheet's word for the form; of words of other languages what they say.
func namedBy(name string, form words.FormAt) string {
	word, before := form.InEnglish()
	switch {
	case word == "":
		return string(form.Form) + " " + name
	case before:
		return word + " " + name
	}
	return name + " " + word
}

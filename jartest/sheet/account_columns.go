package sheet

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
)

// ColumnAccount says what the figures under one heading were taken for, and how to say
// otherwise. Of a table with jars across it is a row of the sheet.
type ColumnAccount struct {
	// Table is the rectangle of the table, "A17:J24", and At the cell of the heading;
	// it is empty where a table was made of lines that have none.
	Table, At string
	// Heading is how [Options.Columns] names it.
	Heading string
	State   State
	// What it is, [Dose], [Reading], "label" or "mean", and Of what: "alum", "turbidity".
	What, Of string
	// Unit is the one that was understood, of a dose with what it counts: "mg/L as Al", "mg/L not stated".
	// It is empty where there is none.
	Unit string
	// Repeat is which of Repeats columns of one reading it is, from 1; both are zero where there is one.
	Repeat, Repeats int
	// Across is true of a row of a table with jars across.
	Across bool
	// Told is true where the user said what it is.
	Told bool
}

// As says in words what it was taken for, without the unit.
func (c ColumnAccount) As() string {
	switch {
	case c.Of == "":
		return c.What
	case c.What == Reading:
		return c.Of
	case c.What == Dose || c.What == roleUse[asStock].what:
		return c.What + " of " + c.Of
	}
	return c.What + " " + c.Of
}

// columns enters the headings of a table.
func (a *accountant) columns(t *layout.Table, fs []field) {
	left, out := a.tableLeftOut(t, fs)
	i := slices.IndexFunc(a.sheets, func(s SheetAccount) bool { return s.Place.Sheet == t.View.Name })
	if i < 0 {
		return
	}
	repeats := map[jartest.Key]int{}
	for _, f := range fs {
		if f.rep && f.role == asReading {
			repeats[f.key]++
		}
	}
	seen := map[jartest.Key]int{}
	for _, f := range fs {
		if f.Head.Text == "" && f.numbers+f.texts == 0 {
			continue
		}
		c := ColumnAccount{Table: t.RangeName(), At: f.Place.Cell, Heading: cmp.Or(f.header(), grid.ColumnName(f.C)), Across: t.View.Turned, Told: f.told}
		c.State, c.What, c.Of = a.column(t, f)
		switch {
		case out:
			c.State, c.What, c.Of = SetAside, left, ""
		case f.role == asDose || f.role == asStock:
			chemical := a.chemicalOf(t, f.chem)
			c.Of, c.Unit = cmp.Or(f.chem, chemical.Name), unitOf(f)
			if f.role == asDose && c.Unit != "" && chemical.Name != "" {
				c.Unit += " " + chemical.Basis.String()
			}
		case f.role == asReading || f.role == asBefore || f.role == asMean || f.role == asSD || f.role == asSetting:
			if f.role == asReading && f.key != "" {
				c.Of = f.key.Info().Label
			}
			c.Unit = unitOf(f)
			if f.rep && repeats[f.key] > 1 && f.role == asReading {
				seen[f.key]++
				c.Repeat, c.Repeats = seen[f.key], repeats[f.key]
			}
		}
		if !out && (f.role == asDose || f.role == asReading) {
			c.State = a.ofCells(t, f, c.State)
			if c.State == NotUnderstood && f.role == asReading && slices.ContainsFunc(fs, a.lacksStock) {
				c.State = SetAside // a reading all the same
			}
		}
		a.sheets[i].Columns = append(a.sheets[i].Columns, c)
	}
}

// unitOf is the unit of a column, empty where a part of it was not understood.
func unitOf(f field) string {
	if f.Head.Unit.Left != "" {
		return ""
	}
	return f.Head.Unit.Name
}

// ofCells is how far the cells of a column were understood: used where one is.
func (a *accountant) ofCells(t *layout.Table, f field, had State) State {
	for _, r := range t.Rows {
		if a.given[keyAt(t.View.PlaceAt(r, f.C))] != nil {
			return Used
		}
	}
	return had
}

// chemicalOf is the chemical of a column of doses in the series of its table, by its name or as the only one.
func (a *accountant) chemicalOf(t *layout.Table, name string) jartest.Chemical {
	names := a.seriesOf(t)
	for _, s := range a.series {
		if !slices.Contains(names, s.Name) {
			continue
		}
		for _, c := range s.Chemicals {
			if c.Name == name || len(s.Chemicals) == 1 {
				return c
			}
		}
	}
	return jartest.Chemical{}
}

// FactAccount is a fact that a sheet states beside its tables.
type FactAccount struct {
	// What it was taken for, "jar volume", and Label what stands before it on the sheet.
	What, Label string
	// Text is what the sheet says, with its unit, and At the cell.
	Text, At string
	State    State
}

// valued is what a cell begins with that holds the value of a fact.
const valued = "value: "

// Facts are what a sheet states beside its tables and was understood, in the order of the sheet.
func (s SheetAccount) Facts() (out []FactAccount) {
	told := map[string]bool{}
	for _, w := range factUse {
		told[w] = true
	}
	for i, c := range s.Cells {
		as, value := strings.CutPrefix(c.As(), valued)
		if c.table || !value && !told[strings.Split(c.What, ", ")[0]] || c.State == NotUnderstood {
			continue
		}
		what := strings.TrimSuffix(as, " "+unasked)
		if name, _, _ := strings.Cut(what, " "); name == factUse[factTarget] { // which one its text says
			what = name
		}
		if !value && s.labels(i) {
			continue
		}
		f := FactAccount{What: what, Text: c.Text, At: c.At, State: c.State}
		if next := i + 1; value && next < len(s.Cells) && s.Cells[next].What == "unit" && rightOf(c.At, s.Cells[next].At) {
			f.Text += " " + s.Cells[next].Text
		}
		for k := i - 1; value && k >= 0 && f.Label == ""; k-- { // its name stands before it
			if s.Cells[k].As() == as {
				f.Label = s.Cells[k].Text
			}
		}
		out = slices.DeleteFunc(out, func(o FactAccount) bool { return f.Label != "" && o.Text == f.Label && o.What == f.What })
		out = append(out, f)
	}
	return out
}

// labels reports a cell beside the tables that is the name of a fact and not what is said of it: what is said stands at its right, or
// nothing does and its own words are the name.
func (s SheetAccount) labels(i int) bool {
	c := s.Cells[i]
	if next := i + 1; next < len(s.Cells) && rightOf(c.At, s.Cells[next].At) && s.Cells[next].As() == c.As() {
		return true
	}
	name := strings.TrimRight(strings.TrimSpace(c.Text), ":=.?")
	return layout.SameText(name, c.What) || layout.ReadHeading(name).Date && !strings.ContainsAny(name, "0123456789")
}

// rightOf reports two cells side by side.
func rightOf(a, b string) bool {
	r, c, ok := grid.ParseCell(a)
	r1, c1, ok1 := grid.ParseCell(b)
	return ok && ok1 && r == r1 && c1 == c+1
}

package templates

import (
	"cmp"
	"fmt"
	"slices"

	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// NextReport is the answer of next: the doses worth testing next.
type NextReport struct {
	Series []curve.Next
	// Fits are what each was planned from, in the same order, for the picture.
	Fits []curve.Result
	// Surfaces are the series of two factors, with Jars for their next test.
	Surfaces []surface.Result
	Jars     int
	Notes    note.List
}

// Text gives the jars first, what they would do second, other choices on demand.
func (n NextReport) Text(t *Text, o Options) {
	n = n.doubted()
	var drawn draw.Drawing
	if len(n.Series)+len(n.Surfaces) == 1 { // beside its answer; that of several comes after all
		drawn = n.Drawing(o)
	}
	for _, s := range n.Series {
		nextBlock(t, s, nextData(s), drawn)
	}
	for _, r := range n.Surfaces {
		nextPairs(t, r, n.Jars, drawn)
	}
	t.noted("Reading the sheets", n.Notes)
}

// doubted is the report without the jars of tests whose doses are of a unit in doubt, and with that question among what is said of
// them: jars are filled once it is settled.
func (n NextReport) doubted() NextReport {
	if !slices.ContainsFunc(n.Notes, doubtsUnit) {
		return n
	}
	n.Series, n.Surfaces = slices.Clone(n.Series), slices.Clone(n.Surfaces)
	for i, s := range n.Series {
		if asked := unitDoubtsOf(n.Notes, s.Place); len(asked) > 0 {
			s.Doses, s.Choices, s.Rule, s.Notes = nil, nil, "", append(asked, s.Notes...)
			n.Series[i] = s
		}
	}
	for i, r := range n.Surfaces {
		n.Surfaces[i].Notes = append(unitDoubtsOf(n.Notes, r.Place), r.Notes...)
	}
	n.Notes = slices.DeleteFunc(slices.Clone(n.Notes), doubtsUnit)
	return n
}

// unitFirst is the answer while the unit of the doses is in doubt.
func (a Answer) unitFirst(n Number) Answer {
	n.Words, n.Under = "Is the unit right?", "no jars before that"
	a.Order, a.Numbers = "Fill none before the unit of the doses is settled.", []Number{n}
	return a
}

// jarNumbers gives the words "3" or "3-5" for the next jars of a test, one call a dose.
func jarNumbers() func(jars int) string {
	jar := 0
	return func(n int) string {
		first := jar + 1
		jar += n
		return either(n > 1, fmt.Sprintf("%d-%d", first, jar), fmt.Sprint(first))
	}
}

func nextBlock(t *Text, s curve.Next, d *figure.Object, drawn draw.Drawing) {
	t.Answer(nextAnswer(t.opt, s, d))
	t.Drawn(drawn)
	if len(s.Doses) > 0 {
		t.Part("The jars to fill")
		unit, stock := "mg/L", ">stock (mL a jar)"
		if s.Basis != quantity.NotStated {
			unit += " " + string(s.Basis)
		}
		head := bracketed("dose", unit)
		if s.Factor == "ph" {
			head, stock = "pH", absent
		}
		label := jarNumbers()
		t.each(cols("jars", ">"+head, stock, "why"), d.Objects("doses"), func(i int, x *figure.Object) []any {
			j := s.Doses[i]
			return []any{label(j.Jars), unitless(x.Fig("dose")), stockCell(x.Fig("stock"), j.Dose), j.Why}
		})
		t.Blank()
	}
	if s.Rule != "" {
		t.Para("Rule: " + t.opt.decimals(s.Rule) + ".")
	}
	var rows [][]any
	for i, c := range d.Objects("choices") {
		after := c.Sub("interval_expected")
		if s.Choices[i].Taken {
			t.Say("Today's interval is %s. With these %s jars on the same water it should become about %s, %s of its width.",
				interval(d.Sub("interval_now")), c.Fig("jars"), endsPhrase(after.Fig("low"), after.Fig("high")), c.Fig("width_left"))
		}
		rows = append(rows, []any{c.Get("name"), c.Fig("jars"), c.Fig("width_left"), endsPhrase(after.Fig("low"), after.Fig("high")),
			either(s.Choices[i].Taken, "taken", "")})
	}
	if len(rows) > 0 {
		t.Blank()
		t.Grid(cols("choice", ">jars", ">width left", "interval (mg/L)", ""), rows)
	}
	t.aside(s.Notes)
}

// nextAnswer is the doses to fill, and how many jars they take.
func nextAnswer(o Options, s curve.Next, d *figure.Object) Answer {
	a := Answer{Title: "What to test next", Place: "after " + seriesName(s.Series, s.Place), When: dated(o.Date)}
	n := Number{For: either(s.Factor == "ph", "Fill jars at pH", "Fill jars of "+cmp.Or(s.Chemical, "the chemical")), Words: "No jars"}
	a.Order = "Fill none before what stands below is settled."
	if slices.ContainsFunc(s.Notes, doubtsUnit) {
		return a.unitFirst(n)
	}
	jars, doses := 0, []any{}
	for i, x := range d.Objects("doses") {
		jars += s.Doses[i].Jars
		doses = append(doses, unitless(x.Fig("dose")))
	}
	if len(doses) > 0 {
		unit := either(s.Factor == "ph", "", " mg/L")
		n.Words, n.Under = o.Show(figure.And(", ", doses...))+unit, either(s.Basis == quantity.NotStated, "", s.Basis.String())
		a.Order = o.Say("Fill %s from the same water, read each as before, and fit both tests together.", either(jars == 1, "one jar", fmt.Sprintf("%d jars", jars)))
	}
	a.Numbers = []Number{n}
	return a
}

// stockVolume is what to pipette into a jar.
func stockVolume(key string, v quantity.Volume) figure.Figure {
	return figure.Written(key, v.In("mL"), "mL").If(v > 0)
}

// stockCell shows it in a column that names the unit; no dose takes none.
func stockCell(f figure.Figure, dose quantity.Concentration) any {
	if !f.Known() && dose == 0 {
		return figure.Count("", 0)
	}
	return unitless(f)
}

// nextData is one series' next test.
func nextData(s curve.Next) *figure.Object {
	ph := s.Factor == "ph"
	unit := along("", ph, 0).Unit
	d := seriesData(s.Series, s.Place, s.Sample).Set("outcome", string(s.Outcome)).Set("factor", s.Factor).Word("chemical", s.Chemical).
		Set("basis", s.Basis.String()).Set("rule", s.Rule).Set("units", figure.New().Set("dose", unit))
	d.List("doses", objects(s.Doses, func(v curve.NextDose) *figure.Object {
		return figure.New().Bare(along("dose", ph, float64(v.Dose))).Set("unit", unit).Bare(figure.Count("jars", v.Jars)).
			Put(stockVolume("stock", v.Stock)).Set("why", v.Why)
	}))
	if s.Before.Confidence > 0 {
		d.Set("interval_now", intervalData(s.Before, ph, 3, quantity.NotStated))
	}
	var choices []*figure.Object
	for _, c := range s.Choices {
		after := intervalData(c.After, ph, 3, quantity.NotStated)
		if c.Taken {
			d.Set("interval_expected", after)
		}
		y := figure.New().Set("name", c.Name).Bare(figure.Count("jars", c.Jars))
		var list []float64
		for _, v := range c.Doses {
			list = append(list, float64(v))
		}
		if len(list) > 0 {
			y.Set("doses", tidied(list))
		}
		choices = append(choices, y.Bare(sure("width_left", c.Shrink)).Set("interval_expected", after).Set("taken", c.Taken))
	}
	return d.Some("choices", choices)
}

// JSON implements [Report]; doses in mg/L, stock in mL. A note stands once, at the
// end, and names the series that it belongs to by its place.
func (n NextReport) JSON() any {
	var list []*figure.Object
	all := append(note.List(nil), n.Notes...)
	for _, s := range n.Series {
		list = append(list, nextData(s))
		all.Add(placed(s.Notes, s.Place)...)
	}
	for _, r := range n.Surfaces {
		proposed, notes := r.Next(n.Jars)
		list = append(list, nextPairsData(r, proposed))
		all.Add(placed(notes, r.Place)...)
	}
	return figure.New().Set("schema", "jarwright.next/1").List("series", list).Set("notes", Notes(all))
}

// Table implements [Report]: one row a dose, in a series of two chemicals one a
// chemical of each pair.
func (n NextReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("series name", "jar", "jars", "dose = mg/L", "stock = mL", "why", "rule", "ph", "chemical",
		"file", "sheet", "date", "raw_turbidity = NTU")}
	row := func(series *figure.Object, jar, jars int, rule, why, chemical string, ph bool, dose float64, stock quantity.Volume) {
		x := figure.New().Join(series).Set("jar", jar).Set("jars", jars).Set("rule", rule).Set("why", why).Set("chemical", chemical)
		t.Rows = append(t.Rows, x.Put(stockVolume("stock", stock), along(either(ph, "ph", "dose"), ph, dose)))
	}
	for _, s := range n.Series {
		jar, d := 1, nextData(s)
		for _, v := range s.Doses {
			row(d, jar, v.Jars, s.Rule, v.Why, s.Chemical, s.Factor == "ph", float64(v.Dose), v.Stock)
			jar += v.Jars
		}
	}
	for _, r := range n.Surfaces {
		jar, d := 1, seriesData(r.Series, r.Place, r.Sample)
		list, _ := r.Next(n.Jars)
		for _, p := range list {
			row(d, jar, p.Jars, "pair", p.Why, r.First.Name, false, float64(p.Pair.First), p.FirstStock)
			row(d, jar, p.Jars, "pair", p.Why, r.Second.Name, r.Second.PH, surfaceXY(r, p.Pair).Y, p.SecondStock)
			jar += p.Jars
		}
	}
	return t
}

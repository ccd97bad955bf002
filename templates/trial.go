package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// TrialReport is the answer of "trial" of trials on a few animals.
type TrialReport struct{ Trials []TrialAnswer }

// TrialAnswer is one of them.
type TrialAnswer struct {
	bioassay.Result
	// Entry is what to put into the site; Why says in words why there is nothing, empty where there is.
	Entry bioassay.Entry
	Why   note.Phrase
}

// Text implements [Report].
func (r TrialReport) Text(t *Text, o Options) {
	for _, a := range r.Trials {
		a.text(t, o)
	}
	t.list("Animals in trials", trialCare)
}

// trialCare is said under every trial on animals.
var trialCare = []string{
	"Use the fewest animals that answer the question, and find the range first with two or three in each dose, each dose ten times the last.",
	"Stop a group as soon as its animals suffer and its answer is plain. Take out the dead at each look.",
	"Trials on animals may need a permit, or somebody trained for them: local rules and whoever looks after the animals' health come first.",
}

// animals is what the animals are called.
func (a TrialAnswer) animals() string { return cmp.Or(a.Animal, "animals") }

func (a TrialAnswer) text(t *Text, o Options) {
	d := a.data()
	readings := d.Objects("readings")
	last := readings[len(readings)-1]
	t.Answer(a.answer(o, last))
	t.noted("Look at this first", a.Notes.Only(note.Caution))
	lead := a.headline(last)
	if t.paper() {
		lead = a.beyond(last)
	}
	if s := strings.TrimSpace(o.Show(lead)); s != "" {
		t.Blank()
		t.Para(s)
	}
	t.Head(o.Show(figure.Say("Dead so far").If(last.Has("at"), ", after %s", last.Fig("at"))))
	a.groups(t, last)
	if len(readings) > 1 {
		a.times(t, readings)
	}
	a.enter(t, d.Sub("enter"))
	if o.Explain {
		a.working(t)
	}
	t.noted("To bear in mind", a.Notes.Only(note.Info))
}

// answer is what the deaths prove.
func (a TrialAnswer) answer(o Options, x *figure.Object) Answer {
	r := a.Last()
	out := Answer{Title: "Trial on a few animals", Place: cmp.Or(a.Name, joined(", ", a.Chemical, a.Animal)), When: dated(o.Date)}
	n := Number{For: o.Say("%s", figure.Say("Half of the %s die", a.animals()).If(x.Has("at"), " within %s", x.Fig("at")).And(" at"))}
	switch r.Outcome {
	case bioassay.Invalid:
		n.For, n.Words, n.Under = "What the deaths prove", "Nothing", "too many controls died"
		out.Order = "Find what killed the controls, and test again."
	case bioassay.Found:
		if r.Bracketed {
			b := x.Sub("between")
			n.For = o.Say("%s", figure.Say("Half of the %s die", a.animals()).If(x.Has("at"), " within %s", x.Fig("at")).And(" between"))
			n.Words, n.Under = o.Say("%s and %s", unitless(b.Fig("from")), b.Fig("to").NoBasis()), either(a.Basis == quantity.NotStated, "", a.Basis.String())
			out.Sure = either(b.Has("more_than") && b.Has("less_than"), "With 95 % confidence; the trial tells no figure between the two.", "Too few animals to be sure of it; the trial tells no figure between the two.")
			out.Order = either(b.Has("more_than"), "Keep well below the lower of the two, and put that into the site as said below.", either(a.Entry.Killed > 0, "Put the killing dose alone into the site, as said below", "Put nothing into the site")+": test doses between the two, on more animals.")
			break
		}
		i, _ := x.Get("lc50").(figure.Interval)
		low, high := i.Ends()
		n.Value = i.Figure
		if low.Known() && high.Known() {
			out.Sure = o.Say("%s to %s, with 95 %% confidence.", unitless(low), high.NoBasis())
		}
		out.Order = "Keep what may stay in the water well below that, and put it into the site as said below."
	case bioassay.Above:
		n.For = "Half of the " + a.animals() + " die of more than"
		if n.Words = "Not shown"; r.Safe > 0 {
			n.Words, n.Value, out.Sure = "", x.Fig("safe_dose"), "With 95 % confidence."
		}
		out.Order = "Keep well below what killed any" + either(r.Safe > 0, ", and put the bound into the site as said below.", either(a.Entry.Killed > 0, ", and put the killing dose alone into the site, as said below", ", and put nothing into the site")+": test again on more animals.")
	case bioassay.Below:
		n.For, n.Value = "Half of the "+a.animals()+" die of less than", x.Objects("groups")[0].Fig("dose")
		out.Order = "Do not dose it where animals are: test lower doses first."
	default:
		n.For = "What the deaths prove"
		if n.Words = "None died"; r.KeepOut() {
			n.Words = either(a.ofDose(), "Do not dose it", "Keep the animals out")
		}
		out.Order = either(r.KeepOut(), either(a.ofDose(), "Do not dose that where animals are: test lower doses, until none die.", "Put no animals in: find what killed these, and test again."), "Put a few more in, and look at them for a day before the rest.")
	}
	if n.Value.Known() {
		n.Under, n.Value.Basis = either(n.Value.Basis == quantity.NotStated, "", n.Value.Basis.String()), quantity.NotStated
	}
	out.Numbers = []Number{n}
	return out
}

// headline is the answer in a sentence or two.
func (a TrialAnswer) headline(x *figure.Object) figure.Phrase {
	r := a.Last()
	within := figure.Say("").If(x.Has("at"), " within %s", x.Fig("at"))
	i, _ := x.Get("lc50").(figure.Interval)
	low, high := i.Ends()
	groups := x.Objects("groups")
	switch r.Outcome {
	case bioassay.Invalid:
		return figure.Say("The trial proves nothing: %s of %s controls died.", x.Fig("control.dead"), x.Fig("control.animals"))
	case bioassay.Found:
		if r.Bracketed {
			b := x.Sub("between")
			return figure.Say("Half of the %s die between %s and %s%s: none died at the one and all at the other, and no dose lay between them.", a.animals(), b.Fig("from").NoBasis(), b.Fig("to"), within).
				If(b.Has("more_than"), " With 95 %% confidence half of them die of more than %s", b.Fig("more_than").NoBasis()).
				If(b.Has("more_than") && b.Has("less_than"), " and of less than %s", b.Fig("less_than").NoBasis()).If(b.Has("more_than"), ".").
				If(!b.Has("more_than"), " Too few were tested to be sure of it.").And("%s", a.harm(x))
		}
		return figure.Say("Half of the %s die at %s%s", a.animals(), x.Fig("lc50"), within).
			And(" (%s to %s, 95 %% interval).", unitless(low), high.NoBasis()).And("%s%s", trimmed(x), a.harm(x))
	case bioassay.Above:
		top := groups[lastDose(groups)].Fig("dose")
		return figure.Say("No dose killed more than half of the %s%s", a.animals(), within).
			If(r.Safe > 0, ": half of them die of more than %s, with 95 %% confidence", x.Fig("safe_dose")).
			If(r.Safe > 0 && float64(r.Safe) < top.Q.(quantity.Concentration).In("mg/L"), "; %s killed too many, of too few, to say so", top.NoBasis()).
			If(r.Safe == 0, ", but too few were tested to prove that at any dose").And(".%s%s", a.harm(x), a.some(x))
	case bioassay.Below:
		return figure.Say("Half of the %s die of less than %s%s: half or more died at every dose.%s", a.animals(), groups[0].Fig("dose"), within, a.harm(x))
	}
	return a.bare(x, within)
}

// beyond is what the headline says beyond the large number of paper.
func (a TrialAnswer) beyond(x *figure.Object) figure.Phrase {
	if a.Last().Outcome == bioassay.Found && !a.Last().Bracketed {
		return figure.Say("%s%s", trimmed(x), a.harm(x))
	}
	return a.headline(x)
}

// trimmed says that the ends of the deaths were cut off, where they were: the figure then rests on the doses between.
func trimmed(x *figure.Object) figure.Phrase {
	cut, _ := x.Fig("trimmed").Document()
	return figure.Say("").If(cut > 0, " %s of the deaths were cut off at each end (trimmed), as the doses tested did not reach from none dead to all: lower or higher doses would make it surer.", x.Fig("trimmed"))
}

// lastDose is the place of the highest dose among groups.
func lastDose(groups []*figure.Object) (at int) {
	for i, g := range groups {
		if g.Has("dose") {
			at = i
		}
	}
	return at
}

// harm says from which dose on more died than in the control.
func (a TrialAnswer) harm(x *figure.Object) figure.Phrase {
	return figure.Say("").If(x.Has("harmful_from"), " From %s on more died than in the control.", x.Fig("harmful_from").NoBasis())
}

// some says that animals died where that is not shown to be more than chance: half of them is no measure of harmless.
func (a TrialAnswer) some(x *figure.Object) figure.Phrase {
	for _, g := range x.Objects("groups") {
		if v, _ := g.Fig("dead").Document(); v > 0 && g.Has("dose") && !x.Has("harmful_from") {
			return figure.Say(" %s of %s died at %s all the same: keep well below that.", g.Fig("dead"), g.Fig("animals"), g.Fig("dose").NoBasis())
		}
	}
	return figure.Phrase{}
}

// ofDose reports a trial of what is dosed, and not of a water.
func (a TrialAnswer) ofDose() bool {
	return slices.ContainsFunc(a.Last().Stands, func(s bioassay.Stand) bool { return s.Dose.OK })
}

// bare is the answer of a trial without two doses: of water, or of one dose. Where any died it says so first: what may die is
// then a danger, and not a comfort.
func (a TrialAnswer) bare(x *figure.Object, within figure.Phrase) (p figure.Phrase) {
	if a.Last().KeepOut() {
		p = figure.Say("Keep the animals out. ")
		for _, g := range x.Objects("groups") {
			if g.Has("dose") {
				p = figure.Say("Do not dose %s where animals are. ", g.Fig("dose").NoBasis())
				break
			}
		}
	}
	for i, g := range x.Objects("groups") {
		s := a.Last().Stands[i]
		p = p.If(i > 0, " ").And("%s of %s %s died%s in %s", g.Fig("dead"), g.Fig("animals"), a.animals(), within, groupWords(g)).
			If(x.Has("control"), ", %s of %s in the control", x.Fig("control.dead"), x.Fig("control.animals"))
		p = p.If(s.Unlike(), ": that is more than chance (one-sided p %s)", g.Fig("p_more")).
			If(s.Died() && !s.Unlike() && s.More > 0 && !s.Like(a.Last().Control), ": so few animals do not show whether that is chance (one-sided p %s), and nothing shows that it is harmless", g.Fig("p_more")).
			If(s.Died() && s.Like(a.Last().Control), ": no more than without it, so something else may kill: find that first, and test again").
			If(s.Died() && s.AtMost < 1, ". As many as %s may die of it (95 %% confidence).", g.Fig("at_most")).
			If(!s.Died() && s.AtMost < 1, ": with 95 %% confidence fewer than %s die of it.", g.Fig("at_most")).
			If(s.AtMost >= 1, ".")
	}
	return p
}

// groupWords is a dose, or a name.
func groupWords(g *figure.Object) any {
	if g.Has("dose") {
		return g.Fig("dose")
	}
	return g.Said("name")
}

// groups is what died, and what that proves.
func (a TrialAnswer) groups(t *Text, x *figure.Object) {
	list := x.Objects("groups")
	if x.Has("control") {
		list = append([]*figure.Object{x.Sub("control")}, list...)
	}
	against := either(x.Has("control"), ">p, more died", absent)
	t.each(cols("group", ">dead", ">died", ">die at most", against, either(x.Has("control"), ">p, either way", absent)), list, func(_ int, g *figure.Object) []any {
		return []any{either[any](g.Has("dose"), g.Fig("dose").NoBasis(), g.Said("name")), figure.Say("%s of %s", g.Fig("dead"), g.Fig("animals")), g.Fig("died"), g.Fig("at_most"),
			or(g.Fig("p_more"), ""), or(g.Fig("p_either"), "")}
	})
	t.Say("Die at most: no larger share of such animals dies of it, with 95 %% confidence.%s",
		figure.Say("").If(x.Has("control"), " p is how likely so many more dead than in the control are by chance (Fisher's exact test): below 0.05 the dose kills. One-sided, since only more deaths matter; either way beside it."))
	for _, g := range list {
		if v, _ := g.Fig("dead").Document(); v == 0 {
			p := proofData()
			t.Say("None dead of %s proves no more than that fewer than %s die. Fewer than %s takes %s animals of which none dies, fewer than %s takes %s.",
				g.Fig("animals"), g.Fig("at_most"), p[0].Fig("fewer_than"), p[0].Fig("animals"), p[1].Fig("fewer_than"), p[1].Fig("animals"))
			break
		}
	}
}

// times is what each look tells.
func (a TrialAnswer) times(t *Text, readings []*figure.Object) {
	t.Head("At each look")
	t.each(cols("after", ">half die at", ">from", ">to", ">trimmed", ""), readings, func(_ int, x *figure.Object) []any {
		i, _ := x.Get("lc50").(figure.Interval)
		low, high := i.Ends()
		if x.Has("between") {
			b := x.Sub("between")
			return []any{or(x.Fig("at"), "not told"), "between doses", b.Fig("from").NoBasis(), b.Fig("to").NoBasis(), "", ""}
		}
		if !i.Known() {
			return []any{or(x.Fig("at"), "not told"), outcomeShort[bioassay.Outcome(x.Said("outcome"))], "", "", "", ""}
		}
		return []any{or(x.Fig("at"), "not told"), i.Figure.NoBasis(), or(low.NoBasis(), "-"), or(high.NoBasis(), "-"), x.Fig("trimmed"), either(x.Get("smoothed") == true, "smoothed", "")}
	})
}

// outcomeShort says in a cell why there is no figure.
var outcomeShort = map[bioassay.Outcome]string{bioassay.Above: "above the doses", bioassay.Below: "below the doses", bioassay.TooFew: "fewer than two doses", bioassay.Invalid: "controls died"}

// onlyWater reports a trial of water, without a dose.
func (a TrialAnswer) onlyWater() bool {
	return !slices.ContainsFunc(a.Groups, func(g bioassay.Group) bool { return g.Dose.OK })
}

// enter is what the site is told.
func (a TrialAnswer) enter(t *Text, e *figure.Object) {
	if a.onlyWater() {
		return
	}
	t.Head("What to put into the site")
	if len(e.Keys()) == 0 {
		t.Say("Nothing: %s.", a.Why)
		return
	}
	t.Say("Under Chemicals, in the row of %s, as delivered:", cmp.Or(a.Chemical, "this product"))
	var l facts
	l.when(e.Has("lc50"), "LC50", figure.Say("%s", e.Fig("lc50")).If(a.Entry.Bound, ", a bound: half die of more").
		If(e.Has("lc50_low"), "; or %s, the lower end of its interval, to be on the safe side", e.Fig("lc50_low")))
	l.when(e.Has("killing_dose"), "killing dose", figure.Say("%s, the lowest dose of which any died beyond the control", e.Fig("killing_dose")).If(!e.Has("lc50"), "; no LC50: %s", a.Why))
	l.when(e.Has("lc50_hours"), "LC50 hours", e.Fig("lc50_hours"))
	l.when(e.Said("lc50_animal") != "", "LC50 animal", e.Said("lc50_animal"))
	t.Facts(l)
	if !a.Entry.Judged {
		t.Para("`plan` holds aluminium and iron to limits by the water and reads no test of theirs: keep what stays of this one well below the figure yourself.")
		return
	}
	part := func(rule string) string { p, _, _ := strings.Cut(caution.RuleNamed(rule).Part(), " of "); return p }
	if e.Has("killing_dose") && !e.Has("lc50") {
		t.Say("`plan` and `clarify` are then stopped where what is dosed comes to %s of it, and call for care at %s of it. All other limits hold as before: a dose that killed shows none that is harmless.",
			part("polymer-killed-stop"), part("polymer-killed"))
		return
	}
	t.Say("`plan` and `clarify` then go by it before all figures of other animals: where what is dosed comes to %s of %s they are stopped, and they call for care at %s of the LC50%s%s.",
		part("polymer-tested-stop"), either(e.Has("killing_dose"), "the LC50 or of the killing dose", "it"), part("polymer-tested"),
		either(e.Has("killing_dose"), " or "+part("polymer-killed")+" of the killing dose", ""), figure.Say("").If(a.Entry.Hours.OK && a.Entry.Hours.V < caution.TestLasts,
			"; a trial of %s counts in proportion to one of %s", e.Fig("lc50_hours"), inHours("", caution.TestLasts, 3)))
}

func (a TrialAnswer) working(t *Text) {
	bound := "die at most: the exact one-sided binomial bound (Clopper and Pearson 1934), for none dead of n 1 − 0.05^(1/n)"
	steps := []string{bound}
	if !a.onlyWater() {
		steps = []string{
			"dead so far, of groups of one dose together; where a higher dose killed fewer, neighbours are pooled, weighted by their animals, the control before the lowest dose",
			"what died undosed is taken off (Abbott 1925): (p − control)/(1 − control)",
			"the ends are cut off by the larger of what died at the lowest dose and what lived at the highest; the mean of ln(dose) over the rest, along straight lines between the doses, is ln(LC50) (trimmed Spearman–Kärber, Hamilton, Russo and Thurston 1977)",
			"its variance is the sum of the squares of how far each p moves it, times p(1 − p)/(n − 1); the interval is 1.96 standard errors on either side, on ln(dose)",
			bound,
		}
	}
	t.steps("Working: "+cmp.Or(a.Name, "the trial"), steps)
}

// Drawing shows the deaths by dose at the last look, with their exact 90 % bounds.
func (r TrialReport) Drawing(o Options) draw.Drawing {
	d := o.drawing("Deaths by dose", "")
	for _, a := range r.Trials {
		x := a.Last()
		pan := draw.Panel{X: draw.Axis{Name: "Dose" + either(a.Chemical != "", " of "+a.Chemical, ""), Unit: "mg/L", Log: true}, Y: draw.Axis{Name: "Died", Unit: "%", Zero: true, Least: ptr(0.0), Most: ptr(100.0)}}
		points := draw.Points{Name: "counted", Tone: draw.Plain}
		band := draw.Band{Name: "what may die, 90 %", Tone: draw.Plain}
		line := draw.Line{Name: "less the control, smoothed", Stroke: draw.Dashed, Tone: draw.Doubt}
		for _, s := range x.Stands {
			if !s.Dose.OK {
				continue
			}
			at := s.Dose.V.In("mg/L")
			points.At = append(points.At, draw.Point{XY: draw.XY{X: at, Y: s.Share().In("%")}})
			band.At = append(band.At, draw.Span{X: at, Low: s.AtLeast(bioassay.Sure).In("%"), High: s.AtMost.In("%")})
			if n := len(line.At); n < len(x.Died) {
				line.At = append(line.At, draw.XY{X: at, Y: x.Died[n].In("%")})
			}
		}
		if len(points.At) < 2 {
			continue
		}
		pan.Layers = []draw.Layer{band, line, points}
		if x.Outcome == bioassay.Found && !x.Bracketed {
			pan.Layers = append(pan.Layers, draw.Marker{Label: o.Say("half die at %s", mgL("", x.LC50, 3)), Vertical: true, At: x.LC50.In("mg/L"), Stroke: draw.Solid, Tone: draw.Limit})
		}
		d.Panels = append(d.Panels, pan)
		if len(r.Trials) == 1 {
			d.Title = firstWords(o.Show(a.headline(a.data().Objects("readings")[len(a.Readings)-1])))
		}
		d.Description += o.Say("%s%s: deaths rise from %s at %s to %s at %s.", either(d.Description == "", "", " "), cmp.Or(a.Name, "The trial"),
			died("", x.Stands[0].Share()), mgL("", x.Stands[0].Dose.V, 3), died("", x.Stands[len(points.At)-1].Share()), mgL("", x.Stands[len(points.At)-1].Dose.V, 3))
	}
	return d
}

// firstWords are those of a sentence up to what explains it.
func firstWords(s string) string {
	for _, end := range [...]string{" (", ": ", ". "} {
		s, _, _ = strings.Cut(s, end)
	}
	return strings.TrimSuffix(s, ".")
}

func ptr(v float64) *float64 { return &v }

// Cards gives a card for each trial.
func (r TrialReport) Cards(o Options) (out []page.Card) {
	for i, a := range r.Trials {
		d := a.data()
		readings := d.Objects("readings")
		last := readings[len(readings)-1]
		answer := a.answer(o, last)
		c := page.Card{Numbers: []page.Number{pageNumber(o, answer.Numbers[0])}, Title: "Trial card: " + cmp.Or(joined(", ", a.Chemical, a.Animal), a.Name, fmt.Sprintf("trial %d", i+1)),
			Lead: joined(" ", answer.Sure, strings.TrimSpace(o.Show(a.beyond(last)))), When: dated(o.Date), Ask: ask("")}
		if e := d.Sub("enter"); len(e.Keys()) > 0 {
			for _, f := range [][2]string{{"LC50", "lc50"}, {"killing dose", "killing_dose"}} {
				if e.Has(f[1]) {
					c.Facts = append(c.Facts, [2]string{f[0], o.Show(e.Fig(f[1]))})
				}
			}
			if e.Has("lc50_hours") {
				c.Facts = append(c.Facts, [2]string{"LC50 hours", o.Show(e.Fig("lc50_hours"))})
			}
		}
		c.Checks = []string{"Every group counted, the dead taken out and written down", "Oxygen, pH and temperature of every group read", "The figure put into the site and the plan made again",
			"What becomes of the animals done as local rules say"}
		for _, n := range a.Notes.Only(note.Caution) {
			c.Cautions = append(c.Cautions, remedied(o.Notes(note.List{n})[0].Message, n.Remedy))
		}
		out = append(out, c)
	}
	return out
}

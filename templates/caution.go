package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// phGood says how good the computed pH of an object with [takenPH] is, in the words of [caution.Chemistry.Good].
func phGood(w *figure.Object) figure.Phrase {
	computed, read := w.Fig("ph"), w.Has("ph_measured")
	if read {
		computed = w.Fig("ph_computed")
	}
	if !w.Has("ph_by_age_of_floc") {
		return figure.Say("Computed pH is ").If(read, "%s, ", computed).And("good to about %s", w.Fig("ph_uncertainty"))
	}
	return figure.Say("Computed pH is %s with fresh floc", computed).If(!read, ", by which the checks go,").
		And(" and comes to %s once the floc has aged", w.Fig("ph_aged_floc")).If(!read, ": either may be read")
}

// waterText writes what the doses make of the water, what may stay in it and how
// to give the alkalinity back, from the objects of [reviewData].
func waterText(t *Text, d *figure.Object, behind bool) {
	if d.Has("water") {
		w := d.Sub("water")
		t.Head("What it does to the water")
		heads := []string{"", ">raw", ">after dosing", ">after aeration"}
		if w.Has("slow") {
			heads = append(heads, ">once dissolved")
		}
		rows, marked := chemistryRows(w)
		if marked {
			heads = append(heads, "")
		}
		t.Grid(cols(heads...), rows)
		if w.Has("ph_raw") {
			jar := "The chosen jar read %s: the checks take that."
			if w.Get("ph_from_jars") == true {
				jar = "What the jars lost at this dose gives %s: the checks take that."
			}
			taken, _ := w.Fig("alkalinity_used").Document()
			switch measured := w.Has("ph_measured"); {
			case measured:
				t.Say("%s", figure.Say(jar, w.Fig("ph_measured")).And(" %s.", phGood(w)))
			case taken == 0: // else a note says it
				t.Say("%s.", phGood(w))
			}
		}
	}
	if l := d.Sub("loop"); d.Has("loop") {
		t.Say("%s.", figure.Say("The table is of one pass. The loop").
			If(l.Has("alkalinity_begins"), ", which begins with %s,", l.Fig("alkalinity_begins")).And(" has %s of alkalinity by the end of the run", l.Fig("alkalinity_end_of_run")).
			If(l.Has("alkalinity_after_days"), ", %s after %s days like it, and does not settle", l.Fig("alkalinity_after_days"), daysAhead()).
			If(l.Has("alkalinity_steady"), ", %s in the long run", l.Fig("alkalinity_steady")))
	}
	for _, s := range d.Objects("salts") {
		t.Say("%s.", figure.Say("%s adds %s of %s", upperFirst(s.Said("chemical")), s.Fig("per_pass"), s.Get("ion")).
			If(s.Has("end_of_run"), " at each pass: %s by the end of the run", s.Fig("end_of_run")).
			If(s.Has("after_days"), ", %s after %s days like it, still rising", s.Fig("after_days"), daysAhead()).
			If(s.Has("steady"), ", %s in the long run", s.Fig("steady")))
	}
	stripText(t, d.Sub("stripping"))
	residualText(t, d.Objects("residuals"), behind)
	alkaliText(t, d.Objects("alkalis"), either(d.Has("chemicals"), "spread", "feed")) // a pond has chemicals, a plan feeds
}

// stripText is what strips the carbon dioxide of water that goes round: a line where that is only to know and no working is asked for.
func stripText(t *Text, s *figure.Object) {
	if s == nil || !s.Has("ways") {
		return
	}
	if !s.Has("pressing") && !t.opt.Explain {
		w := s.Objects("ways")[1]
		t.Say("One stripping stage, %s of air to 1 of water, leaves %s of carbon dioxide.", w.Fig("air_over_water"), w.Fig("settles_at"))
		return
	}
	if s.Has("pressing") {
		t.Head("To strip carbon dioxide")
	} else {
		t.Behind("To strip carbon dioxide")
	}
	lent := s.Has("limit_of")
	t.Say("%s", figure.Say("To hold the tank at the %s that %s should have", s.Fig("limit"), s.Get(either(lent, "limit_of", "animals"))).
		If(lent, " (no limit of %s is known: give \"most carbon dioxide\" under Animals)", s.Get("animals")).
		And(", either so many stages between unit and animals, or one stage through which a side stream of the tank goes round:"))
	t.each(cols("air over water", ">one stage removes", ">one on the way: tank at", ">stages", ">or side stream"), s.Objects("ways"), func(_ int, w *figure.Object) []any {
		return []any{w.Fig("air_over_water"), w.Fig("removes"), w.Fig("settles_at"), or(w.Fig("stages"), "none will do"), w.Fig("side_stream")}
	})
	t.Para(t.opt.Show(figure.Say("The doses free %s of it", s.Fig("freed")).
		If(s.Has("runs_a_day"), " in the %s a day that the unit runs", s.Fig("runs_a_day")).If(!s.Has("runs_a_day"), " while the unit runs").
		And(", on top of the %s that the water has without them, at which what the animals breathe out and what it loses are taken to be even", s.Fig("stands")).
		If(s.Get("breathes") == true, "; down to less, what the day's feed makes them breathe out (0.69 kg of it per kg, from memory, not checked in its source) is stripped too").
		If(s.Get("breathes") != true && lessThan(s.Fig("limit"), s.Fig("stands")), "; what the animals breathe out to keep it above the limit is NOT counted: give \"feed eaten a day\"").
		And(". Nothing but new water is taken to carry any off besides. A stage does no better than air and water in balance; pH rises as it goes, and with it free ammonia.")))
}

// daysAhead is how many days like the one planned the cautions look at.
func daysAhead() figure.Figure { return brief("", caution.RuleNamed("loop-later").Limit) }

// chemistryRows are the figures of the water; where a caution speaks of one, marked is true and each row ends in where it does.
func chemistryRows(w *figure.Object) (rows [][]any, marked bool) {
	for _, x := range [...]struct{ name, key string }{
		{"alkalinity, mg/L CaCO3", "alkalinity"}, {"pH", "ph"}, {"carbon dioxide, mg/L", "co2"}, {"free ammonia, mg/L NH3", "nh3"}} {
		aerated := any(unitless(w.Fig(x.key + "_aerated")))
		dosed := any(unitless(w.Fig(x.key)))
		if x.key == "alkalinity" { // which air does not change
			dosed, aerated = remaining(w, x.key), ""
			if w.Has("ph_raw") {
				aerated = dosed
			}
		}
		if x.key == "ph" && w.Has("ph_measured") && w.Has("ph_aerated") && lessThan(w.Fig("ph_aerated"), w.Fig("ph")) {
			aerated = "" // air raises it from what was read, wherever the sum that says so begins
		}
		if w.Has(x.key + "_raw") {
			row := []any{x.name, unitless(w.Fig(x.key + "_raw")), dosed, aerated}
			if w.Has("slow") {
				row = append(row, unitless(w.Fig(x.key+"_dissolved")))
			}
			said := said(w, x.key)
			marked = marked || said != ""
			rows = append(rows, append(row, said))
		}
	}
	if !marked {
		for i, row := range rows {
			rows[i] = row[:len(row)-1]
		}
	}
	return rows, marked
}

// lessThan reports a figure that is less than another.
func lessThan(a, b figure.Figure) bool {
	x, _ := a.Document()
	y, _ := b.Document()
	return x < y
}

// said names the states of a figure of the water that a caution or a stop speaks of.
func said(w *figure.Object, key string) string {
	var out []string
	for _, x := range [...][2]string{{"_raw", "raw"}, {"", "after dosing"}, {"_aerated", "after aeration"}} {
		if l, ok := w.Get(key + x[0] + "_level").(note.Level); ok {
			out = append(out, levelWord(l)+" "+x[1])
		}
	}
	return strings.Join(out, ", ")
}

func residualText(t *Text, list []*figure.Object, behind bool) {
	if len(list) == 0 {
		return
	}
	either(behind, t.Behind, t.Head)("What may stay in the water (mg/L)")
	t.each(cols("chemical", ">worst case", ">expected", "limit", ""), list, func(_ int, r *figure.Object) []any {
		worst, _ := r.Fig("worst_case").Document()
		limit, level := any("none"), "ok"
		if r.Has("limit") {
			limit = figure.Say("%s, %s", unitless(r.Fig("limit")), r.Get("limit_name")).
				If(r.Has("limit_reached_after") && worst > 0, ", reached after %s", r.Fig("limit_reached_after"))
		}
		if l, _ := r.Get("level").(note.Level); l != note.Info {
			level = levelWord(l)
		} else if !r.Has("limit") {
			level, limit = "not judged", ""
		} else if r.Has("above_limit") {
			level = "note"
		} else if bound, _ := r.Fig("limit").Document(); worst > bound { // what was measured, or its stated capture leaves, is what is judged
			level = "ok as expected"
		}
		if r.Has("still_rising") && r.Has("limit") {
			limit = risesOn(figure.Say("%s; ", limit), r)
		}
		name, _, _ := strings.Cut(r.Said("chemical"), " (")
		return []any{figure.Say("%s as %s", name, r.Get("as")), unitless(r.Fig("worst_case")), expectedWords(r),
			limit, level}
	})
}

// expectedWords is what is expected to stay, and on what that rests where it is no measured capture.
func expectedWords(r *figure.Object) any {
	if r.Get("expected_by_half_life") == true {
		return figure.Say("%s by half-life", unitless(r.Fig("expected")))
	}
	return or(unitless(r.Fig("expected")), "not measured")
}

// risesOn says of a worst case that it is no end, and when it passes its limit.
func risesOn(p figure.Phrase, r *figure.Object) figure.Phrase {
	return p.And("worst case that of day %s, still rising", figure.Count("", int(caution.RuleNamed("loop-later").Limit))).
		If(r.Has("limit_passed_on_day"), ", past the limit on day %s", r.Fig("limit_passed_on_day"))
}

// alkaliText lists what to feed to hold what is asked for, and apart from it what a plan would stop for.
func alkaliText(t *Text, list []*figure.Object, give string) {
	goal := ""
	var rows [][]any
	var stopped []any
	flush := func() {
		if len(rows)+len(stopped) == 0 {
			return
		}
		t.Head("To hold " + goal)
		heads := []string{give + " one of", ">mg/L sold", "#", ">pH", ">aerated", ">CO2", ">NH3", ""}
		const nh3 = 6
		if !slices.ContainsFunc(rows, func(row []any) bool { return row[nh3] != "" }) { // no ammonia is known
			heads = slices.Delete(heads, nh3, nh3+1)
			for i := range rows {
				rows[i] = slices.Delete(rows[i], nh3, nh3+1)
			}
		}
		if len(rows) > 0 {
			t.Grid(cols(heads...), rows)
		}
		if len(stopped) > 0 {
			t.Say("Not these, for which a plan stops: %s.", figure.And("; ", stopped...))
		}
		rows, stopped = nil, nil
	}
	for _, a := range list {
		if g := t.opt.Show(a.Get("goal")); g != goal {
			flush()
			goal = g
		}
		name := figure.Say("%s, %s%%", a.Get("alkali"), unitless(a.Fig("purity")))
		if l, _ := a.Get("level").(note.Level); l == note.Stop && !a.Has("cannot_reach") {
			stopped = append(stopped, figure.Say("%s (%s)", name, a.Get("why")))
			continue
		}
		rows = append(rows, alkaliRow(name, a))
	}
	flush()
}

// alkaliRow is what one alkali or acid does to the water, and what a plan would caution of.
func alkaliRow(name any, a *figure.Object) []any {
	row := []any{name, "", "", "", "", "", "", "not reached"}
	if a.Has("cannot_reach") {
		return row
	}
	row[7] = a.Said("remark")
	for i, key := range [...]string{"dose_product", "product_use", "ph", "ph_aerated", "co2", "nh3"} {
		if f := a.Fig(key); f.Known() && key == "product_use" {
			row[1+i] = f
		} else if f.Known() {
			row[1+i] = unitless(f)
		}
	}
	if l, _ := a.Get("level").(note.Level); l != note.Info {
		why := figure.Say("%s: %s", strings.ToUpper(l.String()), a.Get("why"))
		if row[7] = why; a.Has("remark") {
			row[7] = figure.Say("%s; %s", why, a.Said("remark"))
		}
	}
	return row
}

// uncounted are the acceptances that do not count, which a plan that is stopped says beside its stops.
func uncounted(f caution.Findings) note.List {
	return slices.DeleteFunc(slices.Clone(f.Notes), func(n note.Note) bool { return !f.Stopped || !caution.Uncounted(n) })
}

// cautionText writes what is less than a caution, as those have been said first, and what was not checked.
func cautionText(t *Text, f caution.Findings, o Options) {
	rest := below(f.Notes, note.Caution, f.Taken)
	t.noted("To bear in mind", slices.DeleteFunc(rest, func(n note.Note) bool { return f.Stopped && caution.Uncounted(n) }))
	t.list("Not checked", f.NotChecked)
}

// acceptedText prints the stops that somebody takes the risk of.
func acceptedText(t *Text, taken []caution.Taken) {
	if len(taken) == 0 {
		return
	}
	t.Head("Accepted risks")
	for _, a := range taken {
		by := a.By.By
		if on := dated(a.By.Date); on != "" {
			by += " on " + on
		}
		stop := t.opt.Notes(note.List{a.Stop})[0]
		s := fmt.Sprintf("%s. Accepted by %s: %s", stop.Message, by, a.By.Why)
		if until := dated(a.By.Until); until != "" {
			s += " (until " + until + ")"
		}
		t.Item("!", s+".")
	}
}

// below gives the notes under a level, without those that acceptedText printed.
func below(l note.List, level note.Level, taken []caution.Taken) note.List {
	return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool {
		printed := strings.HasPrefix(n.Message, "accepted by ") &&
			slices.ContainsFunc(taken, func(a caution.Taken) bool { return a.Stop.Code == n.Code })
		return n.Level >= level || printed
	})
}

// handlingText writes what concerns the chemicals as goods, most dangerous
// first: what must never meet, gas and fire before what only spoils, then what to wear, then the rest.
func handlingText(t *Text, l note.List, o Options) {
	if len(l) == 0 {
		return
	}
	t.Head("Handling")
	mixes := func(n note.Note) bool { return strings.HasPrefix(n.Code, "mix-") }
	rank := func(n note.Note) int { return either(mixes(n), 0, 2) + either(n.Level >= note.Caution, 0, 1) }
	for _, n := range slices.SortedStableFunc(slices.Values(o.Notes(l)), func(a, b note.Note) int { return cmp.Compare(rank(a), rank(b)) }) {
		t.Sourced(either(mixes(n), "!", "-"), remedied(upperFirst(n.Message), n.Remedy)+".", n.Source)
	}
}

// checkText lists every comparison that was made.
func checkText(t *Text, list []caution.Check) {
	if len(list) == 0 {
		return
	}
	t.Behind("Every check made")
	for _, c := range list {
		verdict := "passes"
		if c.Fired {
			verdict = strings.ToUpper(c.Level.String())
		}
		t.Item("-", t.opt.Say("%s: %s against %s: %s [%s]", bracketed(upperFirst(caution.RuleNamed(c.Rule).Name()), c.About), c.Found, c.Limit, verdict, c.Source))
	}
}

// Cautions shows every caution that the program can utter, the animals and the
// toxicity data behind them.
type Cautions struct{}

// Text writes the tables.
func (Cautions) Text(t *Text, o Options) {
	t.Head("Every caution")
	t.Para("A stop withholds pump settings until the site, under Accepted, names who takes the risk and why. A word in braces is filled in with what your site has. \"The same\" is the rule above.")
	for _, r := range caution.Rules() {
		t.Blank()
		d, limit := ruleObject(r), ""
		if r.HasLimit {
			limit = o.Say(", limit %s", figure.Figure{Q: r.Bound(), Digits: 3, Form: figure.Trace})
			if r.Unit != "C" {
				limit += " " + r.Unit
			}
			if part := r.Part(); part != "" {
				limit = ", limit " + part
			}
		}
		t.Item(strings.ToUpper(r.Level.String()), o.Say("when %s", quantity.Told(r.When, r.Listed()))+limit)
		if r.Level == note.Stop {
			t.Item("   ", "under Accepted it is called "+r.ID)
		}
		t.Item("   ", o.Say(`"%s"`, d.Get("says")))
		if r.Do != "" {
			t.Item("   ", o.Say("do: %s", d.Get("do")))
		}
		if r.Pond != "" {
			t.Item("   ", o.Say("in a pond with its animals: %s", d.Get("do_in_a_pond")))
		}
		if r.Round != "" {
			t.Item("   ", o.Say("where a tank's water goes round through a unit: %s", d.Get("do_round_a_unit")))
		}
		if r.Carbon != "" {
			t.Item("   ", o.Say("where the dose is there to take out organic carbon: %s", d.Get("do_for_organic_carbon")))
		}
		known := ", " + status(r.Status == "memory")
		if strings.Contains(r.Source, "no source") || r.Status == "memory" && strings.Contains(r.Source, "memory") { // which says it already
			known = ""
		}
		t.Item("   ", "source: "+r.Source+known)
	}
	t.Head("Animals")
	for _, p := range animal.Profiles() {
		t.Blank()
		t.Para(upperFirst(p.Name) + " (" + strings.Join(p.Also, ", ") + ")")
		t.Say("%s.", figure.Say("Kept in %s, %s (common practice, no source)", p.Water.Name, rangeWords(keptIn(p.Water))))
		t.each(cols("of", "figure", "note", "source"), profileObject(p).Objects("ranges"), func(i int, r *figure.Object) []any {
			x := p.Ranges[i]
			return []any{string(x.Parameter), rangeWords(r), figure.And("; ", strings.Trim(string(x.Stage)+either(x.Of == "", "", ", of "+x.Of), ", "), either[any](x.Note == "", "", r.Get("note")), either(x.Harms, "harms there: keep clear of it", ""), either(x.Use, "", "to know: no check takes it")), x.Source + ", " + knownBy(x)}
		})
	}
	t.Head("Toxicity")
	var rows [][]any
	for _, r := range animal.Results() {
		said := any("no data")
		switch {
		case r.More:
			said = figure.Say("> %s", rangeWords(between(r.Low, r.Low, true, true, r.Unit)))
		case r.HasLow:
			said = rangeWords(toxicityObject(r))
		case r.Note != "gap" && !strings.HasPrefix(r.Note, "gap:"):
			said = figure.Unknown
		}
		rows = append(rows, []any{string(r.Chemical), r.Animal, strings.TrimSpace(r.Endpoint + " " + r.Duration), said, r.Source})
	}
	t.Grid(cols("chemical", "animal", "result", "figure", "source"), rows)
}

// knownBy says how a figure of an animal is known, of which stage and of which animal.
func knownBy(r animal.Range) string {
	return either(r.Memory(), status(true), r.Status)
}

func status(memory bool) string {
	return either(memory, "from memory, not checked in its source", "read")
}

// rangeWords is a range of [between] in words.
func rangeWords(r *figure.Object) any {
	low, high := r.Fig("low"), r.Fig("high")
	switch {
	case low.Known() && high.Known() && low.Q != high.Q:
		return figure.Say("%s to %s", unitless(low), high)
	case low.Known() && high.Known():
		return low
	case low.Known():
		return figure.Say("from %s", low)
	case high.Known():
		return figure.Say("up to %s", high)
	}
	return " " + r.Said("unit")
}

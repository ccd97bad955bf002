package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/gauge"
	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// ClarifyReport is the answer of "clarify", and of "plan" where a site's day is a clean-up.
type ClarifyReport struct {
	dosing.Cleaning
	// Cost is that of the whole clean-up; nil where it is not worked out.
	Cost *month.DayCost
	// Day is set where it stands for the day of a site that treats no other water.
	Day bool
}

// clock writes a time since the start by the clock.
func (r ClarifyReport) clock(t quantity.Time) string { return r.Tank().Clock(t) }

// tank is what the tank is called.
func (r ClarifyReport) tank() string { return cmp.Or(r.Name, "a tank") }

// theTank is that within a sentence.
func (r ClarifyReport) theTank() string { return cmp.Or(dosing.WithArticle(r.Name), r.tank()) }

// Text implements [Report].
func (r ClarifyReport) Text(t *Text, o Options) {
	d := r.data()
	t.Answer(r.answer(o, d))
	if r.Day {
		t.Say("The day is a clean-up of %s, which `clarify` shows as well: there is no other water to treat.", r.theTank())
	}
	if r.Stopped {
		t.Para("No doses or pump settings are given until that is settled. The figures below say what the stop is about.")
	} else if r.DayStopped && !r.Unanswered() {
		t.Para("You may begin: nothing stops this clean-up. The day plan of this site is stopped for the reason below, and stays so.")
	}
	lead := r.headline(d)
	if t.paper() && r.Outcome == clarify.Cleared && !r.held() && r.Running >= r.Time*0.999 { // the large number says the rest
		lead = r.passes(d).And(".")
	}
	t.Say("%s", lead)
	if r.Trial != "" {
		t.Say("What a pass takes out rests on the trial %s.", r.Trial)
	}
	if r.Outcome == clarify.ClearAlready { // unless a figure is not what was meant
		t.noted("Look at this first", slices.DeleteFunc(slices.Clone(r.CleaningNotes()), func(n note.Note) bool { return !dosing.AsksFigure(n) }))
		r.holding(t, d)
		return
	}
	clears, held := r.Outcome == clarify.Cleared, r.Outcome == clarify.Held
	rest := below(r.CleaningNotes(), either(r.Stopped, note.Stop, note.Error), r.Taken)
	t.noted("Look at this first", rest.Only(note.Caution))
	rest = slices.DeleteFunc(rest, func(n note.Note) bool { return n.Level == note.Caution })
	if !r.Stopped && (clears || held) {
		r.stages(t, d)
	}
	switch {
	case held:
		r.holding(t, d)
		r.perDay(t, d)
		r.kept(t, d)
	case clears:
		r.course(t)
		r.needs(t, d)
		r.holding(t, d)
		if r.held() && !r.Stopped {
			r.perDay(t, d)
		}
		r.kept(t, d)
		if r.Cost != nil {
			moneyText(t, t.Behind, "Cost of the clean-up", *r.Cost, d.Sub("money"))
		}
	case r.Outcome == clarify.NotHeld && r.held():
		r.holding(t, d)
	default:
		r.course(t)
		r.holding(t, d)
	}
	if !held && r.Outcome != clarify.NotHeld { // which doses nothing
		r.water(t, d)
		if r.Holding == nil || r.Holding.Strip == nil {
			stripText(t, d.Sub("stripping"))
		}
	}
	r.watch(t, d)
	if o.Explain {
		r.working(t)
	}
	acceptedText(t, r.Taken)
	if len(rest) > 0 {
		t.Behind("To bear in mind")
		t.Notes(rest)
	}
	handlingText(t, r.Handling, o)
}

// CleaningNotes are what the run and the water have to say.
func (r ClarifyReport) CleaningNotes() note.List { return r.Cleaning.Notes }

// headline is the answer in a few sentences.
func (r ClarifyReport) headline(d *figure.Object) figure.Phrase {
	start, stop, final := r.beside(d, "start_reading", "start"), r.beside(d, "stop_reading", "stop"), r.beside(d, "final_reading", "final")
	switch r.Outcome {
	case clarify.ClearAlready:
		return figure.Say("Nothing to do: the tank reads %s and is to be cleared to %s.", start, stop).And("%s", r.idleWords(d))
	case clarify.NeverClears:
		return figure.Say("The tank does NOT clear: it settles at about %s and never comes down to %s.", final, stop)
	case clarify.TooLong:
		return figure.Say("The tank does NOT clear within %s: it then reads %s.", hours("", r.Time, 3).In(figure.Long), final).And("%s", r.holdTakes(d))
	}
	if r.held() && r.Outcome != clarify.Cleared { // those that do not clear are told above
		return r.holds(d)
	}
	if h := d.Sub("hold"); h.Has("passes_after") && !r.held() {
		return figure.Say("The tank reads %s, clear enough, but rises by itself: left alone it passes %s after %s.", start, stop, h.Fig("passes_after").In(figure.Long)).
			If(r.Outcome == clarify.Held, " The unit, run %s a day, holds it there.", h.Fig("run_a_day").In(figure.Long)).
			If(r.Outcome == clarify.NotHeld, " The unit cannot hold it there").
			If(r.Outcome == clarify.NotHeld && h.Has("run_a_day"), ": that would take %s a day", h.Fig("run_a_day").In(figure.Long)).
			If(r.Outcome == clarify.NotHeld, ".")
	}
	return figure.Say("%s falls to %s after %s", start, stop, d.Fig("time").In(figure.Long)).
		If(r.Running < r.Time*0.999, ", %s of them running", d.Fig("running").In(figure.Long)).
		And(": %s", r.passes(d)).And(". Begun at %s it is %s at %s.", r.clock(0), either(r.held(), "there", "clear"), r.clock(r.Time)).
		If(r.held() && !r.Hold.Fails, " The unit, run %s a day, then holds it at %s.", d.Fig("hold.run_a_day").In(figure.Long), r.beside(d, "hold.at", "hold")).
		If(r.held() && r.Hold.Fails, " The unit cannot hold it at %s%s.", r.beside(d, "hold.at", "hold"), r.wouldTake(d)).And("%s", r.idleWords(d))
}

// idleWords says that a tank to be held needs no unit for it; nothing of any other.
func (r ClarifyReport) idleWords(d *figure.Object) figure.Phrase {
	_, idle := r.idle()
	return figure.Say("").If(idle, " No unit is needed to hold it at %s: by itself it settles at %s.", r.beside(d, "hold.at", "hold"), d.Fig("hold.settles_at"))
}

// passes is how often the water goes through the unit, and what that takes out.
func (r ClarifyReport) passes(d *figure.Object) figure.Phrase {
	return figure.Say("%s turnovers of %s at %s, each pass taking out %s%s", d.Fig("turnovers"), d.Fig("volume"), d.Fig("flow"), d.Fig("capture"), r.above()).
		If(r.Tank().Exchange > 0, ", while %s of new water at %s come in", d.Fig("new_water"), d.Fig("new_water_reading"))
}

// beside is a reading as the tube or cone shows it, with what that is by a meter.
func (r ClarifyReport) beside(d *figure.Object, reading, shown string) figure.Phrase {
	shows := "gauge." + shown
	if s := r.Tank().Scale; s != nil && d.Has(shows) {
		return figure.Say("%s in the %s (%s)", d.Fig(shows), gaugeName(s), d.Fig(reading))
	}
	tube := r.Tank().Scale != nil && r.Tank().Scale.Key == gauge.Tube
	return figure.Say("%s", d.Fig(reading)).If(tube, " by a turbidity meter (below %s NTU a tube does not tell)", brief("", gauge.LeastByTube))
}

// holds is the answer for a tank that is to be held and needs no clearing first.
func (r ClarifyReport) holds(d *figure.Object) figure.Phrase {
	h := d.Sub("hold")
	return figure.Say("To hold %s at %s, ", r.theTank(), r.beside(d, "hold.at", "hold")).
		If(h.Has("flow"), "send %s through the unit: %s a day at %s", h.Fig("flow"), or(h.Fig("run_a_day").In(figure.Long), "more than 24 h"), d.Fig("flow")).
		If(!h.Has("flow"), "no flow through the unit will do: its outlet is no clearer").
		If(r.Hold.Fails && h.Has("flow"), ", MORE than it runs: it settles at about %s", h.Fig("settles_at")).
		If(r.Hold.Fails && h.Has("flow"), "%s", eachDay(h)).And(".").
		If(h.Has("passes_after"), " Now it reads %s; left alone it passes %s after %s.", r.beside(d, "start_reading", "start"), h.Fig("at"), h.Fig("passes_after").In(figure.Long))
}

// eachDay says how far the reading of a tank that cannot be held goes each day.
func eachDay(h *figure.Object) figure.Phrase {
	return figure.Say("").If(h.Has("lowest"), ", each day from %s at %s to %s at %s", h.Fig("lowest"), h.Get("lowest_at"), h.Fig("highest"), h.Get("highest_at"))
}

// wouldTake says how long the unit would have to run, where any hours of a day would do.
func (r ClarifyReport) wouldTake(d *figure.Object) figure.Phrase {
	h := d.Sub("hold")
	return figure.Say("").If(h.Has("run_a_day"), ": that would take %s a day", h.Fig("run_a_day").In(figure.Long))
}

// holding is what comes into a tank that is held, and what takes it out again.
func (r ClarifyReport) holding(t *Text, d *figure.Object) {
	_, idle := r.idle()
	if !r.held() && !idle {
		return
	}
	h := d.Sub("hold")
	t.Head("To hold it at " + t.opt.Show(r.beside(d, "hold.at", "hold")))
	var l facts
	l.when(h.Has("feed"), "feed", figure.Say("%s", h.Fig("feed")).If(h.Has("solids_share"), ", of which %s becomes suspended solids%s", h.Fig("solids_share"),
		either(r.Load != nil && r.Load.Assumed, " (from memory, not checked in its source)", "")))
	l.when(h.Has("solids"), "solids made", h.Fig("solids"))
	l.when(h.Has("flow"), "through the unit", figure.Say("%s, each pass taking out %s%s", h.Fig("flow"), d.Fig("capture"), r.above()))
	l.when(h.Has("run_a_day"), "the unit runs", figure.Say("%s a day at %s", h.Fig("run_a_day").In(figure.Long), d.Fig("flow")).
		If(h.Has("swing"), ", %s; run so the reading moves by about %s, parted over the day by a timer it stands", h.Get("runs"), h.Fig("swing")))
	l.when(r.Tank().Exchange > 0, "new water", figure.Say("%s at %s", d.Fig("new_water"), d.Fig("new_water_reading")))
	settles, _ := h.Fig("settles_at").Document()
	shown := r.gauged("", settles)
	l.add(either(idle, "the unit off", "run all its hours"), figure.Say("it settles at about %s%s", h.Fig("settles_at"), eachDay(h)).If(shown.Known(), " (%s in the %s)", shown, r.gaugeWord()).
		If(r.Tank().Scale != nil && !shown.Known(), ", which lies outside the pairs of the %s", r.gaugeWord()).If(idle, ": no unit is needed"))
	l.when(h.Has("floc"), "solids of the doses", figure.Say("%s on top", h.Fig("floc")))
	l.when(h.Has("dry"), "off the unit in all", figure.Say("%s of dry solids", h.Fig("dry")))
	l.when(h.Has("alkalinity_taken"), "nitrifying the feed", figure.Say("takes %s of alkalinity as CaCO3", h.Fig("alkalinity_taken")).
		If(r.Load != nil && !r.Load.Protein.OK, " (40 %% protein in the feed, from memory, not checked in its source)").
		If(h.Has("new_water_brings"), "; the alkalinity given is taken to be what new water keeps up against that, which then brings about %s: measure it", h.Fig("new_water_brings")))
	if h.Has("alkalinity_dosed") {
		l.add("the doses", figure.Say(either(r.Hold.Acid < 0, "give", "take")+" %s of alkalinity as CaCO3", massRate("", max(r.Hold.Acid, -r.Hold.Acid), 3)))
	}
	l.when(h.Has("alkalinity_in_all"), "alkali to give", figure.Say("%s as CaCO3", h.Fig("alkalinity_in_all")).If(h.Has("alkalinity_held"), ", for %s to stay", h.Fig("alkalinity_held")).
		If(h.Has("alkalinity_held") && r.Tank().Exchange > 0, ", beside what new water brings").
		If(h.Has("bicarbonate"), ": %s of sodium bicarbonate", h.Fig("bicarbonate")).
		If(!h.Has("bicarbonate"), "; what to feed to hold the loop stands below"))
	l.when(h.Has("phosphorus_brought"), "phosphorus in the feed", figure.Say("%s", h.Fig("phosphorus_brought")).
		If(r.Load != nil && !r.Load.OfPhosphorus.OK, " (1.2 %% of the feed, from memory, not checked in its source)").And(", about half of which animals keep (from memory, not checked in its source)"))
	t.Facts(l)
}

// kept is what dosing day after day makes of the water that is held, as a plan tells it.
func (r ClarifyReport) kept(t *Text, d *figure.Object) {
	if r.Holding == nil {
		return
	}
	t.Para("What follows counts day after day of being held so.")
	waterText(t, d.Sub("hold"), false)
	t.list("Not checked", r.Holding.NotChecked)
}

// gaugeWord is the tank's gauge in a word; empty where it has none.
func (r ClarifyReport) gaugeWord() string {
	if r.Tank().Scale == nil {
		return ""
	}
	return gaugeName(r.Tank().Scale)
}

// above says what of the reading a pass takes its share of.
func (r ClarifyReport) above() figure.Phrase {
	return figure.Say("").If(r.Tank().Floor > 0, " of what is above the outlet's %s", r.read("", r.Tank().Floor))
}

// stages is the sheet to work from.
func (r ClarifyReport) stages(t *Text, d *figure.Object) {
	t.Carded("What to do")
	var rows [][]any
	var numbers []int
	board := r.onBoard()
	for i, s := range d.Objects("stages") {
		for k, x := range r.stageTasks(i, s, t.opt) {
			row := []any{"", "", "", x}
			numbers = append(numbers, 0)
			if k == 0 {
				numbers[len(numbers)-1] = board[i]
				row[0], row[1], row[2] = s.Get("clock"), s.Fig("reading"), s.Fig("gauge_shows")
			}
			if k == 0 && r.Stages[i].Alone {
				row[3] = figure.Say("%s (nobody is there then)", x)
			}
			rows = append(rows, row)
		}
	}
	t.Grid(cols("at", ">tank reads", r.gaugeHead(), "do"), rows)
	t.Numbered(numbers)
	if how := r.between(); how != "" {
		t.Para(how)
	}
	if d.Has("reserve") {
		t.Say("Stock is made up with %s to spare over what the list draws.", d.Fig("reserve"))
	}
}

// stageTasks are the things to do at a stage, in their order.
func (r ClarifyReport) stageTasks(i int, s *figure.Object, o Options) (do []any) {
	for _, x := range r.Stages[i].Before {
		do = append(do, upperFirst(o.Show(x)))
	}
	for k, f := range s.Objects("feeds") {
		do = append(do, stageFeed(f, r.Stages[i].Feeds[k]))
	}
	for _, x := range r.Stages[i].Do {
		do = append(do, upperFirst(o.Show(x)))
	}
	return do
}

// gaugeHead heads what the tube or cone shows; there is no such column where a meter is read.
func (r ClarifyReport) gaugeHead() string {
	if s := r.Tank().Scale; s != nil {
		return ">" + gaugeName(s)
	}
	return absent
}

// between says what is dosed between the readings that a dose was tested at.
func (r ClarifyReport) between() string {
	for _, c := range r.Tank().Chemicals {
		if _, curve := c.Rule.Tested(); curve {
			return "Between the readings given, the dose follows the straight line; a setting stays until it may fall by a fifth, and all that is counted here is what is fed as set."
		}
		if len(c.Rule.Steps()) > 1 {
			return "Between two readings given, the higher of their doses is kept."
		}
	}
	return ""
}

// perDay is what holding the tank takes.
func (r ClarifyReport) perDay(t *Text, d *figure.Object) {
	if use := d.Sub("hold").Objects("use"); len(use) > 0 {
		t.Head("Chemical a day")
		usesText(t, use)
	}
}

func usesText(t *Text, use []*figure.Object) {
	t.each(cols("chemical", ">dosed", ">product", ">as liquid", ">stock"), use, func(_ int, u *figure.Object) []any {
		return []any{u.Get("chemical"), u.Fig("dosed"), u.Fig("product"), u.Fig("product_volume"), u.Fig("stock")}
	})
}

// stageFeed says what to set a chemical to.
func stageFeed(f *figure.Object, x dosing.StageFeed) figure.Phrase {
	if v, _ := f.Fig("dose").Document(); v == 0 {
		return figure.Say("STOP %s", f.Said("chemical"))
	}
	out := figure.Say("Set %s to %s %s", f.Said("chemical"), f.Fig("dose"), f.Get("basis")).
		If(!f.Has("stock_rate") && f.Has("product_rate"), ": feed %s of product", f.Fig("product_rate")).
		If(f.Has("stock_rate"), ": feed %s of %s", f.Fig("stock_rate"), either(x.Neat != "", "the "+x.Neat+" product", "stock")).
		If(f.Get("in_range") == true, ", pump at %s", standing(f.Fig("setting"), f.Fig("on_scale"))).
		If(f.Has("stroke"), ", stroke %s", f.Fig("stroke")).
		If(f.Get("in_range") == false, " (OUT OF THE PUMP'S REACH").
		If(f.Has("nearest_rate"), ": the nearest is %s, which makes %s; what else can be done stands with the cautions", f.Fig("nearest_rate"), f.Fig("nearest_dose")).
		If(f.Get("in_range") == false, ")")
	if !f.Has("gives") {
		return out
	}
	return out.And(" %s", givesWords(f, *x.Setting))
}

// course is a dozen times of the run.
func (r ClarifyReport) course(t *Text) {
	t.Behind("Course")
	k := r.Tank()
	heads := []string{"clock", ">after", ">turnovers", ">reading", r.gaugeHead()}
	for _, c := range k.Chemicals {
		heads = append(heads, "#"+c.Name)
	}
	var rows [][]any
	for _, m := range r.sample(12) {
		x := r.moment(m)
		row := []any{r.clock(m.At), x.Fig("time").In(figure.Long), x.Fig("turnovers"), x.Fig("reading"), x.Fig("gauge")}
		for _, c := range k.Chemicals {
			row = append(row, x.Fig(slug(c.Name)+".dose"))
		}
		rows = append(rows, append(row, remaining(x, "alkalinity")))
	}
	t.Grid(cols(append(heads, either(k.HasAlkalinity && (len(k.Chemicals) > 0 || r.Load == nil || k.Nitrified > 0), ">alk. mg/L", absent))...), rows)
}

// sample picks so many moments, evenly spaced in the time that the unit runs, the first and last included.
func (r ClarifyReport) sample(n int) []clarify.Moment {
	all := r.Moments
	if len(all) <= n {
		return all
	}
	var out []clarify.Moment
	next := 0
	for i, m := range all {
		due := func() bool {
			return next < n-1 && float64(m.Running) >= float64(r.Running)*float64(next)/float64(n-1)-1e-9
		}
		if i == len(all)-1 || due() {
			out = append(out, m)
			for due() { // the unit stood still: one moment stands for several
				next++
			}
		}
	}
	return out
}

// spanned are the ends of a range in brackets: the lower alone where the likely figure is the upper, nothing where both are one.
func spanned(x *figure.Object) figure.Phrase {
	low, likely, high := x.Fig("low"), x.Fig("likely"), x.Fig("high")
	switch {
	case low.Q == high.Q:
		return figure.Phrase{}
	case likely.Q == high.Q:
		return figure.Say(" (%s at least)", low)
	}
	return figure.Say(" (%s to %s)", low, high)
}

func (r ClarifyReport) needs(t *Text, d *figure.Object) {
	t.Head("Chemical and waste")
	k, w := r.Tank(), d.Sub("waste")
	if use := d.Objects("use"); len(use) > 0 {
		usesText(t, use)
	}
	l := facts{{"water through the unit", d.Fig("treated")}, {"dry solids", "not worked out: what a mL/L in the cone weighs is not known"}}
	if w.Has("dry") {
		l[1].Value = figure.Say("%s%s", w.Fig("dry.likely"), spanned(w.Sub("dry")))
	}
	dryFrom := either(r.ShareFrom == "" || r.ShareFrom == dosing.Stated, "", " ("+r.ShareFrom+")")
	l.when(w.Has("float"), "float or sludge", figure.Say("%s", w.Fig("volume")).
		If(w.Has("water_lost"), ": %s at %s dry%s%s and %s of water carried over by the skimmer", w.Fig("float.likely"), w.Fig("dry_share"), dryFrom, spanned(w.Sub("float")), w.Fig("water_lost")).
		If(!w.Has("water_lost"), " at %s dry%s%s", w.Fig("dry_share"), dryFrom, spanned(w.Sub("float"))))
	if w.Has("bin_holds") {
		full := r.Waste.Bins
		s := figure.Say("%s times: %s", len(full), r.clocks(full, 6))
		switch len(full) {
		case 0:
			s = figure.Say("%s of %s, not full by the end", w.Fig("volume"), w.Fig("bin_holds"))
		case 1:
			s = figure.Say("once: %s", r.clocks(full, 6))
		}
		l.add(cmp.Or(k.Bin.Name, "bin")+either(len(full) > 0, " to be emptied", ""), s)
	}
	t.Facts(l)
}

func (r ClarifyReport) clocks(times []quantity.Time, most int) string {
	var out []string
	for i, x := range times {
		if i == most {
			out = append(out, fmt.Sprintf("and %d more", len(times)-most))
			break
		}
		out = append(out, r.clock(x))
	}
	return strings.Join(out, ", ")
}

func (r ClarifyReport) water(t *Text, d *figure.Object) {
	k := r.Tank()
	if len(k.Chemicals) == 0 {
		return
	}
	t.Head("What is left in the water")
	var rows [][]any
	back := false
	limits := func(x *figure.Object) any {
		stop, care := "stop_at", "care_at"
		if x.Has("back_stop_at") || x.Has("back_care_at") {
			back, stop, care = true, "back_stop_at", "back_care_at"
		}
		if !x.Has(stop) && !x.Has(care) {
			return figure.Unknown
		}
		return figure.Say("%s / %s", or(unitless(x.Fig(stop)), "-"), or(unitless(x.Fig(care)), "-"))
	}
	for i, x := range d.Objects("residuals") {
		if c := k.Chemicals[i]; len(r.Metals) == 0 || c.Al == 0 && c.Fe == 0 { // a metal stands as what its limits count
			rows = append(rows, []any{figure.Say("%s %s", x.Get("chemical"), x.Get("basis")), unitless(x.Fig("bound")), unitless(x.Fig("worst_case")),
				or(unitless(x.Fig("measured_capture")), "capture not measured"), limits(x)})
		}
	}
	for _, x := range d.Objects("metals") {
		rows = append(rows, []any{figure.Say("%s as %s", x.Get("chemical"), x.Get("as")), unitless(x.Fig("bound")), unitless(x.Fig("worst_case")),
			or(unitless(x.Fig("expected")), "not measured"), limits(x)})
	}
	t.Grid(cols("chemical, mg/L", ">dosed in all", ">if none is caught", ">expected", ">stop / care at"), rows)
	if back {
		t.Say("Stop and care are those of animals that are kept out meanwhile (%s): before they come back \"jarwright restock\" says how much clean water it takes.", listed(names(r.Around.Back)))
	}
	for _, s := range d.Objects("salts") {
		t.Say("%s adds %s of %s in all.", s.Get("chemical"), s.Fig("in_all"), s.Get("ion"))
	}
	w := d.Sub("water")
	facts := []Fact{{"alkalinity", "not checked: not given"}, {"pH", "not checked: pH or alkalinity is not given"}}
	if w.Has("alkalinity") {
		facts[0].Value = figure.Say("%s to %s", unitless(w.Fig("alkalinity_start")), w.Fig("alkalinity")).
			If(w.Has("acid_left_over"), ", with acid left over that would take %s", w.Fig("acid_left_over")).
			If(w.Has("acid_left_over") && !w.Has("ph"), ": pH falls below about %s", unitless(tenthPH("", caution.Acidic)))
	}
	if w.Has("ph") {
		facts[1].Value = figure.Say("%s to %s, and %s after aeration (±%s)", unitless(w.Fig("ph_start")), unitless(w.Fig("ph")), unitless(w.Fig("ph_aerated")), w.Fig("ph_uncertainty"))
		for _, metal := range [...]string{"aluminium", "iron"} {
			if key := metal + "_dissolved"; w.Has(key) {
				facts = append(facts, Fact{metal + " dissolved",
					figure.Say("up to %s, %s once the floc has aged: no unit takes that out", w.Fig(key), w.Fig(key+"_aged_floc"))})
			}
		}
		facts = append(facts, Fact{"carbon dioxide", figure.Say("%s to %s before aeration", w.Fig("co2_start"), w.Fig("co2"))})
	}
	t.Facts(facts)
	if slices.ContainsFunc(k.Chemicals, func(c clarify.Chemical) bool { return !c.HasCapture }) {
		t.Para("Residuals are what would be there if nothing were caught, the worst there can be. Solids do bind much of it, but by how much no one knows before it is measured; the water is least protected when it is clear.")
	}
}

// names are those of animals.
func names(stock []caution.Animal) (out []string) {
	for _, a := range stock {
		out = append(out, a.Name)
	}
	return out
}

func (r ClarifyReport) working(t *Text) {
	t.Head("Working")
	k := r.Tank()
	d := r.data()
	full := func(v float64) figure.Figure { return plainNumber("", v, 0) }
	l := facts{
		{"reading", "V dC/dt = -E Q (C - f) + X (Cx - C) + V s, well mixed, integrated in steps with an error below one part in 10^9"},
		{"V, Q, E", figure.Say("%s, %s, %s: E Q / V = %s per hour", d.Fig("volume"), d.Fig("flow"), d.Fig("capture"), full(float64(k.Removal)*float64(k.Flow)/k.Volume.In("m3")))},
		{"f, X, Cx, s", figure.Say("%s, %s, %s, %s/h", r.read("", k.Floor), figure.Of("", k.Exchange, "m3/h", 3), r.read("", k.New), r.read("", k.Rise))},
		{"turnovers", figure.Say("ln((C0 - f) / (C - f)) / E%s with nothing coming in; 90 %% of what is above f takes %s / E, 99 %% %s / E",
			figure.Say("").If(k.Start > k.Stop && k.Stop > k.Floor, " = %s",
				full(float64(clarify.TurnoversFor(quantity.Fraction(1-(k.Stop-k.Floor)/(k.Start-k.Floor)), k.Removal)))), full(math.Log(10)), full(math.Log(100)))},
		{"residual", "V dR/dt = Q D (1 - c) - X R; worst case c = 0; bound Q t D / V"},
	}
	for i, c := range k.Chemicals {
		made, mean := c.SolidsYield().Likely, r.Record().Chemicals[i].SolidsYield().Likely
		l.add(c.Name, figure.Say("takes %s mg/L CaCO3 of alkalinity per mg/L; makes %s mg of dry solids per mg",
			full(float64(c.AlkalinityUse)), full(float64(made))).
			If(c.Bound > 0, " while all the tank's phosphate is there, %s on the mean of the run", full(float64(mean))))
	}
	l.when(k.SolidsPerUnit() > 0, "dry solids", figure.Say("%s mg/L per unit of reading, and the floc of the chemicals", full(k.SolidsPerUnit())))
	t.Facts(l)
}

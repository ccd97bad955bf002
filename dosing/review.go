package dosing

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Situation is what the cautions look at on a planned day: the doses of the plan
// with the water, animals, loop and acceptances of the site. Today decides
// whether an acceptance still holds; the zero time takes any.
func (p Plan) Situation(s site.Site, today time.Time) caution.Situation {
	return p.on(s, today).situation(site.UsualWater)
}

// Watched is what to look at in animals whose water is dosed by hand, with the lines at which to stop, and what they are past before
// anything is dosed; nil where nobody gives anything by hand that harms as an overdose, or no animals get the water.
func (p Plan) Watched(s site.Site, f caution.Findings, today time.Time) (*caution.Watch, note.List) {
	byHand := slices.ContainsFunc(p.Tasks, func(t Task) bool {
		return t.Kind == FeedByHand && caution.Overdoses(p.Feeds[t.Feed].Stock.Product)
	})
	of := p.Situation(s, today)
	w, ok := caution.WatchOf(of, f.Waters()...)
	if !byHand || !ok || f.Water == nil {
		return nil, nil
	}
	around := of.Loop != nil // what passes once leaves its filters alone, and no soft shell stands in it for long
	w.Filters, w.Moults = w.Filters && around, w.Moults && around
	w, brought := w.Brought(f.Water)
	return &w, append(w.Untold(f.Notes), brought...)
}

func (p Plan) on(s site.Site, today time.Time) Running {
	var feeds []FeedInput
	for _, f := range p.Feeds {
		feeds = append(feeds, f.FeedInput)
	}
	return Running{Site: s, Flow: p.Day.Average(), Least: p.Day.Least(), Peak: p.Day.Peak(), Hours: p.Running, Feeds: feeds, Today: today,
		Unattended: Unattended(p.Day, p.Staffed)}
}

// Running is a site with the doses that it runs on: all that the cautions look at.
type Running struct {
	Site  site.Site
	Flow  quantity.Flow // average while the unit runs
	Least quantity.Flow // zero where it is not known
	Peak  quantity.Flow // zero where it is the average
	Hours quantity.Time
	Feeds []FeedInput
	Today time.Time
	// Unattended is how long of Hours nobody is there.
	Unattended quantity.Time
	// Portions is how many goes the doses of standing water come in, Step the largest change of pH at one of them.
	// Better is the number of goes that would do without a shock, where that is more; 0 where none is known.
	Portions, Better int
	Step             quantity.Known[quantity.PH]
	// Overnight is the carbonate that it takes up after what goes in on the day before.
	Overnight quantity.Molarity
}

// Review is what the cautions say of a site's doses.
type Review struct {
	// Findings are about the usual water; their notes hold ByWater too.
	caution.Findings
	// ByWater has, as cautions, the stops that stand only against doses of clear or
	// storm water; Withheld names those waters.
	ByWater  note.List
	Withheld []string
}

// Told lists what every answer that rests on these doses has to say: the stops,
// those that somebody took the risk of, acceptances that do not count, and those of other water.
func (r Review) Told() note.List {
	taken := map[string]bool{}
	for _, t := range r.Taken {
		taken[t.Stop.Code] = true
	}
	var out note.List
	for _, n := range r.Findings.Notes {
		if n.Level == note.Stop || caution.Uncounted(n) || taken[n.Code] && strings.HasPrefix(n.Message, "accepted by ") {
			out.Add(n)
		}
	}
	return append(out, r.ByWater...)
}

// ToldOfDays is what is told where doses go on day after day, in a month or from a pump that stays set: beside what [Review.Told] has, that the
// alkalinity of the loop they go round in comes to too little, and that an alkali of theirs cannot be fed.
func (r Review) ToldOfDays() note.List {
	out := r.Told()
	for _, n := range r.Findings.Notes {
		if (n.Code == "loop-alkalinity-low" || n.Code == AlkaliUnreached) && !slices.ContainsFunc(out, n.Equal) {
			out.Add(n)
		}
	}
	return out
}

// ToldOfLoop is what is told of doses that go round: what they come to day by day is what they are chosen and held by, so
// its cautions are told beside what [Review.Told] has.
func (r Review) ToldOfLoop(s site.Site) note.List {
	out := r.Told()
	if s.Place.Passes.V != site.Recirculating {
		return out
	}
	builds := func(n note.Note) bool {
		return n.Level == note.Caution && slices.ContainsFunc(buildingUp, func(start string) bool { return strings.HasPrefix(n.Code, start) })
	}
	for _, n := range r.Findings.Notes {
		if builds(n) && !slices.ContainsFunc(out, n.Equal) {
			out.Add(n)
		}
	}
	return out
}

// buildingUp begins the codes of what is said of a loop over days.
var buildingUp = []string{"loop-", "al-", "fe-", "metal-", "cationic-", "anionic-", "polymer-", "residual-"}

// Review judges the usual doses, and those of clear and storm water where a
// chemical has one of its own.
func (r Running) Review() Review {
	out := Review{Findings: caution.Review(r.situation(site.UsualWater))}
	unfed, others := r.whileUnfed(out.Findings)
	_, away := r.reached(site.UsualWater)
	out.Notes, out.Taken = slices.Concat(out.Notes, r.contradicted(), unreachedNote(away), unfed), slices.Concat(out.Taken, others)
	out.Stopped = out.Stopped || unfed.Worst() == note.Stop
	stopped := map[string]bool{}
	for _, n := range out.Notes.Only(note.Stop) {
		stopped[n.Code] = true
	}
	for _, class := range [...]string{site.ClearWater, site.StormWater} {
		if !slices.ContainsFunc(r.Feeds, func(f FeedInput) bool { return f.DoseIn(class) != f.Dose }) {
			continue
		}
		found := caution.Review(r.situation(class))
		stops := found.Notes.Only(note.Stop)
		others = append(others, found.Taken...)
		if len(stops) > 0 {
			out.Withheld = append(out.Withheld, class)
		}
		for _, n := range stops {
			if !stopped[n.Code] {
				n.Level, n.Message = note.Caution, "the dose in "+class+" water would stop the plan: "+n.Message
				out.ByWater.Add(n)
			}
		}
	}
	out.Notes = caution.WorstFirst(slices.Concat(needed(out.Notes, others), out.ByWater))
	return out
}

// needed leaves out what is said of acceptances that have no stop here, where they
// have one elsewhere: whoever follows the advice to take one out must not be stopped there.
func needed(l note.List, elsewhere []caution.Taken) note.List {
	return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool {
		return n.Code == "accepted-unused" && slices.ContainsFunc(elsewhere, func(t caution.Taken) bool { return t.By.At == n.Place })
	})
}

// AlsoForCleaning gives the review without advice against acceptances that cleaning
// the site's tank calls for; the tank is run for that only where there is such advice.
func (r Review) AlsoForCleaning(s site.Site, g Given, today time.Time) Review {
	if !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "accepted-unused" }) {
		return r
	}
	in, err := CleaningFromSite(s, g, today)
	if err != nil {
		return r // no tank that could be cleaned
	}
	if c, err := Clean(in); err == nil {
		r.Notes = needed(r.Notes, c.Taken)
	}
	return r
}

// Reviewed judges the plan, asks about its slips, and gives it without the doses of other water that a
// stop stands against.
func (p Plan) Reviewed(s site.Site, today time.Time) (Plan, Review) {
	on := p.on(s, today)
	r := on.Review()
	p.Notes = slices.Concat(p.Notes, p.Slips(s, r.Stopped), p.judged(s), BenchAge(p.Input.Feeds, s, today))
	p.Feeds = slices.Clone(p.Feeds)
	for i, f := range p.Feeds {
		if h, ok := f.FeedInput.Heard(s, f.Dose, on.Feeds); ok {
			p.Feeds[i].Heard = &h
		}
	}
	for _, class := range r.Withheld {
		for i := range p.Feeds {
			*p.Feeds[i].own(class) = quantity.Known[quantity.Concentration]{}
		}
	}
	return p, r
}

// situation is what the cautions look at in water of a class.
func (r Running) situation(class string) caution.Situation {
	r, away := r.reached(class)
	c := caution.Situation{Flow: quantity.Known[quantity.Flow]{V: r.Flow, OK: r.Flow > 0}, Hours: r.Hours,
		Least: quantity.Known[quantity.Flow]{V: r.Least, OK: r.Least > 0}}
	Surroundings(&c, r.Site, r.Today)
	t := TurbidityOf(r.Site, class)
	if class != site.UsualWater && t.OK && r.Site.Held == nil {
		c.Water.Turbidity = quantity.Some(float64(t.V))
	}
	doses := dosesIn(r.Feeds, class)
	for i, dose := range doses {
		f := r.Feeds[i]
		if dose.Concentration > f.Dose.Concentration { // a jar with less tells too well of it
			c.Water.JarPH = quantity.Known[quantity.PH]{}
		}
		c.Carbon = c.Carbon || f.Jars != nil && slices.ContainsFunc(f.Jars.Targets, jartest.Target.OfCarbon)
		d := caution.Dose{Name: f.Name, Product: f.Stock.Product, Dose: dose, ByHand: f.Pump == nil, Neat: f.Stock.Neat(), Carrier: f.Post, At: f.At}
		for _, x := range r.Site.Chemicals {
			if x.Name.V == f.Name {
				d.Capture, d.Monomer, d.HalfLife = x.Capture, x.Monomer, x.HalfLife
			}
		}
		c.Doses = append(c.Doses, d)
	}
	r.hear(&c, doses)
	for _, f := range away { // it stands in the shed all the same
		c.OnSite = append(c.OnSite, f.Stock.Product)
	}
	c.Goes, c.Better = r.Portions, r.Better
	if c.Step, c.Overnight = r.Step, r.Overnight; r.Portions > 1 {
		for _, d := range c.Doses {
			if r.Overnight == 0 || d.Product.Group != product.Alkali { // what goes in on the day before is all there by then, as is what the night brings it
				d.Dose.Concentration /= quantity.Concentration(r.Portions)
			}
			c.Once = append(c.Once, d)
		}
	}
	return c
}

// belowStop keeps an advised dose clear of the one that stops a plan.
const belowStop = 0.99

// PolymerCeiling gives the most of a site's polymer, counted on that basis, that
// its animals allow, and why; false where nothing limits it. The flow of a loop is
// that of the plan.
func PolymerCeiling(s site.Site, row site.Chemical, basis quantity.Basis, g Given, today time.Time) (quantity.Concentration, string, bool) {
	p, _, err := ProductOf(row, basis, g.Catalogue)
	if err != nil {
		return 0, "", false
	}
	c := caution.Situation{Hours: s.Flow.Hours.V}
	if day, _, err := DayOf(s.Flow, g.Log); err == nil {
		c.Flow, c.Hours = quantity.Some(day.Average()), day.Running()
	}
	Surroundings(&c, s, today)
	most, why, ok := c.PolymerCeiling(caution.Dose{Name: row.Name.V, Product: p, Dose: quantity.Dose{Basis: basis}, Capture: row.Capture,
		HalfLife: row.HalfLife, At: row.At})
	return most * belowStop, why, ok
}

// Surroundings fills in what a site says of water, animals, loop, other chemicals
// and acceptances.
func Surroundings(c *caution.Situation, s site.Site, today time.Time) {
	w := s.Water
	c.Purpose = caution.Purpose(s.Place.Purpose.V)
	c.Rules = rulesOf(s.Place)
	c.Consent = caution.Consent{Al: w.ConsentAl, Fe: w.ConsentFe, PHLow: w.ConsentPHLow, PHHigh: w.ConsentPHHigh}
	c.Today = today
	c.Water = caution.Water{
		Temperature: w.Temperature, PH: w.PH, Alkalinity: w.Alkalinity, NewAlkalinity: w.NewAlkalinity.V, CO2: w.CO2, Hardness: w.Hardness,
		Salinity: w.Salinity, Conductivity: w.Conductivity, DOC: w.DOC, Ammonia: w.TAN, JarPH: w.JarPH,
		ResidualAl: w.ResidualAl, ResidualFe: w.ResidualFe, Floor: w.AlkFloor, Hold: w.PHTarget,
		Turbidity: quantity.Known[float64]{V: float64(w.Turbidity.V), OK: w.Turbidity.OK},
	}
	if s.Held != nil { // whatever the raw water is like
		c.Water.Turbidity = s.Held.Turbidity
	}
	if s.Place.Passes.V == site.Recirculating { // a batch is dosed once and let go
		c.Loop = &caution.Loop{Volume: w.System.V, Held: s.Held != nil}
		if w.Exchange.OK && w.System.OK {
			c.Loop.Exchange = quantity.Some(quantity.Flow(float64(w.Exchange.V) * w.System.V.In("m3") / 24))
		}
	}
	c.Pond, c.Piped = s.Place.Passes.V == site.Batch || IsStanding(s), piped(s) && !IsStanding(s)
	for _, a := range s.Animals {
		x := caution.Animal{Name: a.Name.V, PHLow: a.PHLow, PHHigh: a.PHHigh, AlkalinityLow: a.AlkLow, CO2High: a.CO2High, At: rowOf(a.At, a.Name.At)}
		species := cmp.Or(a.Species.V, a.Name.V)
		if species == "" { // feed is told, and not of which animals
			c.Water.Feed = quantity.Known[quantity.MassRate]{V: c.Water.Feed.V + a.Feed.V, OK: c.Water.Feed.OK || a.Feed.OK}
			continue
		}
		if profile, others, err := animal.FindIn(species, w.Salinity); err == nil {
			x.Profile, x.MayBe = profile, others
			if x.Stage = animal.StageIn(cmp.Or(a.Stage.V, species+" "+a.Name.V)); x.Stage == "" && !animal.AnyStage(a.Stage.V) {
				x.Unread, x.UnreadAt = a.Stage.V, a.Stage.At
			}
		}
		if !strings.Contains(strings.ToLower(x.Name), strings.ToLower(species)) {
			x.Name = strings.TrimSpace(x.Name + " (" + species + ")")
		}
		x.Tests = testsOf(s, x.Profile, species)
		if a.Reached.V == site.ReachedNever {
			c.Back = append(c.Back, x)
			continue
		}
		if a.Feed.OK {
			c.Water.Feed = quantity.Some(c.Water.Feed.V + a.Feed.V)
		}
		c.Stock = append(c.Stock, x)
	}
	c.Water.Protein = ofFeed(s, func(a site.Animal) quantity.Known[quantity.Fraction] { return a.Protein }, caution.UsualProtein)
	c.NoneReached = len(s.Animals) > 0 && len(c.Stock) == 0
	c.Gas = gasOf(s)
	c.Also = alsoKept(s)
	if name := s.Sludge.Polymer; name.OK {
		if p, err := polymerOf(s, name.V, product.Default()); err == nil { // it stands in the shed, whoever gets it
			c.OnSite = append(c.OnSite, p)
		}
	}
	for _, a := range s.Accepted {
		c.Accepted = append(c.Accepted, caution.Acceptance{Code: a.Code.V, Chemical: a.Chemical.V, By: a.By.V, Why: a.Reason.V,
			Date: a.Date.V, Until: a.Until.V,
			At: rowOf(a.At, a.Code.At)})
	}
}

// piped reports that water is sent through a unit: what a pass takes out is known, or a pump doses a chemical.
func piped(s site.Site) bool {
	return s.Solids.Capture.OK || slices.ContainsFunc(s.Chemicals, func(c site.Chemical) bool { return c.Pump.OK })
}

// testsOf lists the bioassays of a site that were made with a species, or that do not say
// with which.
func testsOf(s site.Site, p animal.Profile, species string) (out []caution.Bioassay) {
	for _, c := range s.Chemicals {
		same := !c.LC50Animal.OK || strings.EqualFold(c.LC50Animal.V, species)
		if tested, _, err := animal.FindIn(c.LC50Animal.V, s.Water.Salinity); err == nil && c.LC50Animal.OK {
			same = same || tested.ID == p.ID
		}
		if (c.LC50.OK || c.Killed.OK) && same {
			out = append(out, caution.Bioassay{Chemical: c.Name.V, LC50: c.LC50.V, Hours: c.LC50Hours.V, Killed: c.Killed.V})
		}
	}
	return out
}

// alsoKept lists the other chemicals of the site.
func alsoKept(s site.Site) []string {
	var out []string
	for _, name := range strings.FieldsFunc(s.Place.Stored.V, func(r rune) bool { return r == ';' || r == ',' }) {
		if name = strings.TrimSpace(name); name != "" {
			out = append(out, name)
		}
	}
	return out
}

// Buying is [caution.Buying] for the chemicals of a site. A chemical that cannot
// be made out is left to those who need its figures.
func Buying(s site.Site, catalogue product.Catalogue) note.List {
	var list []product.Product
	for _, c := range s.Chemicals {
		if p, _, err := ProductOf(c, c.Basis.V, catalogue); err == nil {
			list = append(list, p)
		}
	}
	if c := s.FedToSludge; c != nil {
		if p, _, err := ProductOf(*c, c.Basis.V, catalogue); err == nil {
			list = append(list, p)
		}
	}
	return caution.Buying(list, alsoKept(s))
}

// Withheld gives the plan without anything that a pump could be set by: rates,
// settings, batches and the hour table. Doses and the day's use stay, because
// they say what the stop is about.
func (p Plan) Withheld() Plan {
	p.Feeds = slices.Clone(p.Feeds)
	var heads note.List
	for i := range p.Feeds {
		f := &p.Feeds[i]
		if f.Setting != nil && f.Setting.Head > 0 { // to be put on before the stop is gone, and nothing to feed by
			heads.Add(note.New(note.Info, "head-does", "%s: %s cannot feed what this plan would ask of it; the head of %s that you have would do", f.Name,
				cmp.Or(f.PumpName, "its pump"), quantity.Full(f.Setting.Head, 3).In("L/h")).At(f.PumpAt))
		}
		f.Fed, f.Setting, f.Range, f.Batches, f.Every, f.Working = false, nil, Range{}, nil, 0, nil
		f.Rate, f.Least, f.Peak, f.StockUse, f.Lasts, f.HasEmpty = 0, 0, 0, 0, 0, false
		f.Notes = notOfPumps(f.Notes)
	}
	p.Notes = append(notOfPumps(p.Notes), heads...)
	p.Tasks, p.Hours = nil, nil
	return p
}

// ofPumps begins the codes of what is said of pumps, and of what they would feed.
var ofPumps = []string{"pump-", "feed-too-", "range-too-", "knob-", "line-", "drawdown-", "outside-drawdown", "not-calibrated",
	"recalibrate", "check-", "speed-", "set-", "stock-short", "stock-let-out", "stock-at-peak", "tank-runs-dry", "dry-feed"}

// notOfPumps leaves out what speaks of rates and knobs.
func notOfPumps(l note.List) note.List {
	return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool {
		text := n.Message + n.Remedy
		return strings.Contains(text, "mL/min") || strings.Contains(text, "setting") ||
			slices.ContainsFunc(ofPumps, func(start string) bool { return strings.HasPrefix(n.Code, start) })
	})
}

// rulesOf are the drinking-water rules of a place: those it names, else those of the country whose
// units it shows; empty for the strictest.
func rulesOf(p site.Place) string {
	if !p.Rules.OK && p.Units.V == site.UnitsUS {
		return site.RulesUS
	}
	return p.Rules.V
}

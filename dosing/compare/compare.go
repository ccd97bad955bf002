// Package compare puts chemicals and pairs that were tested on the same water
// side by side: what each costs for the same target, all in, what it takes from
// the alkalinity, how much solids it makes, and which of them the data cannot
// tell apart.
package compare

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Part is one chemical of an option.
type Part struct {
	Chemical string
	// Dose is the planning dose.
	Dose quantity.Dose
	// Effects are those of the dose, on its basis.
	day.Effects
	// Price and Freight are per kg of product; one without currency is not known.
	Price, Freight quantity.Price
	// Stock, Density and Carrier are those of [day.Chemical], where the site doses it.
	Stock   quantity.Concentration
	Density quantity.Density
	Carrier quantity.Flow
	// Quantile gives the lowest effective dose that is exceeded with chance 1 − p;
	// nil where the dose is fixed.
	Quantile func(p float64) (quantity.Concentration, bool)
	// SetsPH is true of what brings the jars to their pH; without a price the option is placed by what else it costs.
	SetsPH bool
	tried  string           // its name on the bench sheet
	feed   dosing.FeedInput // as the site would dose it; unnamed where its product is not known
}

// at is the chemical at a dose, as the account of a day takes it.
func (p Part) at(dose quantity.Concentration) day.Chemical {
	return day.Chemical{Name: p.Chemical, Dose: quantity.Dose{Concentration: dose, Basis: p.Dose.Basis}, Effects: p.Effects,
		Stock: p.Stock, Density: p.Density, Carrier: p.Carrier, Price: p.Price, Freight: p.Freight}
}

// uncounted reports that it is not stated what the dose counts.
func (p Part) uncounted() bool { return p.Dose.Basis == quantity.NotStated }

// StockWater is that of [day.Chemical.StockWater].
func (p Part) StockWater() quantity.Volume { return p.at(0).StockWater() }

// Option is one series of jars: a chemical, or several together.
type Option struct {
	Name  string
	Place note.Place
	Parts []Part
	// Outcome as the fit gives it; an option without a planning dose is refused.
	Outcome string
	Refused bool
	Why     string // of a refusal, in words
	// PHSet is true where the jars were brought to a pH by acid or alkali, which then
	// stands among the parts; Lacks names parts that could not be told.
	PHSet bool
	Lacks []string
	// SetIn is the alkalinity of the water that was brought to its pH, by its own sheet.
	SetIn quantity.Known[quantity.Alkalinity]
	// ResidualLevel tells how the residual metal of the treated water stands:
	// "note", "caution", "stop" or "not checked". Residual is what was read on the
	// jar nearest the planning dose, where HasResidual, of ResidualOf ("Al", "Fe").
	ResidualLevel string
	Residual      quantity.Concentration
	HasResidual   bool
	ResidualOf    string
	// Stopped is true where a caution stops these doses on the site, and nobody has
	// taken the risk; the notes say which.
	Stopped bool
	Notes   note.List
	// Own is the water of its jars where the options do not share one.
	Own *RawWater
}

// Water is what all options share.
type Water struct {
	// Raw is the water's alkalinity, Keep what must be left.
	Raw  quantity.Known[quantity.Alkalinity]
	Keep quantity.Alkalinity
	// Removed is the suspended solids taken out, the same for every option since all meet the same target.
	Removed solids.Range[quantity.Concentration]
	// Running is how long the unit runs for 1000 m3, zero where its flow is not known;
	// Skim and Power are what it then skims and draws.
	Running quantity.Time
	Skim    solids.Skimmer
	Power   quantity.Power
	// Alkali gives back what falls below Keep.
	Alkali   pair.Alkali
	Disposal day.Disposal
	// Currency is the site's own, for examples where no price tells one.
	Currency string
	// MakeUp is the price of the water of stocks, per m3; Electricity is per kWh.
	MakeUp, Electricity quantity.Price
	// MoneyAt is the first cell of the site in which each currency stands.
	MoneyAt map[string]note.Place
}

// Carried is the water that the skimmer carries over while 1000 m3 pass.
func (w Water) Carried() quantity.Volume { return w.Skim.PerHour() * quantity.Volume(w.Running) }

// Energy is what the unit draws while 1000 m3 pass.
func (w Water) Energy() quantity.Energy { return day.Record{Power: w.Power}.OfHours(w.Running).Energy }

// Row is one option with its figures, all for 1000 m3 of water at the planning dose.
type Row struct {
	Option
	// Costs per 1000 m3. Solids counts all solids, those of the raw water too;
	// Freight and MakeUp, the water of stocks and carriers, count the alkali's too.
	Chemicals, Freight, Alkali, Solids, MakeUp, Energy, Total quantity.Money
	Priced                                                    bool // every chemical has a price
	// Counted is false where a dose does not say what it counts: nothing is then known of its product.
	Counted bool
	// Unpriced names what of the cost is not known and counts nothing.
	Unpriced Lacking
	// Low and High hold the cost with the confidence asked for, from the interval
	// of the lowest effective dose; HasRange is false where nothing is in doubt,
	// Open where the dose has no upper bound.
	Low, High      quantity.Money
	HasRange, Open bool
	// Cheapest is the chance that no other option costs less.
	Cheapest quantity.Fraction
	// Same is true where the interval overlaps that of the first row.
	Same           bool
	AlkalinityUsed quantity.Alkalinity
	AlkalinityLeft quantity.Alkalinity // before any alkali; meaningful with Raw.Alkalinity.OK
	// Raw is the water that it is worked out for; DrySolids and WetSolids lack what is not known of it.
	Raw        RawWater
	AlkaliDose quantity.Concentration
	// DrySolids are all solids, those of the raw water too; WetSolids hold them,
	// with the water that skimming carries over.
	DrySolids solids.Range[quantity.Mass]
	WetSolids solids.Range[quantity.Volume]
	Product   []quantity.Mass // by part
}

// Comparison is the answer: priced options by cost, then those without a price,
// then the refused ones.
type Comparison struct {
	Water      Water
	Confidence quantity.Fraction
	Currency   string
	Rows       []Row
	Notes      note.List
}

// Make compares. Confidence is that of the cost interval; zero is 90 %.
func Make(options []Option, w Water, confidence quantity.Fraction) (Comparison, error) {
	if confidence == 0 {
		confidence = 0.9
	}
	c := Comparison{Water: w, Confidence: confidence}
	if err := c.check(options); err != nil {
		return c, err
	}
	for _, o := range options {
		c.Rows = append(c.Rows, c.row(o))
	}
	sort.SliceStable(c.Rows, func(i, j int) bool {
		a, b := c.Rows[i], c.Rows[j]
		switch {
		case a.Refused != b.Refused:
			return b.Refused
		case a.Stopped != b.Stopped:
			return b.Stopped
		case a.Priced != b.Priced:
			return a.Priced
		case a.Priced && !a.Refused:
			return a.Total.Amount < b.Total.Amount
		}
		return false
	})
	c.overlap()
	c.remark()
	c.verdict()
	c.Notes = once(c.Notes)
	return c, nil
}

// once leaves out what several options say in the same words.
func once(l note.List) (out note.List) {
	for _, n := range l {
		if !slices.ContainsFunc(out, func(o note.Note) bool { return o.Level == n.Level && o.Message == n.Message }) {
			out.Add(n)
		}
	}
	return out
}

func (c *Comparison) check(options []Option) error {
	var l note.List
	if len(options) == 0 {
		l.Add(note.Fault("nothing-to-compare", "no series to compare").Do("name bench sheets that hold jar tests on the same water"))
	}
	w := c.Water
	prices := []quantity.Price{w.Alkali.Price, w.Alkali.Freight, w.Disposal.Price, w.MakeUp, w.Electricity}
	for _, o := range options {
		for _, p := range o.Parts {
			prices = append(prices, p.Price, p.Freight)
			l.Add(p.Check(p.Chemical)...)
		}
	}
	currency, faults := day.Currency(prices...)
	c.Currency = currency
	for i := range faults {
		k := slices.IndexFunc(prices, func(p quantity.Price) bool { return p.Currency != "" && p.Currency != currency })
		faults[i] = faults[i].At(w.MoneyAt[prices[k].Currency])
	}
	l.Add(append(faults, w.Disposal.Check()...)...)
	return l.Err()
}

// account works 1000 m3 out at the given doses: the parts, and last the alkali
// where the raw water's alkalinity is known.
func (c *Comparison) account(o Option, dose func(part int) quantity.Concentration) day.Account {
	w, raw := c.Water, c.Water.raw(o)
	r := day.Record{Treated: 1e6, Removed: raw.Removed.V, Disposal: w.Disposal, Running: w.Running, Skim: w.Skim, Power: w.Power,
		MakeUp: w.MakeUp, Electricity: w.Electricity}
	for i, p := range o.Parts {
		r.Chemicals = append(r.Chemicals, p.at(dose(i)))
	}
	// Of jars whose pH was set only what is to be kept is given back, and only where it is known what set it.
	if restores := c.Water.Keep > 0 && len(o.Lacks) == 0; raw.Alkalinity.OK && (!o.PHSet || restores) {
		r.Chemicals = append(r.Chemicals, w.Alkali.Chemical(raw.Alkalinity.V, w.Keep))
	}
	return r.Account()
}

// Lines lists the cost by what it is for; a line of nothing is there too.
func (r Row) Lines() []day.Line {
	return []day.Line{{Name: "chemical", Amount: r.Chemicals}, {Name: "freight", Amount: r.Freight}, {Name: "alkali", Amount: r.Alkali},
		{Name: "solids", Amount: r.Solids}, {Name: "water", Amount: r.MakeUp}, {Name: "energy", Amount: r.Energy}}
}

func (c *Comparison) row(o Option) (r Row) {
	r = Row{Option: o, Raw: c.Water.raw(o), Priced: true, Counted: o.Refused || !slices.ContainsFunc(o.Parts, Part.uncounted)}
	if r.ResidualLevel == "" {
		r.ResidualLevel = NotChecked
	}
	for _, p := range o.Parts {
		r.Priced = r.Priced && (p.Price.Currency != "" || p.SetsPH) && !p.uncounted()
	}
	if o.Refused {
		return r
	}
	defer func() { r.Unpriced = c.lacking(r) }()
	a := c.account(o, func(i int) quantity.Concentration { return o.Parts[i].Dose.Concentration })
	money := func(v float64) quantity.Money { return quantity.Money{Amount: v, Currency: c.Currency} }
	for i, u := range a.Uses {
		r.Freight, r.MakeUp = money(r.Freight.Amount+u.Freight.Amount), money(r.MakeUp.Amount+u.MakeUp.Amount)
		if i == len(o.Parts) {
			r.AlkaliDose, r.Alkali = a.Per(u.Dosed), money(u.Goods.Amount)
			continue
		}
		r.Chemicals = money(r.Chemicals.Amount + u.Goods.Amount)
		r.AlkalinityUsed += quantity.Alkalinity(a.Per(u.Alkalinity))
		r.Product = append(r.Product, u.Product)
	}
	r.Alkali.Currency, r.Solids, r.Energy, r.Total = c.Currency, money(a.Disposal.Amount), money(a.Electricity.Amount),
		money(a.Total().Amount)
	r.AlkalinityLeft = r.Raw.Alkalinity.V - r.AlkalinityUsed
	r.DrySolids, r.WetSolids = a.Dry, a.Wet
	tail := (1 - float64(c.Confidence)) / 2
	low, _ := c.costAt(o, tail)
	high, bounded := c.costAt(o, 1-tail)
	for _, p := range o.Parts {
		r.HasRange = r.HasRange || p.Quantile != nil
	}
	r.Low, r.High, r.Open = money(low), money(high), !bounded
	if !r.HasRange {
		r.Low, r.High = r.Total, r.Total
	}
	return r
}

// costAt is the cost that is exceeded with chance 1 − p: every doubtful dose at
// that quantile at once. It is false where a dose has no bound there; the
// planning dose then stands in.
func (c *Comparison) costAt(o Option, p float64) (float64, bool) {
	bounded := true
	a := c.account(o, func(i int) quantity.Concentration {
		q := o.Parts[i].Quantile
		if q == nil {
			return o.Parts[i].Dose.Concentration
		}
		v, ok := q(p)
		if !ok {
			bounded = false
			return o.Parts[i].Dose.Concentration
		}
		return v
	})
	return a.Total().Amount, bounded
}

const grid = 400

// overlap marks the options whose cost cannot be told from the cheapest and
// works out each one's chance of being it, the doses of different series taken
// as independent.
func (c *Comparison) overlap() {
	var rows []int
	for i, r := range c.Rows {
		if !r.Refused && r.Priced {
			rows = append(rows, i)
		}
	}
	if len(rows) == 0 {
		return
	}
	first := &c.Rows[rows[0]]
	costs := make([][]float64, len(rows))
	for k, i := range rows {
		r := &c.Rows[i]
		costs[k] = make([]float64, grid)
		for g := range grid {
			costs[k][g], _ = c.costAt(r.Option, (float64(g)+0.5)/grid)
		}
		sort.Float64s(costs[k])
		r.Same = k > 0 && (r.Low.Amount <= first.High.Amount || first.Open) && (first.Low.Amount <= r.High.Amount || r.Open)
	}
	for k, i := range rows {
		sum := 0.0
		for _, v := range costs[k] {
			chance := 1.0
			for l := range rows {
				if l == k {
					continue
				}
				below := sort.SearchFloat64s(costs[l], v)
				upto := sort.Search(grid, func(g int) bool { return costs[l][g] > v })
				equal := float64(upto - below)
				chance *= 1 - (float64(below)+equal/2)/grid
			}
			sum += chance
		}
		c.Rows[i].Cheapest = quantity.Fraction(sum / grid)
	}
}

// example is how a price may be written, in the currency of the others or of the site.
func (c *Comparison) example() quantity.Price {
	return quantity.Price{Amount: 0.42, Currency: cmp.Or(c.Currency, c.Water.Currency, "EUR"), Per: "kg"}
}

func (c *Comparison) remark() {
	priced := false
	var unknown []string // of which alkalinity
	for _, r := range c.Rows {
		c.Notes.Add(r.Option.Notes...)
		if r.Refused {
			continue
		}
		if !r.Raw.Alkalinity.OK {
			unknown = append(unknown, r.Name)
		}
		if !r.Priced {
			for _, p := range r.Parts {
				if p.Price.Currency == "" && !p.uncounted() { // else what it counts is asked for
					c.Notes.Add(note.New(note.Caution, "no-price", "%s has no price, so %s cannot be placed by cost%s", p.Chemical, r.Name,
						c.couldCost(r)).
						Do(`give it in the site under Prices or with --price "%s=%s"`, p.Chemical, c.example()))
				}
			}
			continue
		}
		priced = true
		if r.Open {
			c.Notes.Add(note.New(note.Caution, "dose-range-open",
				"%s: the dose has no upper bound on these data, so its cost may be higher than shown", r.Name).
				Do("test higher doses"))
		}
	}
	if len(unknown) > 0 {
		of := note.Say("")
		if slices.ContainsFunc(c.Rows, func(r Row) bool { return r.Own != nil }) {
			of = note.Say(" of %s", strings.Join(unknown, " and "))
		}
		c.Notes.Add(note.New(note.Info, "alkalinity-unknown", "the alkalinity of the raw water%s is not known, so the cost holds no alkali", of).
			Do("give it on the bench sheet, in the site under Water or with --alkalinity"))
	}
	if priced && c.Water.Disposal.Price.Amount == 0 {
		c.Notes.Add(note.New(note.Info, "solids-not-priced", "the cost holds no disposal of solids").
			Do("give its price in the site under Prices or with --disposal"))
	}
}

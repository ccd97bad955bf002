// Package logbook is the plant's own operating log: one row a day or a watch with raw and treated turbidity, the pump's setting,
// what went of the stock, a timed drawdown and the water treated. It reads the user's own sheet, works out the dose that was
// really fed and the removal that was achieved, and tells by control charts which of them has moved off, since when, and what to do.
package logbook

import (
	"math"
	"slices"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Log is the entries of a file, in the order of their times.
type Log struct {
	File    string
	Entries []Entry
	// Said is what its headings and the lines above them say, by which the chemical is told.
	Said string
	// Strength and Planned are those of the stock and of the dose that the lines above the table say, both counting the same.
	Strength, Planned quantity.Known[quantity.Concentration]
	// Keeps is how long stock is good, as a line above the table says.
	Keeps quantity.Known[quantity.Time]
	// Of is what its column of use counts, and UsedHead that column's heading.
	Of       Counted
	UsedHead quantity.Known[string]
	// StockHead is a heading that says stock alone, which may be what is left or what was used.
	StockHead quantity.Known[string]
	// Aside are the headings of columns that are understood and not used, as one of their kind stands before them: a second pump's.
	Aside []string
	// Units are those of the columns that are used, each with a one before it, as they are written.
	Units []string
	// Marks is true where the pump's setting is in marks of its own and not in per cent.
	Marks bool
	Notes note.List
}

// Counted is what a column of use counts.
type Counted string

// What is used.
const (
	OfStock   Counted = "stock"
	OfProduct Counted = "product"
	Unsaid    Counted = "" // "Alum used": stock and product differ as its strength does
)

// Entry is a row of the log. What a row counts of stock and of water went since the row before it.
type Entry struct {
	// Place is the cell of its day; Time counts from the first day of 1970, without a time zone.
	Place        note.Place
	Time         quantity.Time
	Raw, Treated quantity.Known[quantity.Cloudiness]
	Setting      quantity.Known[quantity.Setting]
	// Stroke is that of the pump, where a column beside its setting tells it.
	Stroke quantity.Known[quantity.Setting]
	// Part is the share of the stock tank that is full, of a tank whose volume the log does not say.
	Part quantity.Known[quantity.Fraction]
	// Level is what stands in the stock tank; Used went of it, and Added is stock made or poured in, since the row before.
	Level, Used, Added quantity.Known[quantity.Volume]
	// Counter is a running total of stock used, Start what stood in its tank when the row's own time began, and StartPart what share of it.
	Counter, Start quantity.Known[quantity.Volume]
	StartPart      quantity.Known[quantity.Fraction]
	// Weighed is stock used by its mass.
	Weighed quantity.Known[quantity.Mass]
	// Drawdown is what a pump was seen to feed: by the minute, or Drawn from a cylinder while it Took a time.
	Drawdown quantity.Known[quantity.FeedRate]
	Drawn    quantity.Known[quantity.Volume]
	Took     quantity.Known[quantity.Time]
	Flow     quantity.Known[quantity.Flow]
	// Ran is how long of the time since the row before the unit ran at that flow.
	Ran quantity.Known[quantity.Time]
	// Water was treated since the row before; Meter is a running total.
	Water, Meter quantity.Known[quantity.Volume]
	// Fresh is true where the row says that new stock was made, Made is the day on which it says the stock was.
	Fresh  bool
	Made   quantity.Known[month.Date]
	Remark string
}

// Day is the day of the entry.
func (e Entry) Day() month.Date { return dayOf(e.Time) }

func dayOf(t quantity.Time) month.Date {
	return month.DateOf(time.UnixMilli(int64(float64(t) * 3600e3)).UTC())
}

// later is the second of two where it is known.
func later[T any](a, b quantity.Known[T]) quantity.Known[T] {
	if b.OK {
		return b
	}
	return a
}

// plan puts what the log's own lines say where the site says nothing, and says where the two do not agree.
func (l Log) plan(p Plan, notes *note.List) Plan {
	for _, x := range []struct {
		what string
		log  quantity.Known[quantity.Concentration]
		site quantity.Known[quantity.Concentration]
	}{
		{"stock strength", l.Strength, p.Strength},
		{"planned dose", l.Planned, quantity.Known[quantity.Concentration]{V: p.Dose.V.Concentration, OK: p.Dose.OK}},
	} {
		if x.log.OK && x.site.OK && math.Abs(float64(x.log.V/x.site.V)-1) > sameShare {
			notes.Add(note.New(note.Caution, "log-or-site", "the log says a %s of %s, the site %s; that of the site is taken", x.what, quantity.To(x.log.V, 3), quantity.To(x.site.V, 3)).At(x.log.At).
				Do("correct the one that is out of date, and look whether both count the same: product or dry matter"))
		}
	}
	if !p.Strength.OK && !p.Dose.OK && l.Strength.OK {
		how := note.Say("the stock's strength, %s, is that of the log's own line", quantity.To(l.Strength.V, 3))
		if l.Planned.OK {
			how = how.And(", as is the planned dose, %s", quantity.To(l.Planned.V, 3))
		}
		notes.Add(note.New(note.Info, "log-plan", "%s; both are taken to count product", how).At(l.Strength.At))
		p.Strength = l.Strength
		if l.Planned.OK {
			p.Dose = quantity.Some(quantity.Dose{Concentration: l.Planned.V, Basis: quantity.AsProduct})
		}
	}
	if !p.Keeps.OK {
		p.Keeps = l.Keeps
	} else if l.Keeps.OK && l.Keeps.V != p.Keeps.V {
		notes.Add(note.New(note.Caution, "log-or-site", "the log says that its stock keeps %s, the site %s; that of the site is taken", l.Keeps.V, p.Keeps.V).At(l.Keeps.At).Do("correct the one that is out of date"))
	}
	return l.counted(p, notes)
}

// sameShare is by what share two figures of one thing may differ.
const sameShare = 0.05

// sameStrength is by what share a stock may differ from the product and still be that.
const sameStrength = 0.01

// counted makes the plan one of what the log's column of use counts. Product is its own stock, of its own density; by mass alone it needs
// none, a kilogram being a kilogram. What does not say which it counts is asked about where the two differ, and tells no dose.
func (l Log) counted(p Plan, notes *note.List) Plan {
	neat := p.Strength.OK && p.Product.OK && math.Abs(float64(p.Strength.V)/asStrength(p.Product.V)-1) < sameStrength
	switch {
	case !l.UsedHead.OK || l.Of == OfStock || neat:
	case l.Of == OfProduct:
		p.asDelivered, p.Density = true, p.Product
		if !p.Product.OK {
			p.Density = quantity.Some[quantity.Density](1)
		}
		p.Strength = quantity.Known[quantity.Concentration]{V: quantity.Concentration(asStrength(p.Density.V)), OK: p.Product.OK || !slices.ContainsFunc(l.Entries, func(e Entry) bool { return e.Used.OK || e.Counter.OK })}
	case p.Strength.OK:
		notes.Add(note.New(note.Caution, "stock-or-product", "%q does not say whether it counts stock or product as delivered; a litre of this stock holds %s of product, so it tells no dose", l.UsedHead.V, quantity.To(p.Strength.V, 3)).
			At(l.UsedHead.At).Do(`write "Stock used" or "Product used" over it`))
		p.unsaid = true
	default:
		notes.Add(note.New(note.Info, "stock-or-product", "%q is taken to count one and the same all the while, stock or product", l.UsedHead.V).At(l.UsedHead.At))
	}
	if !p.unsaid && !p.Density.OK && slices.ContainsFunc(l.Entries, func(e Entry) bool { return e.Weighed.OK }) {
		p = l.byMass(p, notes)
	}
	return p
}

// byMass counts a kilogram of stock as a litre where nobody says what a litre weighs: what moves off shows all the same. A dose in mg/L would be
// off by as much as the density is, so none is told.
func (l Log) byMass(p Plan, notes *note.List) Plan {
	n := note.New(note.Info, "stock-by-mass", "%q counts mass: each kilogram is counted as a litre of stock, as nobody says what a litre weighs", l.UsedHead.V).At(l.UsedHead.At)
	if p.Strength.OK {
		n.Level = note.Caution
		n = n.Also(", so it tells no dose in mg/L and is held against its own first weeks").Do("give the stock's density in the site, or write litres")
	}
	notes.Add(n)
	p.Density, p.Strength = quantity.Some[quantity.Density](1), quantity.Known[quantity.Concentration]{}
	return p
}

// asStrength is the product in a litre of itself, in mg/L.
func asStrength(d quantity.Density) float64 { return 1e6 * float64(d) }

// Join makes one log of those that follow each other in time, such as a file a month; others stay apart.
func Join(logs []Log) (out []Log) {
	logs = slices.Clone(logs)
	slices.SortStableFunc(logs, func(a, b Log) int { return byTime(a.Entries[0], b.Entries[0]) })
	for _, l := range logs {
		n := len(out) - 1
		if n >= 0 && l.Marks == out[n].Marks && l.Of == out[n].Of && out[n].Entries[len(out[n].Entries)-1].Time < l.Entries[0].Time {
			p := &out[n]
			p.File += ", " + l.File
			p.Said += " " + l.Said
			p.Strength, p.Planned = later(p.Strength, l.Strength), later(p.Planned, l.Planned)
			p.Units = append(slices.Clone(p.Units), l.Units...)
			p.Keeps, p.UsedHead = later(p.Keeps, l.Keeps), later(p.UsedHead, l.UsedHead)
			p.Entries, p.Notes = slices.Concat(p.Entries, l.Entries), slices.Concat(p.Notes, l.Notes)
			continue
		}
		out = append(out, l)
	}
	return out
}

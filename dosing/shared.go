package dosing

import (
	"math"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// share finds the feeds that draw from one tank. The first of them keeps it: its draw, batches and levels are those of all,
// and the others have no tank of their own. It is an error where they are not fed the same stock.
func (p *Plan) share() (errs note.List) {
	keeper, members := map[string]int{}, map[int][]int{}
	for i, f := range p.Feeds {
		if !f.Fed || f.Tank == nil {
			continue
		}
		k, taken := keeper[f.Tank.Name]
		if !taken {
			keeper[f.Tank.Name], k = i, i
		}
		if first := p.Feeds[k]; !first.sameStock(f) {
			errs.Add(note.Fault("tank-of-two-stocks", "%s holds the stock of %s, and %s is to draw another one from it", f.Tank.Name, first.Name, f.Name).
				At(f.StockAt).Do("give each stock a tank of its own, or name one row of Stocks in both"))
		}
		members[k] = append(members[k], i)
	}
	for k, all := range members {
		if len(all) < 2 {
			continue
		}
		for _, i := range all {
			if p.Feeds[i].TankWith = all; i != k {
				p.Feeds[k].beside = append(p.Feeds[k].beside, p.Feeds[i])
				p.Feeds[i].Tank = nil
			}
		}
	}
	return errs
}

// sameStock reports that two feeds can be drawn from one tank.
func (f Feed) sameStock(other Feed) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) <= hair*math.Max(math.Abs(a), math.Abs(b)) }
	a, b := f.Stock.Product, other.Stock.Product
	return a.Name == b.Name && near(float64(f.PerLitre), float64(other.PerLitre)) && near(float64(a.Strength.V), float64(b.Strength.V))
}

// together has the chemicals of a clean-up that draw one stock from one tank draw it as one: the first of them has the draw of all, and
// the stock made up. It gives which have a stock of their own.
func (l cleanList) together(draws []draw) (keepers []int) {
	keeper := map[string]int{}
	for i := range draws {
		if i >= len(l.Feeds) || l.Feeds[i].Tank == nil || l.Feeds[i].Stock.Neat() {
			keepers = append(keepers, i)
			continue
		}
		f := l.Feeds[i]
		k, taken := keeper[f.Tank.Name]
		if !taken {
			keeper[f.Tank.Name] = i
		}
		if !taken || !sameStocks(l.Feeds[k], f) {
			keepers = append(keepers, i)
			continue
		}
		l.shared = append(l.shared, k)
		draws[k] = draws[k].and(draws[i])
	}
	return keepers
}

// sameStocks reports that two feeds can be drawn from one tank.
func sameStocks(a, b FeedInput) bool {
	of := func(in FeedInput) Feed {
		f := Feed{FeedInput: in}
		f.PerLitre, _ = in.Stock.ProductPerLitre()
		return f
	}
	return of(a).sameStock(of(b))
}

// fromTank are the feeds that draw from the tank of one, with itself.
func (f Feed) fromTank() []Feed { return append([]Feed{f}, f.beside...) }

// StockCalled is what people call the stock of a feed; one that several feeds draw has the name of its own row.
func (f Feed) StockCalled() string {
	if f.TankWith != nil && f.StockName != "" {
		return f.StockName
	}
	return f.FeedInput.StockCalled()
}

// Served names the feeds that draw from the tank of one.
func (f Feed) Served() string {
	var names []string
	for _, x := range f.fromTank() {
		names = append(names, x.Name)
	}
	return strings.Join(names, " and ")
}

// together is a rate of all feeds that draw from one tank.
func (f Feed) together(rate func(Feed) quantity.FeedRate) (sum quantity.FeedRate) {
	for _, x := range f.fromTank() {
		sum += rate(x)
	}
	return sum
}

// TankOf is the tank that a feed draws from, be it kept by another; nil where there is none.
func (p Plan) TankOf(f Feed) *Vessel {
	if f.TankWith != nil {
		return p.Feeds[f.TankWith[0]].Tank
	}
	return f.Tank
}

// BesideIn names the other feeds that draw from the tank of one.
func (p Plan) BesideIn(f Feed) (names []string) {
	for _, i := range f.TankWith {
		if p.Feeds[i].Name != f.Name {
			names = append(names, p.Feeds[i].Name)
		}
	}
	return names
}

// TankRate is what is drawn from the tank of a feed at the average flow, by all that draw from it.
func (f Feed) TankRate() quantity.FeedRate {
	return f.together(func(x Feed) quantity.FeedRate { return x.Rate })
}

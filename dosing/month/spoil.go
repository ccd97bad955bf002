package month

// replay is a store with the deliveries that the plan orders and whatever is really used: less use
// leaves more to go out of date. It follows the rule "expired" of the store's account.
type replay struct {
	shelf, age int // days that goods keep, zero for ever, and the age of the opening stock
	opening    float64
	notSaid    bool      // nobody told the opening stock
	came       []float64 // kg by day
	arrived    []float64 // kg that came before each day
	fresh      []float64 // kg of the fresher parts of the opening stock that are still good on the day
}

func (a Account) replay() replay {
	s := a.Chemical.Supply
	r := replay{shelf: s.ShelfDays, age: s.OpeningAge, opening: float64(s.Opening), notSaid: s.NotSaid}
	sum := 0.0
	for i, d := range a.Stock {
		r.came, r.arrived, r.fresh = append(r.came, float64(d.Arrived)), append(r.arrived, sum), append(r.fresh, a.Store.Row("fresh", i))
		sum += float64(d.Arrived)
	}
	return r
}

// day takes what is used on day i from what stood there in the morning. It gives what went out of
// date and what is left, below zero by what was not there.
func (r replay) day(i int, start, used float64) (expired, left float64) {
	if r.shelf > 0 && i >= r.shelf-r.age {
		good := r.arrived[i] - r.arrived[max(0, i-r.shelf+1)] + r.fresh[i]
		expired = max(0, start-good)
	}
	return expired, start - expired + r.came[i] - used
}

// month is what goes out of date, and what is not there, in the days of a month with so much wanted on each.
func (r replay) month(days int, wanted func(day int) float64) (spoilt, short float64) {
	stock := r.opening
	for i := range days {
		expired, left := r.day(i, stock, wanted(i))
		spoilt, short, stock = spoilt+expired, short+r.short(left), max(0, left)
	}
	return spoilt, short
}

// short is what was not there, by what is left; of a store that nobody described none is short.
func (r replay) short(left float64) float64 {
	if r.notSaid || left > -slack {
		return 0
	}
	return -left
}

func (b Budget) replays() []replay {
	out := make([]replay, len(b.Accounts))
	for c, a := range b.Accounts {
		out[c] = a.replay()
	}
	return out
}

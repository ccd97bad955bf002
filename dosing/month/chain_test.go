package month

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// portion is stock of one making in a tank.
type portion struct{ litres, expires float64 }

// followed is a stock as the lists of days in a row make it, by somebody who does what they say and nothing else.
type followed struct {
	name  string
	tank  []portion
	mixer *portion
	aged  float64 // when what is in the mixer may be fed
	rate  float64 // L/h
	now   float64
	heel  float64
	holds float64
	told  bool // the list says that something has gone off
	fault string
}

// pour lets so much out, as the list says of what goes off before it is drawn.
func (x *followed) pour(v float64) {
	for v > 1e-9 && len(x.tank) > 0 {
		p := &x.tank[0]
		out := min(v, p.litres)
		if p.litres, v = p.litres-out, v-out; p.litres < 1e-9 {
			x.tank = x.tank[1:]
		}
	}
}

// finds holds what stands in the tank against what the line of the list says of it.
func (x *followed) finds(at float64, says quantity.Volume) {
	if off := math.Abs(x.stands() - float64(says)); off > 0.03*x.holds && x.fault == "" {
		x.fault = fmt.Sprintf("%s: at %.2f h of day %d %.4g L should stand in it, and %.4g L do", x.name, math.Mod(at, 24), int(at)/24, float64(says), x.stands())
	}
}

// till draws until a time, the oldest first.
func (x *followed) till(t float64) {
	for want := x.rate * (t - x.now); want > 1e-9; {
		if len(x.tank) == 0 {
			if want > 0.02 && x.fault == "" { // what rounding leaves of a list
				x.fault = fmt.Sprintf("%s: dry before %.2f h of day %d, %.3g L short", x.name, math.Mod(t, 24), int(t)/24, want)
			}
			break
		}
		p := &x.tank[0]
		take := min(want, p.litres)
		if at := t - want/max(x.rate, 1e-12); at > p.expires+0.02 && take > 0.02 && x.fault == "" {
			x.fault = fmt.Sprintf("%s: at %.2f h of day %d it feeds stock that went off %.2f h before", x.name, math.Mod(at, 24), int(at)/24, at-p.expires)
		}
		if p.litres -= take; p.litres < 1e-9 {
			x.tank = x.tank[1:]
		}
		want -= take
	}
	x.now = t
}

func (x *followed) stands() (v float64) {
	for _, p := range x.tank {
		v += p.litres
	}
	return v
}

// into puts a portion into the tank; a heel is stirred in.
func (x *followed) into(p portion, b dosing.Batch) {
	if b.LetOut {
		x.tank = nil
	}
	if left := x.stands(); left <= x.heel*(left+p.litres) {
		p.litres += left
		x.tank = nil
	}
	x.tank = append(x.tank, p)
}

// do is one line of a list.
func (x *followed) do(at float64, k dosing.Task, f dosing.Feed) {
	switch k.Kind {
	case dosing.SetPump:
		x.rate = float64(k.Choice.Gives) / 1000 * 60
	case dosing.StopPump:
		x.rate = 0
	case dosing.MakeUp:
		if v := float64(k.Batch.Volume); v < 0.05*x.holds*(1-1e-6) && float64(k.Batch.Full) < x.holds*(1-1e-6) && x.fault == "" {
			x.fault = fmt.Sprintf("%s: %.3g L to make up at %.2f h of day %d, which no stirrer reaches in %.4g L", x.name, v, math.Mod(at, 24), int(at)/24, x.holds)
		}
		made := portion{float64(k.Batch.Volume), at + float64(f.Work) + float64(f.Life)}
		if f.Mix == nil {
			x.finds(at, k.Batch.Stands)
			x.into(made, k.Batch) // ready when it is made, which nothing is drawn for before
			return
		}
		if x.mixer != nil && x.fault == "" {
			x.fault = fmt.Sprintf("%s: made up at %.2f h of day %d into a tank that is full", x.name, math.Mod(at, 24), int(at)/24)
		}
		x.mixer, x.aged = &made, at+float64(f.Work)+float64(f.Ageing)
	case dosing.MoveStock:
		x.finds(at, k.Batch.Left)
		switch {
		case x.mixer == nil && x.fault == "":
			x.fault = fmt.Sprintf("%s: nothing to let over at %.2f h of day %d", x.name, math.Mod(at, 24), int(at)/24)
		case x.mixer != nil && at < x.aged-0.02 && x.fault == "":
			x.fault = fmt.Sprintf("%s: let over at %.2f h of day %d, aged %.2f h later", x.name, math.Mod(at, 24), int(at)/24, x.aged-at)
		}
		if x.mixer != nil {
			x.into(*x.mixer, k.Batch)
			x.mixer = nil
		}
	}
}

// chainSite is a works with two stocks, one that ages in a make-up tank and one that is made in its own, and a calendar of closed days and
// of days of other hours or flow.
func chainSite(r *rand.Rand) site.Site {
	some := func(from, to float64) float64 { return from + (to-from)*r.Float64() }
	s := site.Site{File: "chain"}
	s.Place.From, s.Place.Till = quantity.Some(quantity.Time(r.IntN(3)+5)), quantity.Some(quantity.Time(r.IntN(4)+18))
	flowed := quantity.Flow(some(3, 30))
	begin := float64(s.Place.From.V) + float64(r.IntN(2))
	if hours := some(8, 14); r.IntN(3) == 0 {
		for h := range 24 {
			s.Flow.ByHour[h] = quantity.Some(quantity.Flow(0))
			if float64(h) >= begin && float64(h) < begin+math.Floor(hours) {
				s.Flow.ByHour[h] = quantity.Some(flowed * quantity.Flow(some(0.7, 1.3)))
			}
		}
	} else {
		s.Flow.Average, s.Flow.Start, s.Flow.Hours = quantity.Some(flowed), quantity.Some(quantity.Time(begin)), quantity.Some(quantity.Time(math.Floor(hours)))
	}
	perDay := float64(flowed) * 10 // L a day of a stock of 1 g/L at 1 mg/L in 10 h
	for i, name := range []string{"polymer", "alum"} {
		strength := []float64{1000, 50000}[i]
		dose := strength / 1000 // a litre of stock a m3
		s.Chemicals = append(s.Chemicals, site.Chemical{Name: quantity.Some(name), Product: quantity.Some([]string{"apam-dry", "alum-dry"}[i]),
			Dose: quantity.Some(quantity.Concentration(dose)), Basis: quantity.Some(quantity.AsProduct), Stock: quantity.Some(name + " stock"), Pump: quantity.Some(name + " pump")})
		k := site.Stock{Name: quantity.Some(name + " stock"), Product: quantity.Some(quantity.Concentration(strength)), Tank: quantity.Some(name + " tank"),
			Life: quantity.Some(quantity.Time(24)), Ageing: quantity.Some(quantity.Time(0)), Mixing: quantity.Some(quantity.Time(0.25))}
		size := perDay * some(0.7, 2)
		if i == 0 {
			k.MixTank, k.Ageing = quantity.Some("polymer mixer"), quantity.Some(quantity.Time(some(0.5, 1.5)))
			s.Tanks = append(s.Tanks, site.Tank{Name: quantity.Some("polymer mixer"), Volume: quantity.Some(quantity.Volume(size)), Usable: quantity.Some(quantity.Fraction(0.9))})
		}
		s.Stocks = append(s.Stocks, k)
		s.Tanks = append(s.Tanks, site.Tank{Name: quantity.Some(name + " tank"), Volume: quantity.Some(quantity.Volume(size)), Usable: quantity.Some(quantity.Fraction(0.9))})
		s.Pumps = append(s.Pumps, site.Pump{Name: quantity.Some(name + " pump"), Max: quantity.Some(quantity.FeedRate(float64(flowed) * 1000 / 60 * 2.5))})
	}
	for d := 6; d < 12; d++ {
		row := site.Day{From: on(2026, 6, d), Runs: quantity.Some(true)}
		switch r.IntN(5) {
		case 0:
			row.Runs = quantity.Some(false)
		case 1:
			row.Hours = quantity.Some(quantity.Time(6 + r.IntN(8)))
		case 2:
			row.Flow = quantity.Some(flowed * quantity.Flow(some(0.6, 1.25)))
		default:
			continue
		}
		s.Calendar = append(s.Calendar, row)
	}
	return s
}

// TestNoStockRunsDryInAChain: whoever does what the lists of days in a row say, and nothing else, never runs a stock dry, feeds none
// before it has aged nor after it has gone off, and finds in each tank at the start of a day what its list says, and makes up no less than a twentieth of a tank; made up, let over
// and drawn are followed here a second time, from the lists alone. A day begins late only after a rest over which even what was made
// in the last minute of the shift before has gone off, as nobody is there meanwhile; that is said each time.
func TestNoStockRunsDryInAChain(t *testing.T) {
	for _, x := range []struct {
		stream       uint64
		before, life quantity.Time
	}{{3, 0, 24}, {7, 0, 24}, {1009, 0, 24}, {3, 0.5, 24}, {3, 0, 48}, {3, 0.5, 48}} { // what keeps 48 h keeps longer than a day off
		t.Run(fmt.Sprintf("%d, there %s before, keeps %s", x.stream, x.before, x.life), func(t *testing.T) {
			t.Parallel()
			followChain(t, x.stream, 60, x.before, x.life)
		})
	}
}

// followChain follows works drawn from one stream of numbers, whose people come so long before they otherwise would and whose stocks keep so long.
func followChain(t *testing.T, stream uint64, works int, before, life quantity.Time) {
	days, bad, rested := 0, 0, 0
	for n := range works {
		s := chainSite(rand.New(rand.NewPCG(uint64(n), stream)))
		s.Place.From.V -= before
		for i := range s.Stocks {
			s.Stocks[i].Life.V = life
		}
		var stocks []*followed
		leftAt := math.Inf(-1) // when the shift of the day before ended
		for day := 4; day < 15; day++ {
			d := Date{2026, 6, day}
			if closedOn(s, d) != nil {
				continue
			}
			_, p := planOn(t, s, dosing.Given{Catalogue: product.Default()}, d)
			if p.Notes.Err() != nil { // no list that can be carried out
				break
			}
			first := float64(p.Tasks[0].At)
			midnight := float64(24*day) - 24*math.Floor(first/24) // flows by the hour have the list of a shift before their midnight
			opens := quantity.Time(min(first, float64(p.Start)) - 1e-5)
			for i, f := range p.Feeds {
				level, _ := p.Level(f, opens) // as the list of a usual day has it
				if day == 4 {                 // as every day
					stocks = append(stocks, &followed{name: f.Name, tank: []portion{{float64(level), midnight + 24 + float64(life)}}, now: midnight + float64(opens), heel: float64(dosing.Heel) + 0.001, holds: float64(f.Tank.Holds())})
					for _, b := range f.First {
						if f.Mix != nil && b.Start < p.Tasks[0].At-1e-6 {
							stocks[i].mixer, stocks[i].aged = &portion{float64(b.Volume), midnight + float64(b.Expires)}, midnight+float64(b.Aged)
						}
					}
				}
				x := stocks[i]
				if start := midnight + float64(opens); start > x.now {
					x.till(start)
				}
				x.told = slices.ContainsFunc(f.Notes, func(n note.Note) bool { return n.Code == "stock-left-over" || n.Code == "stock-rested" })
				if over := x.stands() - float64(f.Tank.Now.V); x.told && f.Tank.Now.OK && over > 0 {
					x.pour(over)
				}
				if x.mixer != nil && x.mixer.expires < midnight+float64(opens) {
					x.mixer = nil
				}
				for _, k := range p.Tasks {
					if k.Feed == i {
						x.till(max(x.now, midnight+float64(k.At)))
						x.do(midnight+float64(k.At), k, f)
					}
				}
			}
			days++
			kept := leftAt + float64(life)
			leftAt = 24*float64(day) + float64(s.Place.Till.V)
			if first := firstWater(p); float64(p.Begins) > first+1e-6 {
				if rested++; kept >= midnight+first {
					t.Errorf("site %d %v, day %d: begins %.2f h late, though stock of the evening before would have kept", n, rowsOf(s), day, float64(p.Begins)-first)
				}
				if !slices.ContainsFunc(p.Feeds, func(f dosing.Feed) bool {
					return slices.ContainsFunc(f.Notes, func(n note.Note) bool { return n.Code == "stock-short" })
				}) {
					t.Errorf("site %d, day %d: begins %.2f h late, and nothing says so", n, day, float64(p.Begins-p.Start))
				}
			}
		}
		for _, x := range stocks {
			if x.fault != "" {
				bad++
				t.Errorf("site %d, %v: %s", n, rowsOf(s), x.fault)
			}
		}
	}
	if days < 5*works {
		t.Errorf("only %d days could be followed", days)
	}
	t.Logf("%d days, %d late after a rest, %d faults", days, rested, bad)
}

// firstWater is when water first flows on a plan's day.
func firstWater(p dosing.Plan) float64 {
	first := math.Inf(1)
	for _, s := range p.Day.Segments() {
		for _, from := range [...]quantity.Time{s.From, s.From + 24} {
			if s.Flow > 0 && from >= p.Start-1e-6 {
				first = min(first, float64(from))
			}
		}
	}
	return first
}

// rowsOf are the rows of a calendar in short.
func rowsOf(s site.Site) (out []string) {
	for _, r := range s.Calendar {
		out = append(out, fmt.Sprintf("%s: %v %v %v", r.From.V.Format(time.DateOnly)[8:], r.Runs.V, r.Hours.V, r.Flow.V))
	}
	return out
}

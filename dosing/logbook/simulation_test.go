package logbook

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/dosing/upkeep"
	"jarwright/jartest/quantity"
)

// drawn is a simulated log: tank level read to half a per cent of the tank, daily water by meter, a dose that scatters by some share
// from day to day, raw water that storms muddy and forget, treated water that goes with its root. From a day on the pump gives but a share.
type drawn struct {
	days, lossFrom, worseFrom int
	loss, worse, noise        float64
}

// plan is alum neat, 1.335 kg/L, so 1,335,000 mg/L, at 40 mg/L as product.
func plan() Plan {
	return Plan{Chemical: "alum", Dose: quantity.Some(quantity.Dose{Concentration: 40, Basis: quantity.AsProduct}), Strength: quantity.Some(quantity.Concentration(1.335e6))}
}

func (x drawn) log(r *rand.Rand) Log {
	l := Log{File: "drawn.csv"}
	level, added, meter, raw := 190.0, 0.0, 1e6, math.Log(30)
	read := func(v float64) quantity.Known[quantity.Volume] { return quantity.Some(quantity.Volume(v)) }
	for i := range x.days + 1 {
		e := Entry{Time: quantity.Time(24 * (20000 + i)), Level: read(level + 0.1*r.NormFloat64()), Meter: read(meter)}
		if added > 0 {
			e.Added, added = read(added), 0
		}
		e.Raw = quantity.Some(quantity.Cloudiness(math.Exp(raw)))
		treated := 0.5 * math.Exp(raw/2+0.1*r.NormFloat64())
		if i >= x.worseFrom && x.worseFrom > 0 {
			treated *= 1 + x.worse
		}
		e.Treated = quantity.Some(quantity.Cloudiness(treated))
		l.Entries = append(l.Entries, e)
		raw = math.Log(30) + 0.7*(raw-math.Log(30)) + 0.4*r.NormFloat64()
		water := 86.4 * (1 + 0.1*r.NormFloat64()) // m3
		used := water * 1000 * 40 / 1.335e6 * math.Exp(x.noise*r.NormFloat64())
		if i >= x.lossFrom && x.lossFrom > 0 {
			used *= 1 - x.loss
		}
		meter += water * 1000
		if level -= used; level < 20 { // filled up at the reading, and written then
			added = 190 - level
			level = 190
		}
	}
	return l
}

func driftOf(j Judged, what string) (Drift, bool) {
	for _, d := range j.Drift {
		if d.What == what {
			return d, true
		}
	}
	return Drift{}, false
}

// A pump that loses 20 % is found within a week of daily entries in nine runs of ten, and the day is told within three.
func TestPumpLossIsFound(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 3))
	const runs = 300
	for _, noise := range []float64{0.04, 0.08} {
		found, near, size := 0, 0, 0.0
		for range runs {
			l := drawn{days: 47, lossFrom: 40, loss: 0.2, noise: noise}.log(r)
			j := Judge(l, plan(), nil)
			if d, ok := driftOf(j, "dose fed"); ok && d.Size < 0 && d.Advice == CheckPump {
				found++
				size += float64(d.Size)
				if by := l.Entries[41].Day().DaysTo(d.Since); by >= -3 && by <= 3 {
					near++
				}
			}
		}
		t.Logf("noise %v: found %d of %d, dated %d, size %.3f", noise, found, runs, near, size/float64(found))
		if found < runs*9/10 || near < found*3/4 || math.Abs(size/float64(found)+0.2) > 0.02 {
			t.Errorf("noise %v: found %d of %d, dated %d, size %.3f", noise, found, runs, near, size/float64(found))
		}
	}
}

// False alarms come no more often than the chart's run length says: of logs of 60 days in which nothing drifts, no more than
// 1 − (1 − 1/370)^n cry out in any of the n days that their chart follows.
func TestFalseAlarmsAreAsStated(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 4))
	const runs, days = 400, 60
	alarms := map[Kind]int{}
	followed := map[Kind]int{}
	for range runs {
		l := drawn{days: days, noise: 0.06}.log(r)
		j := Judge(l, plan(), nil)
		for _, c := range j.Charts {
			followed[c.What] = len(c.Ratio) - c.From
			for i, z := range c.Average {
				if math.Abs(z) > c.Limit[i] {
					alarms[c.What]++
					break
				}
			}
		}
	}
	for what, n := range alarms {
		stated := 1 - math.Pow(1-1/upkeep.Seldom.RunLength(0), float64(followed[what]))
		t.Logf("%s: %d of %d, stated %.3f", what, n, runs, stated)
		if got, sd := float64(n)/runs, math.Sqrt(stated*(1-stated)/runs); got > stated+2*sd {
			t.Errorf("%s: %.3f of the logs cry out, stated %.3f", what, got, stated)
		}
	}
}

// Storms that come and go are seldom called another water: of logs that end on any day no more than one in twenty says so. Water that stays
// four times as muddy, more than any storm before, is named within a week in nine logs of ten, and the pump is not.
func TestRawWaterThatStaysIsFound(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 5))
	const runs = 300
	storms, found, pump := 0, 0, 0
	for range runs {
		if _, ok := driftOf(Judge(drawn{days: 60, noise: 0.06}.log(r), plan(), nil), string(OfRaw)); ok {
			storms++
		}
		l := drawn{days: 47, noise: 0.06}.log(r)
		for i := range l.Entries {
			e := &l.Entries[i]
			e.Raw.V = 30 + (e.Raw.V-30)/4 // a calm beck
			if i > 40 {
				e.Raw.V *= 4
			}
			e.Treated.V = 0.1 * e.Raw.V * quantity.Cloudiness(math.Exp(0.08*r.NormFloat64()))
		}
		j := Judge(l, plan(), nil)
		if d, ok := driftOf(j, string(OfRaw)); ok && d.Advice == TestAgain {
			found++
		}
		for _, d := range j.Drift {
			if d.Advice == CheckPump {
				pump++
			}
		}
	}
	t.Logf("storms %d, found %d, pump %d of %d", storms, found, pump, runs)
	if storms > runs/20 || found < runs*9/10 || pump > runs/20 {
		t.Errorf("storms %d, found %d, pump %d of %d", storms, found, pump, runs)
	}
}

// The day on which a change began is told within two in nine runs of ten, and its size within 6 points in as many, seven entries after it and
// four weeks after it: a pump that loses 20 %, and water of which half as much again is left, which scatters more.
func TestDayAndSizeOfAChange(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 6))
	const runs = 300
	for _, after := range []int{7, 28} {
		dated, sized, off, dosed := 0, 0, 0, 0
		worseDated, worse := 0, 0
		for range runs {
			l := drawn{days: 40 + after, lossFrom: 40, loss: 0.2, noise: 0.05}.log(r)
			if d, ok := driftOf(Judge(l, plan(), nil), string(OfDose)); ok {
				dosed++
				if by := l.Entries[41].Day().DaysTo(d.Since); by >= -2 && by <= 2 {
					dated++
				} else if by < -5 {
					off++
				}
				if math.Abs(float64(d.Size)+0.2) <= 0.06 {
					sized++
				}
			}
			l = drawn{days: 40 + after, worseFrom: 40, worse: 0.5, noise: 0.05}.log(r)
			if d, ok := driftOf(Judge(l, plan(), nil), string(OfRemoval)); ok {
				worse++
				if by := l.Entries[40].Day().DaysTo(d.Since); by >= -2 && by <= 2 {
					worseDated++
				}
			}
		}
		t.Logf("%d after: dose %d of %d dated, %d sized, %d early; water %d of %d dated", after, dated, dosed, sized, off, worseDated, worse)
		if dosed < runs*95/100 || dated < dosed*9/10 || sized < dosed*9/10 || off > dosed/50 || worse < runs*9/10 || worseDated < worse*9/10 {
			t.Errorf("%d after: dose %d of %d dated, %d sized, %d early; water %d of %d dated", after, dated, dosed, sized, off, worseDated, worse)
		}
	}
}

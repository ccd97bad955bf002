package bioassay

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest/quantity"
)

// Outcome says what a trial tells of the dose that half of the animals die of.
type Outcome string

const (
	// Found: the doses enclose it.
	Found Outcome = "found"
	// Above: at the highest dose half of them or fewer died.
	Above Outcome = "above-highest-dose"
	// Below: at the lowest dose half of them or more died.
	Below Outcome = "below-lowest-dose"
	// TooFew: fewer than two doses were counted.
	TooFew Outcome = "too-few-doses"
	// Invalid: too many of the controls died, or some are uncounted, to say what the dose did.
	Invalid Outcome = "invalid"
)

// Dosed is what died at a dose.
type Dosed struct {
	Dose quantity.Concentration
	Count
}

// Estimate is the dose that half of the animals die of.
type Estimate struct {
	Outcome Outcome
	// LC50 is set where Outcome is Found. Low and High are its 95 % interval; an end that cannot be told is zero.
	LC50, Low, High quantity.Concentration
	// Bracketed is true where nothing lies between none and all dead: LC50 is then no estimate but the middle between From and To, the
	// highest dose that killed none and the lowest that killed all, and Low and High are tested doses.
	Bracketed bool
	From, To  quantity.Concentration
	// Trim is the share cut off at each end of the deaths, the least that the doses allow.
	Trim quantity.Fraction
	// Smoothed is true where fewer died at a higher dose, so that neighbours were taken together.
	Smoothed bool
	// Died are the shares that count, one for each dose from the lowest up: smoothed, and less what dies undosed.
	Died []quantity.Fraction
}

// LC50 works out the dose that half of the animals die of by the trimmed Spearman–Kärber method (Hamilton, Russo and
// Thurston, Environmental Science & Technology 11, 714, 1977): no shape is assumed, deaths that fall with the dose are smoothed
// (neighbours pooled), and the mean of the logarithm of the lethal dose is taken over the middle of the animals, the ends cut
// off by the least equal share that makes the doses enclose them. The interval follows from the variances of
// the counts, p(1 − p)/(n − 1) for each group, through the estimate (1.96 of its standard error). Deaths of the
// controls are the lowest group of the smoothing, and taken off by Abbott's formula (Abbott, Journal of Economic Entomology
// 18, 265, 1925), with their own variance; a control of none is no correction. Controls of which all died tell nothing.
func LC50(control Count, groups []Dosed) Estimate {
	groups = byDose(groups)
	if len(groups) < 2 {
		return Estimate{Outcome: TooFew}
	}
	if control.Of > 0 && control.Dead == control.Of {
		return Estimate{Outcome: Invalid}
	}
	points, smoothed := curve(control, groups)
	e := Estimate{Outcome: Found, Smoothed: smoothed}
	for _, x := range points {
		e.Died = append(e.Died, quantity.Fraction(x.share))
	}
	first, last := points[0].share, points[len(points)-1].share
	switch {
	case last <= 0.5:
		e.Outcome = Above
		return e
	case first >= 0.5:
		e.Outcome = Below
		return e
	}
	trim := max(first, 1-last)
	e.Trim = quantity.Fraction(trim)
	mean, variance := middle(points, trim)
	e.LC50 = quantity.Concentration(math.Exp(mean))
	if spread := z975 * math.Sqrt(variance); spread > 1e-9 {
		e.Low, e.High = quantity.Concentration(math.Exp(mean-spread)), quantity.Concentration(math.Exp(mean+spread))
		return e
	}
	e.Low, e.High, e.Bracketed = below(groups, (1+Sure)/2), sureAbove(groups), true
	for i, x := range points {
		if x.share < 0.5 {
			e.From, e.To = groups[i].Dose, groups[i+1].Dose
		}
	}
	return e
}

// z975 is the normal deviate of a two-sided interval of 95 %.
const z975 = 1.959963984540054

// below is the highest tested dose at which, and at each lower one, fewer than half of the animals die with that
// confidence; zero where even the lowest dose proves nothing. What dies undosed only adds to the deaths.
func below(groups []Dosed, confidence quantity.Fraction) (d quantity.Concentration) {
	for _, g := range byDose(groups) {
		if g.AtMost(confidence) >= 0.5 {
			break
		}
		d = g.Dose
	}
	return d
}

// sureAbove is the lowest tested dose from which on more than half die with a confidence that leaves 2.5 % to this side. With
// [below] it encloses the dose that half die of where nothing lies between none and all dead (the binomial method of Stephan
// 1977; from memory: six animals a dose suffice).
func sureAbove(groups []Dosed) (d quantity.Concentration) {
	for _, g := range slices.Backward(byDose(groups)) {
		if g.AtLeast((1+Sure)/2) <= 0.5 {
			break
		}
		d = g.Dose
	}
	return d
}

// Safe is the highest tested dose at which, and at each lower one, fewer than half of the animals die with the confidence
// [Sure]: the bound that a trial proves in which the doses killed few. Zero where even the lowest dose proves nothing.
func Safe(groups []Dosed) quantity.Concentration { return below(groups, Sure) }

// byDose sorts groups by their dose and pools those of one; without animals and without dose they are left out.
func byDose(groups []Dosed) (out []Dosed) {
	sorted := slices.Clone(groups)
	slices.SortStableFunc(sorted, func(a, b Dosed) int { return cmp.Compare(a.Dose, b.Dose) })
	for _, g := range sorted {
		switch n := len(out); {
		case g.Of == 0 || g.Dose <= 0:
		case n > 0 && out[n-1].Dose == g.Dose:
			out[n-1].Count = out[n-1].Plus(g.Count)
		default:
			out = append(out, g)
		}
	}
	return out
}

// point is a dose on the smoothed curve of deaths.
type point struct {
	at    float64 // logarithm of the dose
	share float64 // that died, less what dies undosed
	// own is the variance that the group's own count gives the share; undosed is how far the share goes with one standard
	// error of the control's deaths.
	own, undosed float64
}

// smooth gives the share of each group where none may be less than that of a group before it: such neighbours are
// taken together, weighted by their animals.
func smooth(groups []Count) (shares []float64) {
	type run struct {
		Count
		groups int
	}
	var runs []run
	for _, g := range groups {
		runs = append(runs, run{g, 1})
		for n := len(runs); n > 1 && runs[n-1].Share() < runs[n-2].Share(); n = len(runs) {
			runs = append(runs[:n-2], run{runs[n-2].Plus(runs[n-1].Count), runs[n-2].groups + runs[n-1].groups})
		}
	}
	for _, r := range runs {
		shares = append(shares, slices.Repeat([]float64{float64(r.Share())}, r.groups)...)
	}
	return shares
}

// curve smooths the deaths, the control before the lowest dose, and takes off what dies undosed.
func curve(control Count, groups []Dosed) (out []point, smoothed bool) {
	counts := []Count{control}
	for _, g := range groups {
		counts = append(counts, g.Count)
	}
	if control.Of == 0 {
		counts[0].Of = 1 // none dies
	}
	shares := smooth(counts)
	undosed := shares[0]
	left, slip := 1-undosed, math.Sqrt(variance(undosed, control.Of))
	for i, g := range groups {
		p := shares[i+1]
		smoothed = smoothed || p != float64(g.Share())
		x := point{at: math.Log(float64(g.Dose)), share: (p - undosed) / left}
		if p > undosed {
			x.own = variance(p, g.Of) / (left * left)
		}
		x.undosed = -(1 - x.share) / left * slip
		out = append(out, x)
	}
	return out, smoothed
}

// variance is that of a share found on so many animals.
func variance(p float64, of int) float64 { return p * (1 - p) / float64(max(of-1, 1)) }

// middle is the mean of the logarithm of the lethal dose over the middle of the animals, and its variance. The deaths rise
// along straight lines between the doses, on their logarithm, and the mean is the area beside that curve between the
// shares cut off, over what is left; how each share moves it is the derivative of that area.
func middle(points []point, trim float64) (mean, spread float64) {
	moves := make([]float64, len(points))
	area := 0.0
	for i, a := range points[:len(points)-1] {
		b := points[i+1]
		rise, step := b.share-a.share, b.at-a.at
		if rise == 0 && a.share > trim && a.share < 1-trim { // a step of the curve
			moves[i] -= step / 2
			moves[i+1] -= step / 2
		}
		from, to := max(a.share, trim), min(b.share, 1-trim)
		if from >= to {
			continue
		}
		at := func(share float64) float64 { return a.at + step*(share-a.share)/rise }
		square := func(x float64) float64 { return x * x / (2 * rise * rise) }
		area += (at(from) + at(to)) / 2 * (to - from)
		moves[i] -= step * (square(b.share-from) - square(b.share-to))
		moves[i+1] -= step * (square(to-a.share) - square(from-a.share))
	}
	undosed := 0.0
	for i, x := range points {
		spread += moves[i] * moves[i] * x.own
		undosed += moves[i] * x.undosed
	}
	left := 1 - 2*trim
	return area / left, (spread + undosed*undosed) / (left * left)
}

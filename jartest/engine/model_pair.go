package engine

import "math"

// Models of two factors: a one-factor curve whose needed dose, floor or over-dose
// moves with the second factor in a few ways that can be put in words. The first
// factor is scaled by its largest tested level, the second likewise, or by its
// tested range where it is the pH.

// positive is a parameter that is searched by its logarithm, given by the
// logarithm of its prior's centre. The priors are loose: they keep the search off
// regions where the jars say nothing, such as a curve that falls within a
// hundredth of the lowest dose.
func positive(name string, logCentre, spread float64) Param {
	return Param{Name: name, Positive: true, Centre: math.Exp(logCentre), Spread: spread}
}

// free is a parameter that may have any sign.
func free(name string, centre, spread float64) Param {
	return Param{Name: name, Centre: centre, Spread: spread}
}

// fall is the saturating fall of the logarithm: 0 at no dose, 1 at plenty.
func fall(u float64) float64 { return -math.Expm1(-u) }

// decay is the logarithm of an exponential fall to a floor phi.
func decay(phi, u float64) float64 { return ln(phi + (1-phi)*exp(-u)) }

// lagged is the logarithm of a log-logistic fall to a floor phi: nothing happens
// before the needed dose (u near 1) is near.
func lagged(phi, u, h float64) float64 {
	if u <= 0 {
		return 0
	}
	return ln(phi + (1-phi)/(1+math.Pow(u, h)))
}

// hill is the share of a change that is done at u, half of it at e.
func hill(u, e, h float64) float64 {
	if u <= 0 {
		return 0
	}
	return 1 / (1 + math.Pow(u/e, -h))
}

// stick is the logarithm of a straight fall of the reading itself to a floor phi at u = 1.
func stick(phi, u float64) float64 { return ln(1 - (1-phi)*math.Min(math.Max(u, 0), 1)) }

// PairModels lists the family for a second chemical, which may help the
// first, replace part of it, or do nothing.
func PairModels() []Model {
	const lnDepth, lnRate = 1.0, 1.2 // e^1 = a 15-fold fall, e^1.2 = three quarters of it at a third of the top dose
	return []Model{
		{Name: "no effect of the second", Levels: [2]int{3, 1},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1)}},
		{Name: "needed dose shifts", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*exp(t[2]*at.Y)*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("rate_shift", 0.3, 1)}},
		{Name: "needed dose shifts, less with more", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*exp(t[2]*at.Y/(at.Y+t[3]))*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("rate_shift", 0.5, 1), positive("half_level", -1.2, 1)}},
		{Name: "floor shifts", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -(t[0] + t[2]*at.Y) * fall(t[1]*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("depth_shift", 0.5, 1)}},
		{Name: "needed dose and floor shift", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -(t[0] + t[2]*at.Y) * fall(t[1]*exp(t[3]*at.Y)*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("depth_shift", 0.3, 1), free("rate_shift", 0.3, 1)}},
		{Name: "charges add", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*(at.X+t[2]*at.Y))
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), positive("replaced", -1, 1)}},
		{Name: "charges add, over-dose by their sum", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				u := at.X + t[2]*at.Y
				return -t[0]*fall(t[1]*u) + t[3]*u
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), positive("replaced", -1, 1), positive("overdose_slope", -1, 1)}},
		{Name: "lag, needed dose shifts", Late: true, Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return lagged(logistic(t[0]), at.X/t[1]*exp(t[3]*at.Y), t[2])
			}),
			Params: []Param{free("logit_floor", -4, 1.5), positive("dose", -1, 0.7), positive("steepness", 1.1, 0.5), free("dose_shift", 0.3, 1)}},
		{Name: "lag, charges add", Late: true, Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return lagged(logistic(t[0]), (at.X+t[3]*at.Y)/t[1], t[2])
			}),
			Params: []Param{free("logit_floor", -4, 1.5), positive("dose", -1, 0.7), positive("steepness", 1.1, 0.5), positive("replaced", -1, 1)}},
		{Name: "charges add, lag and over-dose by their sum", Late: true, Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				u := at.X + t[4]*at.Y
				return -t[0] * (hill(u, t[1], t[2]) - hill(u, t[1]*exp(t[3]), t[2]))
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("dose", -1, 0.7), positive("steepness", 1.1, 0.5), positive("overdose_gap", 0.2, 0.7), positive("replaced", -1, 1)}},
		{Name: "broken stick, needed dose shifts", Late: true, Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return stick(logistic(t[0]), at.X/t[1]*exp(t[2]*at.Y))
			}),
			Params: []Param{free("logit_floor", -3.5, 1.5), positive("dose", -0.5, 0.7), free("dose_shift", 0.3, 1)}},
		{Name: "broken stick, charges add", Late: true, Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return stick(logistic(t[0]), (at.X+t[2]*at.Y)/t[1])
			}),
			Params: []Param{free("logit_floor", -3.5, 1.5), positive("dose", -0.5, 0.7), positive("replaced", -1, 1)}},
		{Name: "first-order, needed dose shifts", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return decay(logistic(t[0]), t[1]*exp(t[2]*at.Y)*at.X)
			}),
			Params: []Param{free("logit_floor", -4, 1.5), positive("rate", 1.5, 0.8), free("rate_shift", 0.3, 1)}},
		{Name: "first-order, floor shifts", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return decay(logistic(t[0]-t[2]*at.Y), t[1]*at.X)
			}),
			Params: []Param{free("logit_floor", -3, 1.5), positive("rate", 1.5, 0.8), free("floor_shift", 0.5, 1)}},
		{Name: "acts on its own", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0]*fall(t[1]*at.X) - t[2]*at.Y
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("second_slope", 0.3, 1)}},
		{Name: "acts on its own up to a best dose", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0]*fall(t[1]*at.X) - t[2]*at.Y + t[3]*at.Y*at.Y
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("second_slope", 0.5, 1), positive("second_bend", -1, 1)}},
		{Name: "second-degree in both", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				return t[0]*at.X + t[1]*at.Y + t[2]*at.X*at.X + t[3]*at.Y*at.Y + t[4]*at.X*at.Y
			}),
			Params: []Param{free("first", -3, 3), free("second", -0.5, 2), free("first_squared", 1, 2), free("second_squared", 0.3, 1), free("product", 0, 2)}},
		plane(),
	}
}

// plane is all that two levels of each factor can carry.
func plane() Model {
	return Model{Name: "a plane", Levels: [2]int{2, 2},
		Values: pointwise(func(at Point, t []float64) float64 { return t[0]*at.X + t[1]*at.Y }),
		Params: []Param{free("first", -1.5, 2), free("second", -0.3, 1)}}
}

// PHModels lists the family for the pH that the jars stood at, from the lowest
// (p = 0) to the highest tested (p = 1). The dose that is needed, and the one that
// is too much, move with pH; the floor may have a best pH.
func PHModels() []Model {
	const lnDepth, lnRate = 1.0, 1.2
	return []Model{
		{Name: "no effect of pH", Levels: [2]int{3, 1},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1)}},
		{Name: "needed dose shifts with pH", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return -t[0] * fall(t[1]*exp(t[2]*(at.Y-0.5))*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("rate_shift", 0, 1)}},
		{Name: "needed dose has a best pH", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				q := at.Y - t[2]
				return -t[0] * fall(t[1]*exp(-t[3]*q*q)*at.X)
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("best_second", 0.5, 0.4), positive("bend", 0, 1)}},
		{Name: "floor has a best pH", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				q := at.Y - t[2]
				return -t[0]*fall(t[1]*at.X) + t[3]*q*q
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("rate", lnRate, 1), free("best_second", 0.5, 0.4), positive("bend", 0, 1)}},
		{Name: "lag, needed dose shifts with pH", Late: true, Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 {
				return lagged(logistic(t[0]), at.X/t[1]*exp(t[3]*(at.Y-0.5)), t[2])
			}),
			Params: []Param{free("logit_floor", -4, 1.5), positive("dose", -1, 0.7), positive("steepness", 1.1, 0.5), free("dose_shift", 0, 1)}},
		{Name: "best dose shifts with pH", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				q := at.X - t[1] - t[2]*(at.Y-0.5)
				return t[0] * q * q
			}),
			Params: []Param{positive("bend", 1, 1), free("best_first", 0.6, 0.4), free("best_first_shift", 0, 1)}},
		{Name: "needed dose and over-dose shift with pH", Late: true, Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				u := at.X * exp(t[4]*(at.Y-0.5))
				return -t[0] * (hill(u, t[1], t[2]) - hill(u, t[1]*exp(t[3]), t[2]))
			}),
			Params: []Param{positive("depth", lnDepth, 1), positive("dose", -1, 0.7), positive("steepness", 1.1, 0.5), positive("overdose_gap", 0.2, 0.7), free("dose_shift", 0, 1)}},
		{Name: "second-degree in both", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				p := at.Y - 0.5
				return t[0]*at.X + t[1]*p + t[2]*at.X*at.X + t[3]*p*p + t[4]*at.X*p
			}),
			Params: []Param{free("first", -2, 3), free("second", 0, 3), free("first_squared", 1, 2), free("second_squared", 0.5, 2), free("product", 0, 3)}},
		plane(),
	}
}

// StraightModels lists the family for readings that are fitted as they are, such
// as pH or alkalinity; they are scaled to run from -1/2 to 1/2.
func StraightModels() []Model {
	return []Model{
		{Name: "a plane", Levels: [2]int{2, 2},
			Values: pointwise(func(at Point, t []float64) float64 { return t[0]*at.X + t[1]*at.Y }),
			Params: []Param{free("first", 0, 2), free("second", 0, 2)}},
		{Name: "a plane bent along the first", Levels: [2]int{3, 2},
			Values: pointwise(func(at Point, t []float64) float64 { return t[0]*at.X + t[1]*at.Y + t[2]*at.X*at.X }),
			Params: []Param{free("first", 0, 2), free("second", 0, 2), free("first_squared", 0, 2)}},
		{Name: "a twisted plane", Levels: [2]int{2, 2},
			Values: pointwise(func(at Point, t []float64) float64 { return t[0]*at.X + t[1]*at.Y + t[2]*at.X*at.Y }),
			Params: []Param{free("first", 0, 2), free("second", 0, 2), free("product", 0, 2)}},
		{Name: "second-degree in both", Levels: [2]int{3, 3},
			Values: pointwise(func(at Point, t []float64) float64 {
				return t[0]*at.X + t[1]*at.Y + t[2]*at.X*at.X + t[3]*at.Y*at.Y + t[4]*at.X*at.Y
			}),
			Params: []Param{free("first", 0, 2), free("second", 0, 2), free("first_squared", 0, 2), free("second_squared", 0, 2), free("product", 0, 2)}},
	}
}

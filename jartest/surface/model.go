package surface

import "math"

// model is one way in which the reading may depend on both factors: a one-factor
// curve whose needed dose, floor or over-dose moves with the second factor. It
// gives the natural logarithm of what is left in the water. Factors are scaled
// by their largest tested level, so that d and p run from 0 to 1.
type model struct {
	name string
	says string // what the second factor does, for people
	// acts is false where the second factor changes nothing.
	acts bool
	// late is true for curves that fall late and steeply on the logarithmic scale.
	late bool
	// levels is how many levels of each factor the parameters need.
	levels [2]int
	eval   func(t []float64, d, p float64) float64
	// typical and spread are a loose prior of each parameter but the first, which
	// is free. They keep the search off regions where the jars say nothing, such as a
	// curve that falls within a hundredth of the lowest dose.
	typical, spread []float64
	// params names the parameters but the first, for those who check the fit.
	params []string
}

// named gives fitted parameters their names: "start" is the fitted scale's value
// at the origin.
func (m model) named(theta []float64) []Param {
	out := []Param{{"start", theta[0]}}
	for i, name := range m.params {
		out = append(out, Param{name, theta[i+1]})
	}
	return out
}

// Parameters are kept in forms that cannot go wrong: depths and rates as
// logarithms, floors as logits.
func depth(t float64) float64 { return math.Exp(t) }
func share(t float64) float64 { return 1 / (1 + math.Exp(-t)) }

// fall is the saturating fall of the logarithm: 0 at no dose, 1 at plenty.
func fall(u float64) float64 { return -math.Expm1(-u) }

// decay is the logarithm of an exponential fall to a floor phi.
func decay(phi, u float64) float64 { return math.Log(phi + (1-phi)*math.Exp(-u)) }

// lagged is the logarithm of a log-logistic fall to a floor phi: nothing happens
// before the needed dose (u near 1) is near.
func lagged(phi, u, h float64) float64 {
	if u <= 0 {
		return 0
	}
	return math.Log(phi + (1-phi)/(1+math.Pow(u, h)))
}

// logistic is the share of a change that is done at u, half of it at e.
func logistic(u, e, h float64) float64 {
	if u <= 0 {
		return 0
	}
	return 1 / (1 + math.Pow(u/e, -h))
}

// stick is the logarithm of a straight fall of the reading itself to a floor phi at u = 1.
func stick(phi, u float64) float64 { return math.Log(1 - (1-phi)*math.Min(math.Max(u, 0), 1)) }

// chemicalModels lists the family for a second chemical, which may help the
// first, replace part of it, or do nothing.
func chemicalModels() []model {
	const lnDepth, lnRate = 1.0, 1.2 // e^1 = a 15-fold fall, e^1.2 = three quarters of it at a third of the top dose
	return []model{
		{name: "no effect of the second", levels: [2]int{3, 1},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2])*d)
			},
			params:  []string{"log_depth", "log_rate"},
			typical: []float64{lnDepth, lnRate}, spread: []float64{1, 1}},
		{name: "needed dose shifts", says: "each step of it divides the dose needed of the first", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2]+t[3]*p)*d)
			},
			params:  []string{"log_depth", "log_rate", "rate_shift"},
			typical: []float64{lnDepth, lnRate, 0.3}, spread: []float64{1, 1, 1}},
		{name: "needed dose shifts, less with more", says: "it divides the dose needed of the first, with a limit", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2]+t[3]*p/(p+depth(t[4])))*d)
			},
			params:  []string{"log_depth", "log_rate", "rate_shift", "log_half_level"},
			typical: []float64{lnDepth, lnRate, 0.5, -1.2}, spread: []float64{1, 1, 1, 1}},
		{name: "floor shifts", says: "it lowers what is left at plenty of the first", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - (depth(t[1])+t[3]*p)*fall(depth(t[2])*d)
			},
			params:  []string{"log_depth", "log_rate", "depth_shift"},
			typical: []float64{lnDepth, lnRate, 0.5}, spread: []float64{1, 1, 1}},
		{name: "needed dose and floor shift", says: "it divides the dose needed of the first and lowers what is left", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - (depth(t[1])+t[3]*p)*fall(depth(t[2]+t[4]*p)*d)
			},
			params:  []string{"log_depth", "log_rate", "depth_shift", "rate_shift"},
			typical: []float64{lnDepth, lnRate, 0.3, 0.3}, spread: []float64{1, 1, 1, 1}},
		{name: "charges add", says: "it replaces part of the first", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2])*(d+depth(t[3])*p))
			},
			params:  []string{"log_depth", "log_rate", "log_replaced"},
			typical: []float64{lnDepth, lnRate, -1}, spread: []float64{1, 1, 1}},
		{name: "charges add, over-dose by their sum", says: "it replaces part of the first, and their sum over-doses", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				u := d + depth(t[3])*p
				return t[0] - depth(t[1])*fall(depth(t[2])*u) + depth(t[4])*u
			},
			params:  []string{"log_depth", "log_rate", "log_replaced", "log_overdose_slope"},
			typical: []float64{lnDepth, lnRate, -1, -1}, spread: []float64{1, 1, 1, 1}},
		{name: "lag, needed dose shifts", says: "it divides the dose at which the water clears", acts: true, late: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + lagged(share(t[1]), d*depth(t[4]*p-t[2]), depth(t[3]))
			},
			params:  []string{"logit_floor", "log_dose", "log_steepness", "dose_shift"},
			typical: []float64{-4, -1, 1.1, 0.3}, spread: []float64{1.5, 0.7, 0.5, 1}},
		{name: "lag, charges add", says: "it replaces part of the first", acts: true, late: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + lagged(share(t[1]), (d+depth(t[4])*p)*depth(-t[2]), depth(t[3]))
			},
			params:  []string{"logit_floor", "log_dose", "log_steepness", "log_replaced"},
			typical: []float64{-4, -1, 1.1, -1}, spread: []float64{1.5, 0.7, 0.5, 1}},
		{name: "charges add, lag and over-dose by their sum", says: "it replaces part of the first, and their sum over-doses", acts: true, late: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				u := d + depth(t[5])*p
				return t[0] - depth(t[1])*(logistic(u, depth(t[2]), depth(t[3]))-logistic(u, depth(t[2]+depth(t[4])), depth(t[3])))
			},
			params:  []string{"log_depth", "log_dose", "log_steepness", "log_overdose_gap", "log_replaced"},
			typical: []float64{lnDepth, -1, 1.1, 0.2, -1}, spread: []float64{1, 0.7, 0.5, 0.7, 1}},
		{name: "broken stick, needed dose shifts", says: "it divides the dose at which the water is clear", acts: true, late: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + stick(share(t[1]), d*depth(t[3]*p-t[2]))
			},
			params:  []string{"logit_floor", "log_dose", "dose_shift"},
			typical: []float64{-3.5, -0.5, 0.3}, spread: []float64{1.5, 0.7, 1}},
		{name: "broken stick, charges add", says: "it replaces part of the first", acts: true, late: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + stick(share(t[1]), (d+depth(t[3])*p)*depth(-t[2]))
			},
			params:  []string{"logit_floor", "log_dose", "log_replaced"},
			typical: []float64{-3.5, -0.5, -1}, spread: []float64{1.5, 0.7, 1}},
		{name: "first-order, needed dose shifts", says: "each step of it divides the dose needed of the first", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + decay(share(t[1]), depth(t[2]+t[3]*p)*d)
			},
			params:  []string{"logit_floor", "log_rate", "rate_shift"},
			typical: []float64{-4, 1.5, 0.3}, spread: []float64{1.5, 0.8, 1}},
		{name: "first-order, floor shifts", says: "it lowers what is left at plenty of the first", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + decay(share(t[1]-t[3]*p), depth(t[2])*d)
			},
			params:  []string{"logit_floor", "log_rate", "floor_shift"},
			typical: []float64{-3, 1.5, 0.5}, spread: []float64{1.5, 0.8, 1}},
		{name: "acts on its own", says: "it takes its share out whatever the first does", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2])*d) - t[3]*p
			},
			params:  []string{"log_depth", "log_rate", "second_slope"},
			typical: []float64{lnDepth, lnRate, 0.3}, spread: []float64{1, 1, 1}},
		{name: "acts on its own up to a best dose", says: "it takes its share out up to a best dose of its own", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2])*d) - t[3]*p + depth(t[4])*p*p
			},
			params:  []string{"log_depth", "log_rate", "second_slope", "log_second_bend"},
			typical: []float64{lnDepth, lnRate, 0.5, -1}, spread: []float64{1, 1, 1, 1}},
		{name: "second-degree in both", says: "both bend the logarithm of the reading", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
			},
			params:  []string{"first", "second", "first_squared", "second_squared", "product"},
			typical: []float64{-3, -0.5, 1, 0.3, 0}, spread: []float64{3, 2, 2, 1, 2}},
		plane(),
	}
}

// plane is all that two levels of each factor can carry.
func plane() model {
	return model{name: "a plane", says: "it takes its share out whatever the first does", acts: true, levels: [2]int{2, 2},
		eval:    func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p },
		params:  []string{"first", "second"},
		typical: []float64{-1.5, -0.3}, spread: []float64{2, 1}}
}

// phModels lists the family for the pH that the jars stood at, from the lowest
// (p = 0) to the highest tested (p = 1). The dose that is needed, and the one that
// is too much, move with pH; the floor may have a best pH.
func phModels() []model {
	const lnDepth, lnRate = 1.0, 1.2
	return []model{
		{name: "no effect of pH", levels: [2]int{3, 1},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2])*d)
			},
			params:  []string{"log_depth", "log_rate"},
			typical: []float64{lnDepth, lnRate}, spread: []float64{1, 1}},
		{name: "needed dose shifts with pH", says: "the needed dose moves with pH", acts: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] - depth(t[1])*fall(depth(t[2]+t[3]*(p-0.5))*d)
			},
			params:  []string{"log_depth", "log_rate", "rate_shift"},
			typical: []float64{lnDepth, lnRate, 0}, spread: []float64{1, 1, 1}},
		{name: "needed dose has a best pH", says: "the needed dose is least at one pH", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				q := p - t[3]
				return t[0] - depth(t[1])*fall(depth(t[2]-depth(t[4])*q*q)*d)
			},
			params:  []string{"log_depth", "log_rate", "best_second", "log_bend"},
			typical: []float64{lnDepth, lnRate, 0.5, 0}, spread: []float64{1, 1, 0.4, 1}},
		{name: "floor has a best pH", says: "what is left is least at one pH", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				q := p - t[3]
				return t[0] - depth(t[1])*fall(depth(t[2])*d) + depth(t[4])*q*q
			},
			params:  []string{"log_depth", "log_rate", "best_second", "log_bend"},
			typical: []float64{lnDepth, lnRate, 0.5, 0}, spread: []float64{1, 1, 0.4, 1}},
		{name: "lag, needed dose shifts with pH", says: "the dose at which the water clears moves with pH", acts: true, late: true, levels: [2]int{3, 2},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + lagged(share(t[1]), d*depth(t[4]*(p-0.5)-t[2]), depth(t[3]))
			},
			params:  []string{"logit_floor", "log_dose", "log_steepness", "dose_shift"},
			typical: []float64{-4, -1, 1.1, 0}, spread: []float64{1.5, 0.7, 0.5, 1}},
		{name: "best dose shifts with pH", says: "the best dose moves with pH: a ridge with under-dose on one side and over-dose on the other", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				q := d - t[2] - t[3]*(p-0.5)
				return t[0] + depth(t[1])*q*q
			},
			params:  []string{"log_bend", "best_first", "best_first_shift"},
			typical: []float64{1, 0.6, 0}, spread: []float64{1, 0.4, 1}},
		{name: "needed dose and over-dose shift with pH", says: "the needed dose and the dose that is too much move with pH", acts: true, late: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				u := d * depth(t[5]*(p-0.5))
				return t[0] - depth(t[1])*(logistic(u, depth(t[2]), depth(t[3]))-logistic(u, depth(t[2]+depth(t[4])), depth(t[3])))
			},
			params:  []string{"log_depth", "log_dose", "log_steepness", "log_overdose_gap", "dose_shift"},
			typical: []float64{lnDepth, -1, 1.1, 0.2, 0}, spread: []float64{1, 0.7, 0.5, 0.7, 1}},
		{name: "second-degree in both", says: "dose and pH bend the logarithm of the reading, and shift each other's best value", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				p -= 0.5
				return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
			},
			params:  []string{"first", "second", "first_squared", "second_squared", "product"},
			typical: []float64{-2, 0, 1, 0.5, 0}, spread: []float64{3, 3, 2, 2, 3}},
		plane(),
	}
}

// straightModels lists the family for readings that are fitted as they are, such
// as pH or alkalinity; they are scaled to run from -1/2 to 1/2.
func straightModels() []model {
	return []model{
		{name: "a plane", acts: true, levels: [2]int{2, 2},
			eval:    func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p },
			params:  []string{"first", "second"},
			typical: []float64{0, 0}, spread: []float64{2, 2}},
		{name: "a plane bent along the first", acts: true, levels: [2]int{3, 2},
			eval:    func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p + t[3]*d*d },
			params:  []string{"first", "second", "first_squared"},
			typical: []float64{0, 0, 0}, spread: []float64{2, 2, 2}},
		{name: "a twisted plane", acts: true, levels: [2]int{2, 2},
			eval:    func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p + t[3]*d*p },
			params:  []string{"first", "second", "product"},
			typical: []float64{0, 0, 0}, spread: []float64{2, 2, 2}},
		{name: "second-degree in both", acts: true, levels: [2]int{3, 3},
			eval: func(t []float64, d, p float64) float64 {
				return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
			},
			params:  []string{"first", "second", "first_squared", "second_squared", "product"},
			typical: []float64{0, 0, 0, 0, 0}, spread: []float64{2, 2, 2, 2, 2}},
	}
}

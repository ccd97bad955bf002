// Package surface fits series in which two things differ between the jars: two
// chemicals, usually a coagulant and a polymer, or a coagulant and the pH. It
// answers with the pairs that meet the target with a stated confidence, the
// cheapest of them, what that saves against the first chemical alone, or why no
// pair can be recommended.
//
// How it works, in order: the series is laid out over its two factors (pair.go);
// jartest/engine draws equally likely surfaces from its jars, as it draws curves for
// jartest/curve: a family of small models, one-factor curves whose needed dose,
// floor or over-dose moves with the second factor in a few ways that can be put in
// words, beside interpolation between the jars themselves, which is the insurance
// against a water that follows no model and takes the weight where no model follows
// the jars. The confidence of a pair is the share of surfaces that meet every target
// there; the planning pair is the cheapest with 90 %. Pairs are searched only inside
// the convex hull of the tested pairs, and of a factor with two levels only at those
// (search.go). What that reaches on surfaces with known truth is measured by
// TestKnownTruth and the study beside it.
package surface

// Package surface fits series in which two things differ between the jars: two
// chemicals, usually a coagulant and a polymer, or a coagulant and the pH. It
// answers with the pairs that meet the target with a stated confidence, the
// cheapest of them, what that saves against the first chemical alone, or why no
// pair can be recommended.
//
// How it works, in order: the series is laid out over its two factors (pair.go);
// a family of small models, one-factor curves whose needed dose, floor or
// over-dose moves with the second factor in a few ways that can be put in words
// (model.go), is fitted by least squares with loose priors and averaged
// (ensemble.go); beside them stands interpolation between the jars themselves,
// made to fall and then perhaps rise along every row (mesh.go), as insurance
// against a water that follows no model. Each gives the chance that the median
// reading of a pair meets the target; the answer is their average. Pairs are
// searched only inside the convex hull of the tested pairs, and of a factor with
// two levels only at those (region.go, search.go).
//
// The scheme (averaged models plus a shape-restricted share, the scatter's prior,
// the planning pair at 90 % one-sided confidence) is that of jartest/curve in two
// dimensions. What it reaches on surfaces with known truth is measured by
// TestKnownTruth and the study beside it.
package surface

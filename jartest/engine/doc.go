// Package engine makes sets of equally likely curves from a few jars: the part
// of a fit that knows nothing of chemicals, targets or words.
//
// A [Model] is one way that a reading may change with what was varied. [Engine.Build]
// integrates the likelihood of every model by importance sampling around its
// least-squares optimum (sample.go), weighs the models by it, and beside them curves
// that are level and step between two jars (stairs.go), and mixes all with a share
// that follows no model and only keeps the shape "falls, then may rise" (cloud.go,
// isotonic.go). The result is a [Cloud]; quantiles, confidences and
// bands are counts over its curves. Least squares alone is the package lsq below.
//
// Factors are scaled by the caller to run from 0 to 1, and the random numbers are
// a fixed low-discrepancy sequence (sequence.go), so that the same input gives the
// same bytes and units do not matter.
package engine

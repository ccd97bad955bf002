// Package curve fits reading against dose for one series of jars and answers
// with the lowest effective dose, how sure that is, and a planning dose on the
// safe side, or says why no dose can be given.
//
// How it works, in order: several small models ([engine.Models]) are fitted on the
// logarithm of the reading by least squares with weak, stated priors that keep
// six jars from pretending to know what they cannot, and weighted by their
// integrated likelihood; beside them stand curves that are level and step anywhere
// between two jars, weighed like the models, because a water may fall off more
// steeply than two jars can show, and a shape-restricted nonparametric fit with a
// fixed share, the insurance against a truth that no model describes. All that is
// jartest/engine. The result is one set of curves, equally likely given
// the jars. Everything is read off that set: the dose at which half of the curves
// meet the target is the estimate, 5 to 95 % the interval, 90 % the planning dose
// ([Analyse]). Doses are scaled by the highest dose tested before anything is computed.
package curve

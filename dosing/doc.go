// Package dosing is the plant: from doses and flows to what each pump feeds, what
// is made up when, how long tanks last, and what the day uses. Its subpackages
// hold products, flows, pumps, solids, water and the site's own description.
//
// The arithmetic is plain mass balance. A dose counts the water before anything
// is added; a stock's strength counts the same substance as the dose; "as product"
// never meets a strength.
package dosing

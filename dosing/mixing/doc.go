// Package mixing compares how hard and how long water is stirred on the bench
// and in the plant: velocity gradient G and the product Gt.
//
// Everything is water of the stated temperature; viscosity and density are those
// of fresh water at one atmosphere.
package mixing

// Package history is what past jar tests say together: each test in a line, the dose that a
// raw water needs as a law of its turbidity, and what today's water needs by it, with the range
// in which it lies. It finds no dose of a test itself: that is jartest/curve, whose answers it takes.
package history

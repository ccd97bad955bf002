package quantity

import "jarwright/jartest/note"

// Known is a value that may not have been given, with the cell that it came from
// or would have stood in: the one way to say "not given". The cell is kept even
// where nothing was filled in, so that an error can name it.
type Known[T any] struct {
	V  T
	OK bool
	At note.Place
}

// Some is a value that is known.
func Some[T any](v T) Known[T] { return Known[T]{V: v, OK: true} }

// Or gives the value, or d where none was given.
func (k Known[T]) Or(d T) T {
	if k.OK {
		return k.V
	}
	return d
}

// Missing makes the error for a value that is needed and was not given.
func (k Known[T]) Missing(what, why string) note.Note {
	return note.Fault("value-missing", "%s is missing", what).At(k.At).Do("%s", why)
}

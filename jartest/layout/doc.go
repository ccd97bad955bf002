// Package layout finds tables in the cells of a sheet, whichever way they lie and
// whatever stands around them: headings with what their words say, rows of data with
// their values taken apart, and the texts beside them. What the columns and rows are
// to a jar test is for package sheet to say.
package layout

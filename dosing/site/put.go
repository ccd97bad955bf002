package site

import "jarwright/jartest/note"

// Put gives a field what was said outside a file, as on a command line. row
// counts the rows of a list from 0; it is made where it is not there. unit is
// that of a bare number, empty where one is refused. Checks and words are those
// of the table; at is what a fault names instead of a cell. Where nothing was
// said, text is empty and a record that is there only learns the place. What is
// only asked about goes to the notes of the site.
func (s *Site) Put(sheet string, row int, field, text, unit string, at note.Place) error {
	sh, f := Row(sheet, field)
	record := sh.record(s, row, text != "")
	if record == nil {
		return nil
	}
	e := entry{text: text, unit: unit, at: at, said: true, us: s.Place.Units.V == UnitsUS}
	if k, ok := record.(*Stock); ok {
		e = made(sh, f, e, k.Density.V)
	}
	said := note.Of(f.put(record, e), "bad-value")
	if err := s.counts(f, record, e); err != nil {
		said.Add(note.Of(err, "basis-twice")...)
	}
	s.Notes.Add(said.Only(note.Caution)...)
	return said.Err()
}

// Row gives a row of the field table. It panics where there is none: the names
// are the program's own.
func Row(sheet, field string) (Sheet, Field) {
	if sh, ok := findSheet(sheet); ok {
		if f, ok := sh.Field(field); ok {
			return sh, f
		}
	}
	panic("site: no field " + sheet + ": " + field)
}

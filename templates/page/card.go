package page

// Card is a sheet of its own for the wall or the pocket: what an operator needs
// at the pump or at the stock tank, legible at two metres.
type Card struct {
	Title string
	// Place and When stand in its head; Valid says how long it holds, Ask whom to ask.
	Place, When, Valid, Ask string
	// Lead is its answer in a sentence.
	Lead    string
	Numbers []Number
	Facts   Pairs
	Tables  []Table
	// Jobs are steps to tick in their order, Checks what else has a box to tick.
	Jobs   Jobs
	Checks []string
	// Label is what goes on the tank, each a name with its value, or with a line to write on.
	Label Pairs
	// Log is a table to write in.
	Log      Log
	Cautions []string
}

// Log is a table to write in: rows of which the first cells may be given, and lines left empty.
type Log struct {
	Title string
	Cols  []Col
	Rows  [][]string
	Lines int
}

// Empty are the cells of a row of a log that are left to write in.
func (l Log) Empty(row []string) []string {
	return make([]string, max(0, len(l.Cols)-len(row)))
}

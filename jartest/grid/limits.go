package grid

import (
	"jarwright/jartest/note"
)

// limit names a bound on what is read; its row in [limits] has the number.
type limit int

const (
	fileBytes limit = iota
	zipParts
	partBytes
	unpackedBytes
	unpackRatio
	sheetCount
	rowNumber
	lineCount
	columnNumber
	cellCount
	areaCells
	stringCount
	mergeCount
	commentCount
	textLength
	cellTexts
	xmlDepth
	yamlBytes
	yamlDepth
	yamlKeys
	quoteFaults
	// BenchTexts, BenchCells and BenchRows bound the sheets that are searched for jars, whose
	// words are each held against a vocabulary.
	BenchTexts
	BenchCells
	BenchRows
)

const mega = 1 << 20

// limits is every bound on a file, so that none costs more than about two
// seconds and 300 MB. says has the place of the number, which is shown in units
// of unit.
var limits = [...]struct {
	name   string
	most   int
	unit   int
	says   string
	do     string
	reason string
}{
	fileBytes: {"file size", 64 * mega, mega, "the file is larger than %d MB", "save only the sheets or months that are needed in a file of their own",
		"a year of minutes is 15 MB as text"},
	zipParts: {"parts of a workbook", 2000, 1, "the workbook has more than %d parts", "save only the sheets that are needed in a file of their own",
		"four hundred sheets with their drawings and notes"},
	partBytes: {"unpacked size of a part", 96 * mega, mega, "a part of the workbook unpacks to more than %d MB", "save only the sheets that are needed in a file of their own",
		"a year of minutes in two columns is 75 MB of XML"},
	unpackedBytes: {"unpacked size of all parts", 128 * mega, mega, "the workbook unpacks to more than %d MB", "save only the sheets that are needed in a file of their own",
		"the largest part and its company; every part is unpacked once to be held against its checksum"},
	unpackRatio: {"ratio of unpacked to packed", 400, 1, "a part of the workbook unpacks to more than %d times its size, as only made-up files do", "open it in a spreadsheet program and save it again",
		"equal rows of a log pack about 40 times, empty styled rows about 200; looked at above 1 MB"},
	sheetCount: {"worksheets", 400, 1, "the workbook has more than %d sheets", "save only the sheets that are needed in a file of their own",
		"a sheet for every day of a year"},
	rowNumber: {"rows of a sheet", 1 << 20, 1, "the sheet has more than %d rows", "save only the rows that are needed in a file of their own",
		"what a worksheet can have (ECMA-376 names no bound; spreadsheet programs stop here)"},
	lineCount: {"lines of a log", 2_000_000, 1, "the log has more than %d lines", "cut it into years or months",
		"a year at every sixteen seconds; the cells of a log are not kept, so it may be longer than a sheet"},
	columnNumber: {"columns of a sheet", 2000, 1, "the sheet has a cell beyond column %d", "delete what stands far to the right of the table, or save the table in a file of its own",
		"a jar a column is a hundred; a stray cell in the last column makes every row 16,384 wide"},
	cellCount: {"cells of a file", 2_400_000, 1, "the file has more than %d cells", "save only the sheets or months that are needed in a file of their own",
		"a hundred thousand jars of twenty columns; a year of minutes in four"},
	areaCells: {"rows times columns of a sheet", 4_000_000, 1, "the sheet's cells are spread over more than %d places", "delete what stands far from the table, or save the table in a file of its own",
		"readers walk the whole rectangle; a year of minutes in seven columns, most of them empty"},
	stringCount: {"different texts of a workbook", 600_000, 1, "the workbook has more than %d different texts", "save only the sheets that are needed in a file of their own",
		"a year of minutes with a text in each row"},
	mergeCount: {"merged blocks of a sheet", 5000, 1, "the sheet has more than %d merged blocks", "unmerge the cells outside the table",
		"a block in each row of a long form; readers look through all blocks"},
	commentCount: {"comments on a sheet", 20_000, 1, "the sheet has more than %d comments", "delete the comments that are not needed",
		"a comment on every jar of ten years"},
	textLength: {"bytes of a cell's text", 100_000, 1, "the cell holds more than %d bytes of text", "shorten it",
		"spreadsheet programs stop at 32,767 characters, of up to three bytes each"},
	cellTexts: {"text in all cells of a workbook", 32 * mega, mega, "the cells of the workbook hold more than %d MB of text", "save only the sheets that are needed in a file of their own",
		"a year of minutes in four columns of fifteen letters; one text that a million cells point at packs to nothing"},
	xmlDepth: {"nesting of a part", 64, 1, "a part of the workbook is nested more than %d deep", "open it in a spreadsheet program and save it again",
		"a rich text in a cell is nested eight deep"},
	yamlBytes: {"size of a YAML file", 256 << 10, 1 << 10, "the file is larger than %d kB", "keep only the site in it",
		"a site with every field is 15 kB; some of what the parser does grows with the square of the size"},
	yamlDepth: {"nesting of YAML", 20, 1, "lists and keys are nested more than %d deep", "a site has three levels: parts, things, fields",
		"the parser calls itself for each level"},
	yamlKeys: {"keys of a YAML file", 5_000, 1, "there are more than %d keys and entries", "keep only the site in it",
		"seven hundred drawdown readings of seven fields; the parser's time grows with the square of a part's keys"},
	BenchTexts: {"different texts of bench sheets", 300 << 10, 1 << 10, "the sheets hold more than %d kB of different texts, too much to be searched for jars", "name the sheet of the jars with --sheet, or save it in a file of its own",
		"a remark of forty letters on every working day of thirty years; a sentence of as many costs half a millisecond"},
	BenchCells: {"cells of text of bench sheets", 500_000, 1, "the sheets hold more than %d cells of text, too many to be searched for jars", "name the sheet of the jars with --sheet, or save it in a file of its own",
		"four words beside each of the most jars; a cell costs 0.008 ms even where its text was read before"},
	BenchRows: {"rows of a table of jars", 120_000, 1, "the table has more than %d rows of jars", "save each year in a file of its own",
		"six jars every day for fifty years; a jar costs 0.03 ms and 2.5 kB"},
	quoteFaults: {"faults named in a text file", 20, 1, "and more than %d lines like these", "check the whole file",
		"more would not help anybody"},
}

// Most is the largest number that is allowed.
func (l limit) Most() int { return limits[l].most }

// Fault says that a file goes beyond the limit.
func (l limit) Fault(at note.Place) note.Note {
	row := limits[l]
	return note.Fault("too-large", row.says, row.most/row.unit).At(at).Do("%s", row.do)
}

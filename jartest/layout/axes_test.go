package layout

import (
	"strings"
	"testing"
)

// The sentence that says how the axes of a grid run may be in any language that has words for both.
// From memory of the languages.
func TestAxesInAnyLanguage(t *testing.T) {
	for _, line := range []string{
		"alum mg/L down and polymer mg/L across", "alum mg/L in the rows, polymer mg/L in the columns", "rows alum mg/L, columns polymer mg/L",
		"Alaun mg/l in den Zeilen, Polymer mg/l in den Spalten", "Zeilen: Alaun mg/l; Spalten: Polymer mg/l",
		"alumbre mg/L en filas, polímero mg/L en columnas", "sulfate d'alumine mg/L en lignes, polymère mg/L en colonnes",
		"aluin mg/L in rijen, polymeer mg/L in kolommen", "ałun mg/L w wierszach, polimer mg/L w kolumnach", "tawas mg/L pada baris, polimer mg/L pada kolom",
		"квасцы мг/л в строках, полимер мг/л в столбцах",
	} {
		f := &Finder{heads: map[string]Heading{}}
		var x Crosstab
		f.fromSentence(&x, []string{line})
		if a, b := ReadHeading(x.rowName), ReadHeading(x.colName); a.Chem != "alum" || b.Chem != "polymer" {
			t.Errorf("%q: rows %q, columns %q", line, x.rowName, x.colName)
		}
	}
	var x Crosstab
	(&Finder{heads: map[string]Heading{}}).fromSentence(&x, []string{"the polymer went down badly, alum cross"})
	if strings.TrimSpace(x.rowName+x.colName) != "" {
		t.Errorf("axes from a remark: %q, %q", x.rowName, x.colName)
	}
}

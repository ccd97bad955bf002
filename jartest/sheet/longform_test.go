package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// A table with a line for each dose and each reading is read as jars, whatever its columns are
// called, where several lines are of one jar.
func TestLinesOfResults(t *testing.T) {
	for name, x := range map[string]struct{ head, jar, dose, turb string }{
		"parameter":             {"Jar,Parameter,Value,Unit", "%d", "Alum dose,%s,mg/L", "Turbidity,%s,NTU"},
		"units in the names":    {"Jar,Parameter,Value", "%d", "Alum (mg/L),%s", "Turbidity (NTU),%s"},
		"sample, test, result":  {"Sample,Test,Result", "Jar %d", "Alum dose mg/L,%s", "Turbidity NTU,%s"},
		"another word":          {"Sample,Determination,Value", "Jar %d", "Alum dose (mg/L),%s", "Turbidity (NTU),%s"},
		"item":                  {"Jar,Item,Value,Unit", "%d", "Alum,%s,mg/L", "Turbidity,%s,NTU"},
		"in g/L":                {"Jar,Quantity,Value,Unit", "%d", "Alum added,0.0%s,g/L", "Turbidity,%s,NTU"},
		"Spanish":               {"Muestra,Parámetro,Resultado,Unidad", "%d", "Sulfato de aluminio,%s,mg/L", "Turbidez,%s,NTU"},
		"dose in the label":     {"Sample,Test,Result,Units", "Jar %d (%s mg/L alum)", "pH,7,", "Turbidity,%s,NTU"},
		"a date on each line":   {"Date,Jar,Test,Result,Unit", "2026-03-01,%d", "Alum,%s,mg/L", "Turbidity,%s,NTU"},
		"a jar named once only": {"Jar,Parameter,Result", "%d", "Alum (mg/L),%s", ",Turbidity (NTU),%s"},
		"remarks":               {"Jar,Parameter,Value,Unit,Remarks", "%d", "Alum,%s,mg/L,ok", "Turbidity,%s,NTU,"},
	} {
		text := x.head + "\n"
		doses, turb := []string{"10", "20", "30", "40"}, []string{"62", "31", "12", "5.4"}
		for i := range doses {
			jar := strings.ReplaceAll(x.jar, "%s", doses[i])
			jar = strings.ReplaceAll(jar, "%d", fmt.Sprint(i+1))
			again := jar + ","
			if strings.HasPrefix(x.turb, ",") {
				again = ""
			}
			text += jar + "," + strings.ReplaceAll(x.dose, "%s", doses[i]) + "\n" + again + strings.ReplaceAll(x.turb, "%s", turb[i]) + "\n"
		}
		codes, res := codesOf(t, text)
		if len(res.Series) != 1 || len(res.Series[0].Jars) != 4 || len(codes) > 0 {
			t.Errorf("%s: %d series, %q\n%s", name, len(res.Series), codes, text)
			continue
		}
		for i, j := range res.Series[0].Jars {
			if d := fmt.Sprint(float64(j.Doses[0].Concentration)); d != doses[i] || fmt.Sprint(j.Readings.Of(jartest.Turbidity).Value) != turb[i] {
				t.Errorf("%s: jar %d has %s mg/L and %v NTU", name, i+1, d, j.Readings.Of(jartest.Turbidity).Value)
			}
		}
	}
}

// One parameter in two units is one column.
func TestLinesOfResultsInTwoUnits(t *testing.T) {
	_, res := codesOf(t, "Jar,Parameter,Value,Unit\n1,Alum,10,mg/L\n1,Turbidity,62,NTU\n2,Alum,0.02,g/L\n2,Turbidity,31,NTU\n")
	if len(res.Series) != 1 || len(res.Series[0].Jars) != 2 || res.Series[0].Jars[1].Doses[0].Concentration != 20 {
		t.Errorf("got %+v", res.Series)
	}
}

// A list of facts is no table of jars: each of its lines stands for itself.
func TestListOfFactsIsNoTable(t *testing.T) {
	for _, facts := range []string{
		"Parameter,Value,Unit\nRaw turbidity,65,NTU\npH,7.2,\n",
		"No,Parameter,Value\n1,Raw turbidity NTU,65\n2,Raw pH,7.2\n3,Raw alkalinity mg/L as CaCO3,80\n",
		"Item,Result\nRaw turbidity NTU,65\nRaw pH,7.2\n",
	} {
		codes, res := codesOf(t, facts+"\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,62\n2,10,31\n3,20,12\n")
		if len(res.Series) != 1 || len(res.Series[0].Jars) != 3 || res.Series[0].Raw[jartest.Turbidity].Value != 65 {
			t.Errorf("%s: %q, %+v", facts, codes, res.Series)
		}
	}
}

// A column of units belongs to the value before it, one of a dose to the dose; what stands behind the
// result is of the result, and the chemical of a dose may have a column of its own.
func TestExportOfALaboratory(t *testing.T) {
	for _, heads := range []string{"Sample_ID,Dose_Chemical,Dose,Dose_Units,Analyte,Result,Qualifier,Units,MDL", "Sample,Chemical,Dose,Dose unit,Parameter,Value,Qualifier,Unit,Method limit"} {
		sheet := heads + "\n"
		for i, x := range []string{"18.4", "9.7", "3.3"} {
			sheet += fmt.Sprintf("S-%d,Aluminum sulfate,%d,mg/L,Turbidity,%s,,NTU,0.1\nS-%d,Aluminum sulfate,%d,mg/L,Aluminum residual,0.0%d,%s,mg/L,0.05\n", i+1, 10*(i+1), x, i+1, 10*(i+1), 5+i, []string{"<", "", ""}[i])
		}
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 3 || r.Series[0].Chemicals[0].Name != "alum" || len(loud(r)) > 0 {
			t.Errorf("%s: %+v, %v", heads, r.Series, r.Notes)
			continue
		}
		for i, j := range r.Series[0].Jars {
			al := j.Readings.Of(jartest.ResidualAl)
			if want := []float64{18.4, 9.7, 3.3}[i]; j.Readings.Of(jartest.Turbidity).Value != want || float64(j.Doses[0].Concentration) != float64(10*(i+1)) || (al.State == jartest.Below) != (i == 0) || !equal([]float64{al.Value}, []float64{0.05 + float64(i)/100}) {
				t.Errorf("%s: jar %d: %v %v", heads, i+1, j.Doses, j.Readings)
			}
		}
	}
}

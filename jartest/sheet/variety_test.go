package sheet

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// TestVariety writes one known test in many combinations of layout, wording,
// units, labels, facts and remarks, and wants the same numbers back each time,
// or a word that something is amiss. The seed is fixed.
func TestVariety(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	n := 400
	if testing.Short() {
		n = 120
	}
	for i := range n {
		v := randomSheet(rng)
		r, err := Read("v.csv", strings.NewReader(v.text), Options{})
		if err != nil {
			t.Fatalf("case %d: %v\n%s", i, err, v.text)
		}
		if r.Notes.Worst() >= note.Caution && len(r.Series) != 1 {
			t.Errorf("case %d: asked or failed: %v\n%s", i, r.Notes, v.text)
			continue
		}
		if why := v.differs(r); why != "" {
			t.Errorf("case %d: %s\n%s\n%s", i, why, v.text, picture(r, nil))
			if i > 200 {
				return
			}
		}
	}
}

// variety is a sheet and what it says.
type variety struct {
	text  string
	dose  []float64
	turb  [][]float64 // repeats of each jar
	ph    []float64
	hasPH bool
}

func (v variety) differs(r Result) string {
	if len(r.Series) != 1 {
		return fmt.Sprintf("%d series: %v", len(r.Series), r.Notes)
	}
	s := r.Series[0]
	if len(s.Jars) != len(v.dose) {
		return fmt.Sprintf("%d jars, want %d: %v", len(s.Jars), len(v.dose), r.Notes)
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Max(1, math.Abs(b)) }
	for i, j := range s.Jars {
		if len(j.Doses) != 1 || !near(float64(j.Doses[0].Concentration), v.dose[i]) {
			return fmt.Sprintf("jar %d: doses %v, want %v", i, j.Doses, v.dose[i])
		}
		x := j.Readings.Of(jartest.Turbidity)
		want := v.turb[i]
		if !near(x.Value, layout.Mean(want)) || len(want) > 1 && len(x.Replicates) != len(want) {
			return fmt.Sprintf("jar %d: turbidity %+v, want %v", i, x, want)
		}
		if v.hasPH && !near(j.Readings.Of(jartest.PH).Value, v.ph[i]) {
			return fmt.Sprintf("jar %d: pH %v, want %v", i, j.Readings.Of(jartest.PH).Value, v.ph[i])
		}
	}
	return ""
}

type wording struct{ jar, dose, turb, ph, rem, control, mean []string }

var wordings = []wording{
	{[]string{"Jar", "Jar no.", "Beaker", "#", "Jar #", "Sample"}, []string{"Alum", "Alum dose", "Dose", "Coagulant dose", "Alum dosage", "FeCl3", "PACl dose", "Ferric chloride added"}, []string{"Turbidity", "Turb", "Turb.", "Settled turbidity", "Final turbidity", "Residual turbidity", "Supernatant turbidity"}, []string{"pH", "Final pH", "pH after"}, []string{"Remarks", "Notes", "Comment", "Floc"}, []string{"control", "blank", "C", "no chemical"}, []string{"Average", "Mean", "avg"}},
	{[]string{"Jarra", "Vaso"}, []string{"Dosis", "Sulfato de aluminio", "Dosis de cloruro férrico"}, []string{"Turbidez", "Turbiedad final", "Turbidez residual"}, []string{"pH", "pH final"}, []string{"Observaciones"}, []string{"testigo", "blanco"}, []string{"Promedio"}},
	{[]string{"Becherglas", "Probe"}, []string{"Dosis", "Dosierung", "Eisen(III)-chlorid", "PAC-Dosis"}, []string{"Trübung", "Resttrübung"}, []string{"pH", "pH-Wert"}, []string{"Bemerkung"}, []string{"Nullprobe", "Kontrolle"}, []string{"Mittelwert"}},
	{[]string{"Bécher", "Flacon"}, []string{"Dose", "Sulfate d'aluminium", "Dose de chlorure ferrique"}, []string{"Turbidité", "Turbidité finale"}, []string{"pH", "pH final"}, []string{"Remarques"}, []string{"témoin", "blanc"}, []string{"Moyenne"}},
	{[]string{"Balang", "Bikar"}, []string{"Dos", "Dos tawas", "Dosis PAC"}, []string{"Kekeruhan", "Kekeruhan akhir"}, []string{"pH", "pH akhir"}, []string{"Catatan"}, []string{"kawalan", "kontrol"}, []string{"Purata"}},
	{[]string{"烧杯", "编号"}, []string{"投加量", "聚合氯化铝投加量", "明矾"}, []string{"浊度", "剩余浊度"}, []string{"pH", "pH值"}, []string{"备注"}, []string{"对照", "空白"}, []string{"平均"}},
}

func randomSheet(rng *rand.Rand) variety {
	pick := func(s ...string) string { return s[rng.Intn(len(s))] }
	w := wordings[0]
	if rng.Intn(3) == 0 {
		w = wordings[rng.Intn(len(wordings))]
	}
	n := 3 + rng.Intn(5)
	reps := 1
	if rng.Intn(4) == 0 {
		reps = 2 + rng.Intn(2)
	}
	var v variety
	v.hasPH = rng.Intn(2) == 0
	step := []float64{0.5, 2.5, 5, 10, 12.5, 25}[rng.Intn(6)]
	factor, unit := 1.0, pick("mg/L", "mg/l", "ppm", "g/m3", "mg L-1", "mg/litre")
	if rng.Intn(10) == 0 {
		factor, unit = 1000, "g/L"
	}
	comma := rng.Intn(4) == 0
	num := func(x float64) string {
		s := trimFloat(round12(x))
		if comma {
			s = strings.Replace(s, ".", ",", 1)
		}
		return s
	}
	zero := rng.Intn(2) == 0
	for i := range n {
		d := step * float64(i)
		if !zero {
			d += step
		}
		v.dose = append(v.dose, d)
		var t []float64
		for range reps {
			t = append(t, math.Round((80*math.Exp(-0.5*float64(i))+3+rng.Float64())*10)/10)
		}
		v.turb = append(v.turb, t)
		v.ph = append(v.ph, math.Round((7.8-0.1*float64(i))*100)/100)
	}
	// The headings and their columns.
	jar, dose, turb := pick(w.jar...), pick(w.dose...), pick(w.turb...)
	tunit := pick("NTU", "NTU", "FNU")
	unitRow := rng.Intn(5) == 0
	withUnit := func(name, u string) string {
		if unitRow || u == "" {
			return name
		}
		return pick(name+" ("+u+")", name+", "+u, name+" "+u, name+" ["+u+"]")
	}
	heads, units := []string{jar, withUnit(dose, unit)}, []string{"", unit}
	for k := range reps {
		h := turb
		if reps > 1 {
			h += fmt.Sprintf(" %d", k+1)
		}
		heads, units = append(heads, withUnit(h, tunit)), append(units, tunit)
	}
	if v.hasPH {
		heads, units = append(heads, pick(w.ph...)), append(units, "")
	}
	remarks := rng.Intn(3) == 0
	if remarks {
		heads, units = append(heads, pick(w.rem...)), append(units, "")
	}
	labels := rng.Intn(3)
	rows := [][]string{heads}
	if unitRow {
		rows = append(rows, units)
	}
	for i := range n {
		label := fmt.Sprint(i + 1)
		switch labels {
		case 1:
			label = jar + " " + label
			if strings.ContainsAny(jar, "#.") {
				label = fmt.Sprint(i + 1)
			}
		case 2:
			label = string(rune('A' + i))
		}
		if zero && i == 0 && labels != 2 && rng.Intn(2) == 0 {
			label = pick(w.control...)
		}
		row := []string{label, num(v.dose[i] / factor)}
		for _, x := range v.turb[i] {
			row = append(row, num(x))
		}
		if v.hasPH {
			row = append(row, num(v.ph[i]))
		}
		if remarks {
			row = append(row, pick("", "clear", "pin floc", "2 mm floc", "ok"))
		}
		rows = append(rows, row)
	}
	turned := rng.Intn(4) == 0
	if turned {
		rows = turn(rows)
	} else if rng.Intn(4) == 0 {
		row := make([]string, len(heads))
		row[0], row[1], row[2] = pick(w.mean...), num(v.dose[0]/factor), num(20.5)
		rows = append(rows, row)
	}
	v.text = around(rng, rows, comma, turned)
	return v
}

func turn(rows [][]string) [][]string {
	out := make([][]string, len(rows[0]))
	for c := range out {
		for _, r := range rows {
			out[c] = append(out[c], r[c])
		}
	}
	return out
}

// around puts titles, facts and remarks around a table and writes it as CSV.
func around(rng *rand.Rand, table [][]string, comma, turned bool) string {
	var rows [][]string
	if rng.Intn(2) == 0 {
		rows = append(rows, []string{[]string{"Jar test pond 7", "Beck after the storm", "Trial no. 12, 3 May", "Bench trial: north intake"}[rng.Intn(4)]})
	}
	facts := [][]string{{"Date", "2024-05-03"}, {"Coagulant", "alum"}, {"Raw turbidity (NTU)", "85"}, {"Raw pH", "7"}, {"Temp", "12"}, {"Done by", "R."}, {"Fast mix", "60 s at 150 rpm"}, {"Settle", "20 min"}, {"Jar volume", "1 L"}, {"Weather", "rain"}}
	rng.Shuffle(len(facts), func(i, j int) { facts[i], facts[j] = facts[j], facts[i] })
	k := rng.Intn(5)
	rows = append(rows, facts[:k]...)
	if len(rows) > 0 && (turned || rng.Intn(3) > 0) {
		rows = append(rows, []string{""})
	}
	left := 0
	if rng.Intn(4) == 0 {
		left = 1 + rng.Intn(3)
	}
	at := len(rows)
	rows = append(rows, table...)
	if rng.Intn(3) == 0 { // facts to the right, a column apart
		for i, f := range facts[k:min(k+2, len(facts))] {
			if at+i < len(rows) {
				for len(rows[at+i]) < len(table[0]) {
					rows[at+i] = append(rows[at+i], "")
				}
				rows[at+i] = append(append([]string(nil), rows[at+i]...), "", f[0], f[1])
			}
		}
	}
	if rng.Intn(3) == 0 {
		rows = append(rows, []string{""}, []string{[]string{"NB: jar 4 looked best by eye", "Next test 12 May", "read twice by the same person", "optimum dose 30 mg/L"}[rng.Intn(4)]})
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	if comma || rng.Intn(3) == 0 {
		w.Comma = []rune{';', '\t'}[rng.Intn(2)]
	}
	for _, r := range rows {
		for range left {
			r = append([]string{""}, r...)
		}
		_ = w.Write(r)
	}
	w.Flush()
	return b.String()
}

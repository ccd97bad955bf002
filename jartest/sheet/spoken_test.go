package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// quotes reports that a sheet's cautions quote a line.
func quotes(r Result, line string) bool {
	return slices.ContainsFunc(r.Notes, func(n note.Note) bool {
		return n.Level != note.Info && strings.Contains(strings.ToLower(n.Message), strings.ToLower(line))
	})
}

// A sentence of any tongue that speaks of doses, jars, readings, stock or the meter and
// has a word that nobody knows is quoted, above and below the table and beside it; one
// made of words that change nothing is not.
func TestSentencesOfManyTongues(t *testing.T) {
	const jars = "Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n"
	for line, speaks := range map[string]bool{
		"Alle Dosen sind zehnmal zu hoch": true, "El turbidímetro marcaba de más": true, "Las dosis están mal": true, "Le turbidimètre affiche 10 % de trop": true,
		"As doses estão dez vezes altas": true, "Le dosi sono dieci volte troppo alte": true, "Alle doseringen zijn tien keer te hoog": true, "Wszystkie dawki są dziesięć razy za wysokie": true,
		"Doserna är tio gånger för höga": true, "Dosene er ti ganger for høye": true, "Všechny dávky jsou desetkrát vyšší": true, "Annokset ovat kymmenkertaiset": true,
		"Tüm dozlar on kat fazla": true, "Все дозы завышены в десять раз": true, "所有投加量应乘以十": true, "濁度計が狂っていた": true, "탁도계가 고장났음": true,
		"Doza este de zece ori mai mare": true, "Semua dosis sepuluh kali terlalu tinggi": true, "Der Alaun war alt und klumpig": true, "El alumbre estaba vencido": true,
		"Meter out of calibration": true, "pH probe was broken": true, "Alum was old and lumpy": true, "Doses estimated from memory": true, "Pipette was leaking badly": true,
		"Vipimo vyote vimezidishwa kwa 10": true, "Tha na dòsan uile 10 uairean ro àrd": true,
		"El turbidímetro siempre suma 0,6 NTU": true, "El turbidímetro marca 0,6 NTU con agua destilada": true, "Mean meter error, to be taken off": true,
		"All readings taken after dilution 1:10": true, "Las lecturas se hicieron con muestra diluida 1:10": true, "Toutes les mesures faites après dilution 1:10": true,
		"All readings taken after filtering": true, "Alum batch 4471 expired": true, "Turbidity meter: Clarion 417K reads 10 % high": true, "Tutte le letture sono dopo filtrazione": true, "Toutes les mesures après filtration": true,
		"Alle målinger etter filtrering": true, "Wszystkie odczyty po filtracji": true, "These numbers are for the other pond": true,
		"Note: doses read off the wrong side": true, "Achtung: Dosen verzehnfacht eingewogen": true,

		"Proben 2 cm unter der Oberfläche entnommen": false, "Trübung nach 30 min Absetzen gemessen": false, "Las muestras se tomaron con jeringa": false,
		"Turbidez medida después de 30 minutos de sedimentación": false, "Turbidité mesurée après 30 min de décantation": false, "Amostras coletadas com seringa": false,
		"Mętność zmierzono po 30 min sedymentacji": false, "Torbidità misurata dopo 30 minuti di sedimentazione": false, "Troebelheid gemeten na 30 min bezinken": false,
		"沉淀30分钟后取上清液测浊度": false, "Мутность измеряли после отстаивания 30 мин": false, "Versuch mit Alaun, Fischzucht Moosgrund": false,
		"Essai avec sulfate d'aluminium, pisciculture du Vallon": false, "Prueba de jarras - Criadero El Remanso": false,
		"All readings taken after 30 min settling": false, "Toutes les mesures après 30 min de décantation": false, "Alum stock diluted 1:10 from 100 g/L": false,
		"Mean of two readings": false, "Filtration plant, Beck Farm": false,
		"Alum batch no. 4471, expiry 05/2027": false, "Turbidity meter: Clarion 417K, calibrated 3 March": false,
		"Hauptstrasse 12, 8000 Moosdorf": false, "Tel. 0123 456789": false, "Page 1 of 2": false, "Form QA-12 rev 3": false, "fed at 7, rain overnight 12 mm": false,
		"Turbidimeter calibrated this morning": false, "Beakers rinsed between runs": false, "Alum supplied as powder": false,
	} {
		for place, file := range map[string]string{
			"first": line + "\n\n" + jars, "under a title": "Jar test\n" + line + "\n\n" + jars, "below": jars + "\n" + line + "\n",
			"beside": strings.Replace(jars, "2,10,12", "2,10,12,,"+quoted(line), 1),
		} {
			if place != "beside" {
				file = strings.Replace(file, line, quoted(line), 1)
			}
			if title := !speaks && strings.Contains(line, " - Criadero"); title && place != "first" {
				continue
			}
			r := mustRead(t, "s.csv", file, Options{})
			if said := quotes(r, strings.TrimPrefix(strings.TrimPrefix(line, "Note: "), "Achtung: ")); said != speaks || !speaks && len(loud(r)) > 0 {
				t.Errorf("%s, %q: says %v, want it quoted: %v", place, line, loud(r), speaks)
			}
			if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
				t.Errorf("%s, %q: %d series", place, line, len(r.Series))
			}
		}
	}
}

// quoted writes a cell of a file.
func quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// TestSpokenOnce: a word for what makes numbers others stands once in a language; what is of
// several kinds has them all in one row.
func TestSpokenOnce(t *testing.T) {
	seen := map[string]string{}
	for row := range strings.Lines(spokenCSV) {
		f := strings.SplitN(strings.TrimSpace(row), ",", 3)
		if first, _, _ := strings.Cut(f[0], "&"); !slices.Contains([]string{"upset", "backward", "former", "alter", "copied"}, first) {
			continue
		}
		for w := range strings.SplitSeq(f[2], "|") {
			key := f[1] + " " + words.Fold(w)
			if seen[key] != "" {
				t.Errorf("%s: in %s and in %s", key, seen[key], f[0])
			}
			seen[key] = f[0]
		}
	}
	for _, kind := range []string{"upset", "backward"} {
		if !spoken()[kind].in("reversed") {
			t.Errorf("reversed is not %s", kind)
		}
	}
}

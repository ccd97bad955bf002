package logbook

import (
	"strings"
	"testing"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
)

// The day of the stock as remarks tell it, in a row of 9 May 2026; "-" where they tell none, "row" where it is that of the row.
func TestDayOfStockInRemarks(t *testing.T) {
	for said, want := range map[string]string{
		"new stock 3 May":                                  "2026-05-03",
		"new stock made 3rd of May":                        "2026-05-03",
		"fresh alum solution, May 8":                       "2026-05-08",
		"stock made 2026-05-01":                            "2026-05-01",
		"new batch made 4/5":                               "2026-05-04", // 5 April is the older of the two
		"new batch made 12/20":                             "2025-12-20",
		"new stock of 28.4.":                               "2026-04-28",
		"stock from 28 April still in use":                 "2026-04-28",
		"Neue Stammlösung angesetzt am 2. Mai":             "2026-05-02",
		"solution fraîche du 6 mai":                        "2026-05-06",
		"solución nueva 5 de mayo":                         "2026-05-05",
		"verse oplossing aangemaakt op 7 mei 2026":         "2026-05-07",
		"new stock":                                        "row",
		"refilled the tank":                                "row",
		"frische Lösung angesetzt":                         "row",
		"refilled tank 1/2":                                "row",
		"new stock 2.5 %":                                  "row",
		"fresh stock 3 g/L, tank at 12":                    "row",
		"new stock 20 May":                                 "row", // not yet
		"order new drum 3 May":                             "-",
		"need fresh stock":                                 "-",
		"no new stock yet":                                 "-",
		"new tube in the pump, and the stock is as before": "-",
		"tube changed 3 May":                               "-",
		"stock low":                                        "-",
		"keine neue Lösung":                                "-",
	} {
		l := read(t, "log.csv", "Date,Stock used (L),Water treated (m3),Remark\n2026-05-09,4,10,\""+said+"\"\n")
		e, got := l.Entries[0], "-"
		switch {
		case e.Made.OK:
			got = e.Made.V.String()
		case e.Fresh:
			got = "row"
		}
		if got != want {
			t.Errorf("%q: %s, want %s", said, got, want)
		}
	}
}

// The same in a column of its own and in a line above; a cell that is neither speaks, and a volume is stock made.
func TestDayOfStockInColumns(t *testing.T) {
	for _, x := range []struct{ text, want, notes string }{
		{"Date,Stock made,Stock used (L),Water treated (m3)\n2026-05-08,3 May,4,10\n2026-05-09,,4,10\n", "2026-05-03", ""},
		{"Date,Fresh stock,Stock used (L),Water treated (m3)\n2026-05-08,x,4,10\n2026-05-09,,4,10\n", "2026-05-08", ""},
		{"Date,Fresh stock,Stock used (L),Water treated (m3)\n2026-05-08,no,4,10\n2026-05-09,maybe,4,10\n", "-", "cell-not-used@B3"},
		{"Date,Stock made,Stock used (L),Water treated (m3)\n2026-05-08,30 L,4,10\n2026-05-09,,4,10\n", "2026-05-08", ""},
		{"Date,Stock made (L),Stock used (L),Water treated (m3)\n2026-05-08,30,4,10\n2026-05-09,,4,10\n", "2026-05-08", ""},
		{"\"Alum stock made 1 May 2026, keeps 14 days\"\nDate,Stock used (L),Water treated (m3)\n2026-05-08,4,10\n2026-05-09,4,10\n", "2026-05-01 keeps 14 d", ""},
		{"\"Stock made 9 May 2026, keeps 14 days\"\nDate,Stock used (L),Water treated (m3)\n2026-05-08,4,10\n2026-05-09,4,10\n", "2026-05-09 keeps 14 d", ""},
		{"Stock made 2026-05-09,keeps 14 days\nDate,Stock used (L),Water treated (m3)\n2026-05-08,4,10\n2026-05-10,4,10\n", "2026-05-09 keeps 14 d", ""},
		{"Stock made 12 May 2026\nDate,Stock used (L),Water treated (m3)\n2026-05-08,4,10\n2026-05-10,4,10\n", "-", "stock-day@A1"},
		{"Vorratsbehälter 60 L, Lösung haltbar 2 Wochen\nDatum;Stammlösung angesetzt;Verbrauch (L);Wassermenge (m3)\n08.05.2026;x;4;10\n", "2026-05-08 keeps 14 d", "stock-or-product@C2"},
		{"Datum;Stammlösung angesetzt;Verbrauch (L);Wassermenge (m3)\n08.05.2026;02.05.2026;4;10\n09.05.2026;;4;10\n", "2026-05-02", "stock-or-product@C1"},
	} {
		j := Judge(read(t, "log.csv", x.text), tenth, nil)
		got := "-"
		if day, ok := j.Made(); ok {
			got = day.String()
		}
		if j.Plan.Keeps.OK {
			got += " keeps " + j.Plan.Keeps.V.String()
		}
		if got != x.want {
			t.Errorf("%q: %q, want %q", x.text, got, x.want)
		}
		if got := strings.Join(codes(j.Notes), " "); got != x.notes {
			t.Errorf("%q: notes %q, want %q", x.text, got, x.notes)
		}
	}
}

// Stock of 3 May that keeps a week is too old from 10 May on, and by 13 May by 3 days of 7; the row that tells its day is of 5 May.
func TestStockOlderThanItKeepsByItsRemark(t *testing.T) {
	text := "Date,Stock used (L),Water treated (m3),Remark\n"
	for d := range 13 {
		said := ""
		if d == 4 {
			said = "new stock 3 May"
		}
		text += month.Date{Year: 2026, Month: 5, Day: 1 + d}.String() + ",4,10," + said + "\n"
	}
	keeps := tenth
	keeps.Keeps = quantity.Some(quantity.Time(7 * 24))
	d, ok := driftOf(Judge(read(t, "log.csv", text), keeps, nil), "stock")
	if !ok || d.Advice != MakeFresh || d.Since.String() != "2026-05-10" || d.Reason.String() != "it is older than it keeps: made on Sun 3 May 2026, it is good for 7 d" || d.Seen.String() != "2026-05-13" {
		t.Errorf("%+v %s", d, d.Reason)
	}
	near(t, "over its time", float64(d.Size), 3.0/7)
}

// Worse water whose stock has an age, of a log without a site: the reason tells the day, as nobody knows how long it keeps.
func TestWorseWaterNamesTheDayOfItsStock(t *testing.T) {
	d, ok := driftOf(Judge(worse(t, false, "fresh stock made"), Plan{}, nil), "treated water")
	want := "of the same raw water about 50 % more is left than in the log's first weeks, and the dose is fed as before, so the water, the stock or the meter has changed; the stock was made on " + saidDay(20) + ", 10 d before, and nobody says how long it keeps: make it anew first"
	if !ok || d.Advice != TestAgain || d.Reason.String() != want {
		t.Errorf("%+v %s", d, d.Reason)
	}
}

// Headings of logs in the languages of the vocabulary: the same two days, 50 and 48 NTU, 5 and 4.5 NTU, 4 L in 10 m3.
func TestLogsOfOtherLanguages(t *testing.T) {
	want := "03-01 raw50 out5 use4 m3=10; 03-14 raw48 out4.5 use4.1 m3=11; "
	pump := "03-01 raw50 out5 set35 lev100 q3.6; 03-14 raw48 out4.5 set35 lev78 q3.6 fresh; "
	for _, x := range []struct{ heading, remark, want string }{
		{"Date;Source water NTU;Finished NTU;Stock used (L);Water treated (m3)", "", want},
		{"Datum;Rohwasser (NTU);Reinwasser (NTU);Verbrauch (L);Wassermenge (m³)", "", want},
		{"Datum;Trübung Zulauf (NTU);Trübung Ablauf (NTU);Stammlösung Verbrauch (L);behandeltes Wasser (m3)", "", want},
		{"Date;Turbidité eau brute (NTU);Turbidité eau traitée (NTU);Consommation (L);Volume d'eau (m3)", "", want},
		{"Fecha;Turbidez agua cruda (NTU);Turbidez agua tratada (NTU);Consumo (L);Volumen de agua (m3)", "", want},
		{"Data;Turbidez água bruta (NTU);Turbidez água tratada (NTU);Consumo (L);Volume de água (m3)", "", want},
		{"Data;Torbidità ingresso (NTU);Torbidità uscita (NTU);Consumo (L);Volume acqua (m3)", "", want},
		{"Datum;Troebelheid ruw (NTU);Troebelheid behandeld (NTU);Verbruik (L);Waterhoeveelheid (m3)", "", want},
		{"Datum;Råvatten (NTU);Behandlat (NTU);Förbrukning (L);Vattenmängd (m3)", "", want},
		{"Dato;Råvand (NTU);Behandlet (NTU);Forbrug (L);Vandmængde (m3)", "", want},
		{"Data;Mętność wody surowej (NTU);Mętność wody oczyszczonej (NTU);Zużycie (L);Objętość wody (m3)", "", want},
		{"Päivämäärä;Raakavesi (NTU);Käsitelty (NTU);Kulutus (L);Vesimäärä (m3)", "", want},
		{"Datum;Zulauf (NTU);Ablauf (NTU);Pumpeneinstellung (%);Füllstand (L);Durchfluss (m3/h);Bemerkung", "frische Lösung angesetzt", pump},
		{"Date;Entrée (NTU);Sortie (NTU);Réglage pompe (%);Niveau cuve (L);Débit (m3/h);Remarques", "nouvelle solution préparée", pump},
		{"Fecha;Entrada (NTU);Salida (NTU);Ajuste bomba (%);Nivel tanque (L);Caudal (m3/h);Observaciones", "solución nueva", pump},
		{"Data;Entrada (NTU);Saída (NTU);Regulagem bomba (%);Nível tanque (L);Vazão (m3/h);Observações", "solução nova", pump},
		{"Data;Ingresso (NTU);Uscita (NTU);Regolazione pompa (%);Livello serbatoio (L);Portata (m3/h);Osservazioni", "soluzione fresca", pump},
		{"Datum;Ingaand (NTU);Uitgaand (NTU);Pompinstelling (%);Niveau vat (L);Debiet (m3/h);Opmerking", "verse oplossing", pump},
	} {
		first, second := "01.03.2026;50;5;4;10", "14.03.2026;48;4,5;4,1;11"
		if x.want == pump {
			first, second = "01.03.2026;50;5;35;100;3,6;", "14.03.2026;48;4,5;35;78;3,6;"+x.remark
		}
		l, err := Read("log.csv", strings.NewReader(x.heading+"\n"+first+"\n"+second+"\n"))
		if err != nil {
			t.Errorf("%s: %v", x.heading, err)
			continue
		}
		if got := seen(l); got != x.want {
			t.Errorf("%s:\n  %s\n  want\n  %s", x.heading, got, x.want)
		}
		if got := codes(l.Notes); len(got) > 0 {
			t.Errorf("%s: notes %v", x.heading, got)
		}
	}
}

// Every row of the vocabulary is folded, as it is compared, and no kind says a word twice in one language.
func TestVocabularyIsFolded(t *testing.T) {
	for kind, l := range vocabulary() {
		for _, w := range l {
			if bare := strings.TrimSuffix(w, "*"); !l.in(bare) {
				t.Errorf("%s: %q is not found as it stands", kind, w)
			}
		}
	}
}

// Days as people of several languages write them: all are 2 March 2026, a Monday.
func TestDaysOfOtherLanguages(t *testing.T) {
	for _, day := range []string{"2. März 2026", "Mo 2.3.2026", "Montag, 02.03.2026", "lun. 2 mars 2026", "2 de marzo de 2026", "2 marzo 2026", "ma 2 maart 2026", "2-Mar-2026", "Mon 2 March 2026", "2nd March 2026", "2 mars 2026"} {
		l, err := Read("log.csv", strings.NewReader("Date;Stock used (L);Water treated (m3)\n"+day+";4;10\n"))
		if err != nil || len(l.Entries) != 1 || l.Entries[0].Day().String() != "2026-03-02" {
			t.Errorf("%q: %+v %v %v", day, l.Entries, l.Notes, err)
		}
	}
}

// New stock on the day on which more is left is what to look at first.
func TestNewStockIsLookedAtFirst(t *testing.T) {
	l := worse(t, false, "")
	l.Entries[30].Fresh = true
	d, ok := driftOf(Judge(l, tenth, nil), "treated water")
	want := "and the dose is fed as before, so the water, the stock or the meter has changed; new stock was made on " + saidDay(30) + ": look first whether it was made up right"
	if !ok || d.Advice != TestAgain || !strings.HasSuffix(d.Reason.String(), want) {
		t.Errorf("%+v %s", d, d.Reason)
	}
}

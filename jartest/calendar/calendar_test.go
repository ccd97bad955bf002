package calendar

import (
	"testing"
	"time"

	"jarwright/jartest/words"
)

func written(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.Format(time.DateOnly)
}

// Days as sheets write them: the forms are those of ISO 8601 and of the languages' own use, from memory.
func TestRead(t *testing.T) {
	for text, want := range map[string][2]string{
		"2026-03-02": {"2026-03-02", "2026-03-02"}, "2026/3/2": {"2026-03-02", "2026-03-02"}, "20260302": {"2026-03-02", "2026-03-02"},
		"2026-03-02T08:15": {"2026-03-02", "2026-03-02"}, "2026-03-02 08:15:30": {"2026-03-02", "2026-03-02"},
		"2 March 2026": {"2026-03-02", "2026-03-02"}, "Mon, 2 Mar 2026": {"2026-03-02", "2026-03-02"}, "March 2, 2026": {"2026-03-02", "2026-03-02"},
		"Monday, March 2, 2026": {"2026-03-02", "2026-03-02"}, "2nd of March 2026": {"2026-03-02", "2026-03-02"}, "2-Jan-06": {"2006-01-02", "2006-01-02"},
		"3. März 2026": {"2026-03-03", "2026-03-03"}, "lundi 3 août 2025": {"2025-08-03", "2025-08-03"}, "3 de mayo de 2025": {"2025-05-03", "2025-05-03"},
		"17 мая 25": {"2025-05-17", "2025-05-17"}, "10 сент. 2025": {"2025-09-10", "2025-09-10"}, "5 października 2025": {"2025-10-05", "2025-10-05"},
		"12 Ağustos 2025": {"2025-08-12", "2025-08-12"}, "3 μαρτίου 2025": {"2025-03-03", "2025-03-03"}, "2025年3月10日": {"2025-03-10", "2025-03-10"}, "2025년 3월 10일": {"2025-03-10", "2025-03-10"},
		"17.03.2026": {"2026-03-17", "-"}, "3/17/2026": {"-", "2026-03-17"}, "02/03/2026": {"2026-03-02", "2026-02-03"}, "04/04/2026 6:30": {"2026-04-04", "2026-04-04"},
		"31/02/2026": {"-", "-"}, "30 February 2026": {"-", "-"}, "Tuesday": {"-", "-"}, "3 červ 2025": {"-", "-"}, "3 March": {"-", "-"}, "12 NTU 2026": {"-", "-"}, "": {"-", "-"},
	} {
		w := Read(text)
		if got := [2]string{written(w.DayFirst), written(w.MonthFirst)}; got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
		one := "-"
		if want[0] == want[1] || want[1] == "-" {
			one = want[0]
		} else if want[0] == "-" {
			one = want[1]
		}
		if got := written(w.One()); got != one || w.Two() != (want[0] != "-" && want[1] != "-" && want[0] != want[1]) {
			t.Errorf("%q: one day %s, want %s; two ways %v", text, got, one, w.Two())
		}
	}
}

// TestPlain: what is written for people becomes a day in numbers with its clock time, and what is none stays.
func TestPlain(t *testing.T) {
	for text, want := range map[string]string{
		"Mon 2 March 2026 06:30": "2026-03-02 06:30", "March 2, 2026": "2026-03-02", "2. Mai 2026": "2026-05-02", "Mo 02.03.2026": "02.03.2026", "2026-03-02T08:15": "2026-03-02 08:15",
		"06:30": "06:30", "4.5": "4.5", "": "", "45123": "45123", "31 February 2026": "31 February 2026",
	} {
		if got := Plain(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestMonth: every month by every name that the table has for it; cut short where it can be no other.
func TestMonth(t *testing.T) {
	if n := len(Names()); n < 150 {
		t.Errorf("%d names", n)
	}
	for word, want := range map[string]time.Month{"jan": 1, "gen": 1, "márc": 3, "mai": 5, "juin": 6, "juillet": 7, "červenc": 7, "octob": 10, "листопада": 11, "листоп": 11,
		"cer": 0, "jui": 0, "ma": 0, "ju": 0, "mayb": 0, "maybe": 0, "": 0, "stock": 0} {
		if got := Month(words.Fold(word), 3); got != want {
			t.Errorf("%q: %v, want %v", word, got, want)
		}
	}
	if Month("octo", 5) != 0 || Month("oct", 5) != 10 {
		t.Error("a name is cut shorter than allowed, or one that is usual is not known")
	}
}

// TestSaid: the day that a sentence of 9 May 2026 tells of: the latest of those that it can mean, and none behind that day.
func TestSaid(t *testing.T) {
	on := time.Date(2026, 5, 9, 0, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"made 3 May": "2026-05-03", "made 20 December": "2025-12-20", "made 20 May": "-", "made 20 May 2025": "2025-05-20", "made 3 May 2020": "2020-05-03",
		"2026-05-01": "2026-05-01", "of 4/5": "2026-05-04", "tank 1/2": "-", "batch 12/20": "2025-12-20", "28.4. made": "2026-04-28",
		"LED 3 blinks": "-", "set 3 on": "-", "2.5 %": "-", "may 8": "2026-05-08", "Octo 3": "-", "9 May": "2026-05-09",
	} {
		day, ok := Said(text, on, false)
		if written(day) != want || ok != (want != "-") {
			t.Errorf("%q: %s, want %s", text, written(day), want)
		}
	}
	if day, _ := Said("1/2", on, true); written(day) != "2026-02-01" {
		t.Errorf("a cell of its own: %s", written(day))
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"2026-03-02", "2 March 2026", "02/03/2026", "Mon, 2 Mar 2026 06:00", "2025年3月10日"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w := Read(s)
		if d := w.One(); !d.IsZero() {
			if again := Read(d.Format(time.DateOnly)).One(); !again.Equal(d) && d.Year() > 999 && d.Year() < 10000 {
				t.Errorf("%q: %s, and that reads %s", s, written(d), written(again))
			}
		}
		Said(s, time.Date(2026, 5, 9, 0, 0, 0, 0, time.UTC), true)
	})
}

package layout

import (
	"testing"

	"jarwright/jartest/words"
)

func TestDatesOfManyLanguages(t *testing.T) {
	for text, want := range map[string]bool{
		"3 марта": true, "10 сент. 2025": true, "17 мая 25": true, "3 березня": true, "5 października": true, "12 Ağustos": true, "3 de mayo de 2025": true,
		"1 août": true, "3. März": true, "9 Mai": true, "3 μαρτίου": true, "3月10日": true, "2025年3月10日": true, "3 Mar": true, "4 mei 2024": true,
		"3 мин": false, "5 марганца": false, "марта": false, "3 ма": false, "31 NTU": false, "3 сульфат": false, "5 drops": false, "10月": false, "3 marte x": false,
		"3 марта 5": false,
	} {
		if got := IsDate(words.Fold(text)); got != want {
			t.Errorf("%q is a date: %v", text, got)
		}
	}
}

// TestMonthsApart: names of months that begin alike are told apart, short forms are not.
func TestMonthsApart(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"12 juin", "12 juillet", false}, {"12 mars", "12 mai", false}, {"12 мая", "12 марта", false},
		{"12 juil", "12 juillet", true}, {"12 mar", "12 march", true}, {"3 sept", "3 september", true},
	} {
		if got := SameDay(c.a, c.b); got != c.same {
			t.Errorf("%q and %q: one day %v", c.a, c.b, got)
		}
	}
}

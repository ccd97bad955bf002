package words

import "testing"

func BenchmarkVocabulary(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		readVocabulary(wordsCSV, true)
	}
}

func BenchmarkVocabularyOfEveryAlphabet(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		readVocabulary(wordsCSV, false)
	}
}

func BenchmarkUnitTables(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		readTables(true)
	}
}

// BenchmarkNear looks up words that no table holds, each for the first time.
func BenchmarkNear(b *testing.B) {
	v := latin()
	w := []byte("trbidityaa")
	for b.Loop() {
		for i := len(w) - 1; ; i-- {
			if w[i]++; w[i] <= 'z' {
				break
			}
			w[i] = 'a'
		}
		v.near(string(w))
	}
}

func BenchmarkUnits(b *testing.B) {
	for b.Loop() {
		units("Raw water alkalinity 45 mg/L as CaCO3, 1 mL of stock = 10 mg, jars 2 L")
	}
}

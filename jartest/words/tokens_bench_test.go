package words

import "testing"

// BenchmarkTokensAgain takes a text apart that was seen before, as each list of words that is looked for in it does.
func BenchmarkTokensAgain(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Tokens("raw water alkalinity 45 mg/l as caco3, 1 ml of stock = 10 mg, jars 2 l")
	}
}

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestPricesNameTheirCell: a price in another currency than the rest, or per what no product is sold by, is told with its cell by every
// command that adds up money.
func TestPricesNameTheirCell(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("testdata/figures/carp.yaml")
	if err != nil {
		t.Fatal(err)
	}
	bench, err := filepath.Abs("testdata/figures/carp-bench.csv")
	if err != nil {
		t.Fatal(err)
	}
	const two, per = "prices are in USD and in EUR", "price 0.38 USD/kWh is not a price of a product"
	for _, x := range []struct{ was, is, says string }{
		{`"0.13 USD/kWh"`, `"0.13 EUR/kWh"`, two}, {`"40 USD"`, `"40 EUR"`, two}, {`"0.38 USD/lb"`, `"0.38 EUR/lb"`, two}, {`"0.38 USD/lb"`, `"0.38 USD/kWh"`, per},
	} {
		before, _, found := strings.Cut(string(text), x.was)
		if !found {
			t.Fatalf("no %s", x.was)
		}
		line := strings.Count(before, "\n") + 1
		column := len(before) - strings.LastIndex(before, "\n")
		file := filepath.Join(t.TempDir(), "site.yaml")
		write(t, file, []byte(strings.Replace(string(text), x.was, x.is, 1)))
		for _, args := range [][]string{{"budget", file}, {"plan", file}, {"compare", bench, "--target", "turbidity <= 5 NTU", "--site", file}} {
			out, errs, _ := program(t, args...)
			all := strings.Join(strings.Fields(out+errs), " ")
			// a note of an answer begins with a capital, an error behind its place does not
			if where := fmt.Sprintf("line %d, column %d", line, column); !strings.Contains(strings.ToLower(all), strings.ToLower(x.says)) || !strings.Contains(all, where) {
				t.Errorf("%s, %s: %q at %s is not told:\n%s", args[0], x.is, x.says, where, errs)
			}
		}
	}
}

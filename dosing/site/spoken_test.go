package site

import (
	"strings"
	"testing"
)

// TestWordsOfFarms: a stream is water that goes once through, and what is called undiluted is fed as it is; the site keeps the word, so
// that it can be answered in it. What goes round is no stream, and another word for the same product leaves no word to answer in.
func TestWordsOfFarms(t *testing.T) {
	for _, x := range []struct {
		passes, stock    string
		want             string
		stream, straight bool
	}{
		{"stream", "undiluted", OnceThrough, true, true},
		{"Stream", "Undiluted", OnceThrough, true, true},
		{"flow-through", "neat", OnceThrough, false, false},
		{"once through", "as delivered", OnceThrough, false, false},
		{"recirculating", "undiluted", Recirculating, false, true},
	} {
		s, err := Read("site.yaml", strings.NewReader("place: {name: farm, purpose: other, water_passes: "+x.passes+"}\n"+
			"chemicals: [{name: alum, basis: as product, stock: "+x.stock+"}, {name: lime, basis: as product, stock: made up}]\n"+
			"stocks: [{name: made up, product_in_stock: "+x.stock+"}]\n"))
		if err != nil {
			t.Fatal(err)
		}
		c, k := s.Chemicals[0], s.Stocks[0]
		if s.Place.Passes.V != x.want || s.Place.Stream != x.stream || c.Stock.OK || c.Undiluted != x.straight || k.Product.OK || k.Undiluted != x.straight {
			t.Errorf("%+v: %+v %+v %+v", x, s.Place, c.Stock, k)
		}
	}
	if _, err := Read("site.yaml", strings.NewReader("place: {water_passes: river}")); err == nil || !strings.Contains(err.Error(), "use once through") {
		t.Errorf("a river may be either: %v", err)
	}
	for text, ok := range map[string]bool{"1.200 m3": false, "12.500 m3": false, "1.2 m3": true, "1.234 m3": true, "0.500 m3": true, "1200 L": true} {
		if _, err := Read("site.yaml", strings.NewReader("tanks: [{name: drum, volume: "+text+"}]")); strings.Contains(err.Error(), "may part thousands or decimals") == ok { // which lacks a place too
			t.Errorf("%s: %v", text, err)
		}
	}
}

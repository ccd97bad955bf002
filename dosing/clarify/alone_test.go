package clarify

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestAloneIsPouredHourByHour: a tank left alone, followed in steps of a second as C' = s + x (X - C)/V, with and without new water.
func TestAloneIsPouredHourByHour(t *testing.T) {
	for _, x := range []struct{ volume, rise, exchange, reads, from float64 }{
		{60, 0.4, 0, 0, 5}, {14, 0.1, 0.5, 12, 8}, {30, 0, 2, 40, 5}, {30, 1.5, 0.15, 0, 8},
	} {
		k := Tank{Volume: quantity.Volume(x.volume * 1000), Rise: x.rise, Exchange: quantity.Flow(x.exchange), New: x.reads, Flow: 7}
		c := x.from
		const steps = 86400
		for range steps {
			c += (x.rise + x.exchange*(x.reads-c)/x.volume) * 24 / steps
		}
		if got := k.Alone(x.from, 24); math.Abs(got-c) > 1e-4*c {
			t.Errorf("%+v: %g, poured %g", x, got, c)
		}
	}
}

package templates

import (
	"jarwright/dosing"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// kinderData sets what the jars had beside what the plant has, but for mixing; nil where nothing is known of both.
func kinderData(k dosing.Kinder) *figure.Object {
	o := figure.New()
	beside(o, "settling", k.Rate, "m/h", 3)
	if o.Has("settling") {
		o.Sub("settling").Put(figure.Of("depth", k.Depth, "m", 3), figure.Of("after", k.After, "min", 3))
	}
	beside(o, "temperature", k.Temperature, "C", 2)
	beside(o, "white_water", k.White, "%", 2)
	if !o.Has("settling") && !o.Has("temperature") && !o.Has("white_water") {
		return nil
	}
	return o
}

func beside[T interface {
	~float64
	quantity.Quantity
}](o *figure.Object, key string, x quantity.Known[dosing.Beside[T]], unit string, digits int) {
	if x.OK {
		o.Part(key, figure.New(figure.Of("bench", x.V.Bench, unit, digits).In(figure.Full),
			figure.Of("plant", x.V.Plant, unit, digits).In(figure.Full)).Set("kinder", x.V.Kinder))
	}
}

// kinderFacts show it, below how both are mixed.
func kinderFacts(d *figure.Object) (l facts) {
	for _, x := range [...][2]string{{"settling", "Settling"}, {"temperature", "Temperature"}, {"white_water", "White water in jars"}} {
		s := d.Sub(x[0])
		if !s.Has("bench") {
			continue
		}
		l.add(x[1], figure.Say("jar %s", s.Fig("bench")).If(s.Has("after"), ", drawn %s deep after %s", s.Fig("depth"), s.Fig("after")).
			And("; plant %s", s.Fig("plant")).If(s.Get("kinder") == true, ": the jar has it easier"))
	}
	return l
}

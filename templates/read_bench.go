package templates

import (
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// protocolData is how the jars of a series were stirred, sampled and floated; nil where nothing says.
func protocolData(s jartest.Series) *figure.Object {
	p := s.Protocol
	if !p.Told() && s.Recycle <= 0 {
		return nil
	}
	o := figure.New().Part("rapid", stirData(p.Rapid)).Some("slow", objects(p.Slow, stirData))
	return o.Put(figure.Of("settled_for", p.Settle.V, "min", 4).If(p.Settle.OK), figure.Of("sampled_at", p.Depth.V, "m", 4).If(p.Depth.OK),
		figure.Of("white_water", s.Recycle, "%", 4).If(s.Recycle > 0))
}

// stirData is one stage of stirring; nil where nothing is known of it.
func stirData(x jartest.Stir) *figure.Object {
	if x == (jartest.Stir{}) {
		return nil
	}
	return figure.New(figure.Of("speed", x.Speed.V, "rpm", 4).If(x.Speed.OK), figure.Of("time", x.Time.V, "min", 4).If(x.Time.OK))
}

// protocolFacts say the same in words.
func protocolFacts(s jartest.Series) (l facts) {
	d := protocolData(s)
	if d == nil {
		return nil
	}
	var stages []any
	stage := func(x *figure.Object, name string) {
		stages = append(stages, figure.Say("%s", name).If(x.Has("speed"), " at %s", x.Fig("speed")).If(x.Has("time"), " for %s", x.Fig("time")))
	}
	if d.Has("rapid") {
		stage(d.Sub("rapid"), "rapid mix")
	}
	for _, x := range d.Objects("slow") {
		stage(x, "slow mix")
	}
	l.when(len(stages) > 0, "stirred", figure.And(", ", stages...))
	l.when(d.Has("settled_for") || d.Has("sampled_at"), "sampled", figure.Say("").If(d.Has("settled_for"), "after %s", d.Fig("settled_for")).
		If(d.Has("settled_for") && d.Has("sampled_at"), ", ").If(d.Has("sampled_at"), "%s below the surface", d.Fig("sampled_at")))
	l.when(s.Recycle > 0, "white water", figure.Say("%s of the raw water in a jar; readings are worked out without it", quantity.To(s.Recycle, 4)))
	return l
}

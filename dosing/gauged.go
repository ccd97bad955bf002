package dosing

import (
	"jarwright/dosing/gauge"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// gauged turns what a tank's readings say by a tube or a cone into those of a meter, with the scale by which that is done:
// the turbidity of a tube, and the suspended solids of a cone whose pairs are given.
func gauged(u site.Solids) (site.Solids, *gauge.Scale, note.List) {
	g := u.Gauges()
	var scale *gauge.Scale
	var errs note.List
	turn := func(r *quantity.Known[site.Reading], ends bool) {
		s := g.For(r.V.Key)
		if !r.OK || s == nil {
			return
		}
		v, key, err := g.Read(r.V.V, r.V.Key)
		switch {
		case err != nil:
			errs = append(errs, note.Of(err, "gauge")[0].At(r.At))
		case ends && s.Key == gauge.Tube && v < gauge.LeastByTube:
			errs.Add(note.Fault("tube-too-clear", "%s cm in the tube is about %s NTU: below %s NTU a tube does not tell when to stop", quantity.Number(r.V.V),
				quantity.To(quantity.Number(v), 2), quantity.Number(gauge.LeastByTube)).At(r.At).Do("read it with a meter, or clear the tank to a muddier reading"))
		}
		scale, r.V = s, site.Reading{V: v, Key: key}
	}
	if s := g.For(u.Rise.V.Key); s != nil && u.Rise.OK { // a change, where the tank is then to be
		at := u.HoldAt
		if !at.OK {
			at = u.TankStop
		}
		slope := s.Slope(at.V.V)
		if at.V.Key != s.Key || !quantity.Finite(quantity.Number(slope)) {
			errs.Add(note.Fault("bad-rise", "a rise by the cone is told where the reading to stop at or to hold is one of the cone too").At(u.Rise.At).
				Do("use one unit for all readings"))
		}
		u.Rise.V = site.Reading{V: u.Rise.V.V * slope, Key: s.Reads}
	}
	turn(&u.TankStart, false)
	turn(&u.TankStop, true)
	turn(&u.HoldAt, true)
	turn(&u.Outlet, false)
	return u, scale, errs
}

// byChart says how far a tube is good that nobody set against a meter.
func byChart(u site.Solids, scale *gauge.Scale) (l note.List) {
	if scale == nil || !scale.Chart {
		return nil
	}
	for _, r := range []quantity.Known[site.Reading]{u.TankStart, u.TankStop, u.HoldAt} {
		if r.OK && r.V.Key == gauge.Tube {
			v, _ := scale.Reading(r.V.V)
			ntu := func(by quantity.Fraction) quantity.Rounded { return quantity.To(quantity.Number(v*float64(1+by)), 2) }
			l.Add(note.New(note.Info, "tube-by-chart", "%s cm in the tube is %s to %s NTU by a chart: observers, humic colour and algae move it so far", quantity.Number(r.V.V),
				ntu(-gauge.Doubt), ntu(gauge.Doubt)).At(r.At).Do(`give "tube pairs", cm with NTU of a meter in the same water`).
				From("chart of Utah State University extension, Utah Water Watch"))
			break
		}
	}
	return l
}

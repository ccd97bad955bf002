package month

import (
	"jarwright/dosing"
	"jarwright/dosing/solids"
)

// brings is what comes into a site's bin on the n-th day after a date, each as its row of the calendar has it: nothing on a closed one. It is
// false of a day on which a tank is cleaned up, or that cannot be planned; nil where no row tells days apart, or there is no bin.
func (c *course) brings(on Date) func(n int) (solids.Coming, bool) {
	if len(c.site.Calendar) == 0 || !c.site.Solids.Bin.OK || dosing.CleansTank(c.site) {
		return nil
	}
	type coming struct {
		solids.Coming
		known bool
	}
	done := map[dayKind]coming{}
	return func(n int) (solids.Coming, bool) {
		d := on.AddDays(n)
		if closedOn(c.site, d) != nil {
			return solids.Coming{}, true
		}
		k := c.kind(d)
		x, ok := done[k]
		if !ok {
			if p, in, ok := c.onDay(d, nil, nil); ok && in != nil {
				x = coming{solids.Coming{Day: p.Day, Load: in.Load}, true}
			}
			done[k] = x
		}
		return x.Coming, x.known
	}
}

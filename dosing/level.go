package dosing

import "jarwright/jartest/quantity"

// Level is what should stand, usable, in the tank that a feed draws from at a time of the list, in clock hours of the
// plan's day; false without a tank or batches.
func (p Plan) Level(f Feed, t quantity.Time) (quantity.Volume, bool) { return p.levelOn(f, t) }

package engine

// Partner is the curve of cloud i that goes with curve k of the first: readings
// scatter independently, so the curves are paired at random, always alike.
func Partner(i, k, n int) int {
	if i == 0 {
		return k
	}
	return (k*131 + 17*i) % n
}

// Joint tells of several readings' surfaces together where all their goals are met.
type Joint struct {
	// Grid is the cloud whose crossings the margins stand at.
	Grid *Cloud
	// Margin is, by node and then by surface, how far the surface is from meeting
	// its hardest goal there: zero or less is met.
	Margin [][]float32
}

// Join pairs the surfaces of several readings; levels gives for each reading and
// surface what it must get down to.
func Join(clouds []*Cloud, levels [][]float64) *Joint {
	j := &Joint{Grid: clouds[0], Margin: make([][]float32, clouds[0].Nodes())}
	n := len(j.Grid.F)
	for at := range j.Margin {
		worst := make([]float32, n)
		for k, f := range j.Grid.F {
			worst[k] = float32(f[at] - levels[0][k])
		}
		for i := 1; i < len(clouds); i++ {
			c := clouds[i]
			cell := c.Cell(j.Grid.Node(at))
			for k := range worst {
				row := Partner(i, k, n)
				worst[k] = max(worst[k], float32(cell.Of(c.F[row])-levels[i][row]))
			}
		}
		j.Margin[at] = worst
	}
	return j
}

// Met is the share of surfaces that meet every goal at a place: the confidence
// that what half of all jars would show there meets it.
func (j *Joint) Met(p Point) float64 {
	cell := j.Grid.Cell(p)
	s := [4]float32{float32(cell.Share[0]), float32(cell.Share[1]), float32(cell.Share[2]), float32(cell.Share[3])}
	a, b, c, d := j.Margin[cell.Node[0]], j.Margin[cell.Node[1]], j.Margin[cell.Node[2]], j.Margin[cell.Node[3]]
	n := 0
	for k, v := range a {
		if s[0]*v+s[1]*b[k]+s[2]*c[k]+s[3]*d[k] <= 0 {
			n++
		}
	}
	return float64(n) / float64(len(a))
}

package flow

import (
	"time"

	"jarwright/jartest/quantity"
)

// What a log holds, for tests to look at.

// Point is one reading and how long it stands.
type Point struct {
	At   time.Time
	Flow quantity.Flow
	For  quantity.Time
}

func (l Log) Len() int { return len(l.points) }

func (l Log) Point(i int) Point {
	return Point{wall(l.points[i].at), quantity.Flow(l.points[i].flow), quantity.Time(l.span(i))}
}

func (l Log) Gaps() []Gap { return l.gaps }

func (l Log) Step() quantity.Time { return quantity.Time(float64(l.step) / ms) }

func (l Log) First() time.Time {
	if len(l.points) == 0 {
		return time.Time{}
	}
	return wall(l.points[0].at)
}

func (l Log) Last() time.Time {
	n := len(l.points)
	if n == 0 {
		return time.Time{}
	}
	return wall(l.points[n-1].at + int64(l.span(n-1)*ms))
}

func (l Log) Covered() quantity.Time {
	t := 0.0
	for i := range l.points {
		t += l.span(i)
	}
	return quantity.Time(t)
}

func (l Log) Volume() quantity.Volume {
	v := 0.0
	for i, p := range l.points {
		if s := l.span(i); s > 0 {
			v += p.flow * s
		}
	}
	return quantity.Volume(v * 1000)
}

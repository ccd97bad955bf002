package month

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
)

// TestCourseKeepsDaysApart: a day planned after others of the same calendar has the list that it has when it is planned alone, and so have the
// needs that it tells the day before: what a course keeps of one day is taken for none that differs.
func TestCourseKeepsDaysApart(t *testing.T) {
	g, days := dosing.Given{Catalogue: product.Default()}, 0
	for n := range 30 {
		s := chainSite(rand.New(rand.NewPCG(uint64(n), 11)))
		if n%2 == 1 {
			s.Calendar = append(s.Calendar, weekdays()...)
		}
		all := newCourse(s, g)
		for day := 1; day < 22; day++ {
			d, one := Date{2026, 6, day}, newCourse(s, g)
			p, _, ok := all.onDay(d, nil, all.morning(d))
			q, _, alone := one.onDay(d, nil, one.morning(d))
			if ok != alone || !reflect.DeepEqual(p.Tasks, q.Tasks) || !reflect.DeepEqual(p.Next, q.Next) || p.Rest != q.Rest || p.Treated != q.Treated {
				t.Fatalf("site %d %v, %v: %v is not %v", n, rowsOf(s), d, p.Tasks, q.Tasks)
			}
			if days++; len(p.Tasks) == 0 && ok {
				t.Fatalf("site %d, %v: nothing to do", n, d)
			}
		}
	}
	if days != 30*21 {
		t.Errorf("%d days", days)
	}
}

package jartest

import (
	"slices"
	"testing"
)

func TestReadings(t *testing.T) {
	var l Readings
	l.Set(PH, Num(7, ""))
	l.Set(Turbidity, Num(5, "NTU"))
	l.Set(PH, Num(6.5, ""))
	if len(l) != 2 || l[0].Key != PH || l.Of(PH).Value != 6.5 || l.Of(Turbidity).Value != 5 {
		t.Errorf("got %v", l)
	}
	if r, ok := l.Get(Turbidity); !ok || r.Value != 5 {
		t.Errorf("got %v, %v", r, ok)
	}
	if r, ok := l.Get(Colour); ok || r.State != Missing || l.Of(Colour).State != Missing {
		t.Errorf("a reading that is not there is %v", r)
	}
	if w := l.Without(PH); len(w) != 1 || w[0].Key != Turbidity || len(l) != 2 {
		t.Errorf("without pH %v is left, of %v", w, l)
	}
	m := map[Key]Reading{Turbidity: Num(9, "NTU"), TSS: Num(1, "mg/L")}
	l.Set(Colour, Reading{})
	l.Into(m)
	if len(m) != 3 || m[Turbidity].Value != 5 || m[TSS].Value != 1 {
		t.Errorf("got %v", m)
	}
}

func TestKindsAreInOrder(t *testing.T) {
	m := map[Key]Reading{"zinc": {}, PH: {}, "floc": {}, Turbidity: {}, TSS: {}}
	want := []Key{Turbidity, TSS, PH, "floc", "zinc"}
	if got := KindsOf(m); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	s := Series{Jars: []Jar{{Readings: Readings{{Key: "zinc"}, {Key: PH}}}, {Readings: Readings{{Key: "floc"}, {Key: TSS}, {Key: Turbidity}, {Key: PH}}}}}
	if got := s.Keys(); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

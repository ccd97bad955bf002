package book

import (
	"bytes"
	"image/png"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/draw"
)

// TestOnlyInputsAndThePlateAreFilled: rules stand in place of boxes.
func TestOnlyInputsAndThePlateAreFilled(t *testing.T) {
	for k := Text; k <= Stop; k++ {
		if l := k.look(); (l.fill != "") != (k == Input || k == Plate) {
			t.Errorf("kind %d is filled with %q", k, l.fill)
		}
	}
	if l := Plate.look(); l.fill != draw.Ink || l.color != draw.White {
		t.Errorf("the plate is %s on %s", l.color, l.fill)
	}
	if Large.look().size < 28 {
		t.Errorf("the number is %g points", Large.look().size)
	}
}

// TestMarkStandsOnTheFirstSheet: once, in its first row, with words for those who cannot see it.
func TestMarkStandsOnTheFirstSheet(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(write(t, rich())))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for i, name := range []string{"One", "Two"} {
		at, err := f.GetPictureCells(name)
		if err != nil || len(at) != 1-i {
			t.Errorf("%s: pictures in %v, %v", name, at, err)
		}
		if i == 0 && len(at) == 1 && !strings.HasSuffix(at[0], "1") {
			t.Errorf("the mark stands in %s", at[0])
		}
	}
	data, err := markPicture()
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	// Mud in the first jar, clear water in the last, and nothing beside them.
	for _, p := range []struct {
		x, y float64
		ink  bool
	}{{8, 15, true}, {75, 15, false}, {75, 25, true}, {17, 15, false}} {
		if _, _, _, a := img.At(int(p.x*markFine), int(p.y*markFine)).RGBA(); (a > 0) != p.ink {
			t.Errorf("at %g, %g: ink %t", p.x, p.y, a > 0)
		}
	}
}

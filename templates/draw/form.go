package draw

// The widths that pictures are drawn for, in points; each is a drawing of its own,
// never a shrunk one.
const (
	Wide  = 1004.0 // a page on a screen
	Print = 680.0  // a sheet of A4 or Letter, 0.75 pt of paper to a point here
	Phone = 328.0
)

// form is how a picture is set at a width: sizes of type and room.
type form struct {
	name                       string
	text, small, title, number float64 // sizes of type
	high, low                  float64 // of a plot that stands alone, and of one among several
	side                       float64 // widest words beside a plot; 0 sets them into it
	heads                      float64 // column of headings left of small multiples; 0 sets them above
	apart                      float64 // between small multiples
	jar                        float64 // width of a jar
	ring                       float64 // radius of a reading
}

// forms are the three, each for widths up to its own.
var forms = [...]struct {
	to float64
	form
}{
	{480, form{name: "phone", text: 12, small: 12, title: 17, number: 16, high: 200, low: 70, apart: 22, jar: 17, ring: 3.4}},
	{840, form{name: "print", text: 13.4, small: 12.4, title: 18.7, number: 19, high: 280, low: 66, side: 118, heads: 128, apart: 17, jar: 24, ring: 4}},
	{1e9, form{name: "wide", text: 14, small: 13, title: 19, number: 20, high: 320, low: 76, side: 122, heads: 156, apart: 22, jar: 27, ring: 4.6}},
}

func formOf(width float64) form {
	for _, f := range forms {
		if width <= f.to {
			return f.form
		}
	}
	return forms[len(forms)-1].form
}

// narrow tells that there is no room beside a plot.
func (f form) narrow() bool { return f.side == 0 }

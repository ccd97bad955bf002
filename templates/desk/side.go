package desk

import "html/template"

// Side is what stands beside an answer: what it was asked with, to be asked anew, what
// comes of it, and where it is kept.
type Side struct {
	// Action is the address that the questions are sent to, and Kept the desk that they stand on, as a query.
	Action string
	Kept   string
	Slides []Slide
	Asks   []Ask
	// Send is the word on the button, and Order on the plate that leads on.
	Send  string
	Plate Link
	// Plates lead on with the answer of one test each, where there are several.
	Plates []Link
	// Short is another answer in short.
	Short *Short
	// Print are the parts that can be printed by themselves, and More what else is of use.
	Print, More []Link
}

// Slide is a question of which the answers stand on a scale. It is answered by a slider where there is a script, else
// by the question of the same name.
type Slide struct {
	Name, Label string
	Stops       []Stop
	At          int
}

// Stop is one place of a slider: what is asked there, and how it is called.
type Stop struct{ Value, Says string }

// Values and Words are the stops for the script, Low and High the ends of the scale.
func (s Slide) Values() (out []string) { return each(s.Stops, func(x Stop) string { return x.Value }) }

// Words are what the stops are called.
func (s Slide) Words() (out []string) { return each(s.Stops, func(x Stop) string { return x.Says }) }

// Last is the number of the last stop.
func (s Slide) Last() int { return len(s.Stops) - 1 }

// Says is the stop at which the slider stands.
func (s Slide) Says() string { return s.Stops[s.At].Says }

// Low and High are the ends of the scale.
func (s Slide) Low() string { return s.Stops[0].Says }

// High is the upper end.
func (s Slide) High() string { return s.Stops[s.Last()].Says }

func each[T any](list []T, say func(T) string) (out []string) {
	for _, x := range list {
		out = append(out, say(x))
	}
	return out
}

// Ask is one question of a form. One with choices is a list of them; Slid tells that a slider asks it too, Wrong what is wrong with
// its answer.
type Ask struct {
	Name, Label, Value, Unit, Hint, Type, Wrong string
	Choices                                     []Stop
	Slid                                        bool
}

// Short is another answer in short, and where it stands in full. Later tells that it is not there yet.
type Short struct {
	Title   string
	Says    []string
	Order   string
	Picture template.HTML
	Full    Link
	Later   bool
}

// Beside is the body of a page with an answer, what stands beside it, and what stands below the answer.
func (p Page) Beside(above, below template.HTML, s Side) (template.HTML, error) {
	return p.body("side.html", struct {
		Page
		Above, Below template.HTML
		Side         Side
	}{p, above, below, s})
}

// Wanted is the body of a page that cannot answer before it is told what is wanted.
func (p Page) Wanted(title, why string, s Side) (template.HTML, error) {
	return p.body("wanted.html", struct {
		Page
		Ask, Why string
		Side     Side
	}{p, title, why, s})
}

// Sheet is the body of a page that is there to be printed, with what it lacks to be asked for.
func (p Page) Sheet(part template.HTML, back Link, lacks Side) (template.HTML, error) {
	return p.body("sheet.html", struct {
		Page
		Part template.HTML
		Back Link
		Side Side
	}{p, part, back, lacks})
}

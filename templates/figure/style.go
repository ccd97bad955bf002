package figure

import (
	"fmt"
	"math"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Style is how a reader wants numbers written.
type Style struct {
	Units        quantity.System
	DecimalComma bool
}

// Unknown stands where a figure is not known.
const Unknown = "-"

// Show writes anything that a cell or a sentence can hold: words, figures with
// their unit and basis, phrases, clock times, quantities, whole numbers.
func (s Style) Show(v any) string {
	switch x := v.(type) {
	case nil:
		return Unknown
	case string:
		return x
	case Figure:
		return s.figure(x)
	case Bare:
		return s.figure(Figure(x))
	case Interval:
		return s.interval(x)
	case Phrase:
		return s.Say(x.Format, x.Args...)
	case Clock:
		return x.String()
	case quantity.Dose:
		return s.figure(Dose("", x, 4))
	case quantity.Rounded:
		v, u := x.Show(s.Units)
		return strings.TrimSpace(s.Decimal(x.Number(v)) + " " + u)
	case quantity.PH:
		return s.figure(Figure{Q: x, Form: Full})
	case quantity.Quantity:
		return s.figure(Figure{Q: x, Digits: 4})
	default:
		return fmt.Sprint(x)
	}
}

// Number writes a figure without its unit.
func (s Style) Number(f Figure) string {
	if !f.Known() {
		return Unknown
	}
	v, _ := f.Q.Show(s.Units)
	return s.Decimal(digitsOf(v, f.For(s.Units)))
}

// Unit gives the unit in which the reader sees a figure.
func (s Style) Unit(f Figure) string {
	if f.Q == nil {
		return ""
	}
	_, u := f.Q.Show(s.Units)
	return u
}

func (s Style) figure(f Figure) string {
	if !f.Known() {
		return Unknown
	}
	if t, ok := f.Q.(quantity.Time); ok {
		switch f.Form {
		case Watch:
			return watch(t)
		case Long:
			return s.long(t)
		}
	}
	out := s.Number(f)
	if u := s.Unit(f); u != "" {
		out += " " + u
	}
	if f.Basis != quantity.NotStated {
		out += " " + f.Basis.String()
	}
	return out
}

// interval is "10.5 (9.2 to 13.1) mg/L", with what is open said in words.
func (s Style) interval(i Interval) string {
	if !i.Known() {
		return Unknown
	}
	low, high := i.Ends()
	out := s.Number(i.Figure)
	if u := s.Unit(i.Figure); u != "" {
		out += " " + u
	}
	switch {
	case low.Known() && high.Known():
		return fmt.Sprintf("%s (%s to %s)", out, s.Number(low), s.Number(high))
	case low.Known():
		return fmt.Sprintf("%s (%s to beyond the range)", out, s.Number(low))
	case high.Known():
		return fmt.Sprintf("%s (%s or less)", out, s.Number(high))
	case i.Open:
		return out + " (may be anywhere in the range)"
	}
	return out
}

// fixed are the forms that ask for the same digits whatever the number.
var fixed = map[Form]string{Tenth: "%.1f", Cents: "%.2f", Whole: "%.0f", SignCents: "%+.2f", Fine: "%.4f"}

// traces are the least values that forms of traces show; below them they say so.
var traces = map[Form]float64{Trace: 1e-6, Gas: 1e-4}

// digitsOf writes a value as the figure's form asks.
func digitsOf(v float64, f Figure) string {
	if verb, ok := fixed[f.Form]; ok {
		return fmt.Sprintf(verb, v)
	}
	if least := traces[f.Form]; v > 0 && v < least {
		return "<" + quantity.Sig(least, 1)
	}
	switch f.Form {
	case Full, Gas:
		return quantity.Sig(v, f.digits())
	case Signed:
		if s := fmt.Sprintf("%+.1f", v); s != "+0.0" && s != "-0.0" {
			return s
		}
		return "0"
	case Sign:
		if v > 0 {
			return "+" + quantity.Brief(v, f.digits())
		}
	}
	return quantity.Brief(v, f.digits())
}

// Decimal gives a written number the reader's decimal mark.
func (s Style) Decimal(number string) string {
	if s.DecimalComma {
		return strings.Replace(number, ".", ",", 1)
	}
	return number
}

// watch writes a span as a stopwatch shows it.
func watch(t quantity.Time) string {
	switch s := int(math.Round(t.In("s"))); {
	case s < 100:
		return fmt.Sprintf("%d s", s)
	case s < 5400:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	default:
		return fmt.Sprintf("%d h %02d min", s/3600, s%3600/60)
	}
}

// long writes how long something takes, as people say it.
func (s Style) long(t quantity.Time) string {
	switch h := float64(t); {
	case h > 0 && h < 1.0/60:
		return s.Decimal(quantity.Brief(h*3600, 2)) + " s"
	case h < 1:
		return s.Decimal(quantity.Brief(h*60, 2)) + " min"
	case h < 72:
		return quantity.HoursMinutes(t)
	default:
		return s.Decimal(quantity.Brief(h/24, 3)) + " days"
	}
}

// Phrase is a sentence, or a piece of one, with figures in it. The format's verbs
// are all %s.
type Phrase = note.Phrase

// Say makes a phrase.
func Say(format string, args ...any) Phrase { return note.Say(format, args...) }

// And joins phrases and words, leaving out the empty ones.
func And(between string, parts ...any) Phrase {
	var out Phrase
	for _, p := range parts {
		if s, ok := p.(string); ok && s == "" {
			continue
		}
		if len(out.Args) > 0 {
			out.Format += strings.ReplaceAll(between, "%", "%%")
		}
		out.Format += "%s"
		out.Args = append(out.Args, p)
	}
	return out
}

// Say writes a sentence with its figures.
func (s Style) Say(format string, args ...any) string {
	shown := make([]any, len(args))
	for i, a := range ranged(format, args) {
		shown[i] = written(s.Show(a))
	}
	return fmt.Sprintf(format, shown...)
}

// written is what stands for a thing of a sentence under any verb, so that a count may be one of %d.
type written string

// Format writes it.
func (w written) Format(f fmt.State, _ rune) { f.Write([]byte(w)) }

// String writes a figure of a phrase as documents have it, in metric units.
func (f Figure) String() string { return Style{}.figure(f) }

// Lead splits a value into the figure that it begins with and the words that
// follow; false where it does not begin with one. Forms that have a cell for a
// number show the two apart.
func Lead(v any) (Figure, Phrase, bool) {
	switch x := v.(type) {
	case Figure:
		return x, Phrase{}, x.Known()
	case Bare:
		return Figure(x), Phrase{}, Figure(x).Known()
	case Interval:
		rest := Phrase{}
		if x.Low != nil && x.High != nil {
			low, high := x.Ends()
			rest = Say("%s to %s", low.NoBasis(), high.NoBasis())
		}
		return x.Figure, rest, x.Known()
	case Phrase:
		if len(x.Args) == 0 || !strings.HasPrefix(x.Format, "%s") {
			return Figure{}, x, false
		}
		f, inner, ok := Lead(ranged(x.Format, x.Args)[0])
		if !ok {
			return Figure{}, x, false
		}
		rest := Phrase{Format: strings.TrimLeft(x.Format[2:], " ,;"), Args: x.Args[1:]}
		if inner.Format != "" {
			rest = And("; ", inner, rest)
		}
		return f, rest, true
	}
	return Figure{}, Phrase{}, false
}

// Clock is a time of day, hours after midnight; later days count on.
type Clock quantity.Time

// String writes it as 05:56.
func (c Clock) String() string {
	m := int(math.Round(float64(quantity.Wrapped(quantity.Time(c), 24))*60)) % 1440
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// MarshalText makes a clock time a word in documents.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// Notes writes notes in the reader's units.
func (s Style) Notes(l note.List) note.List {
	if s == (Style{}) {
		return l
	}
	out := make(note.List, len(l))
	for i, n := range l {
		out[i] = n.Shown(s.said)
	}
	return out
}

// said writes what a note was made from, where it is a figure or holds one.
func (s Style) said(v any) any {
	switch x := v.(type) {
	case quantity.Quantity:
		return s.Show(x)
	case Phrase:
		args := make([]any, len(x.Args))
		for i, a := range x.Args {
			args[i] = s.said(a)
		}
		return fmt.Sprintf(x.Format, args...)
	}
	return v
}

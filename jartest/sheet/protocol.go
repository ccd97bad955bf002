package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// How the jars were stirred and sampled stands beside the tables: "Rapid mix | 200 | rpm", "200 rpm
// 1 min, 40 rpm 8 min", "sampled 10 cm below the surface after 15 min".

// duty is what a time or a speed is of.
type duty int

const (
	ofNothing duty = iota
	ofRapid
	ofSlow
	ofSettling
)

// stirStep is what one clause says: a stage with its speed, its time or both.
type stirStep struct {
	duty  duty
	again bool // its time is given twice differently
	jartest.Stir
}

// stageEnd parts what is said of one stage from the next.
var stageEnd = words.NewPattern(`[,;\n+/]|\. |\.$| then | and | - | – |→|->|\bthen\b` +
	`| (?:puis|dann|danach|luego|después|despues|depois|poi|daarna|sedan|und|et|y) `)

// protocolOf reads a line on stirring and sampling; ok is false where it is none. A settling time that
// it gives twice differently is again, and none.
func protocolOf(text string, dec layout.Decimals, at note.Place) (p jartest.Protocol, again, ok bool) {
	var steps []stirStep
	for _, clause := range stagesSaid(text) {
		x, depth := stepOf(clause, dec, at)
		if depth.OK {
			p.Depth = depth
		}
		if n := len(steps); n > 0 && x.completes(steps[n-1]) { // "rapid mix 200 rpm, 1 min"
			fillStir(&steps[n-1].Stir, x.Stir)
			continue
		}
		if n := len(steps); n > 0 && steps[n-1].duty == ofSettling && x.duty == ofNothing && x.Time.OK && bareAmount(clause) {
			x.duty = ofSettling // "settled 10 min and 30 min"
		}
		if x.Speed.OK || x.Time.OK {
			steps = append(steps, x)
		}
	}
	several := severalTimes(steps)
	steps = ordered(steps)
	for _, x := range steps {
		switch x.duty {
		case ofRapid:
			if p.Rapid != (jartest.Stir{}) {
				return jartest.Protocol{}, false, false
			}
			p.Rapid = x.Stir
		case ofSlow:
			p.Slow = append(p.Slow, x.Stir)
		case ofSettling:
			again = again || x.again || p.Settle.OK && x.Time.OK && p.Settle.V != x.Time.V
			p.Settle = x.Time
		}
	}
	if again || several {
		p.Settle = quantity.Known[quantity.Time]{}
	}
	again = again && !several
	return p, again, p.Told() || again
}

// severalTimes reports a settling time with other times beside it that are of no stage, "5 min, 10 min and 20 min of settling":
// the columns tell them apart.
func severalTimes(steps []stirStep) bool {
	lone := func(i int) bool {
		return i >= 0 && i < len(steps) && steps[i].duty == ofNothing && !steps[i].Speed.OK
	}
	for i, x := range steps {
		if x.duty == ofSettling && (lone(i-1) || lone(i+1)) {
			return true
		}
	}
	return false
}

// completes reports a clause that gives nothing but what the stage before it lacks: its speed or its time.
func (x stirStep) completes(last stirStep) bool {
	half := func(s stirStep) bool { return s.Speed.OK != s.Time.OK }
	return x.duty == ofNothing && last.duty != ofSettling && half(x) && half(last) && last.Speed.OK != x.Speed.OK
}

// fillStir takes what is not known of a stage.
func fillStir(s *jartest.Stir, o jartest.Stir) {
	if !s.Speed.OK {
		s.Speed = o.Speed
	}
	if !s.Time.OK {
		s.Time = o.Time
	}
}

// deepestJar is how deep a jar may be sampled, in cm: what is deeper is of no jar.
const deepestJar = 60

// A stroke in a unit parts nothing.
var (
	perSecond = words.NewPattern(`(\d) ?(?:1 ?)?/ ?s(?:ec)?\b`)
	perMinute = words.NewPattern(` ?\b(?:r|rev|rounds|u|U|tr|t)/ ?min\b| ?об/мин| ?转/分`)
)

// stagesSaid parts a text into what is said of one stage each; a decimal comma parts nothing.
func stagesSaid(text string) []string {
	var out []string
	text = perMinute.ReplaceAllString(perSecond.ReplaceAllString(text, "$1 s-1"), " rpm")
	for _, s := range stageEnd.Split(text, -1) {
		digit := func(c byte) bool { return c >= '0' && c <= '9' }
		last := len(out) - 1
		if last >= 0 && s != "" && out[last] != "" && digit(s[0]) && digit(out[last][len(out[last])-1]) && strings.Contains(text, out[last]+","+s) {
			out[last] += "," + s
			continue
		}
		out = append(out, s)
	}
	return out
}

// inchesDeep are inches as a depth has them.
var inchesDeep = words.NewPattern(`(\d) ?(?:in\.?|"|″)( (?:below|under|deep|down)|$)`)

// stepOf reads one clause, and the depth that it names.
func stepOf(clause string, dec layout.Decimals, at note.Place) (x stirStep, depth quantity.Known[quantity.Length]) {
	f := words.Fold(clause)
	switch {
	case spoken()["rapid"].in(f):
		x.duty = ofRapid
	case spoken()["slow"].in(f):
		x.duty = ofSlow
	case spoken()["settling"].in(f) || spoken()["standing"].in(f) || spoken()["depth"].in(f):
		x.duty = ofSettling
	}
	for _, a := range words.Amounts(clause) {
		v := layout.Numeral(a.Number, dec)
		if !v.OK() || v.Num <= 0 || a.Left != "" {
			continue
		}
		switch {
		case a.Kind == words.Speed && a.Name == "rpm" && !x.Speed.OK:
			x.Speed = quantity.Known[quantity.Rotation]{V: quantity.Rotation(v.Num), OK: true, At: at}
		case a.Kind == words.Minutes && a.Factor < 24*60 && !x.Time.OK:
			x.Time = quantity.Known[quantity.Time]{V: quantity.Time(round12(v.Num*a.Factor) / 60), OK: true, At: at}
		case a.Kind == words.Minutes && x.Time.OK && round12(v.Num*a.Factor)/60 != float64(x.Time.V):
			x.again = true
		case a.Kind == words.Length && spoken()["depth"].in(f) && v.Num*a.Factor < deepestJar:
			depth = quantity.Known[quantity.Length]{V: quantity.Length(round12(v.Num*a.Factor) / 100), OK: true, At: at}
		}
	}
	if x.Speed.OK && x.duty == ofSettling {
		x.duty = ofNothing
	}
	return x, depth
}

// ordered gives the stages whose words do not say what they are their duty: of two or more the first,
// where it is the fastest, is the rapid mix and the others grow the flocs. What stays unsaid is left out.
func ordered(steps []stirStep) []stirStep {
	stirs := slices.DeleteFunc(slices.Clone(steps), func(x stirStep) bool { return x.duty == ofSettling || !x.Speed.OK })
	unsaid := func(x stirStep) bool { return x.duty == ofNothing }
	if len(stirs) > 1 && !slices.ContainsFunc(stirs, func(x stirStep) bool { return !unsaid(x) }) &&
		!slices.ContainsFunc(stirs[1:], func(x stirStep) bool { return x.Speed.V >= stirs[0].Speed.V }) {
		first := true
		for i := range steps {
			if unsaid(steps[i]) && steps[i].Speed.OK {
				if steps[i].duty = ofSlow; first {
					steps[i].duty, first = ofRapid, false
				}
			}
		}
	}
	return slices.DeleteFunc(steps, unsaid)
}

// protocolAt books what a text cell beside the tables says of stirring and sampling, its value beside it.
func (b *bench) protocolAt(v layout.View, r, c int, dec layout.Decimals, in func(int, int) bool) {
	text := strings.TrimSpace(untargeted(v.At(r, c).Text))
	if spoken()["depth"].in(words.Fold(text)) {
		text = inchesDeep.ReplaceAllString(text, "$1 inch$2")
	}
	left := v.At(r, c-1)
	named := left.Kind == grid.Textual && !in(r, c-1) && len(words.Amounts(left.Text)) == 0 && protocolLabel(left.Text)
	if named && len(words.Amounts(text)) > 0 || left.Kind == grid.Textual && layout.ReadHeading(left.Text).Target {
		return // the value of the name left of it
	}
	if len(words.Amounts(text)) == 0 {
		if !protocolLabel(text) {
			return
		}
		value, unit, _ := b.beside(v, r, c, in)
		if value == "" {
			return
		}
		text = strings.TrimRight(text, ":= ") + " " + value + " " + unit
		if u := words.Units(v.At(r, c).Text); unit == "" && len(words.Amounts(text)) == 0 && len(u) == 1 { // "Slow mix (rpm) | 40"
			text += " " + u[0].Name
		}
		text += furtherAmounts(v, r, c, in)
	}
	p, again, ok := protocolOf(text, dec, v.Place(r, c))
	if ok {
		b.facts = append(b.facts, fact{kind: factProtocol, r: r, c: c, g: v.Area, at: v.Place(r, c), text: text, keyed: true,
			protocol: &p, again: again})
	}
	if left := stirringLeft(text, p, dec); left != "" {
		b.say(note.Info, "stirring-not-used", v.Place(r, c), "%q: %s", clip(text), left)
	}
}

// stirringLeft says what a line on stirring or floating gives and nothing takes; "" for nothing.
func stirringLeft(text string, p jartest.Protocol, dec layout.Decimals) string {
	var out []string
	last := ""
	for _, clause := range stagesSaid(text) {
		f, stirs := words.Fold(clause), false
		as := words.Amounts(clause)
		for _, a := range as {
			stirs = stirs || a.Kind == words.Speed
		}
		for _, kind := range [...]string{"rapid", "slow", "stirring"} {
			stirs = stirs || spoken()[kind].in(f)
		}
		for _, a := range as {
			x := layout.Numeral(a.Number, dec)
			if why := whyLeft(a, stirs); why != "" && x.OK() && !protocolHas(p, x.Num, a) {
				if n := len(out) - 1; why == last {
					out[n] = strings.TrimSuffix(out[n], why) + "and " + amountText(clause, a) + " " + why
					continue
				}
				out, last = append(out, amountText(clause, a)+" "+why), why
			}
		}
	}
	return strings.Join(out, "; ")
}

// amountText writes an amount of a clause, a pressure in its own unit.
func amountText(clause string, a words.Amount) string {
	if a.Kind == words.Pressure {
		return strings.TrimSpace(clause[a.Start:a.To])
	}
	return strings.TrimSpace(a.Number + " " + a.Name)
}

// whyLeft says why an amount of a kind that lines on stirring have is not used; "" for other kinds.
func whyLeft(a words.Amount, stirs bool) string {
	switch {
	case a.Kind == words.Pressure && a.Name != "mbar":
		return "of air pressure: not used, no reading is changed by it"
	case a.Kind == words.Speed && a.Name != "rpm":
		return "of stirring: not used, it is read in rpm"
	case a.Kind == words.Speed || a.Kind == words.Minutes && a.Factor < 24*60 && stirs:
		return "of stirring: not used, as the line does not say whether it is of the rapid or the slow mix"
	}
	return ""
}

// protocolHas reports that a protocol took an amount.
func protocolHas(p jartest.Protocol, v float64, a words.Amount) bool {
	time := func(t quantity.Known[quantity.Time]) bool { return t.OK && same(float64(t.V)*60, round12(v*a.Factor)) }
	for _, s := range append([]jartest.Stir{p.Rapid}, p.Slow...) {
		if a.Kind == words.Speed && s.Speed.OK && same(float64(s.Speed.V), v) || a.Kind == words.Minutes && time(s.Time) {
			return true
		}
	}
	return a.Kind == words.Minutes && time(p.Settle)
}

// furtherAmounts gives the amounts right of the value of a name: "Settling time | 10 min | 30 min".
func furtherAmounts(v layout.View, r, c int, in func(int, int) bool) (out string) {
	k, ok := layout.Beside(v, r, c)
	for k++; ok && !v.At(r, k).Blank() && !in(r, k); k++ {
		if len(words.Amounts(asShown(v.At(r, k)))) == 1 && bareAmount(v.At(r, k).Text) {
			out += " / " + asShown(v.At(r, k))
		}
	}
	return out
}

// protocols books what stands beside the tables of an area on stirring and sampling, once the rest of
// its lines was read: a page without a table tells how to test, not how it was done.
func (b *bench) protocols(g *layout.Area, tables []*layout.Table, in func(int, int) bool) {
	if !slices.ContainsFunc(tables, func(t *layout.Table) bool { return t.Area() == g }) {
		return
	}
	v := layout.View{Area: g}
	for r := range g.Rows {
		for c, x := range g.Rows[r] {
			if x.Kind == grid.Textual && !in(r, c) && len(x.Text) <= 300 {
				b.protocolAt(v, r, c, b.decimals[g], in)
			}
		}
	}
}

// protocolLabel reports a name of stirring, settling or sampling.
func protocolLabel(text string) bool {
	f := words.Fold(text)
	if len(text) > 60 {
		return false
	}
	for _, kind := range [...]string{"rapid", "slow", "stirring", "settling", "standing", "depth", "pressure"} {
		if spoken()[kind].in(f) {
			return true
		}
	}
	return false
}

// protocol gives the series what the lines beside its table say, the nearest first. Lines that
// contradict each other are told, and what the second says is left out.
func (m *maker) protocol() {
	near := map[int][]fact{}
	for _, x := range m.b.facts {
		if x.kind != factProtocol {
			continue
		}
		if rank, ok := m.b.rank(m.t, x); ok && rank < 3 {
			near[rank] = append(near[rank], x)
		}
	}
	for rank := range 3 {
		for _, x := range near[rank] {
			if x.again && !slices.ContainsFunc(m.fs, func(f field) bool { return f.Head.Timed || f.Head.Minutes > 0 }) {
				m.b.say(note.Caution, "facts-disagree", x.at, "%q gives two settling times; neither was taken", clip(x.text)).
					do(m.b, "keep the one of this test, or give it a column of its own")
			}
			if agrees := m.s.Protocol.Fill(*x.protocol); agrees {
				m.b.took(m.t, x)
			} else if rank == 0 {
				m.b.say(note.Caution, "stirring-differs", x.at, "%q differs from what another line says of stirring or sampling; it was left out", clip(x.text)).
					do(m.b, "keep the line of this test")
			}
		}
	}
}

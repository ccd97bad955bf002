package sheet

import (
	"encoding/csv"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// dim is the kind of a unit, as the first column of units.csv names it.
type dim string

// unit is a unit as written in a heading or a cell. Factor turns a value into
// the first unit of its kind in units.csv; As is what follows "as" ("al2o3").
type unit struct {
	dim    dim
	factor float64
	name   string
	as     string
}

func (u unit) known() bool { return u.dim != "" }

type unitSpelling struct {
	unit
	text string
	// short spellings are taken for a unit only where nothing else can be meant.
	short bool
}

func (v *vocabulary) readUnits(table string) error {
	r := csv.NewReader(strings.NewReader(table))
	r.FieldsPerRecord = 4
	rows, err := r.ReadAll()
	if err != nil {
		return err
	}
	for _, row := range rows[1:] {
		f, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			return err
		}
		for _, s := range strings.Split(row[2], "|") {
			t := canonUnit(fold(s))
			first, _ := utf8.DecodeRuneInString(t)
			letters := strings.IndexFunc(t, func(r rune) bool { return !unicode.IsLetter(r) }) < 0
			v.units = append(v.units, unitSpelling{unit{dim(row[0]), f, row[3], ""}, t,
				!spaceless(first) && (len(t) <= 2 && t != "%" || letters && !distinct[t] || t == "-")})
		}
	}
	sort.SliceStable(v.units, func(i, j int) bool { return len(v.units[i].text) > len(v.units[j].text) })
	return nil
}

// distinct are all-letter spellings that mean nothing else in a heading.
var distinct = map[string]bool{"ntu": true, "fnu": true, "ftu": true, "fau": true, "jtu": true, "unt": true, "utn": true, "ppm": true, "ppb": true,
	"hazen": true, "ptco": true, "pcu": true, "tcu": true, "upc": true, "percent": true, "pct": true, "rpm": true, "mgl": true, "prozent": true, "gpg": true,
	"nephelometric turbidity units": true, "ntus": true, "fnus": true, "celsius": true}

var (
	reciprocal = regexp.MustCompile(`\b(mg|ug|mcg|g|kg|ml|ul|mmol|umol|meq|mol)((?: |\.)?(?:[a-z0-9]{1,6} )?)(?: |\.|\*)?(l|litre|liter|lit|m3|dm3|m|ml)\^?\(?-\(?(1|3)\)?`)
	perWord    = regexp.MustCompile(`\b(mg|ug|mcg|g|kg|ml|ul|mmol|umol|meq|mol|milligrams?|grams?)\.? ?(?:per|/|por|pro|par) ?(litres?|liters?|litros?|ltr|lt|lit|l|m3|cubic met(?:re|er)|dm3)\b`)
	speciesIn  = regexp.MustCompile(`\b(mg|ug|g|mmol|umol) ?-? ?(caco3|al2o3|al|fe2o3|fe|fecl3|p|po4-p|po4|pt|n|product|prod|as [a-z0-9]+) ?/ ?(l|litre|liter)\b`)
	perLength  = regexp.MustCompile(`\b(ms|us) per (cm|m)\b`)
	ratioBlank = regexp.MustCompile(`\b(mg|ug|mcg|g|kg|ml|ul|mmol|umol|meq|mol) ?/ ?(l|m3|ml|dm3|ltr|lt|lit|litre|liter|litro)s?\b`)
)

// canonUnit rewrites the spellings that follow a rule ("mg l-1", "mg per litre",
// "mg Al/L") into one, so that units.csv need not list them all.
func canonUnit(s string) string {
	s = strings.ReplaceAll(s, "µ", "u")
	if strings.Contains(s, "-") {
		s = reciprocal.ReplaceAllStringFunc(s, func(m string) string {
			p := reciprocal.FindStringSubmatch(m)
			per := p[3]
			if p[4] == "3" && per == "m" {
				per = "m3"
			} else if p[4] == "3" || per == "m" || per == "ml" && p[1] != "g" {
				return m
			}
			if sp := strings.Trim(p[2], " ."); sp != "" {
				return p[1] + "/" + per + " as " + sp
			}
			return p[1] + "/" + per
		})
	}
	s = speciesIn.ReplaceAllStringFunc(s, func(m string) string {
		p := speciesIn.FindStringSubmatch(m)
		return p[1] + "/l as " + strings.TrimPrefix(p[2], "as ")
	})
	s = perWord.ReplaceAllStringFunc(s, func(m string) string {
		p := perWord.FindStringSubmatch(m)
		return shortMass(p[1]) + "/" + shortVolume(p[2])
	})
	s = perLength.ReplaceAllString(s, "$1/$2")
	return ratioBlank.ReplaceAllStringFunc(s, func(m string) string {
		p := ratioBlank.FindStringSubmatch(m)
		return p[1] + "/" + shortVolume(p[2])
	})
}

func shortMass(s string) string {
	switch {
	case strings.HasPrefix(s, "milligram"):
		return "mg"
	case strings.HasPrefix(s, "gram"):
		return "g"
	}
	return s
}

func shortVolume(s string) string {
	switch {
	case strings.HasPrefix(s, "cubic"):
		return "m3"
	case s == "m3" || s == "dm3" || s == "ml":
		return s
	}
	return "l"
}

type unitHit struct {
	unit
	from, to int
}

// unitsIn finds the units in canonical folded text, from left to right.
func (v *vocabulary) unitsIn(s string) []unitHit {
	var out []unitHit
	for i := 0; i < len(s); {
		u, n := v.unitAt(s, i)
		if n == 0 {
			_, w := utf8.DecodeRuneInString(s[i:])
			i += w
			continue
		}
		out = append(out, unitHit{u, i, i + n})
		i += n
	}
	for i := range out {
		end := len(s)
		if i+1 < len(out) {
			end = out[i+1].from
		}
		if out[i].dim == "conc" || out[i].dim == "molar" {
			as, n := asBasis(s[out[i].to:end])
			out[i].as = as
			out[i].to += n
		}
	}
	return out
}

func (v *vocabulary) unitAt(s string, i int) (unit, int) {
	if i > 0 {
		if r, _ := utf8.DecodeLastRuneInString(s[:i]); unicode.IsLetter(r) && !spaceless(r) {
			return unit{}, 0
		}
	}
	for _, u := range v.units {
		if !strings.HasPrefix(s[i:], u.text) {
			continue
		}
		end := i + len(u.text)
		if end < len(s) {
			last, _ := utf8.DecodeLastRuneInString(u.text)
			if r, _ := utf8.DecodeRuneInString(s[end:]); (unicode.IsLetter(r) && !spaceless(r) && unicode.IsLetter(last)) || unicode.IsDigit(r) && last != '%' {
				continue
			}
		}
		if u.short && !clearUnit(s, i, end, u.dim) {
			continue
		}
		return u.unit, len(u.text)
	}
	return unit{}, 0
}

// clearUnit reports that a short spelling can only be a unit here: it is all
// there is, or stands in brackets, after a comma, after a number, at the end, or
// (for volumes) at the beginning.
func clearUnit(s string, from, to int, d dim) bool {
	before, after := strings.TrimSpace(s[:from]), strings.TrimSpace(s[to:])
	if before == "" && after == "" {
		return true
	}
	if d == "nounit" {
		return before != "" && strings.HasSuffix(before, "(") && strings.HasPrefix(after, ")")
	}
	if before == "" {
		return d == "volume" || d == "drops" || d == "massjar" && (strings.HasPrefix(after, "per ") || strings.HasPrefix(after, "added") || strings.HasPrefix(after, "/"))
	}
	last := before[len(before)-1]
	if strings.IndexByte("([,;:/", last) >= 0 || last >= '0' && last <= '9' {
		return last != '/' || d != "minutes"
	}
	if after == "" || strings.IndexByte(")],;:", after[0]) >= 0 {
		return true
	}
	return d == "volume" && (strings.HasPrefix(after, "of ") || strings.HasPrefix(after, "added") || strings.HasPrefix(after, "stock") || strings.HasPrefix(after, "jar") ||
		strings.HasPrefix(after, "beaker") || strings.HasPrefix(after, "sample") || strings.HasPrefix(after, "raw"))
}

var (
	asWord   = regexp.MustCompile(`^[\s)\].,]*(?:as|als|como|comme|sebagai|sbg|dang|som|in form of|expressed as|exprime en|calc as|an)\s+((?:[a-z0-9()+.]+)(?:[ -](?:14|18|6|7|hydrate|hexahydrate|heptahydrate|h2o|14h2o|18h2o|6h2o|7h2o|14-hydrate|18-hydrate|solids|polymer|product|chloride|alum|sulfate|sulphate))*)`)
	asDirect = regexp.MustCompile(`^[\s(\[-]*(caco3|al2o3|al2\(so4\)3(?:[. ]?1[48]h2o)?|al3\+|al|fe2o3|fecl3|fe3\+|fe|po4-p|po4|p|pt-co|ptco|pt|product|active)(?:\b|$)`)
)

// asBasis reads what follows a concentration: " as Al", " CaCO3", "(als Fe)".
func asBasis(rest string) (string, int) {
	if m := asWord.FindStringSubmatchIndex(rest); m != nil {
		as := rest[m[2]:m[3]]
		if strings.Count(as, ")") > strings.Count(as, "(") {
			as = strings.TrimSuffix(as, ")")
		}
		return strings.TrimRight(as, ".,"), m[3]
	}
	if m := asDirect.FindStringSubmatchIndex(rest); m != nil {
		return rest[m[2]:m[3]], m[3]
	}
	return "", 0
}

// onlyUnit reads a text that holds a unit and nothing else, such as a cell of a
// units row.
func (v *vocabulary) onlyUnit(s string) (unit, bool) {
	f := strings.Trim(canonUnit(fold(s)), " ()[]{}.:,")
	if f == "" {
		return unit{}, false
	}
	us := v.unitsIn(f)
	if len(us) == 1 && us[0].from == 0 && strings.Trim(f[us[0].to:], " )].") == "" {
		return us[0].unit, true
	}
	return unit{}, false
}

// numberBefore gives the number that stands right before a place in a text. The
// digit of a formula, as in CaCO3, is none.
func numberBefore(s string, at int) (string, bool) {
	n := strings.TrimRight(s[:at], " ")
	start := strings.LastIndexFunc(n, func(r rune) bool { return !strings.ContainsRune("0123456789.,", r) }) + 1
	if start >= len(n) || digits(n[start:]) == 0 || n[len(n)-1] == ',' { // "Turbidity 1, NTU" is no amount
		return "", false
	}
	if r, _ := utf8.DecodeLastRuneInString(n[:start]); start > 0 && unicode.IsLetter(r) && !spaceless(r) {
		return "", false
	}
	if n[start:] == "000" { // 10 000
		if m := groupsBefore.FindStringSubmatch(n[:start]); m != nil {
			return strings.ReplaceAll(m[1], " ", "") + "000", true
		}
	}
	return strings.Trim(n[start:], ".,"), true
}

// groupsBefore is what stands before the last group of a number written 10 000.
var groupsBefore = regexp.MustCompile(`(?:^|[^0-9.,])(\d{1,3} (?:\d{3} )*)$`)

package serve

import (
	"fmt"
	"strings"

	"jarwright/templates/book"
	"jarwright/templates/desk"
)

// leftOut says what pictures and drawings the files of a kind on the desk hold, which are among what was left out.
func (st state) leftOut(k desk.Kind) (says []string) {
	for _, f := range st.Files {
		if f.Kind != k {
			continue
		}
		p, d := book.PicturesIn(f.Data)
		var what []string
		for _, x := range []struct {
			n    int
			name string
		}{{p, "picture"}, {d, "drawing"}} {
			switch {
			case x.n == 1:
				what = append(what, "a "+x.name)
			case x.n > 1:
				what = append(what, fmt.Sprintf("%d %ss", x.n, x.name))
			}
		}
		if len(what) > 0 {
			says = append(says, fmt.Sprintf("Left out of %s: %s, which cannot be read. Type into cells what counts of %s.", f.Name, strings.Join(what, " and "), map[bool]string{true: "it", false: "them"}[p+d == 1]))
		}
	}
	return says
}

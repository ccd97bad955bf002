package figure

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
)

// document writes an answer as JSON, piece by piece: a long one never stands in memory.
type document struct {
	w     *bufio.Writer
	plain *json.Encoder // of values without members of their own; writes to the document
	depth int
	begun bool // the object or list in hand has a member
}

// WriteJSON writes a document with a line for each member and list item.
func WriteJSON(w io.Writer, v any) error {
	d := &document{w: bufio.NewWriter(w)}
	d.plain = json.NewEncoder(d)
	d.plain.SetEscapeHTML(false)
	if err := d.value(v); err != nil {
		return err
	}
	_ = d.w.WriteByte('\n') // a failed write shows at Flush
	return d.w.Flush()
}

// Write leaves out the end of line that an encoder adds to each value.
func (d *document) Write(p []byte) (int, error) {
	_, err := d.w.Write(bytes.TrimSuffix(p, []byte("\n")))
	return len(p), err
}

func (d *document) value(v any) error {
	switch x := v.(type) {
	case *Object:
		if x != nil {
			return d.object(x)
		}
	case []*Object:
		if x != nil {
			return d.list(slices.Values(x))
		}
	case iter.Seq[*Object]:
		return d.list(x)
	case Bare:
		v, _ = Figure(x).Document()
	}
	switch v.(type) {
	case string, float64, bool:
		d.plain.SetIndent("", "") // of one line
	default:
		d.plain.SetIndent(strings.Repeat(" ", d.depth), " ")
	}
	return d.plain.Encode(v)
}

func (d *document) object(o *Object) error {
	d.open('{')
	for _, k := range o.keys {
		d.member()
		if err := d.plain.Encode(k); err != nil {
			return err
		}
		_, _ = d.w.WriteString(": ")
		if err := d.value(o.vals[k]); err != nil {
			return fmt.Errorf("%s: %w", k, err)
		}
	}
	d.end('}')
	return nil
}

func (d *document) list(objects iter.Seq[*Object]) error {
	d.open('[')
	for o := range objects {
		d.member()
		if err := d.value(o); err != nil {
			return err
		}
	}
	d.end(']')
	return nil
}

func (d *document) open(bracket byte) {
	_ = d.w.WriteByte(bracket)
	d.depth, d.begun = d.depth+1, false
}

func (d *document) member() {
	if d.begun {
		_ = d.w.WriteByte(',')
	}
	d.line()
}

func (d *document) line() {
	_, _ = d.w.WriteString("\n" + strings.Repeat(" ", d.depth))
	d.begun = true
}

func (d *document) end(bracket byte) {
	d.depth--
	if d.begun {
		d.line()
	}
	_ = d.w.WriteByte(bracket)
	d.begun = true
}

package site

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
)

// readYAML reads site.yaml. Its keys are the sheets and fields of the table in
// lower case with "_" for blanks; a value carries its unit ("3.6 m3/h"). Unknown
// and repeated keys are refused with line and column.
func readYAML(name string, data []byte) (Site, error) {
	blocks, faults, err := yamlBlocks(name, data)
	if err != nil {
		return Site{}, err
	}
	return decode(name, blocks, faults)
}

// yamlBlocks are the parts of a site as they stand in YAML.
func yamlBlocks(name string, data []byte) (blocks []block, faults note.List, err error) {
	y := yamlReader{file: name}
	body, err := grid.YAML(name, data)
	if err != nil {
		return nil, nil, err
	}
	if pairs, ok := y.pairs(body); ok {
		for _, p := range pairs {
			sh, ok := findSheet(p.key)
			if !ok {
				keys := each(Sheets(), Sheet.Key)
				y.faults.Add(note.Fault("sheet-unknown", "%q is not a part of a site%s", p.key, note.DidYouMean(p.key, keys)).At(p.at).
					Do("use %s", strings.Join(keys, ", ")))
				continue
			}
			blocks = append(blocks, y.block(sh, p))
		}
	}
	if len(blocks) == 0 && len(y.faults) == 0 {
		return nil, nil, note.Fault("not-a-site", "holds no part of a site").
			At(note.Place{File: name}).Do("see the fields with \"jarwright new site site.yaml\"")
	}
	return blocks, y.faults, nil
}

type yamlReader struct {
	file   string
	faults note.List
}

type pair struct {
	key   string
	value ast.Node
	at    note.Place
}

func (y *yamlReader) at(t *token.Token) note.Place { return grid.TokenPlace(y.file, t) }

// pairs lists a mapping's keys and values; anything else is a fault.
func (y *yamlReader) pairs(n ast.Node) ([]pair, bool) {
	var values []*ast.MappingValueNode
	switch m := n.(type) {
	case *ast.MappingNode:
		values = m.Values
	case *ast.MappingValueNode:
		values = []*ast.MappingValueNode{m}
	case nil, *ast.NullNode:
		return nil, true
	default:
		y.faults.Add(note.Fault("bad-yaml", "%q stands where keys with values belong", n.GetToken().Value).
			At(y.at(n.GetToken())).Do(`write "key: value"`))
		return nil, false
	}
	var out []pair
	seen := map[string]bool{}
	for _, v := range values {
		t := v.Key.GetToken()
		p := pair{key: t.Value, value: v.Value, at: y.at(t)}
		if seen[fold(p.key)] {
			y.faults.Add(note.Fault("field-twice", "%q stands twice", p.key).At(p.at).Do("keep one of them"))
			continue
		}
		seen[fold(p.key)] = true
		out = append(out, p)
	}
	return out, true
}

func (y *yamlReader) block(sh Sheet, p pair) block {
	b := block{sheet: sh, at: p.at}
	if !sh.List {
		b.rows = append(b.rows, y.row(sh, p.value, p.at))
		return b
	}
	switch n := p.value.(type) {
	case *ast.SequenceNode:
		for _, v := range n.Values {
			b.rows = append(b.rows, y.row(sh, v, y.at(v.GetToken())))
		}
	case *ast.NullNode:
	default:
		y.faults.Add(note.Fault("bad-yaml", "%s is a list", sh.Key()).At(p.at).Do(`begin each %s with "- "`, sh.Thing))
	}
	return b
}

func (y *yamlReader) row(sh Sheet, n ast.Node, at note.Place) row {
	out := row{entries: map[string]entry{}, at: at}
	pairs, ok := y.pairs(n)
	if !ok {
		return out
	}
	for i, p := range pairs {
		if i == 0 && sh.List {
			out.at = p.at
		}
		f, ok := sh.Field(p.key)
		if !ok {
			y.faults.Add(sh.unknown(p.key, Field.Key).At(p.at))
			continue
		}
		if _, twice := out.entries[f.Name]; twice {
			y.faults.Add(note.Fault("field-twice", "%q stands twice", f.Name).At(p.at).Do("keep one of them"))
			continue
		}
		e := entry{at: p.at}
		switch v := p.value.(type) {
		case *ast.NullNode:
		case *ast.BoolNode:
			e.text = map[bool]string{true: "yes", false: "no"}[v.Value]
		case *ast.StringNode:
			e.text = v.Value
			e.at = y.at(v.GetToken())
		case *ast.LiteralNode:
			e.text = strings.TrimSpace(v.Value.Value)
			e.at = y.at(v.GetToken())
		case *ast.IntegerNode, *ast.FloatNode:
			e.text = v.GetToken().Value // as written: 012 stays 012
			e.at = y.at(v.GetToken())
		default:
			bad := note.Fault("bad-yaml", "%s holds a list or a block where one value belongs", f.Key()).
				Do("write one value, such as %q", example(f))
			e.bad = &bad
		}
		out.entries[f.Name] = e
	}
	return out
}

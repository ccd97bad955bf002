package grid

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"jarwright/jartest/note"
)

// YAML gives the one document of a YAML file, nil where it holds none. Nesting
// and keys are counted before the parser sees them, because it calls itself for
// each level. Anchors and aliases, by which a few lines can stand for gigabytes,
// are refused, and so is a second document, which would go unread.
func YAML(name string, data []byte) (ast.Node, error) {
	at := note.Place{File: name}
	if len(data) > yamlBytes.Most() {
		return nil, yamlBytes.Fault(at)
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, nil
	}
	if isZip(data) {
		return nil, note.Fault("not-yaml", "is a workbook or another zipped file, not YAML").At(at).Do("name it .xlsx")
	}
	if n := strange(data); n != nil {
		return nil, n.At(at).Do(`make one with "jarwright new site site.yaml"`)
	}
	text, notes := decode(name, data, Words{})
	if err := notes.Err(); err != nil {
		return nil, err
	}
	tokens := lexer.Tokenize(string(text))
	if n := guardTokens(tokens); n != nil {
		n.File = name
		return nil, *n
	}
	f, err := parser.Parse(tokens, 0)
	if err != nil {
		return nil, yamlSyntax(name, err)
	}
	var body ast.Node
	for _, doc := range f.Docs {
		switch {
		case doc == nil || doc.Body == nil:
		case body == nil:
			body = doc.Body
		default:
			at := TokenPlace(name, doc.Start)
			return nil, note.Fault("second-document", "a second document begins here, which would not be read").
				At(at).Do(`take out the line "---" before it, or keep one document in the file`)
		}
	}
	return body, nil
}

// TokenPlace is where a token stands, by line and column.
func TokenPlace(name string, t *token.Token) note.Place {
	p := note.Place{File: name}
	if t != nil && t.Position != nil {
		p.Cell = fmt.Sprintf("line %d, column %d", t.Position.Line, t.Position.Column)
	}
	return p
}

// guardTokens holds nesting and keys against their limits. Brackets nest, and so
// do keys and dashes that stand further to the right than those before them.
func guardTokens(tokens token.Tokens) *note.Note {
	var columns []int      // of the keys and dashes that are open
	brackets, keys := 0, 0 // a list's entry counts as a key
	for i, t := range tokens {
		at := t
		switch t.Type {
		case token.MappingStartType, token.SequenceStartType:
			brackets++
		case token.MappingEndType, token.SequenceEndType:
			brackets--
		case token.AnchorType, token.AliasType, token.MergeKeyType:
			n := note.Fault("bad-yaml", "anchors and aliases (&, *, <<) are not read").At(TokenPlace("", t)).Do("write the values out")
			return &n
		case token.MappingValueType:
			if keys++; i > 0 {
				at = tokens[i-1]
			}
			fallthrough
		case token.SequenceEntryType, token.MappingKeyType:
			if at.Position == nil || brackets > 0 {
				break
			}
			for n := len(columns); n > 0 && columns[n-1] >= at.Position.Column; n-- {
				columns = columns[:n-1]
			}
			columns = append(columns, at.Position.Column)
		case token.CollectEntryType:
			keys++
		}
		over := yamlDepth
		if keys > yamlKeys.Most() {
			over = yamlKeys
		} else if brackets+len(columns) <= yamlDepth.Most() {
			continue
		}
		n := over.Fault(TokenPlace("", t))
		return &n
	}
	return nil
}

// yamlSyntax keeps the place and the words of the parser's complaint. Its own
// text would come with a picture of the file, at a cost that grows with the
// square of the size.
func yamlSyntax(name string, err error) error {
	var e yaml.Error
	if !errors.As(err, &e) {
		return note.Fault("bad-yaml", "is not YAML").At(note.Place{File: name}).Do("check indents, colons and quotes")
	}
	return note.Fault("bad-yaml", "is not YAML: %s", e.GetMessage()).
		At(TokenPlace(name, e.GetToken())).Do("check indents, colons and quotes there")
}

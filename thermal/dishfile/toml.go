package dishfile

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// parseTOML gives the tree of a TOML text. The parser gives places but does not mind
// keys and tables that come twice: the decoder does, on a text known to be small.
func parseTOML(data []byte) (*node, error) {
	t := tomlTree{root: newTable(1), headed: map[*node]bool{}}
	t.parser.Reset(data)
	t.current = t.root
	for t.parser.NextExpression() {
		if err := t.expression(t.parser.Expression()); err != nil {
			return nil, err
		}
	}
	var any map[string]any
	if err := toml.Unmarshal(data, &any); err != nil {
		line, column := 1, 1
		if d, ok := errors.AsType[*toml.DecodeError](err); ok {
			line, column = d.Position()
		}
		return nil, notTOML(data, line, column-1, strings.TrimPrefix(err.Error(), "toml: "))
	}
	if err := t.parser.Error(); err != nil {
		return nil, notTOML(data, 1, 0, err.Error())
	}
	return t.root, nil
}

type tomlTree struct {
	parser  unstable.Parser
	root    *node
	current *node
	headed  map[*node]bool // tables that have had their own head
	counter counter
	offset  uint32 // up to which lines were counted
	line    int    // less one
}

// at is the line of a place in the text. Places come nearly in order.
func (t *tomlTree) at(r unstable.Range, otherwise int) int {
	switch {
	case r.Length == 0:
		return otherwise
	case r.Offset < t.offset:
		return 1 + t.line - bytes.Count(t.parser.Data()[r.Offset:t.offset], []byte{'\n'})
	}
	t.line += bytes.Count(t.parser.Data()[t.offset:r.Offset], []byte{'\n'})
	t.offset = r.Offset
	return t.line + 1
}

func (t *tomlTree) expression(e *unstable.Node) error {
	switch e.Kind {
	case unstable.Comment:
		return nil
	case unstable.KeyValue:
		return t.keyValue(t.current, e)
	}
	into, last, line, err := t.path(t.root, e.Key())
	if err != nil {
		return err
	}
	if err := t.counter.next(line); err != nil {
		return err
	}
	table := newTable(line)
	have := into.table[last]
	if have != nil && (t.headed[have] || have.kind == listNode) && (e.Kind == unstable.Table || have.kind == tableNode) {
		return t.twice(e, last, line, have.line)
	}
	switch {
	case e.Kind == unstable.ArrayTable && have == nil:
		into.set(last, &node{kind: listNode, line: line, items: []*node{table}})
	case e.Kind == unstable.ArrayTable:
		have.items = append(have.items, table)
	case have == nil:
		into.set(last, table)
	default:
		table = have // made by a table below it that came first
	}
	if table.kind != tableNode {
		table = newTable(line) // the decoder will object
	}
	t.current = table
	if e.Kind == unstable.Table {
		t.headed[table] = true
	}
	return nil
}

// twice says that a key or a table is there for the second time.
func (t *tomlTree) twice(e *unstable.Node, name string, line, first int) error {
	column, keys := 0, e.Key()
	for keys.Next() {
		at := int(keys.Node().Raw.Offset)
		before := t.parser.Data()[:at]
		column = utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	}
	want := "each key once in its table"
	if e.Kind != unstable.KeyValue {
		want = "each table once; of several [[" + shorten(name) + "]] each has two brackets"
	}
	return &boundError{line: line, column: column, problem: fmt.Sprintf("%s is there twice, first in line %d", quote(name), first), want: want}
}

// path walks all but the last of the keys, making tables on its way.
func (t *tomlTree) path(from *node, keys unstable.Iterator) (into *node, last string, line int, err error) {
	for depth := 0; keys.Next(); depth++ {
		k := keys.Node()
		line = t.at(k.Raw, line)
		if depth > 0 {
			if from, err = t.enter(from, last, line); err != nil {
				return nil, "", 0, err
			}
		}
		if depth >= maxDepth {
			return nil, "", 0, &boundError{line: line, problem: "tables nested too deeply", want: fmt.Sprintf("at most %d", maxDepth)}
		}
		last = string(k.Data)
	}
	return from, last, line, nil
}

// enter gives the table of a key, the last one of a list of tables.
func (t *tomlTree) enter(from *node, key string, line int) (*node, error) {
	have := from.table[key]
	if have != nil && have.kind == listNode && len(have.items) > 0 {
		have = have.items[len(have.items)-1]
	}
	if have != nil && have.kind == tableNode {
		return have, nil
	}
	table := newTable(line)
	if have == nil {
		from.set(key, table)
	}
	return table, t.counter.next(line)
}

func (t *tomlTree) keyValue(table *node, e *unstable.Node) error {
	into, last, line, err := t.path(table, e.Key())
	if err != nil {
		return err
	}
	v, err := t.value(e.Value(), line)
	if err != nil {
		return err
	}
	if have := into.table[last]; have != nil {
		return t.twice(e, last, line, have.line)
	}
	into.set(last, v)
	return nil
}

func (t *tomlTree) value(v *unstable.Node, line int) (*node, error) {
	line = t.at(v.Raw, line)
	if err := t.counter.next(line); err != nil {
		return nil, err
	}
	n := &node{kind: otherNode, line: line, text: string(v.Data)}
	switch v.Kind {
	case unstable.String:
		n.kind = textNode
	case unstable.Bool:
		n.kind, n.yes = boolNode, n.text == "true"
	case unstable.Integer, unstable.Float:
		n.kind = numberNode
		if v.Kind == unstable.Integer {
			n.kind = integerNode
		}
		n.text = strings.ReplaceAll(n.text, "_", "")
	case unstable.Array:
		n.kind = listNode
		for it := v.Children(); it.Next(); {
			if it.Node().Kind == unstable.Comment {
				continue
			}
			item, err := t.value(it.Node(), line)
			if err != nil {
				return nil, err
			}
			n.items = append(n.items, item)
		}
	case unstable.InlineTable:
		table := newTable(line)
		for it := v.Children(); it.Next(); {
			if it.Node().Kind == unstable.Comment {
				continue
			}
			if err := t.keyValue(table, it.Node()); err != nil {
				return nil, err
			}
		}
		return table, nil
	}
	return n, nil
}

package dishfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strings"
)

// parseJSON gives the tree of a JSON text, token by token, with its lines.
func parseJSON(data []byte) (*node, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	t := &jsonTree{data: data, decoder: d, line: 1}
	n, err := t.value(0)
	if err == nil {
		if _, end := d.Token(); end != io.EOF {
			err = errors.New("more after the end of the table")
		}
	}
	if b, ok := errors.AsType[*boundError](err); ok {
		return nil, b
	}
	if err != nil {
		return nil, &boundError{line: t.at(), problem: "not JSON: " + err.Error(), want: "one table in JSON"}
	}
	return n, nil
}

type jsonTree struct {
	data    []byte
	decoder *json.Decoder
	counter counter
	offset  int64
	line    int
	outcome bool // of which the dish is read and all else passed over
}

// at is the line the decoder has come to.
func (t *jsonTree) at() int {
	to := t.decoder.InputOffset()
	t.line += bytes.Count(t.data[t.offset:to], []byte{'\n'})
	t.offset = to
	return t.line
}

func (t *jsonTree) value(depth int) (*node, error) {
	token, err := t.decoder.Token()
	if err != nil {
		return nil, err
	}
	line := t.at()
	if err := t.counter.next(line); err != nil {
		return nil, err
	}
	switch v := token.(type) {
	case string:
		return &node{kind: textNode, line: line, text: v}, nil
	case bool:
		return &node{kind: boolNode, line: line, yes: v}, nil
	case json.Number:
		kind := integerNode
		if strings.ContainsAny(string(v), ".eE") {
			kind = numberNode
		}
		return &node{kind: kind, line: line, text: string(v)}, nil
	case json.Delim:
		most := maxDepth
		if t.outcome {
			most++ // its own table
		}
		if depth++; depth > most {
			return nil, tooDeep(line)
		}
		if v == '{' {
			return t.members(line, depth)
		}
		list := &node{kind: listNode, line: line}
		for t.decoder.More() {
			item, err := t.value(depth)
			if err != nil {
				return nil, err
			}
			list.items = append(list.items, item)
		}
		_, err := t.decoder.Token()
		return list, err
	}
	return &node{kind: otherNode, line: line}, nil
}

func (t *jsonTree) members(line, depth int) (*node, error) {
	table := newTable(line)
	for t.decoder.More() {
		token, err := t.decoder.Token()
		if err != nil {
			return nil, err
		}
		key, _ := token.(string)
		if table.table[key] != nil {
			return nil, &boundError{line: t.at(), problem: quote(key) + " is there twice", want: "each key once"}
		}
		t.outcome = t.outcome || depth == 1 && key == outcomeKey
		if depth == 1 && t.outcome && key != outcomeKey && key != dishKey {
			var passed json.RawMessage
			if err := t.decoder.Decode(&passed); err != nil {
				return nil, err
			}
			continue
		}
		v, err := t.value(depth)
		if err != nil {
			return nil, err
		}
		table.set(key, v)
	}
	_, err := t.decoder.Token()
	return table, err
}

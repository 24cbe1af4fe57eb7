package dishfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Read reads a dish file in TOML or JSON, or out of an outcome that WriteJSON has
// written; name is what errors call it. A file that is
// wrong gives all its faults at once, as Faults; one that cannot be read gives the
// reader's error.
func Read(r io.Reader, name string) (*File, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err == nil && len(data) > maxBytes && isJSON(data) { // perhaps an outcome
		var rest []byte
		rest, err = io.ReadAll(io.LimitReader(r, maxWhole+1-int64(len(data))))
		data = append(data, rest...)
	}
	if err != nil {
		return nil, fmt.Errorf("dishfile: %s: %w", name, err)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) // some editors begin with a byte order mark
	rep := &report{file: name, lines: map[string]int{"": 1}}
	root, err := parse(data)
	if err != nil {
		b, _ := errors.AsType[*boundError](err)
		rep.lines[""] = b.line
		rep.add("", b.problem, b.want)
		rep.faults[0].Column = b.column
		return nil, rep.err()
	}
	if root, err = ofOutcome(root); err != nil {
		rep.add("", err.Error(), "a dish file, or an outcome as this version writes it")
		return nil, rep.err()
	}
	f := new(File)
	rep.decode(root, reflect.ValueOf(f).Elem(), "")
	f.check(rep)
	if err := rep.err(); err != nil {
		return nil, err
	}
	f.lines = rep.lines
	return f, nil
}

func parse(data []byte) (*node, error) {
	tooLarge := &boundError{problem: "file too large", want: fmt.Sprintf("at most %d bytes", maxBytes)}
	switch {
	case len(data) > maxWhole || len(data) > maxBytes && !isJSON(data):
		return nil, tooLarge
	case !utf8.Valid(data):
		return nil, &boundError{problem: "not a text", want: "UTF-8"}
	}
	if isJSON(data) {
		root, err := parseJSON(data)
		if err == nil && len(data) > maxBytes && root.table[outcomeKey] == nil {
			return nil, tooLarge
		}
		return root, err
	}
	if err := scanDepth(data); err != nil {
		return nil, err
	}
	return parseTOML(data)
}

func isJSON(data []byte) bool { return bytes.HasPrefix(bytes.TrimLeft(data, " \t\r\n"), []byte("{")) }

// keyOf is the key of a field in a file.
func keyOf(f reflect.StructField) string {
	key, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
	return key
}

// below is the key of something in a table.
func below(key, name string) string {
	if key == "" {
		return name
	}
	return key + "." + name
}

// item is the key of an entry of a list, counted from 0 in Go and from 1 in print.
func item(key string, i int) string { return fmt.Sprintf("%s[%d]", key, i+1) }

// decode puts a node into a Go value and reports what does not fit.
func (r *report) decode(n *node, v reflect.Value, key string) {
	r.lines[key] = n.line
	wrong := func(want string) {
		got := nodeNames[n.kind]
		if n.text != "" {
			got += " (" + strconv.Quote(shorten(n.text)) + ")"
		}
		r.add(key, got, want)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.Type().Elem().Kind() == reflect.Struct && n.kind != tableNode {
			wrong(tableWanted(v.Type().Elem(), n, key))
			return // and nothing of it is missing besides
		}
		v.Set(reflect.New(v.Type().Elem()))
		r.decode(n, v.Elem(), key)
	case reflect.Struct:
		if n.kind != tableNode {
			wrong(tableWanted(v.Type(), n, key))
			return
		}
		r.decodeTable(n, v, key)
	case reflect.Map:
		if n.kind != tableNode {
			wrong("a table")
			return
		}
		v.Set(reflect.MakeMap(v.Type()))
		for _, k := range n.keys {
			e := reflect.New(v.Type().Elem()).Elem()
			r.decode(n.table[k], e, below(key, k))
			v.SetMapIndex(reflect.ValueOf(k), e)
		}
	case reflect.Slice:
		if n.kind != listNode {
			wrong(listWanted(v.Type().Elem(), n, key))
			return
		}
		if len(n.items) > 0 {
			v.Set(reflect.MakeSlice(v.Type(), len(n.items), len(n.items)))
		}
		for i, x := range n.items {
			r.decode(x, v.Index(i), item(key, i))
		}
	case reflect.String:
		if n.kind != textNode {
			want := "a text in quotes"
			if q, ok := v.Interface().(quantity); ok {
				want = "a text with a number and a unit, as " + wanted(q)
			}
			wrong(want)
			return
		}
		v.SetString(n.text)
		switch v.Interface().(type) {
		case Humidity:
			v.SetString(listed(n.text, humidityWords))
		case Place:
			v.SetString(listed(n.text, placeWords))
		}
		if n.text == "" {
			r.add(key, "empty text", "none, or one with something in it")
		}
	case reflect.Bool:
		if n.kind != boolNode {
			wrong("true or false")
			return
		}
		v.SetBool(n.yes)
	case reflect.Int:
		x, err := strconv.ParseInt(n.text, 0, 32)
		if n.kind != integerNode || err != nil {
			wrong("a whole number of up to nine digits")
			return
		}
		v.SetInt(x)
	case reflect.Float64:
		x, err := strconv.ParseFloat(n.text, 64)
		if n.kind != integerNode && n.kind != numberNode || err != nil || x-x != 0 {
			wrong("a finite number without unit")
			return
		}
		v.SetFloat(x)
	}
}

// tables show what those are like for which people write a text.
var tables = map[string]string{
	"Shape":       `{ kind = "cylinder" }`,
	"Composition": `{ water = "62 %", protein = "20 %", fat = "18 %" }`,
	"Film":        `{ permeance = "2e-9 kg/(m² s Pa)" }`,
	"Rise":        `{ points = [ { temperature = "20 C", ratio = 1 }, { temperature = "95 C", ratio = 2 } ] }`,
	"Medium":      `{ kind = "fan oven", temperature = "220 C" }`,
	"Condition":   `{ time = "35 min" } or { at = "centre", above = "48 C" }`,
	"Brush":       `{ food = "egg, whole, raw", amount = "60 g/m²" }`,
	"Appliance":   `{ name = "oven", preset = "domestic fan oven", ready_at = "200 C" }`,
	"Tray":        `{ material = "carbon steel", thickness = "1 mm", area = "1200 cm²" }`,
	"Opening":     `{ at = "20 min", for = "30 s" }`,
	"Served":      `{ from = "50 C", to = "60 C" }`,
}

// tableWanted says what a table of a type is like where something else stands.
func tableWanted(t reflect.Type, n *node, key string) string {
	want := "a table with " + strings.Join(keysOf(t), ", ")
	switch {
	case n.kind == listNode && !strings.Contains(key, "."):
		want += "; in TOML [" + key + "] with one pair of brackets"
	case tables[t.Name()] != "":
		want += ", such as " + tables[t.Name()]
	}
	return want
}

// listWanted says what a list of things of a type is like where something else stands.
func listWanted(of reflect.Type, n *node, key string) string {
	name := key[strings.LastIndex(key, ".")+1:]
	switch {
	case n.kind == tableNode && name == key:
		return "a list; in TOML [[" + key + "]] with two pairs of brackets before each"
	case of.Kind() == reflect.Struct:
		return "a list of tables, such as " + name + " = [ { ... }, { ... } ]"
	}
	return "a list, such as " + name + " = [ \"...\", \"...\" ]"
}

func (r *report) decodeTable(n *node, v reflect.Value, key string) {
	for _, k := range n.keys {
		field := -1
		for i := range v.NumField() {
			if x := v.Type().Field(i); x.IsExported() && keyOf(x) == k {
				field = i
			}
		}
		if field < 0 {
			r.lines[below(key, k)] = n.table[k].line
			keys := keysOf(v.Type())
			r.add(below(key, shorten(k)), "unknown key"+nearest(k, keys), "one of "+strings.Join(keys, ", "))
			continue
		}
		if of := choices()[v.Type().Name()+"."+v.Type().Field(field).Name]; of != nil {
			r.list(n.table[k], of, below(key, k))
		}
		r.decode(n.table[k], v.Field(field), below(key, k))
	}
}

func keysOf(t reflect.Type) []string {
	var out []string
	for f := range t.Fields() {
		if f.IsExported() {
			out = append(out, keyOf(f))
		}
	}
	return out
}

// wanted describes the texts of a kind of quantity.
func wanted(q quantity) string {
	_, err := reflect.New(reflect.TypeOf(q)).Elem().Interface().(quantity).SI()
	if t, ok := errors.AsType[*textError](err); ok {
		return t.want
	}
	return q.base()
}

// shorten bounds what an error repeats of a file.
func shorten(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return s
}

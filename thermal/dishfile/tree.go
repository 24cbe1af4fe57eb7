package dishfile

import "fmt"

// Bounds of a file, held before anything is built from it.
const (
	maxBytes  = 1 << 20
	maxWhole  = 16 << 20 // bytes of an outcome, of which the dish alone is kept
	maxDepth  = 16       // of tables and lists within each other
	maxValues = 20000    // values and tables in all
)

type nodeKind uint8

const (
	textNode nodeKind = iota
	integerNode
	numberNode
	boolNode
	listNode
	tableNode
	otherNode // dates, null
)

var nodeNames = [...]string{"a text", "a whole number", "a number", "true or false", "a list", "a table", "a value of another kind"}

// node is a value of a file, whether it was TOML or JSON.
type node struct {
	kind  nodeKind
	line  int
	text  string // of texts and numbers
	yes   bool
	items []*node
	keys  []string         // of a table, in order
	table map[string]*node // of a table
}

func newTable(line int) *node { return &node{kind: tableNode, line: line, table: map[string]*node{}} }

func (n *node) set(key string, v *node) {
	n.keys = append(n.keys, key)
	n.table[key] = v
}

// boundError is a file beyond the bounds, or none that can be parsed.
type boundError struct {
	line    int
	column  int // 0 where it is not known
	problem string
	want    string
}

func (e *boundError) Error() string { return e.problem }

func tooDeep(line int) error {
	return &boundError{line: line, problem: "tables or lists nested too deeply", want: fmt.Sprintf("at most %d", maxDepth)}
}

// counter counts what is built.
type counter struct{ values int }

func (c *counter) next(line int) error {
	if c.values++; c.values > maxValues {
		return &boundError{line: line, problem: "too many values", want: fmt.Sprintf("at most %d", maxValues)}
	}
	return nil
}

// scanDepth refuses brackets nested too deeply outside of texts and comments. It
// goes before the parsers, which recurse.
func scanDepth(data []byte) error {
	depth, line := 0, 1
	for i := 0; i < len(data); i++ {
		switch c := data[i]; c {
		case '\n':
			line++
		case '#':
			for i+1 < len(data) && data[i+1] != '\n' {
				i++
			}
		case '"', '\'':
			end := textEnd(data, i)
			for ; i < end; i++ {
				if data[i] == '\n' {
					line++
				}
			}
		case '[', '{':
			if depth++; depth > maxDepth {
				return tooDeep(line)
			}
		case ']', '}':
			depth = max(depth-1, 0)
		}
	}
	return nil
}

// textEnd is the index of the last byte of the text that begins at i: its closing
// quote, or before the end of the line that a text of one line runs into.
func textEnd(data []byte, i int) int {
	q := data[i]
	three := i+2 < len(data) && data[i+1] == q && data[i+2] == q
	start := i + 1
	if three {
		start = i + 3
	}
	for j := start; j < len(data); j++ {
		switch {
		case data[j] == '\\' && q == '"':
			j++
		case data[j] == '\n' && !three:
			return j - 1
		case data[j] == q && !three:
			return j
		case data[j] == q && j+2 < len(data) && data[j+1] == q && data[j+2] == q:
			return j + 2
		}
	}
	return len(data) - 1
}

package apidoc

import (
	"fmt"
	"go/ast"
	"go/token"
	"strings"
)

// maxLines is the length a file may have.
const maxLines = 400

// fault is one breach of a rule.
type fault struct {
	pos  token.Position
	text string
}

func (f fault) String() string { return fmt.Sprintf("%s:%d: %s", f.pos.Filename, f.pos.Line, f.text) }

// checker collects the faults of the files it is shown.
type checker struct {
	fset   *token.FileSet
	faults []fault
}

func (c *checker) add(pos token.Pos, format string, args ...any) {
	c.faults = append(c.faults, fault{c.fset.Position(pos), fmt.Sprintf(format, args...)})
}

// file checks one file.
func (c *checker) file(file *ast.File) {
	if lines := c.fset.File(file.Pos()).LineCount(); lines > maxLines {
		c.add(file.Package, "file has %d lines, more than %d", lines, maxLines)
	}
	for _, decl := range file.Decls {
		switch decl := decl.(type) {
		case *ast.FuncDecl:
			c.function(decl)
		case *ast.GenDecl:
			for _, spec := range decl.Specs {
				switch spec := spec.(type) {
				case *ast.ValueSpec:
					c.value(decl, spec)
				case *ast.TypeSpec:
					c.typ(decl, spec)
				}
			}
		}
	}
}

func (c *checker) function(decl *ast.FuncDecl) {
	name := decl.Name.Name
	if decl.Recv != nil {
		receiver := receiverName(decl.Recv.List[0].Type)
		if !ast.IsExported(receiver) {
			return
		}
		name = receiver + "." + name
	}
	if decl.Name.IsExported() {
		c.signature(decl.Pos(), name, decl.Doc.Text(), decl.Type)
	}
}

// signature checks the comment of a function, a method or an interface's method.
func (c *checker) signature(pos token.Pos, name, doc string, typ *ast.FuncType) {
	switch {
	case strings.TrimSpace(doc) == "":
		c.add(pos, "%s lacks a comment", name)
	case hasFloat(typ) && !hasUnit(doc):
		c.add(pos, "%s takes or returns float64: its comment lacks a unit in brackets, such as [W/(m K)]", name)
	}
}

// value checks constants and variables; the comment of a group serves all of it.
func (c *checker) value(decl *ast.GenDecl, spec *ast.ValueSpec) {
	doc := join(decl.Doc, spec.Doc, spec.Comment)
	for _, name := range spec.Names {
		if name.IsExported() && doc == "" {
			c.add(name.Pos(), "%s lacks a comment", name.Name)
		}
	}
}

func (c *checker) typ(decl *ast.GenDecl, spec *ast.TypeSpec) {
	if !spec.Name.IsExported() {
		return
	}
	name := spec.Name.Name
	doc := join(spec.Doc, spec.Comment)
	if !decl.Lparen.IsValid() {
		doc = join(decl.Doc, spec.Doc, spec.Comment)
	}
	if doc == "" {
		c.add(spec.Pos(), "%s lacks a comment", name)
	}
	switch typ := spec.Type.(type) {
	case *ast.StructType:
		c.fields(name, typ)
	case *ast.InterfaceType:
		for _, method := range typ.Methods.List {
			signature, ok := method.Type.(*ast.FuncType)
			if ok && method.Names[0].IsExported() {
				c.signature(method.Pos(), name+"."+method.Names[0].Name, join(method.Doc, method.Comment), signature)
			}
		}
	default:
		if doc != "" && hasFloat(typ) && !hasUnit(doc) {
			c.add(spec.Pos(), "%s is made of float64: its comment lacks a unit in brackets, such as [W/(m K)]", name)
		}
	}
}

// fields checks the fields of a struct. The comment above a field serves the
// fields on the lines that follow it too, up to an empty line or the next
// comment; a comment at a line's end is that line's own and adds to it.
func (c *checker) fields(owner string, typ *ast.StructType) {
	group, last := "", 0
	for _, field := range typ.Fields.List {
		first := c.fset.Position(field.Pos()).Line
		if field.Doc != nil || first != last+1 {
			group = join(field.Doc)
		}
		last = c.fset.Position(field.End()).Line
		doc := join(field.Comment)
		if group != "" {
			doc = strings.TrimSpace(group + "\n" + doc)
		}
		for _, ident := range field.Names {
			if ident.IsExported() {
				c.field(ident.Pos(), owner, ident.Name, doc, field.Type)
			}
		}
	}
}

func (c *checker) field(pos token.Pos, owner, name, doc string, typ ast.Expr) {
	name = owner + "." + name
	// A field named after what it holds needs no sentence; a number needs its
	// unit and a setting its default.
	if hasFloat(typ) && !hasUnit(doc) {
		c.add(pos, "%s holds float64: its comment lacks a unit in brackets, such as [W/(m K)]", name)
	}
	if strings.HasSuffix(owner, "Settings") && !strings.Contains(strings.ToLower(doc), "default") {
		c.add(pos, "%s: the comment of a settings field says what its default is", name)
	}
	if inner := innerStruct(typ); inner != nil {
		c.fields(name, inner)
	}
}

// innerStruct returns the struct type written out within a field's type.
func innerStruct(typ ast.Expr) (inner *ast.StructType) {
	ast.Inspect(typ, func(node ast.Node) bool {
		if found, ok := node.(*ast.StructType); ok && inner == nil {
			inner = found
		}
		return inner == nil
	})
	return inner
}

// hasFloat reports whether float64 occurs in a type, be it as an element, a
// parameter, a result or a type argument. Fields of a struct written out within
// are left to their own check.
func hasFloat(typ ast.Expr) bool {
	found := false
	ast.Inspect(typ, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.StructType:
			return false
		case *ast.Field:
			// The names of parameters are not types.
			found = found || hasFloat(node.Type)
			return false
		case *ast.Ident:
			found = found || node.Name == "float64"
		}
		return !found
	})
	return found
}

// receiverName returns the name of a method's receiver type.
func receiverName(typ ast.Expr) string {
	switch typ := typ.(type) {
	case *ast.StarExpr:
		return receiverName(typ.X)
	case *ast.ParenExpr:
		return receiverName(typ.X)
	case *ast.IndexExpr:
		return receiverName(typ.X)
	case *ast.IndexListExpr:
		return receiverName(typ.X)
	case *ast.Ident:
		return typ.Name
	}
	return ""
}

// join returns the text of comments, of which any may be nil.
func join(groups ...*ast.CommentGroup) string {
	var text strings.Builder
	for _, group := range groups {
		text.WriteString(group.Text())
	}
	return strings.TrimSpace(text.String())
}

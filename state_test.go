package bandwright

import (
	"errors"
	"go/ast"
	"go/importer"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"testing"
)

// Package variables that do change, each with the reason it may.
var mayChange = map[string]string{
	"golden.touched": "the register of golden files a test binary has used",
	"golden.update":  "the -update flag",
}

// A package's variables are set where they are declared and never again: no
// assignment to them or into them, nothing that sorts, fills or empties them,
// and none that are made to change (locks, channels, counters). A table may be
// handed on by its address; whoever gets it only reads it, which no syntax can
// show and this test does not claim. Then a room has no state, and one answer cannot depend on what
// was asked before. sync.OnceValue is allowed: it computes a table on first
// use and gives the same one ever after.
func TestPackagesHaveNoState(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		watched := packageVars(pkg)
		for _, file := range pkg.files {
			for _, decl := range file.syntax.Decls {
				if f, ok := decl.(*ast.FuncDecl); ok && f.Name.Name == "init" && f.Recv == nil {
					t.Errorf("%s: func init", file.place(f))
				}
			}
			ast.Inspect(file.syntax, func(node ast.Node) bool {
				for _, changed := range changes(node) {
					if name := watched.name(changed); name != "" && mayChange[pkg.room+"."+name] == "" {
						t.Errorf("%s: package variable %s changes", file.place(node), name)
					}
				}
				return true
			})
		}
		for name, why := range watched.suspicious {
			if mayChange[pkg.room+"."+name] == "" {
				t.Errorf("%s.%s: %s", pkg.room, name, why)
			}
		}
	}
}

// vars are the package variables of a room and what resolves names to them.
type vars struct {
	info       *types.Info
	scope      *types.Scope
	suspicious map[string]string
}

// packageVars resolves names without reading what the package imports, which
// is enough to tell a local variable from a package's.
func packageVars(pkg roomFiles) vars {
	v := vars{info: &types.Info{Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}},
		suspicious: map[string]string{}}
	if len(pkg.files) == 0 {
		return v
	}
	var syntax []*ast.File
	for _, file := range pkg.files {
		syntax = append(syntax, file.syntax)
		v.suspect(file.syntax)
	}
	config := types.Config{Error: func(error) {}, Importer: noImports{}}
	checked, _ := config.Check(pkg.room, pkg.files[0].set, syntax, v.info)
	v.scope = checked.Scope()
	return v
}

// noImports leaves every import unresolved.
type noImports struct{}

func (noImports) Import(path string) (*types.Package, error) {
	if path == "unsafe" {
		return importer.Default().Import(path)
	}
	return nil, errors.New("left out")
}

// name gives the package variable, of this package or another, that an
// expression reaches into; "" if none.
func (v vars) name(e ast.Expr) string {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.SliceExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.SelectorExpr:
			if id, ok := x.X.(*ast.Ident); ok {
				if _, other := v.info.Uses[id].(*types.PkgName); other {
					return id.Name + "." + x.Sel.Name
				}
			}
			e = x.X
		case *ast.Ident:
			object, ok := v.info.Uses[x].(*types.Var)
			if ok && v.scope != nil && object.Parent() == v.scope {
				return x.Name
			}
			return ""
		default:
			return ""
		}
	}
}

// changes lists the expressions a node writes to or hands out for writing.
func changes(node ast.Node) []ast.Expr {
	switch n := node.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.RangeStmt:
		if n.Tok == token.ASSIGN {
			return []ast.Expr{n.Key, n.Value}
		}
	case *ast.CallExpr:
		if len(n.Args) > 0 && writes(n.Fun) {
			return n.Args[:1]
		}
	}
	return nil
}

// writes tells whether a call changes its first argument.
func writes(fun ast.Expr) bool {
	switch f := fun.(type) {
	case *ast.Ident:
		return slices.Contains([]string{"delete", "clear", "copy"}, f.Name)
	case *ast.SelectorExpr:
		id, ok := f.X.(*ast.Ident)
		return ok && (id.Name == "slices" || id.Name == "sort") &&
			(strings.HasPrefix(f.Sel.Name, "Sort") || strings.HasPrefix(f.Sel.Name, "Reverse") ||
				strings.HasPrefix(f.Sel.Name, "Stable") || strings.HasPrefix(f.Sel.Name, "Slice"))
	}
	return false
}

// suspect notes exported variables, which anyone could set, and those whose
// declaration says that they are made to change.
func (v vars) suspect(file *ast.File) {
	for _, decl := range file.Decls {
		d, ok := decl.(*ast.GenDecl)
		if !ok || d.Tok != token.VAR {
			continue
		}
		for _, spec := range d.Specs {
			s := spec.(*ast.ValueSpec)
			for _, name := range s.Names {
				if name.IsExported() && !strings.HasPrefix(name.Name, "Err") && !embedded(d) {
					v.suspicious[name.Name] = "an exported variable can be set by anyone; make it a function or a constant"
				}
				if why := madeToChange(s); why != "" && name.Name != "_" {
					v.suspicious[name.Name] = why
				}
			}
		}
	}
}

func embedded(d *ast.GenDecl) bool {
	return d.Doc != nil && slices.ContainsFunc(d.Doc.List, func(c *ast.Comment) bool {
		return strings.HasPrefix(c.Text, "//go:embed ")
	})
}

func madeToChange(s *ast.ValueSpec) (why string) {
	ast.Inspect(s, func(node ast.Node) bool {
		switch n := node.(type) {
		case *ast.FuncLit:
			return false // what it makes is made when called
		case *ast.ChanType:
			why = "a channel is state"
		case *ast.SelectorExpr:
			if id, ok := n.X.(*ast.Ident); ok && (id.Name == "atomic" ||
				id.Name == "sync" && !strings.HasPrefix(n.Sel.Name, "OnceValue")) {
				why = id.Name + "." + n.Sel.Name + " is state"
			}
		case *ast.CallExpr:
			if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "make" || id.Name == "new") {
				why = "an empty table waits to be filled"
			}
		}
		return true
	})
	return why
}

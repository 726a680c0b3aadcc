package bandwright

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
)

// house is the repository as its own tests see it: every package's syntax and
// every file's text. Nothing of it is changed once read.
type house struct {
	root     fs.FS
	set      *token.FileSet
	packages []roomFiles
	names    []string // every file that belongs to the project
}

// roomFiles are the Go files of one package.
type roomFiles struct {
	room  string
	files []source // non-test
	tests []source
}

type source struct {
	name   string
	text   string
	syntax *ast.File
	set    *token.FileSet
}

func (s source) place(node ast.Node) string {
	return fmt.Sprintf("%s:%d", s.name, s.set.Position(node.Pos()).Line)
}

// lines a node covers, first and last.
func (s source) lines(node ast.Node) (first, last int) {
	return s.set.Position(node.Pos()).Line, s.set.Position(node.End()).Line
}

// left out of the walk: what git does not keep, and what others wrote.
var leftOut = []string{"out", "dist", "node_modules"}

func readHouse(t *testing.T) house {
	t.Helper()
	h := house{root: os.DirFS("."), set: token.NewFileSet()}
	rooms := map[string]*roomFiles{}
	err := fs.WalkDir(h.root, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := path.Base(name)
		if entry.IsDir() {
			if name != "." && base != ".ci" && (strings.HasPrefix(base, ".") || slices.Contains(leftOut, base)) {
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(base, ".got") || (name == "bandwright" && entry.Type().IsRegular()) {
			return nil
		}
		h.names = append(h.names, name)
		if strings.HasSuffix(base, ".go") && !strings.Contains(name, "testdata/") {
			return h.readGo(rooms, name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, room := range rooms {
		h.packages = append(h.packages, *room)
	}
	slices.SortFunc(h.packages, func(a, b roomFiles) int { return strings.Compare(a.room, b.room) })
	if len(h.packages) < 8 {
		t.Fatalf("only %d packages found: the walk is broken", len(h.packages))
	}
	return h
}

func (h house) readGo(rooms map[string]*roomFiles, name string) error {
	room := path.Dir(name)
	if room == "." {
		return nil // this package: tests alone
	}
	text, err := fs.ReadFile(h.root, name)
	if err != nil {
		return err
	}
	syntax, err := parser.ParseFile(h.set, name, text, parser.ParseComments)
	if err != nil {
		return err
	}
	if rooms[room] == nil {
		rooms[room] = &roomFiles{room: room}
	}
	file := source{name: name, text: string(text), syntax: syntax, set: h.set}
	if strings.HasSuffix(name, "_test.go") {
		rooms[room].tests = append(rooms[room].tests, file)
	} else {
		rooms[room].files = append(rooms[room].files, file)
	}
	return nil
}

func (h house) text(t *testing.T, name string) string {
	t.Helper()
	text, err := fs.ReadFile(h.root, name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func (r roomFiles) all() []source { return slices.Concat(r.files, r.tests) }

const (
	mostFileLines     = 800
	mostFunctionLines = 80
	mostBenchLines    = 40 // bench joins; what grows there belongs elsewhere
	fewestDocumented  = 0.85
)

func TestNamesOfRooms(t *testing.T) {
	empty := []string{"util", "utils", "common", "helper", "helpers", "misc", "shared", "lib", "base"}
	for _, pkg := range readHouse(t).packages {
		for _, file := range pkg.all() {
			if slices.Contains(empty, file.syntax.Name.Name) || slices.Contains(empty, path.Base(pkg.room)) {
				t.Errorf("%s: a package named %s says nothing", file.name, file.syntax.Name.Name)
			}
		}
	}
}

func TestSizes(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		most := mostFunctionLines
		if pkg.room == "bench" {
			most = mostBenchLines
		}
		for _, file := range pkg.all() {
			if n := strings.Count(file.text, "\n"); n > mostFileLines {
				t.Errorf("%s has %d lines, at most %d", file.name, n, mostFileLines)
			}
			if strings.HasSuffix(file.name, "_test.go") {
				most = mostFunctionLines
			}
			for _, decl := range file.syntax.Decls {
				f, ok := decl.(*ast.FuncDecl)
				if ok && file.functionLines(f) > most {
					t.Errorf("%s: %s has %d lines beside its tables, at most %d",
						file.place(f), f.Name.Name, file.functionLines(f), most)
				}
			}
		}
	}
}

// functionLines counts a function's lines without those inside tables:
// composite literals of ten lines or more that hold no function.
func (s source) functionLines(f *ast.FuncDecl) int {
	first, last := s.lines(f)
	count := last - first + 1
	ast.Inspect(f, func(node ast.Node) bool {
		literal, ok := node.(*ast.CompositeLit)
		if !ok {
			return true
		}
		first, last := s.lines(literal)
		if last-first < 10 || hasFunction(literal) {
			return true
		}
		count -= last - first - 1
		return false
	})
	return count
}

func hasFunction(node ast.Node) (found bool) {
	ast.Inspect(node, func(n ast.Node) bool {
		_, is := n.(*ast.FuncLit)
		found = found || is
		return !found
	})
	return found
}

func TestEveryPackageHasItsText(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		if len(pkg.files) == 0 {
			continue
		}
		texts := 0
		for _, file := range pkg.files {
			if file.syntax.Doc != nil && strings.TrimSpace(file.syntax.Doc.Text()) != "" {
				texts++
			}
		}
		if texts != 1 {
			t.Errorf("%s has %d package texts, want 1", pkg.room, texts)
		}
	}
}

func TestExportsAreDocumented(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		var bare []string
		total := 0
		for _, file := range pkg.files {
			for _, e := range file.exports() {
				total++
				if !e.documented {
					bare = append(bare, file.place(e.node)+" "+e.name)
				}
			}
		}
		if share := float64(total-len(bare)) / float64(max(total, 1)); total > 0 && share < fewestDocumented {
			t.Errorf("%s: %.0f %% of %d exported names documented; bare:\n%s",
				pkg.room, 100*share, total, strings.Join(bare, "\n"))
		}
	}
}

type export struct {
	name       string
	node       ast.Node
	documented bool
}

// exports lists the exported functions, methods, types, constants and
// variables of a file. A name in a group counts as documented by its own
// comment, by one at its line's end, or by the group's.
func (s source) exports() (list []export) {
	for _, decl := range s.syntax.Decls {
		switch d := decl.(type) {
		case *ast.FuncDecl:
			if d.Name.IsExported() && receiverExported(d) {
				list = append(list, export{d.Name.Name, d, d.Doc != nil})
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch n := spec.(type) {
				case *ast.TypeSpec:
					if n.Name.IsExported() {
						list = append(list, export{n.Name.Name, n, n.Doc != nil || d.Doc != nil || n.Comment != nil})
					}
				case *ast.ValueSpec:
					for _, name := range n.Names {
						if name.IsExported() {
							list = append(list, export{name.Name, n, n.Doc != nil || d.Doc != nil || n.Comment != nil})
						}
					}
				}
			}
		}
	}
	return list
}

func receiverExported(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	kind := f.Recv.List[0].Type
	for {
		switch k := kind.(type) {
		case *ast.StarExpr:
			kind = k.X
		case *ast.IndexExpr:
			kind = k.X
		case *ast.Ident:
			return k.IsExported()
		default:
			return false
		}
	}
}

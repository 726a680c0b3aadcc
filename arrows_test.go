package bandwright

import (
	"go/ast"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The plan of the house: which room stands on which floor and what its
// non-test files may import. ARCHITECTURE.md tells why. A room, an arrow or a
// key that is not here fails TestArrows.

// floors are the rooms from the ground up.
var floors = [][]string{
	{"finding", "quantity", "sparse", "leastsq"},
	{"curve", "circuit", "reading", "coil", "draw"},
	{"equaliser", "wiring", "feed", "sweep", "stock", "spread", "fit", "fault", "artwork"},
	{"job"},
	{"bench"},
	{"report", "shop"},
	{"ask"},
	{"page"},
	{"cmd/bandwright"},
}

// within are the arrows allowed inside a floor, beside those that point down.
var within = map[string][]string{
	"quantity": {"finding"}, // a value that cannot be read is a finding
	"circuit":  {"curve"},
	"reading":  {"curve", "circuit"},
}

// narrow are rooms that may import less than everything below them.
var narrow = map[string][]string{
	"sparse":  {},
	"leastsq": {},
	"shop":    {"finding", "quantity", "curve", "reading", "stock", "job"},
	"ask":     {"finding", "quantity", "equaliser", "stock", "job", "bench", "report"},
	"page":    {"finding", "quantity", "curve", "reading", "job", "bench", "shop", "report", "ask"},
	"cmd/bandwright": {"finding", "quantity", "curve", "reading", "job", "bench", "shop", "report", "ask",
		"page", "demo"},
}

// beside are packages that stand next to the house.
var beside = map[string][]string{
	"known":     {"circuit", "curve"},
	"golden":    {},
	"trials":    {},
	"demo":      {},
	"demo/make": {"finding", "quantity", "curve"}, // never the solver it is meant to test
}

// keys are standard packages that open a door; "" in a list of rooms stands
// for floors 0 to 2. A name ending in a slash covers everything under it.
var keys = []struct {
	name  string
	rooms []string
}{
	{"net", []string{"page", "cmd/bandwright"}},
	{"net/", []string{"page", "cmd/bandwright"}},
	{"database/", []string{"shop"}},
	{"os", []string{"shop", "cmd/bandwright", "golden", "demo/make"}},
	{"os/signal", []string{"cmd/bandwright"}},
	{"os/", nil},
	{"path/filepath", []string{"shop", "cmd/bandwright", "golden", "demo/make"}},
	{"io/ioutil", nil},
	{"syscall", nil},
	{"unsafe", nil},
	{"plugin", nil},
	{"C", nil},
	{"log", nil}, // findings are data, not lines in a log
	{"log/", nil},
	{"testing", []string{"golden", "trials"}},
	{"time", []string{"shop", "page", "cmd/bandwright"}},
	{"math/rand/v2", []string{"known", "demo/make", "spread", "bench"}}, // drawn from a source handed in, which bench makes of a seed
	{"math/rand", nil},
	{"crypto/rand", []string{"page"}}, // the token of a page served off loopback
	{"math", []string{"", "known", "demo/make"}},
	{"math/", []string{"", "known", "demo/make"}},
}

// libraries are the modules from elsewhere, each with the rooms that use it.
// Each has its line of reason in ARCHITECTURE.md.
var libraries = map[string][]string{
	"github.com/alecthomas/kong":    {"cmd/bandwright"},
	"github.com/pelletier/go-toml":  {"job"},
	"codeberg.org/go-pdf/fpdf":      {"draw", "report"},
	"golang.org/x/image":            {"draw", "report"},
	"github.com/danielgtaylor/huma": {"page"},
	"rsc.io/qr":                     {"page", "report"},
	"gonum.org/v1/gonum":            {""},

	"github.com/rogpeppe/go-internal": {"shop"}, // and the tests
}

func TestArrows(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		allowed, known := mayImport(pkg.room)
		if !known {
			t.Errorf("%s: no such room in the plan", pkg.room)
			continue
		}
		for _, file := range pkg.files {
			for _, spec := range file.syntax.Imports {
				if wrong := judge(pkg.room, allowed, spec); wrong != "" {
					t.Errorf("%s: %s", file.place(spec), wrong)
				}
			}
		}
	}
}

// mayImport gives the rooms a room may import.
func mayImport(room string) (allowed []string, known bool) {
	if rooms, ok := beside[room]; ok {
		return rooms, true
	}
	var below []string
	for _, floor := range floors {
		if slices.Contains(floor, room) {
			if rooms, ok := narrow[room]; ok {
				return rooms, true
			}
			return append(below, within[room]...), true
		}
		below = append(below, floor...)
	}
	return nil, false
}

// judge says what is wrong with one import, "" if nothing is.
func judge(room string, allowed []string, spec *ast.ImportSpec) string {
	path, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		return err.Error()
	}
	if spec.Name != nil && spec.Name.Name == "." {
		return "dot import of " + path
	}
	if target, ours := strings.CutPrefix(path, "bandwright/"); ours {
		if !slices.Contains(allowed, target) {
			return "arrow from " + room + " to " + target + " is not in the plan"
		}
		return ""
	}
	if first, _, _ := strings.Cut(path, "/"); strings.Contains(first, ".") {
		return judgeLibrary(room, path)
	}
	for _, key := range keys {
		if path != key.name && !(strings.HasSuffix(key.name, "/") && strings.HasPrefix(path, key.name)) {
			continue
		}
		if !holds(room, key.rooms) {
			return "room " + room + " holds no key to " + path
		}
		return ""
	}
	return ""
}

func judgeLibrary(room, path string) string {
	for module, rooms := range libraries {
		if path == module || strings.HasPrefix(path, module+"/") {
			if !holds(room, rooms) {
				return "room " + room + " does not use " + module
			}
			return ""
		}
	}
	return "library " + path + " is not in the plan"
}

// holds tells whether a room is in the list, "" standing for floors 0 to 2.
func holds(room string, rooms []string) bool {
	if slices.Contains(rooms, room) {
		return true
	}
	lower := slices.Concat(floors[0], floors[1], floors[2])
	return slices.Contains(rooms, "") && slices.Contains(lower, room)
}

// The judge itself is judged: arrows that must pass and arrows that must not.
func TestJudge(t *testing.T) {
	for _, c := range []struct {
		room, path string
		passes     bool
	}{
		{"circuit", "bandwright/sparse", true},
		{"circuit", "bandwright/curve", true},
		{"curve", "bandwright/circuit", false},
		{"sparse", "bandwright/finding", false},
		{"equaliser", "bandwright/circuit", true},
		{"equaliser", "bandwright/wiring", false},
		{"bench", "bandwright/job", true},
		{"job", "bandwright/bench", false},
		{"page", "bandwright/circuit", false},
		{"cmd/bandwright", "bandwright/circuit", false},
		{"cmd/bandwright", "bandwright/bench", true},
		{"circuit", "bandwright/known", false},
		{"demo/make", "bandwright/circuit", false},
		{"circuit", "math", true},
		{"circuit", "math/cmplx", true},
		{"bench", "math", false},
		{"cmd/bandwright", "math", false},
		{"curve", "os", false},
		{"cmd/bandwright", "os", true},
		{"cmd/bandwright", "os/exec", false},
		{"report", "time", false},
		{"job", "net/url", false},
		{"page", "net/http", true},
		{"shop", "database/sql", true},
		{"stock", "database/sql", false},
		{"circuit", "math/rand/v2", false},
		{"circuit", "fmt", true},
		{"draw", "codeberg.org/go-pdf/fpdf", true},
		{"circuit", "codeberg.org/go-pdf/fpdf", false},
		{"circuit", "example.org/other", false},
	} {
		allowed, known := mayImport(c.room)
		if !known {
			t.Fatalf("no room %s", c.room)
		}
		spec := &ast.ImportSpec{Path: &ast.BasicLit{Value: strconv.Quote(c.path)}}
		if wrong := judge(c.room, allowed, spec); (wrong == "") != c.passes {
			t.Errorf("%s importing %s: %q", c.room, c.path, wrong)
		}
	}
	if _, known := mayImport("cellar"); known {
		t.Error("a room that is not in the plan passes")
	}
}

// Every library named in go.mod without "// indirect" has its line in
// ARCHITECTURE.md, and every library of the plan is really required.
func TestLibrariesAreExplained(t *testing.T) {
	house := readHouse(t)
	architecture := house.text(t, "ARCHITECTURE.md")
	for _, line := range strings.Split(house.text(t, "go.mod"), "\n") {
		fields := strings.Fields(strings.TrimPrefix(strings.TrimSpace(line), "require "))
		if len(fields) != 2 || !strings.HasPrefix(fields[1], "v") {
			continue // not a requirement, or marked indirect
		}
		if !strings.Contains(architecture, fields[0]) {
			t.Errorf("ARCHITECTURE.md does not say why %s is used", fields[0])
		}
	}
}

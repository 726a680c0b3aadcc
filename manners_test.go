package bandwright

import (
	"go/ast"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// Calls nobody may make, by package, with the reason.
var forbiddenCalls = []struct {
	pkg   string
	names string // regular expression
	rooms []string
	tests bool // in test files too
	why   string
}{
	{"rand", `^(Int|IntN|Int32|Int32N|Int64|Int64N|Uint.*|Float32|Float64|NormFloat64|ExpFloat64|Perm|Shuffle|N)$`, nil, true,
		"unseeded; draw from a *rand.Rand handed in"},
	{"fmt", `^Print`, []string{"cmd/bandwright", "golden", "demo/make"}, false, "only a door prints"},
	{"os", `^Exit$`, []string{"cmd/bandwright", "golden", "demo/make"}, false, "only a door ends the program"},
	{"time", `^(Sleep|Since|After|Tick)$`, []string{"page", "shop"}, true, "no answer and no test waits on a clock"},
}

// Randomness, printing and clocks stay where the plan puts them; no test is
// skipped, since a skipped test proves nothing.
func TestCalls(t *testing.T) {
	for _, pkg := range readHouse(t).packages {
		for _, file := range pkg.all() {
			test := strings.HasSuffix(file.name, "_test.go")
			ast.Inspect(file.syntax, func(node ast.Node) bool {
				call, ok := node.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if test && slices.Contains([]string{"Skip", "Skipf", "SkipNow"}, call.Sel.Name) {
					t.Errorf("%s: a skipped test proves nothing", file.place(call))
				}
				id, ok := call.X.(*ast.Ident)
				for _, f := range forbiddenCalls {
					if ok && id.Name == f.pkg && (f.tests || !test) && !slices.Contains(f.rooms, pkg.room) &&
						regexp.MustCompile(f.names).MatchString(call.Sel.Name) {
						t.Errorf("%s: %s.%s: %s", file.place(call), id.Name, call.Sel.Name, f.why)
					}
				}
				return true
			})
		}
	}
}

// Words that have no place anywhere in the project: it speaks of itself, not
// of how or where it was made. They are written in pieces, so that this file
// does not trip over itself.
var nowhere = []string{
	`/wo` + `rk/`, `/ro` + `ot/`, `/ho` + `me/[a-z]`,
	`\b(DESI` + `GN|TRA` + `DE|STY` + `LE|LIBRA` + `RIES|SOUR` + `CES|DEVELO` + `PERS)\.md\b`,
	`\bses` + `sions?\b`, `\bissue ` + `#?\d`, `\bchat` + `bots?\b`, `\blanguage mo` + `dels?\b`,
	`\bTO` + `DO\b`, `\bFIX` + `ME\b`, `\bXX` + `X\b`,
}

// onPaper are words kept off page and paper: they belong to some program's
// screens, not to the trade.
var onPaper = []string{
	`workspaces?`, `project files?`, `presets?`, `wizards?`, `dashboards?`, `overlays?`,
	`snapshots?`, `scenarios?`, `layer managers?`, `rule checks?`, `rat lines?`, `pad stacks?`,
}

func TestWords(t *testing.T) {
	house := readHouse(t)
	anywhere := regexp.MustCompile(`(?i)` + strings.Join(nowhere, "|"))
	paper := regexp.MustCompile(`(?i)\b(` + strings.Join(onPaper, "|") + `)\b`)
	for _, name := range house.names {
		text, err := fs.ReadFile(house.root, name)
		if err != nil {
			t.Fatal(err)
		}
		if !utf8.Valid(text) || slices.Contains([]string{"go.sum", "licences.txt", "package-lock.json"}, name[strings.LastIndex(name, "/")+1:]) {
			continue // pictures, check-sums, and the words of others
		}
		search := func(words *regexp.Regexp, why string) {
			for i, line := range strings.Split(string(text), "\n") {
				if found := words.FindString(line); found != "" {
					t.Errorf("%s:%d: %q %s", name, i+1, found, why)
				}
			}
		}
		search(anywhere, "has no place in the project")
		if goesOnPaper(name) {
			search(paper, "is kept off page and paper")
		}
	}
}

func goesOnPaper(name string) bool {
	for _, start := range []string{"README.md", "docs/", "report/", "page/", "demo/", "cmd/", "job/"} {
		if strings.HasPrefix(name, start) && !strings.HasSuffix(name, "_test.go") {
			return true
		}
	}
	return false
}

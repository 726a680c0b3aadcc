package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const reference = "../docs/job-file.md"

// fence finds the examples of the reference page.
var fence = regexp.MustCompile("(?ms)^```toml( bad)?\n(.*?)^```$")

// around gives what stands around a fragment so that it becomes a document:
// each piece is left out when the fragment has its header.
var around = []struct{ header, text string }{
	{"[lift]", "[lift]\ncontact = \"0.1 ohm\"\n"},
	{"[bypass]", "[bypass]\ncontact = \"0.1 ohm\"\n"},
	{"[[band]]", smallest[strings.Index(smallest, "[[band]]"):]},
}

// wired finds the tables of a harness.
var wired = regexp.MustCompile(`(?m)^\[+(wiring|run|link|switch|jack)\]`)

func document(fragment string) string {
	if strings.HasPrefix(fragment, "format") {
		return fragment
	}
	text := "format = 1\ntitle = \"fragment\"\n"
	for _, piece := range around {
		if piece.header == "[bypass]" && wired.MatchString(fragment) {
			continue // its own switch is in the harness
		}
		if !strings.Contains(fragment, piece.header) {
			text += piece.text
		}
	}
	return text + fragment
}

func TestReferenceExamples(t *testing.T) {
	good, bad := 0, 0
	for _, m := range fence.FindAllSubmatch(read(t, reference), -1) {
		if len(m[1]) > 0 {
			bad++
			wantArrows(t, string(m[2]))
			continue
		}
		good++
		if j, list := Decode("example", []byte(document(string(m[2])))); j == nil || len(list) > 0 {
			t.Errorf("%v\n%s", list, m[2])
		}
	}
	if good < 8 || bad < 4 {
		t.Errorf("%d good and %d bad examples", good, bad)
	}
}

var arrow = regexp.MustCompile(`# <- (\S+)(?: \(nearest: (\S+)\))?`)

// wantArrows asks a bad example for exactly the findings that its arrows name.
func wantArrows(t *testing.T, text string) {
	t.Helper()
	var want, got []string
	for i, line := range strings.Split(text, "\n") {
		if m := arrow.FindStringSubmatch(line); m != nil {
			want = append(want, fmt.Sprint(i+1, " ", m[1], " ", m[2]))
		}
	}
	job, list := Decode("example", []byte(text))
	for _, f := range list {
		near, _ := f.Args["nearest"].(string)
		got = append(got, fmt.Sprint(f.Place.Line, " ", f.ID, " ", near))
	}
	if job != nil || len(want) == 0 || !slices.Equal(want, got) {
		t.Errorf("want %q\ngot  %q\n%s", want, got, text)
	}
}

// row is one key of the reference page's tables.
type row struct{ table, key, standard, example string }

var heading = regexp.MustCompile("^## `([a-z_.]+)`")

// rows reads the tables of keys under the headings that name a table.
func rows(t *testing.T) []row {
	var all []row
	table := ""
	for _, line := range strings.Split(string(read(t, reference)), "\n") {
		if strings.HasPrefix(line, "#") {
			table = ""
			if m := heading.FindStringSubmatch(line); m != nil {
				table = m[1]
			}
		}
		cells := strings.Split(strings.Trim(line, "|"), " | ")
		if table == "" || len(cells) != 5 || !strings.Contains(cells[0], "`") {
			continue
		}
		all = append(all, row{table, strings.Trim(cells[0], " `"), strings.TrimSpace(cells[3]), strings.Trim(cells[4], " `")})
	}
	return all
}

// TestReferenceHasEveryKey asks that page and types have the same keys, and
// that each key's example, put where it belongs, is read without a finding.
func TestReferenceHasEveryKey(t *testing.T) {
	var want, got []string
	everyKey(schema(), "top", &want)
	for _, r := range rows(t) {
		got = append(got, r.table+" "+r.key)
		tryRow(t, r)
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(want, got) {
		t.Errorf("only in the types: %q\nonly on the page: %q", missing(want, got), missing(got, want))
	}
}

// once are the tables that are told of with the first of their kind.
var once = []string{"left.volts", "band.capacitor.measured", "band.resistor.measured", "wanted.capacitor", "wanted.resistor",
	"band.coil.rated", "band.capacitor.rated", "band.resistor.rated", "part.rated"}

// everyKey lists the keys of a table and below; the three tables of meter
// readings are told of once, and so are those of the parts wanted.
func everyKey(t *table, name string, into *[]string) {
	for _, e := range t.entries {
		full := strings.TrimPrefix(name+"."+e.key, "top.")
		if name != "top" || e.table == nil {
			*into = append(*into, name+" "+e.key)
		}
		if e.table != nil && !slices.Contains(once, full) {
			everyKey(e.table, full, into)
		}
	}
}

// tryRow puts one example into the whole document.
func tryRow(t *testing.T, r row) {
	t.Helper()
	if !strings.HasPrefix(r.example, r.key+" = ") {
		t.Errorf("%s %s: example %q", r.table, r.key, r.example)
		return
	}
	value := strings.TrimPrefix(r.example, r.key+" = ")
	e := &editor{tree: plant(read(t, "testdata/whole.toml")), line: "\n"}
	if first, _, _ := strings.Cut(r.table, "."); first != "top" && e.root.find(first) == nil {
		e.tree = plant(read(t, "testdata/wired.toml")) // no bypass goes with a harness
	}
	n := e.root
	if r.table != "top" {
		for _, key := range strings.Split(r.table, ".") {
			m := n.find(key)
			if m == nil {
				t.Fatalf("the whole document has no %s", r.table)
			}
			if n = m.value; n.kind == kindList {
				n = n.items[len(n.items)-1]
				first := r.table == "wanted" || r.table == "wanted.coil.owned" // the second keeps its coil open
				if key == "band" || key == "fitting" || key == "volts" || key == "stage" || key == "curve" || key == "contact" || key == "run" && r.key != "last" || first {
					n = m.value.items[0]
				}
			}
		}
	}
	m := n.find(r.key)
	switch {
	case m == nil:
		e.insert(n, r.key, value)
	case m.value.look == lookInline:
		e.exchange(m.value, value)
	default:
		t.Fatalf("%s.%s is not written in one place", r.table, r.key)
	}
	if j, list := Decode("row", e.apply()); j == nil || len(list) > 0 {
		t.Errorf("%s %s: %v", r.table, r.example, list)
	}
	needed := r.standard == "needed"
	if m != nil && needed && r.table != "curve" {
		e = &editor{tree: e.tree, line: "\n"}
		e.remove(n, m)
		if j, _ := Decode("row", e.apply()); j != nil {
			t.Errorf("%s.%s is called needed and can be left out", r.table, r.key)
		}
	}
	if m != nil && !needed && r.standard != "by kind" {
		e = &editor{tree: e.tree, line: "\n"}
		e.remove(n, m)
		if j, list := Decode("row", e.apply()); j == nil {
			t.Errorf("%s.%s has default %q and cannot be left out: %v", r.table, r.key, r.standard, list)
		}
	}
}

// TestReferenceKinds holds the page's table of kinds against Kinds.
func TestReferenceKinds(t *testing.T) {
	page := string(read(t, reference))
	for _, k := range Kinds() {
		var set []string
		for _, p := range k.Set {
			if p.Default == "" {
				set = append(set, "**`"+p.Name+"`**")
				continue
			}
			set = append(set, "`"+p.Name+"` "+p.Default)
		}
		line := strings.Join(strings.Fields(fmt.Sprintf("| `%s` | %s | %s | %s |",
			k.Name, strings.Join(k.Points, ", "), k.Value, strings.Join(set, ", "))), " ")
		if !strings.Contains(page, line+"\n") {
			t.Errorf("the page has no row\n%s", line)
		}
		if !strings.Contains(page, "kind = \""+k.Name+"\"") {
			t.Errorf("the page has no example of kind %s", k.Name)
		}
	}
}

package wiring

import (
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/reading"
)

// Question is what a list of probes is made for.
type Question struct {
	Circuit  *circuit.Circuit // as it should be at this stage
	Faults   []Fault          // edits of that circuit
	Points   []string         // a lead can be held to
	Settings []curve.Setting  // that a person can set with the power off
	Parts    []reading.Uncertainty
	Meter    reading.Meter
	Cond     reading.Conditions
	Progress func(done, total int) // of the faults; nil is fine
	Workers  int                   // 0: one; the answer is the same
}

// Probe is where the two leads go, at which setting.
type Probe struct {
	Red     string        `json:"red"`
	Black   string        `json:"black"`
	Setting curve.Setting `json:"setting"`
}

// Line is one line of a list: a probe, what it must show, and the faults it
// shows, by number.
type Line struct {
	Probe
	Open  bool             `json:"open,omitempty"` // it must show no path
	Ohms  reading.Expected `json:"ohms"`           // worst case, the meter's error added; without meaning when Open
	Shows []int            `json:"shows"`
}

// List is a plan for ringing out.
type List struct {
	Lines []Line `json:"lines"` // by black lead: clip it once and walk with the red one
	Bound int    `json:"bound"` // proven: no list that shows all these faults has fewer lines
	// Unseen are faults that no probe shows; Why says what stands in the way.
	Unseen []Unseen `json:"unseen"`
	Probes int      `json:"probes"` // looked at
}

// Unseen is a fault that ohms cannot show.
type Unseen struct {
	Fault int    `json:"fault"`
	Why   Hidden `json:"why"`
}

// Hidden says why a fault cannot be seen in ohms.
type Hidden string

// Why not.
const (
	NoChange Hidden = "no ohms change"       // the circuit is the same for direct current
	InRange  Hidden = "within the ranges"    // they change less than parts and meter let them
	Failing  Hidden = "no answer with fault" // the faulty circuit has none
)

// Full makes the shortest list that shows every fault which any probe can
// show. A fault is shown by a probe where the worst-case range it then must
// lie in and the healthy one have nothing in common.
//
// Ranges are first taken from one elimination a setting and fault, of the
// resistors alone; the list is then proven line by line with the meter as it
// is, junctions and all (reading.Predict), by carrying out every fault. What
// fails there is struck from the table and the list made anew.
func Full(ctx context.Context, q Question) (*List, error) {
	t, err := q.table(ctx)
	if err != nil {
		return nil, err
	}
	for {
		covered, err := Cover(ctx, len(q.Faults), t.shows)
		if err != nil {
			return nil, err
		}
		struck, err := t.prove(ctx, covered.Columns)
		if err != nil {
			return nil, err
		}
		if struck == 0 {
			return t.list(covered), nil
		}
	}
}

// Quick makes a short list: the probes that show most of what a hand is likely
// to have done, at most so many lines. It ends sooner when nothing is left.
func Quick(ctx context.Context, q Question, most int) (*List, error) {
	t, err := q.table(ctx)
	if err != nil {
		return nil, err
	}
	var chosen []int
	seen := make([]bool, len(q.Faults))
	for len(chosen) < most {
		best, gain := -1, 0.0
		for p, shown := range t.shows {
			sum := 0.0
			for _, f := range shown {
				if !seen[f] {
					sum += q.Faults[f].Prior
				}
			}
			if sum > gain*(1+1e-9) {
				best, gain = p, sum
			}
		}
		if best < 0 {
			break
		}
		struck, err := t.prove(ctx, []int{best})
		if err != nil {
			return nil, err
		}
		if struck > 0 {
			continue
		}
		chosen = append(chosen, best)
		for _, f := range t.shows[best] {
			seen[f] = true
		}
	}
	return t.list(Covered{Columns: chosen}), nil
}

// list writes the chosen probes, those with one black lead together, the lead
// that serves most first.
func (t *table) list(c Covered) *List {
	l := &List{Bound: c.Bound, Probes: len(t.probes)}
	for _, p := range c.Columns {
		l.Lines = append(l.Lines, Line{Probe: t.probe(p), Open: t.healthy[p].open, Ohms: t.proven[p], Shows: t.shows[p]})
	}
	t.turn(l.Lines)
	for f, why := range t.hidden {
		if why != "" {
			l.Unseen = append(l.Unseen, Unseen{f, why})
		}
	}
	return l
}

// turn holds the black lead to the points that serve most lines, and sorts.
// Between two points ohms are alike either way round where no junction is
// opened; where one is, a probe stays as it is.
func (t *table) turn(lines []Line) {
	for left := slices.Clone(index(len(lines))); len(left) > 0; {
		count := map[string]int{}
		for _, i := range left {
			count[lines[i].Black]++
			if t.eitherWay {
				count[lines[i].Red]++
			}
		}
		black := most(count)
		left = slices.DeleteFunc(left, func(i int) bool {
			if t.eitherWay && lines[i].Red == black {
				lines[i].Red, lines[i].Black = lines[i].Black, lines[i].Red
			}
			return lines[i].Black == black
		})
	}
	served := map[string]int{}
	for _, l := range lines {
		served[l.Black]++
	}
	slices.SortStableFunc(lines, func(a, b Line) int {
		if a.Black != b.Black {
			if n := served[b.Black] - served[a.Black]; n != 0 {
				return n
			}
			return strings.Compare(a.Black, b.Black)
		}
		if n := strings.Compare(a.Setting.String(), b.Setting.String()); n != 0 {
			return n
		}
		return strings.Compare(a.Red, b.Red)
	})
}

func index(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// most names what was counted most often, the first by name among equals.
func most(count map[string]int) (name string) {
	for n, c := range count {
		if name == "" || c > count[name] || c == count[name] && n < name {
			name = n
		}
	}
	return name
}

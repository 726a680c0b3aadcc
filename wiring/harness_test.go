package wiring

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/reading"
)

// benchHarness is a small harness (invented): a board of one slider and a leg between
// a follower and an inverter, a panel switch of two poles, a footswitch jack
// of two circuits.
func benchHarness() Harness {
	screened := func(name, from, to, at string, metres float64, colour string) Run {
		return Run{Name: name, From: from, To: to, Kind: Screened, Metres: metres, Colour: colour,
			Screen: Screen{AtFrom: at}, State: Made}
	}
	in := screened("in", "panel.a1", "board.in", "board.0", 0.25, "white")
	out := screened("out", "board.out", "panel.b1", "board.0", 0.25, "grey")
	out.Screen = Screen{AtFrom: "board.0"}
	in.Screen = Screen{AtTo: "board.0"}
	return Harness{
		Runs: []Run{
			{Name: "from follower", From: "follower", To: "panel.a2", Kind: Lead, Metres: 0.2, Colour: "yellow", State: Made},
			in, out,
			{Name: "to inverter", From: "panel.b2", To: "inverter", Kind: Lead, Metres: 0.2, Colour: "blue", Last: true, State: Made},
			{Name: "round", From: "panel.a3", To: "panel.b3", Kind: Strap, Metres: 0.02, State: Made},
			{Name: "return", From: "board.0", To: "0", Kind: Earth, Metres: 0.15, Colour: "black", State: Made},
			{Name: "lift tip", From: "jack.tip", To: "board.legs", Kind: Lead, Metres: 0.4, Colour: "green", State: Made},
			{Name: "lift return", From: "jack.sleeve", To: "board.0", Kind: Lead, Metres: 0.4, Colour: "brown", State: Made},
		},
		Links: []Link{{Name: "follower to inverter", From: "follower", To: "inverter", State: Removed}},
		Switches: []Switch{{
			Name: "panel", Positions: []string{"in", "out"}, OnOhms: 0.02,
			Contacts: []Contact{
				{A: "panel.a2", B: "panel.a1", Closed: []string{"in"}}, {A: "panel.a2", B: "panel.a3", Closed: []string{"out"}},
				{A: "panel.b2", B: "panel.b1", Closed: []string{"in"}}, {A: "panel.b2", B: "panel.b3", Closed: []string{"out"}},
			},
			Pins: [][]string{{"panel.a1", "panel.a2", "panel.a3"}, {"panel.b1", "panel.b2", "panel.b3"}},
		}},
		Jacks: []Jack{{Name: "jack", Tip: "jack.tip", Ring: "jack.ring", Sleeve: "jack.sleeve", Cord: "cord", Rest: TwoCircuit}},
		Rows: [][]string{
			{"panel.a1", "panel.a2", "panel.a3"}, {"panel.b1", "panel.b2", "panel.b3"},
			{"board.in", "board.out", "board.0", "board.legs"}, {"jack.tip", "jack.ring", "jack.sleeve"},
			{"follower", "inverter"},
		},
		Input: "in", Output: "out", MostAtLug: 4,
	}
}

// board is what the harness is wired to.
func board() []circuit.Part {
	return []circuit.Part{
		circuit.Resistor{Name: "follower.load", A: "follower", B: "0", Ohms: 100e3},
		circuit.Resistor{Name: "inverter.leak", A: "inverter", B: "0", Ohms: 1e6},
		circuit.Resistor{Name: "feed", A: "board.in", B: "cut", Ohms: 2200},
		circuit.Resistor{Name: "feedback", A: "board.out", B: "boost", Ohms: 2200},
		circuit.Resistor{Name: "bleed", A: "board.out", B: "board.0", Ohms: 100e3},
		circuit.Resistor{Name: "bias", A: "cut", B: "board.0", Ohms: 47e3},
		circuit.Slider{Name: "400", Boost: "boost", Wiper: "wiper", Cut: "cut", Track: 10e3},
		circuit.Resistor{Name: "400.resistor", A: "wiper", B: "a", Ohms: 390},
		circuit.Inductor{Name: "400.coil", A: "a", B: "b", Henries: 0.4, DCR: 62},
		circuit.Capacitor{Name: "400.capacitor", A: "b", B: "board.legs", Farads: 390e-9},
		circuit.Resistor{Name: "cord.contact", A: "cord.tip", B: "cord.sleeve", Ohms: 0.1},
		circuit.Resistor{Name: "cord.ring.leak", A: "cord.ring", B: "cord.sleeve", Ohms: 1e9},
		circuit.Capacitor{Name: "gap", A: "panel.a1", B: "0", Farads: 1e-12},
		circuit.Capacitor{Name: "gap2", A: "panel.a3", B: "0", Farads: 1e-12},
		circuit.Capacitor{Name: "gap3", A: "panel.b1", B: "0", Farads: 1e-12},
		circuit.Capacitor{Name: "gap4", A: "jack.ring", B: "0", Farads: 1e-12},
	}
}

func benchQuestion(t *testing.T, as As) Question {
	t.Helper()
	h := benchHarness()
	c, err := circuit.New(append(board(), h.Parts(as)...)...)
	if err != nil {
		t.Fatal(err)
	}
	var parts []reading.Uncertainty
	for _, p := range c.Parts() {
		if r, ok := p.(circuit.Resistor); ok && r.Ohms > 1 {
			parts = append(parts, reading.Within(circuit.Knob{Part: r.Name, Value: "Ohms"}, 0.05*r.Ohms))
		}
		if s, ok := p.(circuit.Slider); ok {
			parts = append(parts, reading.Within(circuit.Knob{Part: s.Name, Value: "Track"}, 0.2*s.Track))
		}
	}
	return Question{
		Circuit: c, Faults: h.Faults(as), Parts: parts, Meter: reading.HandMeter(),
		Points: []string{"0", "follower", "inverter", "panel.a1", "panel.a2", "panel.a3", "panel.b1", "panel.b2", "panel.b3",
			"board.in", "board.out", "board.0", "board.legs", "jack.tip", "jack.ring", "jack.sleeve", "cord.tip"},
		Settings: []curve.Setting{{}, curve.Setting{}.WithSwitch("panel", "out"), curve.Setting{}.WithSwitch("jack", "none"), curve.Setting{}.WithSwitch("jack", "mono")},
	}
}

// TestFullListShowsEveryFault carries out every single fault and holds the list
// against what any probe at all shows, asked one by one.
func TestFullListShowsEveryFault(t *testing.T) {
	for _, as := range []As{Loose, LastOpen, Complete} {
		q := benchQuestion(t, as)
		list, err := Full(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("stage %d: %d faults, %d lines of %d probes, bound %d, %d unseen", as, len(q.Faults), len(list.Lines), list.Probes, list.Bound, len(list.Unseen))
		if len(list.Lines) > list.Bound+1 {
			t.Errorf("%d lines, bound %d", len(list.Lines), list.Bound)
		}
		shown := map[int]bool{}
		for _, l := range list.Lines {
			for _, f := range l.Shows {
				shown[f] = true
			}
		}
		for _, u := range list.Unseen {
			if shown[u.Fault] {
				t.Errorf("%s is both shown and unseen", q.Faults[u.Fault].Label)
			}
			shown[u.Fault] = true
			t.Logf("unseen (%s): %s, %s", u.Why, q.Faults[u.Fault].Slip, q.Faults[u.Fault].Label)
		}
		for f := range q.Faults {
			if !shown[f] {
				t.Errorf("%s %s is neither shown nor unseen", q.Faults[f].Slip, q.Faults[f].Label)
			}
		}
		for _, l := range list.Lines {
			t.Logf("%-12s %-12s %-24s open %-5v %v…%v shows %d", l.Black, l.Red, l.Setting, l.Open, l.Ohms.Low, l.Ohms.High, len(l.Shows))
		}
	}
}

// TestEveryLineIsTrue asks every line of the complete list of the faulty
// circuits, each on its own: healthy range and faulty range are apart.
func TestEveryLineIsTrue(t *testing.T) {
	q := benchQuestion(t, Complete)
	list, err := Full(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list.Lines {
		for _, f := range l.Shows {
			faulty, err := q.Circuit.Edited(q.Faults[f].Edits...)
			if err != nil {
				t.Fatal(err)
			}
			r := []reading.Reading{{Kind: reading.Ohms, Red: l.Red, Black: l.Black, Setting: l.Setting, Meter: q.Meter}}
			var there []reading.Uncertainty
			for _, u := range q.Parts {
				if _, err := faulty.Value(u.Knob); err == nil {
					there = append(there, u)
				}
			}
			p, err := reading.Predict(context.Background(), faulty, r, there, q.Cond)
			if err != nil {
				t.Fatal(err)
			}
			row := p.Rows[0]
			open := row.Lack == reading.Open
			if open == l.Open && (open || row.Worst.Low <= l.Ohms.High && l.Ohms.Low <= row.Worst.High) {
				t.Errorf("%s–%s at %v does not show %s", l.Red, l.Black, l.Setting, q.Faults[f].Label)
			}
		}
	}
}

// TestQuickListComesFirst: no line of the quick list shows less that is new
// than the next, by prior, and it is no longer than asked.
func TestQuickListComesFirst(t *testing.T) {
	q := benchQuestion(t, Complete)
	list, err := Quick(context.Background(), q, 6)
	if err != nil {
		t.Fatal(err)
	}
	seen, sum := map[int]bool{}, 0.0
	for _, l := range list.Lines {
		for _, f := range l.Shows {
			if !seen[f] {
				seen[f] = true
				sum += q.Faults[f].Prior
			}
		}
	}
	t.Logf("%d lines show %.0f %% of what is likely", len(list.Lines), 100*sum)
	if len(list.Lines) > 6 || sum < 0.5 {
		t.Errorf("%d lines show %.2f", len(list.Lines), sum)
	}
}

func TestCheckNamesWhatIsUnwise(t *testing.T) {
	h := benchHarness()
	if found := h.Check(); len(found) != 0 {
		t.Errorf("a sound harness: %v", found)
	}
	h.Runs[1].Screen = Screen{AtFrom: "0", AtTo: "board.0"}
	h.Runs[2].Screen = Screen{}
	h.Runs[3].To = h.Runs[3].From
	h.Runs = append(h.Runs, Run{Name: "return", From: "board.0", To: "0", Kind: Earth}, Run{Name: "x", From: "board.0", To: "y"})
	h.MostAtLug = 0
	h.Moved = []Moved{{Name: "lamp", Lead: "extended", Mains: true}}
	var got []finding.ID
	for _, f := range h.Check() {
		got = append(got, f.ID)
	}
	want := []finding.ID{IDRunToItself, IDRunTwice, IDScreenBoth, IDScreenNone, IDGroundLoop, IDGroundLoop, IDLugFull, IDMainsUnsigned, IDBareMains}
	if !slices.Equal(got, want) {
		t.Errorf("%v\nwant %v", got, want)
	}
}

// TestPriorsMakeOne, and every fault of a stage is an edit the circuit takes.
func TestPriorsMakeOne(t *testing.T) {
	for _, as := range []As{Loose, LastOpen, Complete} {
		q, sum, labels := benchQuestion(t, as), 0.0, map[string]bool{}
		for _, f := range q.Faults {
			sum += f.Prior
			if _, err := q.Circuit.Edited(f.Edits...); err != nil {
				t.Errorf("%s %s: %v", f.Slip, f.Label, err)
			}
			if key := fmt.Sprint(f.Slip, f.Label); labels[key] {
				t.Errorf("%s twice", key)
			} else {
				labels[key] = true
			}
		}
		if sum < 1-1e-12 || sum > 1+1e-12 {
			t.Errorf("priors make %v", sum)
		}
	}
}

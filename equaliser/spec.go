package equaliser

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
)

// Findings of a description that no equaliser can be made of. All are errors.
const (
	// IDUnknownDrawing: drawing (as given), known (comma list).
	// "There is no driver drawing called {drawing}." Hint: "Use one of {known}."
	IDUnknownDrawing finding.ID = "equaliser.unknown-drawing"
	// IDBadValue: what, value, want. "{what} cannot be {value}." Hint: "It must be {want}."
	IDBadValue finding.ID = "equaliser.bad-value"
	// IDBandTwice: place band. "Two bands are called {band}." Hint: "Give each band a name of its own."
	IDBandTwice finding.ID = "equaliser.band-twice"
	// IDBandName: place band; why, one of "empty", "sign", "word", "part".
	// "A band cannot be called {band}." Hint by why: empty "Give it a name.";
	// sign "Leave out , = and : and spaces at the ends: settings are written with them.";
	// word "That word is itself a setting.";
	// part "The drawing has a part of that name."
	IDBandName finding.ID = "equaliser.band-name"
	// IDPartTwice: place part. "The part {part} is given twice." Hint: "Keep one of the two."
	IDPartTwice finding.ID = "equaliser.part-twice"
)

// Spec describes one equaliser in base units. A Spec is plain data; Build
// makes the circuit of it.
type Spec struct {
	Drawing    string  // "ideal", "op-amp" or "two-transistor"; "" is "ideal"
	SourceOhms float64 // what the tap-in point drives from
	LevelVolts float64 // strongest signal at the tap-in, volts rms; 0: not stated
	LoadOhms   float64 // of the stage that follows; 0: none
	LoadFarads float64 // of the stage that follows; 0: none
	Rail       float64 // volts: two-transistor, the one rail; op-amp, each of two; 0: the drawing's own
	Feed       float64 // ohms into the cut bus; 0: what with SourceOhms makes Feedback, so that boost and cut are alike
	Feedback   float64 // ohms into the boost bus; 0: 2200
	Bands      []Band
	Lift       *Lift   // nil: the legs' common is wired to ground
	Bypass     *Bypass // nil: the equaliser is always in
	Wired      *Wired  // nil: board and amplifier are one, joined as the drawing has it
	// Extra holds parts beyond the drawing. One that has the name of a part of
	// the drawing or of a band takes its place, whatever its kind; any other is
	// added.
	Extra  []circuit.Part
	Kelvin float64 // of the parts at work; 0: the engine's own
}

// Band is one band. The parts are prototypes: their names and points are set
// by Build, everything else is kept.
type Band struct {
	Name      string
	Hz        float64 // stated centre
	Slider    circuit.Slider
	Coil      circuit.Inductor
	Capacitor circuit.Capacitor
	Resistor  circuit.Resistor
}

// Lift is the contact that takes the legs' common off ground, worked by the
// switch "footswitch".
type Lift struct {
	OnOhms     float64 // closed; of a light-dependent resistor, lit
	OffOhms    float64 // open; of a light-dependent resistor, in the dark; 0: no path
	LeadFarads float64 // of the lead, across the open contact; 0: none
}

// Bypass is the panel switch, worked by the switch "panel".
type Bypass struct {
	OnOhms       float64 // of each contact
	GroundsInput bool    // the equaliser's input is grounded when out
}

// Wired leaves the joins between board and amplifier to a harness, whose parts
// come in Extra: none is drawn from the tap to the driver's input, none from the
// driver's output to the return. A Bypass beside it is not drawn: the harness
// has its own switch.
type Wired struct {
	// BoardGround is the board's own 0 V, on which all the board's parts stand
	// that have a leg on ground; "": the chassis. Source, load and rail stay on
	// the chassis. An op-amp's output current returns to the chassis either way:
	// its supply leads are not in the drawing.
	BoardGround string
	RailLug     string // of the amplifier, where its rail stands; "": at the board's point "rail"
}

// Names that every drawing keeps.
const (
	Source      = "source"      // the signal, a voltage source at point "generator"
	SourceOhms  = "source.ohms" // what the tap-in drives from
	Rail        = "rail"        // the rail, a voltage source, of drawings that have one
	InputPoint  = "in"          // of the board
	BoardOutput = "out.coupled" // of the board
	OutputPoint = "return"      // where the amplifier takes the signal back
	TapPoint    = "tap"         // where the amplifier gives it
	FootSwitch  = "footswitch"  // positions "in" (rest) and "lifted"
	PanelSwitch = "panel"       // positions "in" (rest) and "out"
)

// withDefaults fills in what was left at 0.
func (s Spec) withDefaults() Spec {
	if s.Drawing == "" {
		s.Drawing = DrawingIdeal
	}
	if s.Feedback == 0 {
		s.Feedback = 2200
	}
	if s.Feed == 0 {
		s.Feed = max(s.Feedback-s.SourceOhms, 0)
	}
	if s.Rail == 0 {
		s.Rail = starterRail[s.Drawing]
	}
	return s
}

// check looks for what cannot be built. Values of parts are checked by the
// circuit itself.
func (s Spec) check() finding.List {
	var found finding.List
	bad := func(what string, value float64, want string) {
		found = append(found, finding.New(IDBadValue, finding.Error, finding.Place{},
			finding.Args{"what": what, "value": readable(value), "want": want}))
	}
	if _, ok := drawings[s.Drawing]; !ok {
		found = append(found, finding.New(IDUnknownDrawing, finding.Error, finding.Place{},
			finding.Args{"drawing": s.Drawing, "known": strings.Join(Drawings(), ", ")}))
	}
	for _, v := range []struct {
		what  string
		value float64
	}{
		{"source resistance", s.SourceOhms}, {"level", s.LevelVolts}, {"load resistance", s.LoadOhms},
		{"load capacitance", s.LoadFarads}, {"rail", s.Rail}, {"feed resistor", s.Feed},
		{"feedback resistor", s.Feedback}, {"temperature", s.Kelvin},
	} {
		if !(v.value >= 0) || math.IsInf(v.value, 0) {
			bad(v.what, v.value, "0 or more")
		}
	}
	found = append(found, checkBands(s.Bands)...)
	var names []string
	for _, p := range s.Extra {
		if slices.Contains(names, p.PartName()) {
			found = append(found, finding.New(IDPartTwice, finding.Error, finding.Place{Part: p.PartName()}, nil))
		}
		names = append(names, p.PartName())
	}
	return found
}

// readable gives a number as an argument of a finding: as text where JSON has
// no number for it.
func readable(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return v
}

func checkBands(bands []Band) finding.List {
	var found finding.List
	seen := map[string]bool{}
	for _, b := range bands {
		at := finding.Place{Band: b.Name}
		if seen[b.Name] {
			found = append(found, finding.New(IDBandTwice, finding.Error, at, nil))
		}
		seen[b.Name] = true
		if why := whyNotABandName(b.Name); why != "" {
			found = append(found, finding.New(IDBandName, finding.Error, at, finding.Args{"why": why}))
		}
		if !(b.Hz > 0) || math.IsInf(b.Hz, 0) {
			found = append(found, finding.New(IDBadValue, finding.Error, at,
				finding.Args{"what": "stated centre", "value": readable(b.Hz), "want": "above 0"}))
		}
	}
	return found
}

// whyNotABandName gives "" for a name that a setting can be written with.
func whyNotABandName(name string) string {
	switch {
	case strings.TrimSpace(name) == "":
		return "empty"
	case strings.ContainsAny(name, ",=:;") || strings.TrimSpace(name) != name:
		return "sign"
	case settingWord(name) != "":
		return "word"
	}
	return ""
}

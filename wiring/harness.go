package wiring

// State says how far a run or a link has come.
type State string

// The states. What has none was planned and is not there yet.
const (
	Made    State = "made"
	NotYet  State = "not yet"
	Removed State = "removed"
)

// Kind says what a run is made of.
type Kind string

// The kinds.
const (
	Lead     Kind = "lead"     // one insulated wire
	Screened Kind = "screened" // with a screen round it
	Strap    Kind = "strap"    // a bare wire between neighbours
	Earth    Kind = "0 V"      // a return: it joins grounds
)

// Harness is all wiring of one amplifier: what is added, what is cut, and the
// switches and jacks between. It is never changed by this room.
type Harness struct {
	Runs     []Run
	Links    []Link
	Switches []Switch
	Jacks    []Jack
	Moved    []Moved
	// Rows are lugs that lie beside each other, in order: the pins of a switch's
	// side, the pads of a board's edge. Only neighbours are mistaken for each
	// other, or bridged by solder.
	Rows [][]string
	// Input and Output name the two runs that bring the signal to the board and
	// take it away; "": not told apart.
	Input, Output string
	// BoardGround is the board's own 0 V; "": the chassis.
	BoardGround string
	// MostAtLug is how many conductors a lug may hold; 0: 3 (common practice,
	// no source).
	MostAtLug int
}

// Run is one wire from lug to lug. A lug is a point of the circuit.
type Run struct {
	Name     string
	From, To string
	Kind     Kind
	Metres   float64 // 0: not stated
	Ohms     float64 // of the conductor; 0: by Metres and SquareMM, or none
	SquareMM float64 // of the conductor, mm²; 0: 0.25
	Colour   string
	Original string // the colour of what it takes the place of, where that is another
	Screen   Screen
	Mains    bool // it carries mains
	Last     bool // among the last joints: left open until the rest is rung out
	State    State
}

// Screen is the screen of a run: the lug it is soldered to at each end; ""
// is cut back and sleeved.
type Screen struct {
	AtFrom, AtTo   string
	FaradsPerMetre float64 // 0: 100 pF (common practice, no source)
}

// Link is a connection that the amplifier came with and that must go. Where
// its ends were is kept for the way back.
type Link struct {
	Name     string
	From, To string
	Colour   string
	State    State // Made: still there; Removed
}

// Switch is a switch with its contacts, by position.
type Switch struct {
	Name      string
	Positions []string // the first is its rest
	Contacts  []Contact
	Pins      [][]string // its pins as they lie, column by column; nil: not stated
	OnOhms    float64
}

// Contact joins two lugs at the positions listed.
type Contact struct {
	A, B   string
	Closed []string
}

// Plug is what sits in a jack.
type Plug string

// The plugs. A mono plug in a two-circuit jack joins ring and sleeve.
const (
	NoPlug     Plug = "none"
	MonoPlug   Plug = "mono"
	TwoCircuit Plug = "two-circuit"
)

// Jack is a jack by what is plugged in: it is a switch whose positions are the
// plugs. The lugs of the cord's own end are Cord.tip, Cord.ring, Cord.sleeve.
type Jack struct {
	Name              string
	Tip, Ring, Sleeve string // lugs; Ring "": a one-circuit jack
	TipRest, RingRest string // lugs that tip and ring touch while nothing is plugged in; "": none
	Cord              string
	Rest              Plug // what the job takes for granted; "": none
}

// Moved is a part of the amplifier that gets another hole.
type Moved struct {
	Name     string
	OldHole  string
	NewHole  string
	Lead     string // "kept", "shortened", "extended"
	Sleeved  bool   // its joints are insulated anew
	Mains    bool
	SignedBy string // who looked at a mains lug after it was touched; "": nobody
}

// mostAtLug is the limit in force.
func (h Harness) mostAtLug() int {
	if h.MostAtLug == 0 {
		return 3
	}
	return h.MostAtLug
}

// Copper at 20 °C, ohm·mm²/m: IEC 60028 gives 1/58 for annealed copper.
const copperOhmSquareMM = 1.0 / 58

// conductorOhms is the resistance of a run's wire.
func (r Run) conductorOhms() float64 {
	square := r.SquareMM
	if square == 0 {
		square = 0.25
	}
	if r.Ohms == 0 {
		return copperOhmSquareMM * r.Metres / square
	}
	return r.Ohms
}

// Farads is what lies between a run's conductor and its screen.
func (r Run) Farads() float64 {
	if r.Kind != Screened {
		return 0
	}
	each := r.Screen.FaradsPerMetre
	if each == 0 {
		each = 100e-12
	}
	return each * r.Metres
}

// Lug is one place of soldering, with what it holds.
type Lug struct {
	Name   string
	Before int // conductors of the amplifier as it came: links
	After  int // conductors when all is made
}

// Lugs lists every lug that a run, a screen or a link ends at, in the order
// met.
func (h Harness) Lugs() []Lug {
	var list []Lug
	at := map[string]int{}
	of := func(name string) *Lug {
		i, ok := at[name]
		if !ok {
			i, at[name] = len(list), len(list)
			list = append(list, Lug{Name: name})
		}
		return &list[i]
	}
	for _, l := range h.Links {
		of(l.From).Before++
		of(l.To).Before++
	}
	for _, r := range h.Runs {
		if r.State == Removed {
			continue
		}
		for _, end := range [...]string{r.From, r.To, r.Screen.AtFrom, r.Screen.AtTo} {
			if end != "" {
				of(end).After++
			}
		}
	}
	return list
}

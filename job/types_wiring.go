package job

import "bandwright/quantity"

// Wiring is what is told of the harness as a whole. A job that has it, or any
// run, leaves the joins between board and amplifier to its runs.
type Wiring struct {
	BoardGround string   `toml:"board_ground"` // the board's own 0 V; "" is the chassis
	RailLug     string   `toml:"rail_lug"`     // of the amplifier, where its rail stands; "" is the board's own point
	Rows        []string `toml:"rows"`         // lugs side by side, in order, commas between
	Input       string   `toml:"input"`        // the run that brings the signal to the board
	Output      string   `toml:"output"`       // and the one that takes it away
	MostAtLug   int      `toml:"most_at_lug"`  // conductors
	Held        []string `toml:"held"`         // how each board is held
}

// Dead is the sign-off before every ohms reading: the amplifier is unplugged,
// discharged and proved dead.
type Dead struct {
	By   string `toml:"by"`
	Date string `toml:"date"`
	How  string `toml:"how"` // through what it was discharged, and how the meter was proved before and after
}

// Signed says whether somebody has signed: who, when and how.
func (d Dead) Signed() bool { return !blank(d.By) && !blank(d.Date) && !blank(d.How) }

// Run is one wire from lug to lug. A lug is a point of the circuit.
type Run struct {
	Name       string           `toml:"name"`
	From       string           `toml:"from"`
	To         string           `toml:"to"`
	Kind       string           `toml:"kind" words:"lead screened strap 0V"`
	Length     *quantity.Metres `toml:"length"`
	Ohms       *quantity.Ohms   `toml:"ohms"` // of the conductor; nil: by its length
	Colour     string           `toml:"colour"`
	Original   string           `toml:"original_colour"` // of what it takes the place of, where that is another
	ScreenFrom string           `toml:"screen_from"`     // the lug its screen is soldered to at From; "": cut back and sleeved
	ScreenTo   string           `toml:"screen_to"`
	Farads     *quantity.Farads `toml:"capacitance"` // per metre
	Mains      bool             `toml:"mains"`
	SignedBy   string           `toml:"signed_by"` // who looked at its MAINS lugs after they were touched
	Last       bool             `toml:"last"`      // left open until the rest is rung out
	State      string           `toml:"state" words:"made not-yet removed"`
	Line       int              `toml:"-"` // where it stands in the file, for findings; 0 is not known
}

// The states of a run and a link; blank is not yet.
const (
	RunMade    = "made"
	RunNotYet  = "not-yet"
	RunRemoved = "removed"
)

// Link is a connection that the amplifier came with and that must go.
type Link struct {
	Name   string `toml:"name"`
	From   string `toml:"from"`
	To     string `toml:"to"`
	Colour string `toml:"colour"`
	State  string `toml:"state" words:"made removed"` // blank is made: it is still there
	Line   int    `toml:"-"`
}

// Switch is a switch with its contacts, by position; the first is its rest.
type Switch struct {
	Name      string          `toml:"name"`
	Positions []string        `toml:"positions"`
	Contacts  []SwitchContact `toml:"contact"`
	Pins      []string        `toml:"pins"` // a column each, its lugs in order, commas between
	Ohms      *quantity.Ohms  `toml:"ohms"` // of a closed contact
	Line      int             `toml:"-"`
}

// SwitchContact joins two lugs at the positions listed.
type SwitchContact struct {
	A      string   `toml:"a"`
	B      string   `toml:"b"`
	Closed []string `toml:"closed"`
}

// Jack is a jack by what is plugged in. The lugs of the cord's own end are
// Cord.tip, Cord.ring and Cord.sleeve.
type Jack struct {
	Name     string `toml:"name"`
	Tip      string `toml:"tip"`
	Ring     string `toml:"ring"` // "": a one-circuit jack
	Sleeve   string `toml:"sleeve"`
	TipRest  string `toml:"tip_rest"` // the lug that the tip touches while nothing is plugged in
	RingRest string `toml:"ring_rest"`
	Cord     string `toml:"cord"`
	Rest     string `toml:"rest" words:"none mono two-circuit"` // what is taken for granted; blank is none
	Line     int    `toml:"-"`
}

// Moved is a part of the amplifier that gets another hole.
type Moved struct {
	Name     string `toml:"name"`
	OldHole  string `toml:"old_hole"`
	NewHole  string `toml:"new_hole"`
	Lead     string `toml:"lead" words:"kept shortened extended"`
	Sleeved  bool   `toml:"sleeved"` // its joints are insulated anew
	Mains    bool   `toml:"mains"`
	SignedBy string `toml:"signed_by"` // who looked at a mains lug after it was touched
}

// Intent is what the wiring must do at a setting.
type Intent struct {
	Setting string `toml:"setting"` // blank is flat, all switches at rest
	From    string `toml:"from"`
	To      string `toml:"to"`
	Want    string `toml:"want" words:"joined open through"`
	Line    int    `toml:"-"`
}

// The wants of an intent.
const (
	WantJoined  = "joined"  // by ohms
	WantOpen    = "open"    // by ohms
	WantThrough = "through" // the signal comes through
)

// Wired says whether the joins between board and amplifier are left to runs.
func (j *Job) Wired() bool {
	return j.Wiring != nil || len(j.Runs)+len(j.Links)+len(j.Switches)+len(j.Jacks) > 0
}

// Pins parts a text of lugs, "panel.a1, panel.a2".
func Pins(text string) []string { return ReadNames(text) }

// What may be plugged into a jack.
const (
	plugNone = "none"
	plugMono = "mono"
	plugTwo  = "two-circuit"
)

// Plugs are what may be plugged in: the positions of the switch that a jack is.
func (j Jack) Plugs() []string {
	if j.Ring == "" {
		return []string{plugNone, plugMono}
	}
	return []string{plugNone, plugMono, plugTwo}
}

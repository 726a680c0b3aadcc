package circuit

// Ground is the reference point: every volt is measured from it.
const Ground = "0"

// Part is one component of a circuit. The kinds are the struct types of this
// file and nothing else; each knows its own equations (its stamp).
type Part interface {
	// PartName is unique in a circuit.
	PartName() string
	// Terminals names the points the part's legs are soldered to, in the
	// order of the kind's fields.
	Terminals() []string

	stamper
}

// Resistor obeys v = R·i. Zero ohm is legal and makes it a wire that keeps
// its current.
type Resistor struct {
	Name string
	A, B string
	Ohms float64
}

// Capacitor has a loss angle (tan δ, so that its admittance is
// ωC·tan δ + jωC at every frequency) and a series resistance.
type Capacitor struct {
	Name   string
	A, B   string
	Farads float64
	Loss   float64 // tan δ
	ESR    float64 // ohm
}

// Inductor is a coil: inductance with the copper's resistance in series.
// Core loss is a resistor across the inductance alone; self-capacitance lies
// across the whole coil, or across the inductance alone with SelfInside.
type Inductor struct {
	Name       string
	A, B       string
	Henries    float64
	DCR        float64 // ohm
	CoreOhms   float64 // parallel loss resistance; 0 means no core loss
	SelfFarads float64 // 0 means none
	SelfInside bool    // the self-capacitance lies inside the DCR
}

// Slider is a track between two buses with a wiper. Its place on the travel
// comes from the setting. Ends and wiper may be 0 ohm.
type Slider struct {
	Name              string
	Boost, Wiper, Cut string
	Track             float64 // ohm, end to end, without the end resistances
	Law               Law     // share of the track below the wiper by travel
	BoostEnd, CutEnd  float64 // ohm left at each end
	WiperOhms         float64
}

// VoltageSource holds Plus above Minus by DC volts. As the source of a
// response it carries one volt of signal, else none.
type VoltageSource struct {
	Name        string
	Plus, Minus string
	DC          float64
}

// CurrentSource drives DC amperes out of To, into From, through itself: the
// current enters the circuit at To. As the source of a response it carries
// one ampere of signal, else none.
type CurrentSource struct {
	Name     string
	From, To string
	DC       float64
}

// Switch is the actuator: it has a name and named positions, the first of
// which is its rest. It has no terminals; its Contacts have.
type Switch struct {
	Name      string
	Positions []string
}

// Contact is closed at the positions listed. A closed contact of 0 ohm joins
// its two points into one; an open one of 0 siemens is not there.
type Contact struct {
	Name    string
	A, B    string
	Switch  string
	Closed  []string // positions of Switch
	OnOhms  float64
	OffOhms float64 // 0 means no path at all when open
}

// Wire joins two points into one.
type Wire struct {
	Name string
	A, B string
}

// Diode is a junction: i = Is·(exp(v/(N·VT)) − 1).
type Diode struct {
	Name           string
	Anode, Cathode string
	Is             float64 // ampere
	N              float64 // emission coefficient, 0 means 1
}

// Zener is a diode that conducts backwards past its breakdown voltage: an
// exponential in reverse that carries exactly TestAmperes at Volts, with the
// data sheet's slope resistance there (its knee is SlopeOhms·TestAmperes volts
// an e-fold of current). Above the test current the slope falls as 1/i, as the
// exponential has it. Its noise is shot noise; an avalanche's is louder.
type Zener struct {
	Name           string
	Anode, Cathode string
	Is             float64 // ampere, forward
	N              float64 // forward emission coefficient, 0 means 1
	Volts          float64 // breakdown, cathode above anode, at TestAmperes
	TestAmperes    float64
	SlopeOhms      float64 // dv/di at TestAmperes; 0 means as sharp as kT/q allows
}

// Transistor is a bipolar transistor in transport form (Ebers and Moll 1954;
// the form of Logan 1971), with constant junction capacitances. PNP turns
// every voltage and current round.
type Transistor struct {
	Name                     string
	Collector, Base, Emitter string
	PNP                      bool
	Is                       float64 // ampere
	BetaF, BetaR             float64
	N                        float64 // emission coefficient, 0 means 1
	EarlyVolts               float64 // forward Early voltage, 0 means none
	BaseEmitterFarads        float64
	BaseCollectorFarads      float64
}

// Triode is a valve by Koren's equations (1996), with constant capacitances
// between its electrodes. A resistor in the grid's lead is a part of its own.
type Triode struct {
	Name                 string
	Plate, Grid, Cathode string
	Mu                   float64 // amplification factor
	Exponent             float64 // of the plate current's law, above 1: Koren's x
	KG1, KP, KVB         float64 // Koren's fitted constants
	// Grid current as a plain diode's from grid to cathode. 0 means none.
	GridIs             float64 // ampere
	GridN              float64 // its emission coefficient, 0 means 1
	GridCathodeFarads  float64
	GridPlateFarads    float64
	PlateCathodeFarads float64
}

// Coupling lets two coils share field: M = K·√(L₁L₂) between their
// inductances. The dots are at the coils' first terminals; a negative K turns
// one of them round. It has no points of its own.
type Coupling struct {
	Name          string
	First, Second string // names of Inductors
	K             float64
}

// OpAmp holds Out to what makes Plus and Minus equal (Ideal, a nullor), or
// has a gain with one pole. Its output is measured from ground.
type OpAmp struct {
	Name             string
	Plus, Minus, Out string
	Ideal            bool
	Gain             float64 // at DC
	GainBandwidth    float64 // hertz; 0 means the gain has no pole
	InputOhms        float64 // between the inputs; 0 means none
	OutputOhms       float64
}

// Package job is the document: one TOML file a job, decoded strictly, checked
// for form, names and references, and written back with its comments kept.
// It computes nothing; bench alone joins a job to the engines.
package job

import "bandwright/quantity"

// Format is the newest document format this program reads and writes.
const Format = 1

// Job is one document. Optional numbers are pointers: nil was left blank.
type Job struct {
	Format   int
	Title    string
	Invented bool // the job is a made-up example; every sheet says so
	Amp      string
	Celsius  *quantity.Celsius // of the parts at work, for junctions and copper
	Agreed   Agreed
	Found    Found
	TapIn    TapIn
	Driver   Driver
	Lift     *Lift
	Bypass   *Bypass
	Bands    []Band
	Parts    []Part
	Curves   []Curve
	Fitting  []Step
	Safety   Safety
}

// Agreed is what was settled with the customer before work began.
type Agreed struct {
	Customer, Wants, Price, Date, By string
	Notes                            string
}

// Found is the amplifier as it arrived.
type Found struct {
	Mains    *quantity.Volts
	Rail     *quantity.Volts
	Hum      string
	Volts    []FoundVolt
	Photos   []string
	Repairs  string // earlier hidden repairs
	Notes    string
	Measured string // date
}

// FoundVolt is one voltage read before anything was touched.
type FoundVolt struct {
	Where   string
	Reading quantity.Volts
}

// TapIn is the place in the amplifier where the equaliser goes between.
type TapIn struct {
	Where        string
	SourceOhms   quantity.Ohms
	LoadOhms     *quantity.Ohms
	LoadFarads   *quantity.Farads
	Level        *quantity.Level // strongest signal expected at the tap-in
	Cut          string          // the link that is cut, for the undo
	ZeroVolt     string          // where the equaliser's 0 V returns to
	RailTap      string
	GeneratorHas *quantity.Ohms // source ohms when a generator feeds the tap-in
}

// Driver names a starter drawing and what is set in it. Parts of the drawing
// are changed by a [[part]] of the same name.
type Driver struct {
	Drawing  string // "ideal", "op-amp", "two-transistor"
	Rail     *quantity.Volts
	Feed     *quantity.Ohms
	Feedback *quantity.Ohms
}

// Lift is the contact (footswitch or its relay) that takes the legs' common
// off ground.
type Lift struct {
	ContactOhms quantity.Ohms
	LeadFarads  *quantity.Farads // of the footswitch lead, across the open contact
}

// Bypass is the panel switch that carries the signal past the equaliser.
type Bypass struct {
	ContactOhms  quantity.Ohms
	GroundsInput bool // the equaliser's input is grounded when out
}

// Band is one band written short: it makes a slider and a leg.
type Band struct {
	Name      string
	Centre    quantity.Hertz
	Slider    Slider
	Coil      Coil
	Capacitor Capacitor
	Resistor  Resistor
}

// Slider of a band.
type Slider struct {
	Value     quantity.Ohms
	Tolerance *quantity.Tolerance
	Law       [][2]float64 // rows of travel, share of track, both 0…1; empty is linear
	EndOhms   *quantity.Ohms
	WiperOhms *quantity.Ohms
	Travel    *quantity.Metres
}

// Measured is one meter reading of a part, with what it was taken at.
type Measured struct {
	Frequency *quantity.Hertz
	Mode      string // "series", "parallel" or ""
	Level     *quantity.Volts
	Celsius   *quantity.Celsius
	Meter     string
	Date      string
}

// Coil of a leg. Value is as marked or ordered; MeasuredValue is the series
// inductance a meter gave.
type Coil struct {
	Value         quantity.Henries
	Tolerance     *quantity.Tolerance
	DCR           *quantity.Ohms
	CoreOhms      *quantity.Ohms // parallel core loss
	SelfFarads    *quantity.Farads
	SelfInside    bool
	MeasuredValue *quantity.Henries
	Measured      Measured
	ID            string // in the drawer or on the bag
}

// Capacitor of a leg.
type Capacitor struct {
	Value         quantity.Farads
	Tolerance     *quantity.Tolerance
	Loss          *float64 // tan δ
	ESR           *quantity.Ohms
	MeasuredValue *quantity.Farads
	Measured      Measured
	ID            string
}

// Resistor of a leg.
type Resistor struct {
	Value         quantity.Ohms
	Tolerance     *quantity.Tolerance
	MeasuredValue *quantity.Ohms
	Measured      Measured
	ID            string
}

// Part is a part written out: a new one (Kind and Points given) or a change
// to one that a drawing or a band has made (only Name and what differs).
type Part struct {
	Name      string
	Kind      string   // "resistor", "capacitor", "inductor", "wire", "diode", "transistor", "op-amp", "voltage-source", "current-source", "switch", "contact", "slider"
	Points    []string // in the order the kind's reference page gives
	Value     string   // as the bench writes it; its unit follows from Kind
	Tolerance *quantity.Tolerance
	Measured  string            // measured value, same unit
	Set       map[string]string // any other property of the kind, by the reference page's name
	Line      int               // where it stands in the file, for findings
}

// Curve names a file of a measured or an original's curve.
type Curve struct {
	Name     string
	Unit     string // which amplifier or copy it is of
	Role     string // "measured", "original" or "target"
	File     string // relative to the job file
	SHA256   string
	Setting  string // as on the command line: "63=+1", "lift", "flat"
	Level    *quantity.Level
	Invented bool
	Read     ReadAs
}

// ReadAs settles what a curve file leaves open; "" means "find out".
type ReadAs struct {
	Separator string // "comma", "semicolon", "tab", "space"
	Decimal   string // "point", "comma"
	Frequency string // "Hz", "kHz"
	Gain      string // "dB", "ratio"
	Phase     string // "degrees", "radians", "none"
}

// Step is one line of the fitting list, in the order of work.
type Step struct {
	Do   string
	Done string // date or initials; blank is not done
	Note string
}

// Safety holds readings the technician enters; blanks print as NOT DONE.
type Safety struct {
	EarthBond, Leakage, Insulation, Soak, Date, By string
	Notes                                          string
}

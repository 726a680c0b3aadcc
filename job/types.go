// Package job is the document: one TOML file a job, decoded strictly, checked
// for form, names and references, and written back with its comments kept.
// It computes nothing; bench alone joins a job to the engines.
//
// Decode reads a text and gives the job or every mistake in it, each with its
// line. Check says the same of a job that never was a file. Update writes a
// changed job into the text it came from, and Encode into none. New makes the
// first text of a job from the answers to a dozen questions.
//
// A key's name and the shape of its value are told once, in the tags and
// types of this file; docs/job-file.md is its reference.
package job

import "bandwright/quantity"

// Format is the newest document format this program reads and writes.
const Format = 1

// Job is one document. Optional numbers are pointers: nil was left blank.
// Names in the tags are the file's keys, where a dot leads into a table, and
// the words a text may be.
type Job struct {
	Format   int               `toml:"format"`
	Title    string            `toml:"title"`
	Invented bool              `toml:"invented"` // the job is a made-up example; every sheet says so
	Amp      string            `toml:"amp"`
	Celsius  *quantity.Celsius `toml:"temperature"` // of the parts at work, for junctions and copper
	Agreed   Agreed            `toml:"agreed"`
	Found    Found             `toml:"found"`
	TapIn    TapIn             `toml:"tap_in"`
	Driver   Driver            `toml:"driver"`
	Lift     *Lift             `toml:"lift"`
	Bypass   *Bypass           `toml:"bypass"`
	Feed     *Feed             `toml:"feed"`
	Wiring   *Wiring           `toml:"wiring"`
	Bands    []Band            `toml:"band"`
	Wanted   []Wanted          `toml:"wanted"`
	Batches  []Batch           `toml:"batch"`
	Parts    []Part            `toml:"part"`
	Runs     []Run             `toml:"run"`
	Links    []Link            `toml:"link"`
	Switches []Switch          `toml:"switch"`
	Jacks    []Jack            `toml:"jack"`
	Moved    []Moved           `toml:"moved"`
	Intents  []Intent          `toml:"intent"`
	Tab      *Tab              `toml:"tab"`
	Panel    *Panel            `toml:"panel"`
	Print    Print             `toml:"print"`
	Curves   []Curve           `toml:"curve"`
	PowerUp  PowerUp           `toml:"volts"`
	Dead     Dead              `toml:"dead"`
	Readings []Reading         `toml:"reading"`
	Fitting  []Step            `toml:"fitting"`
	Left     Left              `toml:"left"`
	Record   Record            `toml:"record"`
	Safety   Safety            `toml:"safety"`
}

// Agreed is what was settled with the customer before work began.
type Agreed struct {
	Customer string `toml:"customer"`
	Wants    string `toml:"wants"`
	Price    string `toml:"price"`
	Date     string `toml:"date"`
	By       string `toml:"by"`
	Notes    string `toml:"notes"`
}

// Found is the amplifier as it arrived.
type Found struct {
	Mains    *quantity.Volts `toml:"mains"`
	Rail     *quantity.Volts `toml:"rail"`
	Hum      string          `toml:"hum"`
	Repairs  string          `toml:"repairs"`  // earlier hidden repairs
	Measured string          `toml:"measured"` // date
	Photos   []string        `toml:"photos"`
	Notes    string          `toml:"notes"`
	Volts    []FoundVolt     `toml:"volts"`
}

// FoundVolt is one voltage, as read before anything was touched or as left.
type FoundVolt struct {
	Where   string         `toml:"where"`
	Reading quantity.Volts `toml:"reading"`
}

// TapIn is the place in the amplifier where the equaliser goes between.
type TapIn struct {
	Where        string           `toml:"where"`
	SourceOhms   quantity.Ohms    `toml:"source"`
	LoadOhms     *quantity.Ohms   `toml:"load"`
	LoadFarads   *quantity.Farads `toml:"load_capacitance"`
	Level        *quantity.Level  `toml:"level"`     // strongest signal expected at the tap-in
	Cut          string           `toml:"cut"`       // the link that is cut, for the undo
	ZeroVolt     string           `toml:"zero_volt"` // where the equaliser's 0 V returns to
	RailTap      string           `toml:"rail_tap"`
	GeneratorHas *quantity.Ohms   `toml:"generator"` // source ohms when a generator feeds the tap-in
}

// Driver names a starter drawing and what is set in it. Parts of the drawing
// are changed by a [[part]] of the same name. A blank drawing is "ideal".
type Driver struct {
	Drawing  string          `toml:"drawing" words:"ideal op-amp two-transistor"`
	Rail     *quantity.Volts `toml:"rail"`
	Feed     *quantity.Ohms  `toml:"feed"`
	Feedback *quantity.Ohms  `toml:"feedback"`
}

// Lift is the contact (footswitch or its relay) that takes the legs' common
// off ground.
type Lift struct {
	ContactOhms quantity.Ohms    `toml:"contact"`
	OpenOhms    *quantity.Ohms   `toml:"open"` // of the open contact, or of a light-dependent resistor in the dark
	LeadFarads  *quantity.Farads `toml:"lead"` // of the footswitch lead, across the open contact
	By          string           `toml:"by" words:"contact relay light"`
	Rest        string           `toml:"rest" words:"in lifted"` // of a relay without power; blank is in
}

// What a lift is done by: a contact that stays where it is put, a relay, or a
// resistor that a lamp lights.
const (
	LiftContact = "contact"
	LiftRelay   = "relay"
	LiftLight   = "light"
)

// Bypass is the panel switch that carries the signal past the equaliser.
type Bypass struct {
	ContactOhms  quantity.Ohms `toml:"contact"`
	GroundsInput bool          `toml:"grounds_input"` // the equaliser's input is grounded when out
}

// Band is one band written short: it makes a slider and a leg.
type Band struct {
	Name      string         `toml:"name"`
	Centre    quantity.Hertz `toml:"centre"`
	Slider    Slider         `toml:"slider"`
	Coil      Coil           `toml:"coil"`
	Capacitor Capacitor      `toml:"capacitor"`
	Resistor  Resistor       `toml:"resistor"`
}

// Batch is a bag or a reel that parts come from: their values lie to one side
// together.
type Batch struct {
	Name   string   `toml:"name"`
	Common *float64 `toml:"common"` // of the variance of each, what all share
}

// Slider of a band. Shape is Law by its name; at most one of them is given.
type Slider struct {
	Value     quantity.Ohms       `toml:"value"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Lies      string              `toml:"lies" words:"flat normal skewed"`
	Batch     string              `toml:"batch"`
	Law       [][2]float64        `toml:"law"` // rows of travel, share of track, both 0…1; empty is linear
	Shape     string              `toml:"shape"`
	EndOhms   *quantity.Ohms      `toml:"ends"`
	WiperOhms *quantity.Ohms      `toml:"wiper"`
	Travel    *quantity.Metres    `toml:"travel"`
	Rated     Rated               `toml:"rated"`
}

// Measured is one meter reading of a part, with what it was taken at.
type Measured struct {
	Frequency *quantity.Hertz   `toml:"frequency"`
	Mode      string            `toml:"mode" words:"series parallel"`
	Level     *quantity.Volts   `toml:"level"`
	Celsius   *quantity.Celsius `toml:"temperature"`
	Meter     string            `toml:"meter"`
	Date      string            `toml:"date"`
}

// Coil of a leg. Value is as marked or ordered; MeasuredValue is the series
// inductance a meter gave.
type Coil struct {
	ID            string              `toml:"id"` // in the drawer or on the bag
	Value         quantity.Henries    `toml:"value"`
	Tolerance     *quantity.Tolerance `toml:"tolerance"`
	Lies          string              `toml:"lies" words:"flat normal skewed"` // within the tolerance, unless measured
	Batch         string              `toml:"batch"`                           // a Batch's name, or a bag that has no table
	DCR           *quantity.Ohms      `toml:"dcr"`
	CoreOhms      *quantity.Ohms      `toml:"core_loss"` // parallel core loss
	SelfFarads    *quantity.Farads    `toml:"self_capacitance"`
	SelfInside    bool                `toml:"self_capacitance_inside"`
	MeasuredValue *quantity.Henries   `toml:"measured.value"`
	MeasuredQ     *float64            `toml:"measured.q"` // of the whole coil, at the reading's frequency
	Measured      Measured            `toml:"measured"`
	Rated         Rated               `toml:"rated"`
}

// Capacitor of a leg.
type Capacitor struct {
	ID            string              `toml:"id"`
	Value         quantity.Farads     `toml:"value"`
	Tolerance     *quantity.Tolerance `toml:"tolerance"`
	Lies          string              `toml:"lies" words:"flat normal skewed"` // within the tolerance, unless measured
	Batch         string              `toml:"batch"`                           // a Batch's name, or a bag that has no table
	Loss          *float64            `toml:"loss"`                            // tan δ
	ESR           *quantity.Ohms      `toml:"esr"`
	MeasuredValue *quantity.Farads    `toml:"measured.value"`
	Measured      Measured            `toml:"measured"`
	Rated         Rated               `toml:"rated"`
}

// Resistor of a leg.
type Resistor struct {
	ID            string              `toml:"id"`
	Value         quantity.Ohms       `toml:"value"`
	Tolerance     *quantity.Tolerance `toml:"tolerance"`
	Lies          string              `toml:"lies" words:"flat normal skewed"` // within the tolerance, unless measured
	Batch         string              `toml:"batch"`                           // a Batch's name, or a bag that has no table
	MeasuredValue *quantity.Ohms      `toml:"measured.value"`
	Measured      Measured            `toml:"measured"`
	Rated         Rated               `toml:"rated"`
}

// Part is a part written out: a new one (Kind and Points given) or a change
// to one that a drawing or a band has made (only Name and what differs).
type Part struct {
	Name      string              `toml:"name"`
	Kind      string              `toml:"kind"`   // one of Kinds()
	Points    []string            `toml:"points"` // in the order the kind's reference gives
	Value     string              `toml:"value"`  // as the bench writes it; its unit follows from Kind
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Lies      string              `toml:"lies" words:"flat normal skewed"` // within the tolerance, unless measured
	Batch     string              `toml:"batch"`                           // a Batch's name, or a bag that has no table
	Measured  string              `toml:"measured"`                        // measured value, same unit
	Set       map[string]string   `toml:"set"`                             // any other property of the kind, by the reference's name
	Rated     Rated               `toml:"rated"`
	Line      int                 `toml:"-"` // where it stands in the file, for findings; 0 is not known
}

// Curve names a file of a measured or an original's curve.
type Curve struct {
	Name     string          `toml:"name"`
	Unit     string          `toml:"unit"` // which amplifier or copy it is of
	Role     string          `toml:"role" words:"measured original target"`
	File     string          `toml:"file"` // relative to the job file
	SHA256   string          `toml:"sha256"`
	Setting  string          `toml:"setting"` // as on the command line: "63=+1", "lift", "flat"
	Level    *quantity.Level `toml:"level"`
	Invented bool            `toml:"invented"`
	Read     ReadAs          `toml:"read_as"`
}

// ReadAs settles what a curve file leaves open; "" means "find out".
type ReadAs struct {
	Separator string `toml:"separator" words:"comma semicolon tab space"`
	Decimal   string `toml:"decimal" words:"point comma"`
	Frequency string `toml:"frequency" words:"Hz kHz"`
	Gain      string `toml:"gain" words:"dB ratio"`
	Phase     string `toml:"phase" words:"degrees radians none"`
	// Which column holds what, counted from 1; 0 means "find out".
	FrequencyColumn int `toml:"frequency_column"`
	GainColumn      int `toml:"gain_column"`
	PhaseColumn     int `toml:"phase_column"`
}

// Step is one line of the fitting list, in the order of work.
type Step struct {
	Do   string `toml:"do"`
	Done string `toml:"done"` // date or initials; blank is not done
	Note string `toml:"note"`
}

// Safety holds readings the technician enters; blanks print as NOT DONE.
type Safety struct {
	EarthBond  string `toml:"earth_bond"`
	Leakage    string `toml:"leakage"`
	Insulation string `toml:"insulation"`
	Soak       string `toml:"soak"`
	Date       string `toml:"date"`
	By         string `toml:"by"`
	Notes      string `toml:"notes"`
}

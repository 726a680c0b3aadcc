package job

import "bandwright/quantity"

// Reading is what an instrument showed: a voltage, a resistance with the power
// off, or the gain at one frequency. A blank value is one not yet taken.
type Reading struct {
	Kind    string          `toml:"kind" words:"volts ohms gain"`
	Red     string          `toml:"red"`     // point; of a gain, blank is the output
	Black   string          `toml:"black"`   // point; blank is ground
	Setting string          `toml:"setting"` // blank is flat
	At      *quantity.Hertz `toml:"at"`      // of a gain
	Value   string          `toml:"value"`   // as the bench writes it, or "open"
	Stage   string          `toml:"stage" words:"loose last-open complete as-made bench limiter mains"`
	Meter   string          `toml:"meter"`
	Date    string          `toml:"date"`
	Note    string          `toml:"note"`
	File    string          `toml:"-"` // the list it comes from; "": the job, or typed
	Line    int             `toml:"-"` // where it stands in the file, for findings; 0 is not known
}

// The kinds of readings.
const (
	ReadVolts = "volts"
	ReadOhms  = "ohms"
	ReadGain  = "gain"
)

// ReadOpen is the value of a reading that has no number.
const ReadOpen = "open"

// Taken says whether the reading has a value.
func (r Reading) Taken() bool { return !blank(r.Value) }

// Number gives the value in volts, ohms or decibels; open: the display had no
// number. Errors are findings.
func (r Reading) Number() (value float64, open bool, err error) {
	if isOpen(r.Value) {
		return 0, true, nil
	}
	switch r.Kind {
	case ReadOhms:
		v, err := UnitOhm.Read(r.Value)
		return v, false, err
	case ReadGain:
		v, err := quantity.ParseDecibels(r.Value)
		return float64(v), false, err
	}
	v, err := UnitVolt.Read(r.Value)
	return v, false, err
}

package quantity

import "math"

// The typed numbers. Inside them is the base unit and nothing else; prefixes,
// decimal commas and code letters exist only in the text that is read by
// Parse… and UnmarshalText and written by String, MarshalText and Display.
//
// For every one of them: MarshalText and String give the shortest text that
// reads back to the same float64; Display gives at most so many significant
// digits, for people. An error of Parse… or UnmarshalText is a
// finding.Finding (see findings.go). MarshalText refuses NaN and infinities,
// which no text may carry.

// Ohms is a resistance in ohms.
type Ohms float64

// Farads is a capacitance in farads.
type Farads float64

// Henries is an inductance in henries.
type Henries float64

// Hertz is a frequency in hertz.
type Hertz float64

// Volts is a voltage in volts.
type Volts float64

// Amperes is a current in amperes.
type Amperes float64

// Watts is a power in watts.
type Watts float64

// Seconds is a time in seconds.
type Seconds float64

// Metres is a length in metres.
type Metres float64

// Celsius is a temperature in degrees Celsius.
type Celsius float64

// Decibels is a ratio of voltages as 20 log10, in decibels.
type Decibels float64

// Quantity is any of the typed numbers.
type Quantity interface {
	Ohms | Farads | Henries | Hertz | Volts | Amperes | Watts | Seconds | Metres | Celsius | Decibels | Level
	unit() *unit
}

// Level is the strength of an audio signal, held as volts rms and written as
// volts ("100 mV", "0.775 V") or on a decibel scale ("-20 dBu", "-10 dBV").
type Level float64

// ParseOhms reads a resistance in ohms as a bench writes it.
func ParseOhms(text string) (Ohms, error) {
	v, err := parse(text, &ohm)
	return Ohms(v), err
}

// UnmarshalText reads what ParseOhms reads.
func (v *Ohms) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &ohm) }

// MarshalText writes the shortest text that reads back to v.
func (v Ohms) MarshalText() ([]byte, error) { return marshal(float64(v), &ohm) }

// String gives the text of MarshalText.
func (v Ohms) String() string { return shortest(float64(v), &ohm) }

// Display gives v with at most the given number of significant digits.
func (v Ohms) Display(digits int) string { return display(float64(v), digits, &ohm) }

func (Ohms) unit() *unit { return &ohm }

// ParseFarads reads a capacitance in farads as a bench writes it.
func ParseFarads(text string) (Farads, error) {
	v, err := parse(text, &farad)
	return Farads(v), err
}

// UnmarshalText reads what ParseFarads reads.
func (v *Farads) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &farad) }

// MarshalText writes the shortest text that reads back to v.
func (v Farads) MarshalText() ([]byte, error) { return marshal(float64(v), &farad) }

// String gives the text of MarshalText.
func (v Farads) String() string { return shortest(float64(v), &farad) }

// Display gives v with at most the given number of significant digits.
func (v Farads) Display(digits int) string { return display(float64(v), digits, &farad) }

func (Farads) unit() *unit { return &farad }

// ParseHenries reads an inductance in henries as a bench writes it.
func ParseHenries(text string) (Henries, error) {
	v, err := parse(text, &henry)
	return Henries(v), err
}

// UnmarshalText reads what ParseHenries reads.
func (v *Henries) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &henry) }

// MarshalText writes the shortest text that reads back to v.
func (v Henries) MarshalText() ([]byte, error) { return marshal(float64(v), &henry) }

// String gives the text of MarshalText.
func (v Henries) String() string { return shortest(float64(v), &henry) }

// Display gives v with at most the given number of significant digits.
func (v Henries) Display(digits int) string { return display(float64(v), digits, &henry) }

func (Henries) unit() *unit { return &henry }

// ParseHertz reads a frequency in hertz as a bench writes it.
func ParseHertz(text string) (Hertz, error) {
	v, err := parse(text, &hertz)
	return Hertz(v), err
}

// UnmarshalText reads what ParseHertz reads.
func (v *Hertz) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &hertz) }

// MarshalText writes the shortest text that reads back to v.
func (v Hertz) MarshalText() ([]byte, error) { return marshal(float64(v), &hertz) }

// String gives the text of MarshalText.
func (v Hertz) String() string { return shortest(float64(v), &hertz) }

// Display gives v with at most the given number of significant digits.
func (v Hertz) Display(digits int) string { return display(float64(v), digits, &hertz) }

func (Hertz) unit() *unit { return &hertz }

// ParseVolts reads a voltage in volts as a bench writes it.
func ParseVolts(text string) (Volts, error) {
	v, err := parse(text, &volt)
	return Volts(v), err
}

// UnmarshalText reads what ParseVolts reads.
func (v *Volts) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &volt) }

// MarshalText writes the shortest text that reads back to v.
func (v Volts) MarshalText() ([]byte, error) { return marshal(float64(v), &volt) }

// String gives the text of MarshalText.
func (v Volts) String() string { return shortest(float64(v), &volt) }

// Display gives v with at most the given number of significant digits.
func (v Volts) Display(digits int) string { return display(float64(v), digits, &volt) }

func (Volts) unit() *unit { return &volt }

// ParseAmperes reads a current in amperes as a bench writes it.
func ParseAmperes(text string) (Amperes, error) {
	v, err := parse(text, &ampere)
	return Amperes(v), err
}

// UnmarshalText reads what ParseAmperes reads.
func (v *Amperes) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &ampere) }

// MarshalText writes the shortest text that reads back to v.
func (v Amperes) MarshalText() ([]byte, error) { return marshal(float64(v), &ampere) }

// String gives the text of MarshalText.
func (v Amperes) String() string { return shortest(float64(v), &ampere) }

// Display gives v with at most the given number of significant digits.
func (v Amperes) Display(digits int) string { return display(float64(v), digits, &ampere) }

func (Amperes) unit() *unit { return &ampere }

// ParseWatts reads a power in watts as a bench writes it.
func ParseWatts(text string) (Watts, error) {
	v, err := parse(text, &watt)
	return Watts(v), err
}

// UnmarshalText reads what ParseWatts reads.
func (v *Watts) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &watt) }

// MarshalText writes the shortest text that reads back to v.
func (v Watts) MarshalText() ([]byte, error) { return marshal(float64(v), &watt) }

// String gives the text of MarshalText.
func (v Watts) String() string { return shortest(float64(v), &watt) }

// Display gives v with at most the given number of significant digits.
func (v Watts) Display(digits int) string { return display(float64(v), digits, &watt) }

func (Watts) unit() *unit { return &watt }

// ParseSeconds reads a time in seconds as a bench writes it.
func ParseSeconds(text string) (Seconds, error) {
	v, err := parse(text, &second)
	return Seconds(v), err
}

// UnmarshalText reads what ParseSeconds reads.
func (v *Seconds) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &second) }

// MarshalText writes the shortest text that reads back to v.
func (v Seconds) MarshalText() ([]byte, error) { return marshal(float64(v), &second) }

// String gives the text of MarshalText.
func (v Seconds) String() string { return shortest(float64(v), &second) }

// Display gives v with at most the given number of significant digits.
func (v Seconds) Display(digits int) string { return display(float64(v), digits, &second) }

func (Seconds) unit() *unit { return &second }

// ParseMetres reads a length in metres as a bench writes it.
func ParseMetres(text string) (Metres, error) {
	v, err := parse(text, &metre)
	return Metres(v), err
}

// UnmarshalText reads what ParseMetres reads.
func (v *Metres) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &metre) }

// MarshalText writes the shortest text that reads back to v.
func (v Metres) MarshalText() ([]byte, error) { return marshal(float64(v), &metre) }

// String gives the text of MarshalText.
func (v Metres) String() string { return shortest(float64(v), &metre) }

// Display gives v with at most the given number of significant digits.
func (v Metres) Display(digits int) string { return display(float64(v), digits, &metre) }

// Millimetres gives v in millimetres as the decimal that was meant, to a
// nanometre: "0.4 mm" is 0.4.
func (v Metres) Millimetres() float64 { return math.Round(float64(v)*1e9) / 1e6 }

func (Metres) unit() *unit { return &metre }

// ParseCelsius reads a temperature in degrees Celsius as a bench writes it.
func ParseCelsius(text string) (Celsius, error) {
	v, err := parse(text, &celsius)
	return Celsius(v), err
}

// UnmarshalText reads what ParseCelsius reads.
func (v *Celsius) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &celsius) }

// MarshalText writes the shortest text that reads back to v.
func (v Celsius) MarshalText() ([]byte, error) { return marshal(float64(v), &celsius) }

// String gives the text of MarshalText.
func (v Celsius) String() string { return shortest(float64(v), &celsius) }

// Display gives v with at most the given number of significant digits.
func (v Celsius) Display(digits int) string { return display(float64(v), digits, &celsius) }

func (Celsius) unit() *unit { return &celsius }

// ParseDecibels reads a ratio of voltages as 20 log10, in decibels as a bench writes it.
func ParseDecibels(text string) (Decibels, error) {
	v, err := parse(text, &decibel)
	return Decibels(v), err
}

// UnmarshalText reads what ParseDecibels reads.
func (v *Decibels) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &decibel) }

// MarshalText writes the shortest text that reads back to v.
func (v Decibels) MarshalText() ([]byte, error) { return marshal(float64(v), &decibel) }

// String gives the text of MarshalText.
func (v Decibels) String() string { return shortest(float64(v), &decibel) }

// Display gives v with at most the given number of decimals, since the
// significant digits of a logarithm say nothing.
func (v Decibels) Display(decimals int) string { return display(float64(v), decimals, &decibel) }

func (Decibels) unit() *unit { return &decibel }

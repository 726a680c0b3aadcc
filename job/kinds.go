package job

import (
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
	"bandwright/quantity"
)

// Unit is what a part's value or property is written in.
type Unit string

// The units of values and properties. The last six are not numbers.
const (
	UnitNone   Unit = "" // the kind has no value
	UnitOhm    Unit = "ohm"
	UnitFarad  Unit = "farad"
	UnitHenry  Unit = "henry"
	UnitHertz  Unit = "hertz"
	UnitVolt   Unit = "volt"
	UnitAmpere Unit = "ampere"
	UnitNumber Unit = "number" // without a unit
	UnitDegree Unit = "°C"
	UnitTruth  Unit = "truth" // true or false
	UnitWord   Unit = "word"  // one of Words
	UnitName   Unit = "name"  // of a switch
	UnitNames  Unit = "names" // of a switch's positions, with commas
	UnitRows   Unit = "rows"  // a slider's law: "0 0, 0.5 0.2, 1 1", or by name: see ReadNamedLaw
	UnitCoil   Unit = "coil"  // the name of a coil
)

// Property is one property of a kind beside its value.
type Property struct {
	Name    string
	Unit    Unit
	Default string   // what stands when it is left out; "" is required
	Words   []string // of UnitWord
	Signed  bool     // may lie below zero
}

// Kind is a kind of part: its points in order, the unit of its value, its
// other properties. The order of Points is that of circuit's part types.
type Kind struct {
	Name   string
	Points []string
	Value  Unit
	Signed bool // the value may lie below zero
	Set    []Property
}

// Kinds gives every kind of part a [[part]] may be.
func Kinds() []Kind {
	two := []string{"a", "b"}
	return []Kind{
		{Name: "resistor", Points: two, Value: UnitOhm},
		{Name: "capacitor", Points: two, Value: UnitFarad, Set: []Property{
			{Name: "loss", Unit: UnitNumber, Default: "0"}, {Name: "esr", Unit: UnitOhm, Default: "0 ohm"}}},
		{Name: "inductor", Points: two, Value: UnitHenry, Set: []Property{
			{Name: "dcr", Unit: UnitOhm, Default: "0 ohm"},
			{Name: "dcr_at", Unit: UnitDegree, Default: "as at work", Signed: true},
			{Name: "core_loss", Unit: UnitOhm, Default: "none"},
			{Name: "self_capacitance", Unit: UnitFarad, Default: "none"},
			{Name: "self_capacitance_inside", Unit: UnitTruth, Default: "false"}}},
		{Name: "slider", Points: []string{"boost", "wiper", "cut"}, Value: UnitOhm, Set: []Property{
			{Name: "law", Unit: UnitRows, Default: "0 0, 1 1"},
			{Name: "boost_end", Unit: UnitOhm, Default: "0 ohm"},
			{Name: "cut_end", Unit: UnitOhm, Default: "0 ohm"},
			{Name: "wiper", Unit: UnitOhm, Default: "0 ohm"}}},
		{Name: "voltage-source", Points: []string{"plus", "minus"}, Value: UnitVolt, Signed: true},
		{Name: "current-source", Points: []string{"from", "to"}, Value: UnitAmpere, Signed: true},
		{Name: "switch", Points: nil, Set: []Property{{Name: "positions", Unit: UnitNames}}},
		{Name: "contact", Points: two, Value: UnitOhm, Set: []Property{
			{Name: "switch", Unit: UnitName},
			{Name: "closed", Unit: UnitNames},
			{Name: "open", Unit: UnitOhm, Default: "none"}}},
		{Name: "wire", Points: two},
		{Name: "diode", Points: []string{"anode", "cathode"}, Set: []Property{
			{Name: "is", Unit: UnitAmpere}, {Name: "n", Unit: UnitNumber, Default: "1"}}},
		{Name: "zener", Points: []string{"anode", "cathode"}, Value: UnitVolt, Set: []Property{
			{Name: "test_current", Unit: UnitAmpere},
			{Name: "slope", Unit: UnitOhm, Default: "none"},
			{Name: "is", Unit: UnitAmpere, Default: "1e-14 A"},
			{Name: "n", Unit: UnitNumber, Default: "1"}}},
		{Name: "triode", Points: []string{"plate", "grid", "cathode"}, Set: []Property{
			{Name: "mu", Unit: UnitNumber},
			{Name: "exponent", Unit: UnitNumber},
			{Name: "kg1", Unit: UnitNumber},
			{Name: "kp", Unit: UnitNumber},
			{Name: "kvb", Unit: UnitNumber},
			{Name: "grid_is", Unit: UnitAmpere, Default: "none"},
			{Name: "grid_n", Unit: UnitNumber, Default: "1"},
			{Name: "grid_cathode", Unit: UnitFarad, Default: "0 F"},
			{Name: "grid_plate", Unit: UnitFarad, Default: "0 F"},
			{Name: "plate_cathode", Unit: UnitFarad, Default: "0 F"}}},
		{Name: "coupling", Points: nil, Value: UnitNumber, Signed: true, Set: []Property{
			{Name: "first", Unit: UnitCoil}, {Name: "second", Unit: UnitCoil}}},
		{Name: "transistor", Points: []string{"collector", "base", "emitter"}, Set: []Property{
			{Name: "type", Unit: UnitWord, Words: []string{"npn", "pnp"}},
			{Name: "is", Unit: UnitAmpere},
			{Name: "beta_f", Unit: UnitNumber},
			{Name: "beta_r", Unit: UnitNumber, Default: "1"},
			{Name: "n", Unit: UnitNumber, Default: "1"},
			{Name: "early", Unit: UnitVolt, Default: "none"},
			{Name: "base_emitter", Unit: UnitFarad, Default: "0 F"},
			{Name: "base_collector", Unit: UnitFarad, Default: "0 F"}}},
		{Name: "op-amp", Points: []string{"plus", "minus", "out"}, Set: []Property{
			{Name: "ideal", Unit: UnitTruth, Default: "false"},
			{Name: "gain", Unit: UnitNumber, Default: "none"},
			{Name: "gain_bandwidth", Unit: UnitHertz, Default: "none"},
			{Name: "input", Unit: UnitOhm, Default: "none"},
			{Name: "output", Unit: UnitOhm, Default: "0 ohm"}}},
	}
}

// KindNamed finds a kind.
func KindNamed(name string) (Kind, bool) {
	kinds := Kinds()
	if i := slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == name }); i >= 0 {
		return kinds[i], true
	}
	return Kind{}, false
}

// Property finds a property of the kind.
func (k Kind) Property(name string) (Property, bool) {
	if i := slices.IndexFunc(k.Set, func(p Property) bool { return p.Name == name }); i >= 0 {
		return k.Set[i], true
	}
	return Property{}, false
}

// Read reads a number in the unit and gives it in the base unit. Errors are
// findings. Units that are not numbers panic.
func (u Unit) Read(text string) (float64, error) {
	switch u {
	case UnitOhm:
		v, err := quantity.ParseOhms(text)
		return float64(v), err
	case UnitFarad:
		v, err := quantity.ParseFarads(text)
		return float64(v), err
	case UnitHenry:
		v, err := quantity.ParseHenries(text)
		return float64(v), err
	case UnitHertz:
		v, err := quantity.ParseHertz(text)
		return float64(v), err
	case UnitVolt:
		v, err := quantity.ParseVolts(text)
		return float64(v), err
	case UnitAmpere:
		v, err := quantity.ParseAmperes(text)
		return float64(v), err
	case UnitDegree:
		v, err := quantity.ParseCelsius(text)
		return float64(v), err
	case UnitNumber:
		return readNumber(text)
	}
	panic("job: no number is read in unit " + strconv.Quote(string(u)))
}

func readNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || v-v != 0 {
		return 0, finding.New(IDBadValue, finding.Error, finding.Place{}, finding.Args{"read": clip(text)})
	}
	return v, nil
}

// ReadNames parts a property of names, "in, lifted".
func ReadNames(text string) []string {
	names := strings.Split(text, ",")
	for i := range names {
		names[i] = strings.TrimSpace(names[i])
	}
	return names
}

// ReadRows reads a law written in one text, "0 0, 0.5 0.2, 1 1".
func ReadRows(text string) ([][2]float64, error) {
	var rows [][2]float64
	for i, row := range strings.Split(text, ",") {
		words := strings.Fields(row)
		if len(words) != 2 {
			return nil, finding.New(IDBadLaw, finding.Error, finding.Place{}, finding.Args{"row": i + 1, "why": "two-numbers"})
		}
		travel, err := readNumber(words[0])
		if err != nil {
			return nil, err
		}
		share, err := readNumber(words[1])
		if err != nil {
			return nil, err
		}
		rows = append(rows, [2]float64{travel, share})
	}
	return rows, nil
}

// Shapes of laws that have a name. LawS takes the share of the track's change
// in the middle half of the travel, the other two the share at half travel.
const (
	LawS            = "S"
	LawAudio        = "audio"
	LawReverseAudio = "reverse-audio"
)

// ReadNamedLaw reads a law by its shape and share, "S 80 %" or "audio 15 %".
// named tells it from a law in rows; the share lies above 0 and below 1.
func ReadNamedLaw(text string) (shape string, share float64, named bool, err error) {
	words := strings.Fields(text)
	if len(words) == 0 || !slices.Contains([]string{LawS, LawAudio, LawReverseAudio}, words[0]) {
		return "", 0, false, nil
	}
	bad := finding.New(IDBadLaw, finding.Error, finding.Place{}, finding.Args{"row": 0, "why": "share"})
	number, percent := strings.CutSuffix(strings.Join(words[1:], ""), "%")
	if !percent {
		return words[0], 0, true, bad
	}
	v, err := readNumber(number)
	if err != nil || !(v > 0 && v < 100) {
		return words[0], 0, true, bad
	}
	return words[0], v / 100, true, nil
}

package reading

import (
	"math"
	"strconv"

	"bandwright/circuit"
	"bandwright/finding"
)

// IDBadInstrument: an instrument that cannot be as it is described. Place: the
// point, the setting. instrument, property, value: as text.
const IDBadInstrument finding.ID = "reading.bad-instrument"

// Accuracy is what a maker promises of a display: ±(Share of the reading +
// Digits of its last place + Floor). Counts is the largest number the display
// can show; ranges follow each other by tens, and the finest that holds the
// reading is taken to be in use. Finest is the last place of the finest range.
type Accuracy struct {
	Share  float64 `json:"share,omitempty"`
	Digits float64 `json:"digits,omitempty"`
	Counts float64 `json:"counts,omitempty"`
	Finest float64 `json:"finest,omitempty"`
	Floor  float64 `json:"floor,omitempty"`
}

// Step gives the last place of the display at a reading, 0 without Counts.
func (a Accuracy) Step(shown float64) float64 {
	if a.Counts == 0 {
		return 0
	}
	shown = math.Abs(shown)
	if shown <= a.Finest*a.Counts {
		return a.Finest
	}
	return math.Pow(10, math.Ceil(math.Log10(shown/a.Counts)))
}

// Limit gives how far the display may be off at a reading, to either side.
func (a Accuracy) Limit(shown float64) float64 {
	return a.Share*math.Abs(shown) + a.Digits*a.Step(shown) + a.Floor
}

// Meter reads volts and ohms. Its errors at two readings are taken to be
// independent: other ranges, other errors.
type Meter struct {
	Name       string   `json:"name,omitempty"`
	Volts      Accuracy `json:"volts"`
	InputOhms  float64  `json:"input_ohms,omitempty"` // on volts; 0: it loads nothing
	MostVolts  float64  `json:"most_volts,omitempty"` // its rating; 0: none is known
	Ohms       Accuracy `json:"ohms"`
	LeadOhms   float64  `json:"lead_ohms,omitempty"` // leads and tips, what is left of them after zeroing, either way
	MostOhms   float64  `json:"most_ohms,omitempty"` // above it the display says "open"; 0: no end
	TestVolts  float64  `json:"test_volts,omitempty"`
	TestSeries float64  `json:"test_series_ohms,omitempty"` // see circuit.PowerOff
}

// HandMeter is a hand meter nobody has described: ±(0.8 % + 2 digits) on
// volts, 10 MΩ, ±(1 % + 2 digits) on ohms, 4000 counts, 0.1 ohm left of the
// leads after zeroing, too few volts on ohms to open a junction. Common
// practice, no source.
func HandMeter() Meter {
	return Meter{
		Name:      "hand meter",
		Volts:     Accuracy{Share: 0.008, Digits: 2, Counts: 4000, Finest: 100e-6},
		InputOhms: 10e6, MostVolts: 600,
		Ohms:     Accuracy{Share: 0.01, Digits: 2, Counts: 4000, Finest: 0.1},
		LeadOhms: 0.1, MostOhms: 40e6,
	}
}

// Interface records a signal: an audio interface with its lead. LevelDB, its
// calibration, is one and the same for every curve it takes; PointDB belongs to
// each point alone.
type Interface struct {
	Name    string  `json:"name,omitempty"`
	Ohms    float64 `json:"ohms,omitempty"`     // input; 0: it loads nothing
	Farads  float64 `json:"farads,omitempty"`   // input and lead
	LevelDB float64 `json:"level_db,omitempty"` // limit, either way
	PointDB float64 `json:"point_db,omitempty"` // noise: one standard deviation of a point
}

// LineInput is an interface's line input nobody has described: 10 kΩ, 200 pF
// with its lead, level within 0.5 dB, points scattered by 0.05 dB. Common
// practice, no source.
func LineInput() Interface {
	return Interface{Name: "line input", Ohms: 10e3, Farads: 200e-12, LevelDB: 0.5, PointDB: 0.05}
}

// rectangular is the standard deviation of an error of which only the limit is
// known: limit/√3 (JCGM 100:2008, 4.3.7; from memory).
func rectangular(limit float64) float64 { return limit / math.Sqrt(3) }

// property is a number of an instrument that may not be below 0.
type property struct {
	name  string
	value float64
}

func (m Meter) check(at finding.Place) finding.List {
	list := []property{
		{"input ohms", m.InputOhms}, {"most volts", m.MostVolts}, {"lead ohms", m.LeadOhms},
		{"most ohms", m.MostOhms}, {"test volts", m.TestVolts}, {"test series ohms", m.TestSeries},
	}
	list = append(append(list, m.Volts.properties("volts")...), m.Ohms.properties("ohms")...)
	found := checkProperties(m.Name, list, at)
	if m.TestVolts >= circuit.JunctionVolts && m.TestSeries == 0 {
		found = append(found, badInstrument(m.Name, property{"test series ohms", 0}, at))
	}
	return found
}

func (a Accuracy) properties(of string) []property {
	return []property{
		{of + " share", a.Share}, {of + " digits", a.Digits}, {of + " counts", a.Counts},
		{of + " finest", a.Finest}, {of + " floor", a.Floor},
	}
}

func (i Interface) check(at finding.Place) finding.List {
	return checkProperties(i.Name, []property{
		{"ohms", i.Ohms}, {"farads", i.Farads}, {"level dB", i.LevelDB}, {"point dB", i.PointDB},
	}, at)
}

func checkProperties(instrument string, list []property, at finding.Place) finding.List {
	var found finding.List
	for _, p := range list {
		if !(p.value >= 0) || math.IsInf(p.value, 0) {
			found = append(found, badInstrument(instrument, p, at))
		}
	}
	return found
}

func badInstrument(instrument string, p property, at finding.Place) finding.Finding {
	return finding.New(IDBadInstrument, finding.Error, at,
		finding.Args{"instrument": instrument, "property": p.name, "value": written(p.value)})
}

// written is a number as text, for findings whose number may be no number.
func written(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

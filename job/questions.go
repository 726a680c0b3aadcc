package job

import (
	"bandwright/finding"
	"bandwright/quantity"
	"slices"
	"strconv"
	"strings"
)

// Question is one thing that New has to know. The command asks it, or takes
// its key as a flag.
type Question struct {
	Key     string `json:"key"`
	Text    string `json:"text"`    // as it is asked
	Default string `json:"default"` // taken for a blank answer
	Example string `json:"example"`
	Reads   string `json:"reads"` // how the answer is read
}

// Questions gives what New asks, in the order of asking. Defaults are common
// practice, no source.
func Questions() []Question {
	return []Question{
		{"title", "What is the job called?", "Graphic equaliser", "Six-band equaliser for a bass head", "text; it heads every sheet"},
		{"amp", "Which amplifier is it for?", "", "220 W bass head", "text; may be blank"},
		{"source", "How many ohms does the tap-in point drive from?", "1k", "1k", "ohms: 600, 1k, 38k"},
		{"load", "How many ohms load the return?", "470k", "470k", "ohms: 220k, 470k, 1M"},
		{"level", "What is the strongest signal at the tap-in?", "0 dBu", "0 dBu", "a level: 0 dBu, -10 dBV, 0.775 V"},
		{"drawing", "Which driver?", "two-transistor", "two-transistor", "ideal, op-amp or two-transistor"},
		{"rail", "From what rail does the driver run?", "24 V", "24 V", "volts"},
		{"bands", "Which bands, or how many?", "6", "63, 160, 400, 1k, 2k5, 6k3", "frequencies with commas between, or a count from 1 to 21 that is spread from 63 Hz to 6300 Hz"},
		{"boost", "How much boost should a band reach?", "10 dB", "12 dB", "decibels above 0, up to 40"},
		{"q", "What Q should a band have (centre over the width at half the boost)?", "1", "1.4", "a number from 0.1 to 20"},
		{"feedback", "What is the feedback resistor?", "2k2", "2k2", "ohms above 0; source and feed resistor together are made as large"},
		{"slider", "What are the sliders' tracks?", "10k", "10k", "ohms above 0"},
		{"capacitors", "From which series do capacitors come?", "E12", "E6", "a series of preferred values: E3, E6, E12, E24 …"},
		{"resistors", "From which series do resistors come?", "E24", "E96", "a series of preferred values: E12, E24, E96 …"},
		{"dcr", "How many ohms has a coil for each henry?", "100 ohm", "80 ohm", "ohms, 0 for ideal coils; measure one coil and divide"},
	}
}

// Answers to Questions, by key. One that is not there or blank takes the
// default.
type Answers map[string]string

// answered is the answers read, in base units.
type answered struct {
	title, amp, drawing           string
	source, load, level, rail     string // as given, found readable
	feedback, slider              string
	bands                         []quantity.Hertz
	boostDB, q, feedOhms, perOhms float64
	capacitors, resistors         quantity.Series
}

// asker reads answers and keeps what is wrong with them.
type asker struct {
	answers Answers
	list    finding.List
}

func (a *asker) answer(key string) string {
	if text := strings.TrimSpace(a.answers[key]); text != "" {
		return text
	}
	i := slices.IndexFunc(Questions(), func(q Question) bool { return q.Key == key })
	return Questions()[i].Default
}

func (a *asker) wrong(key string) {
	a.list = append(a.list, finding.New(IDBadAnswer, finding.Error, finding.Place{},
		finding.Args{"question": key, "read": clip(a.answer(key))}))
}

// number reads a number with a unit that must lie in a range.
func (a *asker) number(key string, u Unit, low, high float64) (text string, value float64) {
	text = a.answer(key)
	value, err := u.Read(text)
	switch {
	case err != nil:
		a.failed(err, key)
	case !(value >= low && value <= high):
		a.wrong(key)
	}
	return text, value
}

// failed keeps a finding of quantity with the question it answers.
func (a *asker) failed(err error, key string) {
	list := placed(err, finding.Place{}, key, a.answer(key))
	for i := range list {
		list[i].Args["question"] = key
	}
	a.list = append(a.list, list...)
}

func (a *asker) series(key string) quantity.Series {
	s, err := quantity.ParseSeries(a.answer(key))
	if err != nil {
		a.failed(err, key)
	}
	return s
}

// read reads all answers and tells every one that is wrong.
func (a *asker) read() answered {
	a.keys()
	var r answered
	r.title, r.amp = a.answer("title"), a.answer("amp")
	r.source, _ = a.number("source", UnitOhm, 0, 1e9)
	r.load, _ = a.number("load", UnitOhm, 1, 1e9)
	r.rail, _ = a.number("rail", UnitVolt, 1, 1000)
	r.feedback, r.feedOhms = a.number("feedback", UnitOhm, 1, 1e9)
	r.slider, _ = a.number("slider", UnitOhm, 1, 1e9)
	_, r.perOhms = a.number("dcr", UnitOhm, 0, 1e6)
	_, r.q = a.number("q", UnitNumber, 0.1, 20)
	r.level = a.answer("level")
	if _, err := quantity.ParseLevel(r.level); err != nil {
		a.failed(err, "level")
	}
	boost, err := quantity.ParseDecibels(a.answer("boost"))
	if r.boostDB = float64(boost); err != nil {
		a.failed(err, "boost")
	} else if !(r.boostDB > 0 && r.boostDB <= 40) {
		a.wrong("boost")
	}
	if r.drawing = a.answer("drawing"); !slices.Contains(drawings(), r.drawing) {
		a.wrong("drawing")
	}
	r.capacitors, r.resistors = a.series("capacitors"), a.series("resistors")
	r.bands = a.bands()
	return r
}

// drawings gives the words that driver.drawing may be.
func drawings() []string { return schema().find("driver").table.find("drawing").words }

// keys tells answers to questions that nobody asked.
func (a *asker) keys() {
	var known []string
	for _, q := range Questions() {
		known = append(known, q.Key)
	}
	for _, key := range sorted(a.answers) {
		if !slices.Contains(known, key) {
			a.list = append(a.list, finding.New(IDUnknownQuestion, finding.Error, finding.Place{},
				finding.Args{"question": clip(key), "nearest": nearest(key, known)}))
		}
	}
}

// maxBands is how many bands New makes at most: more than any front holds.
const maxBands = 60

// bands reads a list of frequencies, or a count of them spread over the
// third-octave frequencies from 63 Hz to 6300 Hz (ISO 266).
func (a *asker) bands() []quantity.Hertz {
	text := a.answer("bands")
	if n, err := strconv.Atoi(text); err == nil && n <= 21 {
		if n < 1 {
			a.wrong("bands")
			return nil
		}
		return spread(n)
	}
	parted := strings.Fields(text)
	if strings.ContainsAny(text, ",;") {
		parted = strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	}
	var all []quantity.Hertz
	for _, word := range parted {
		f, err := quantity.ParseHertz(strings.TrimSpace(word))
		if err != nil {
			a.failed(err, "bands")
			return nil
		}
		if f < 1 || f > 200000 || slices.Contains(all, f) {
			a.wrong("bands")
			return nil
		}
		all = append(all, f)
	}
	if len(all) == 0 || len(all) > maxBands {
		a.wrong("bands")
	}
	slices.Sort(all)
	return all
}

// spread gives n third-octave frequencies as evenly as they lie: six of them
// are 63, 160, 400, 1000, 2500 and 6300 Hz. One alone is 1 kHz.
func spread(n int) []quantity.Hertz {
	thirds := quantity.NominalThirds(63, 6300)
	if n == 1 {
		return []quantity.Hertz{1000}
	}
	steps := len(thirds) - 1
	all := make([]quantity.Hertz, n)
	for i := range all {
		all[i] = thirds[(2*i*steps+n-1)/(2*(n-1))]
	}
	return all
}

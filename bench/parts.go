package bench

import (
	"maps"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// IDPartKind: a [[part]] names no kind, and neither drawing nor bands have a
// part of its name to be changed. kind, drawn (both "").
const IDPartKind finding.ID = "bench.part-kind"

// placed turns a [[part]] of the job into a part of the circuit. One with a
// kind is written out whole, and what it leaves out is the document's default;
// one without changes what drawing or band has under that name.
func placed(written job.Part, drawn map[string]circuit.Part, work *quantity.Celsius) (circuit.Part, finding.List) {
	at := finding.Place{Part: written.Name, Line: written.Line}
	base, known := drawn[written.Name]
	switch {
	case written.Kind != "":
		base = blank(written.Kind)
	case !known:
		return nil, finding.List{finding.New(IDPartKind, finding.Error, at, finding.Args{"kind": "", "drawn": ""})}
	default:
		if wrong := unfit(written, kindOf(base), at); len(wrong) > 0 {
			return nil, wrong
		}
	}
	w := writer{part: written, at: at, work: work}
	p := w.write(base)
	return p, w.found
}

// unfit says what a change asks of a drawing's part that its kind does not
// have. The document's own check cannot: it does not know the drawings.
func unfit(written job.Part, name string, at finding.Place) finding.List {
	var found finding.List
	wrong := func(id finding.ID, args finding.Args) {
		args["kind"] = name
		found = append(found, finding.New(id, finding.Error, at, args))
	}
	kind, _ := job.KindNamed(name)
	if have, want := len(written.Points), len(kind.Points); have > 0 && have != want {
		wrong(job.IDPoints, finding.Args{"have": have, "want": want, "points": strings.Join(kind.Points, ", ")})
	}
	if kind.Value == job.UnitNone && written.Value+written.Measured != "" {
		wrong(job.IDNoValue, finding.Args{})
	}
	var known []string
	for _, p := range kind.Set {
		known = append(known, p.Name)
	}
	for _, key := range slices.Sorted(maps.Keys(written.Set)) {
		if !slices.Contains(known, key) {
			wrong(job.IDUnknownProperty, finding.Args{"key": key, "nearest": "", "known": strings.Join(known, ", ")})
		}
	}
	return found
}

// kindOf names a part's kind as the document does.
func kindOf(p circuit.Part) string {
	switch p.(type) {
	case circuit.Resistor:
		return "resistor"
	case circuit.Capacitor:
		return "capacitor"
	case circuit.Inductor:
		return "inductor"
	case circuit.Slider:
		return "slider"
	case circuit.VoltageSource:
		return "voltage-source"
	case circuit.CurrentSource:
		return "current-source"
	case circuit.Switch:
		return "switch"
	case circuit.Contact:
		return "contact"
	case circuit.Wire:
		return "wire"
	case circuit.Diode:
		return "diode"
	case circuit.Zener:
		return "zener"
	case circuit.Triode:
		return "triode"
	case circuit.Coupling:
		return "coupling"
	case circuit.Transistor:
		return "transistor"
	case circuit.OpAmp:
		return "op-amp"
	}
	panic("bench: part of no kind")
}

// blank gives a part of a kind with the document's defaults.
func blank(kind string) circuit.Part {
	switch kind {
	case "resistor":
		return circuit.Resistor{}
	case "capacitor":
		return circuit.Capacitor{}
	case "inductor":
		return circuit.Inductor{}
	case "slider":
		return circuit.Slider{}
	case "voltage-source":
		return circuit.VoltageSource{}
	case "current-source":
		return circuit.CurrentSource{}
	case "switch":
		return circuit.Switch{}
	case "contact":
		return circuit.Contact{}
	case "wire":
		return circuit.Wire{}
	case "diode":
		return circuit.Diode{}
	case "zener":
		return circuit.Zener{Is: 10e-15}
	case "triode":
		return circuit.Triode{}
	case "coupling":
		return circuit.Coupling{}
	case "transistor":
		return circuit.Transistor{BetaR: 1}
	case "op-amp":
		return circuit.OpAmp{}
	}
	panic("bench: no kind " + kind)
}

// writer sets a part's fields from what the job says of it, and keeps what
// could not be read.
type writer struct {
	part  job.Part
	at    finding.Place
	work  *quantity.Celsius // the job's temperature
	found finding.List
}

// value reads the measured value, or the marked one, into v.
func (w *writer) value(unit job.Unit, v *float64) {
	text := w.part.Value
	if w.part.Measured != "" {
		text = w.part.Measured
	}
	w.read(text, unit, v)
}

func (w *writer) set(name string, unit job.Unit, v *float64) { w.read(w.part.Set[name], unit, v) }

func (w *writer) read(text string, unit job.Unit, v *float64) {
	if text == "" {
		return
	}
	got, err := unit.Read(text)
	if w.wrong(err) {
		return
	}
	*v = got
}

// wrong keeps what could not be read, at the part's own place.
func (w *writer) wrong(err error) bool {
	list, _ := finding.From(err)
	for _, f := range list {
		f.Place = w.at
		w.found = append(w.found, f)
	}
	return err != nil
}

func (w *writer) point(i int, point *string) {
	if i < len(w.part.Points) {
		*point = w.part.Points[i]
	}
}

func (w *writer) name(name string, v *string) {
	if text := w.part.Set[name]; text != "" {
		*v = text
	}
}

func (w *writer) names(name string, v *[]string) {
	if text := w.part.Set[name]; text != "" {
		*v = job.ReadNames(text)
	}
}

func (w *writer) truth(name string, v *bool) {
	if text := w.part.Set[name]; text != "" {
		*v = text == "true"
	}
}

// write fills in one part, kind by kind; the properties are those of job.Kinds.
func (w *writer) write(p circuit.Part) circuit.Part {
	switch p := p.(type) {
	case circuit.Resistor:
		return w.resistor(p)
	case circuit.Capacitor:
		return w.capacitor(p)
	case circuit.Inductor:
		return w.inductor(p)
	case circuit.Slider:
		return w.slider(p)
	case circuit.VoltageSource:
		return w.voltageSource(p)
	case circuit.CurrentSource:
		return w.currentSource(p)
	case circuit.Switch:
		p.Name = w.part.Name
		w.names("positions", &p.Positions)
		return p
	case circuit.Contact:
		return w.contact(p)
	case circuit.Wire:
		p.Name = w.part.Name
		w.point(0, &p.A)
		w.point(1, &p.B)
		return p
	case circuit.Diode:
		return w.diode(p)
	case circuit.Zener:
		return w.zener(p)
	case circuit.Triode:
		return w.triode(p)
	case circuit.Coupling:
		return w.coupling(p)
	case circuit.Transistor:
		return w.transistor(p)
	case circuit.OpAmp:
		return w.opAmp(p)
	}
	panic("bench: part of no kind")
}

func (w *writer) resistor(p circuit.Resistor) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.A)
	w.point(1, &p.B)
	w.value(job.UnitOhm, &p.Ohms)
	return p
}

func (w *writer) voltageSource(p circuit.VoltageSource) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Plus)
	w.point(1, &p.Minus)
	w.value(job.UnitVolt, &p.DC)
	return p
}

func (w *writer) currentSource(p circuit.CurrentSource) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.From)
	w.point(1, &p.To)
	w.value(job.UnitAmpere, &p.DC)
	return p
}

func (w *writer) diode(p circuit.Diode) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Anode)
	w.point(1, &p.Cathode)
	w.set("is", job.UnitAmpere, &p.Is)
	w.set("n", job.UnitNumber, &p.N)
	return p
}

func (w *writer) zener(p circuit.Zener) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Anode)
	w.point(1, &p.Cathode)
	w.value(job.UnitVolt, &p.Volts)
	w.set("test_current", job.UnitAmpere, &p.TestAmperes)
	w.set("slope", job.UnitOhm, &p.SlopeOhms)
	w.set("is", job.UnitAmpere, &p.Is)
	w.set("n", job.UnitNumber, &p.N)
	return p
}

func (w *writer) triode(p circuit.Triode) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Plate)
	w.point(1, &p.Grid)
	w.point(2, &p.Cathode)
	w.set("mu", job.UnitNumber, &p.Mu)
	w.set("exponent", job.UnitNumber, &p.Exponent)
	w.set("kg1", job.UnitNumber, &p.KG1)
	w.set("kp", job.UnitNumber, &p.KP)
	w.set("kvb", job.UnitNumber, &p.KVB)
	w.set("grid_is", job.UnitAmpere, &p.GridIs)
	w.set("grid_n", job.UnitNumber, &p.GridN)
	w.set("grid_cathode", job.UnitFarad, &p.GridCathodeFarads)
	w.set("grid_plate", job.UnitFarad, &p.GridPlateFarads)
	w.set("plate_cathode", job.UnitFarad, &p.PlateCathodeFarads)
	return p
}

func (w *writer) coupling(p circuit.Coupling) circuit.Part {
	p.Name = w.part.Name
	w.value(job.UnitNumber, &p.K)
	w.name("first", &p.First)
	w.name("second", &p.Second)
	return p
}

func (w *writer) capacitor(p circuit.Capacitor) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.A)
	w.point(1, &p.B)
	w.value(job.UnitFarad, &p.Farads)
	w.set("loss", job.UnitNumber, &p.Loss)
	w.set("esr", job.UnitOhm, &p.ESR)
	return p
}

func (w *writer) inductor(p circuit.Inductor) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.A)
	w.point(1, &p.B)
	w.value(job.UnitHenry, &p.Henries)
	w.set("dcr", job.UnitOhm, &p.DCR)
	if w.part.Set["dcr"] != "" && w.part.Set["dcr_at"] != "" {
		var at float64
		w.set("dcr_at", job.UnitDegree, &at)
		measured := quantity.Celsius(at)
		p.DCR = warmed(p.DCR, &measured, w.work)
	}
	w.set("core_loss", job.UnitOhm, &p.CoreOhms)
	w.set("self_capacitance", job.UnitFarad, &p.SelfFarads)
	w.truth("self_capacitance_inside", &p.SelfInside)
	return p
}

func (w *writer) slider(p circuit.Slider) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Boost)
	w.point(1, &p.Wiper)
	w.point(2, &p.Cut)
	w.value(job.UnitOhm, &p.Track)
	w.set("boost_end", job.UnitOhm, &p.BoostEnd)
	w.set("cut_end", job.UnitOhm, &p.CutEnd)
	w.set("wiper", job.UnitOhm, &p.WiperOhms)
	if text := w.part.Set["law"]; text != "" {
		p.Law = w.law(text)
	}
	return p
}

// law reads a law in rows or by its name.
func (w *writer) law(text string) circuit.Law {
	law, named, err := namedLaw(text)
	if named {
		w.wrong(err)
		return law
	}
	rows, err := job.ReadRows(text)
	w.wrong(err)
	return lawOf(rows)
}

// namedLaw gives a law by its shape and share; it has none of the name unless
// named.
func namedLaw(text string) (law circuit.Law, named bool, err error) {
	shape, share, named, err := job.ReadNamedLaw(text)
	switch {
	case err != nil:
	case shape == job.LawS:
		law = circuit.SLaw(share)
	case shape == job.LawAudio:
		law = circuit.AudioLaw(share)
	case shape == job.LawReverseAudio:
		law = circuit.AudioLaw(share).Reversed()
	}
	return law, named, err
}

func (w *writer) contact(p circuit.Contact) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.A)
	w.point(1, &p.B)
	w.value(job.UnitOhm, &p.OnOhms)
	w.set("open", job.UnitOhm, &p.OffOhms)
	w.names("closed", &p.Closed)
	w.name("switch", &p.Switch)
	return p
}

func (w *writer) transistor(p circuit.Transistor) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Collector)
	w.point(1, &p.Base)
	w.point(2, &p.Emitter)
	if text := w.part.Set["type"]; text != "" {
		p.PNP = strings.EqualFold(text, "pnp")
	}
	w.set("is", job.UnitAmpere, &p.Is)
	w.set("beta_f", job.UnitNumber, &p.BetaF)
	w.set("beta_r", job.UnitNumber, &p.BetaR)
	w.set("n", job.UnitNumber, &p.N)
	w.set("early", job.UnitVolt, &p.EarlyVolts)
	w.set("base_emitter", job.UnitFarad, &p.BaseEmitterFarads)
	w.set("base_collector", job.UnitFarad, &p.BaseCollectorFarads)
	return p
}

func (w *writer) opAmp(p circuit.OpAmp) circuit.Part {
	p.Name = w.part.Name
	w.point(0, &p.Plus)
	w.point(1, &p.Minus)
	w.point(2, &p.Out)
	w.truth("ideal", &p.Ideal)
	w.set("gain", job.UnitNumber, &p.Gain)
	w.set("gain_bandwidth", job.UnitHertz, &p.GainBandwidth)
	w.set("input", job.UnitOhm, &p.InputOhms)
	w.set("output", job.UnitOhm, &p.OutputOhms)
	return p
}

// lawOf turns a job's rows of travel and share into a slider's law.
func lawOf(rows [][2]float64) circuit.Law {
	var law circuit.Law
	for _, row := range rows {
		law.Travel = append(law.Travel, row[0])
		law.Share = append(law.Share, row[1])
	}
	return law
}

package equaliser

import (
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
)

// The parts of a leg.
const (
	partResistor = iota
	partCoil
	partCapacitor
	partsPerLeg
)

// partWords name the parts of a leg as circuits do, and their units.
var (
	partWords = [partsPerLeg]string{"resistor", "coil", "capacitor"}
	partUnits = [partsPerLeg]string{"ohm", "henry", "farad"}
)

// figureWords name the figures of a band, and their units.
var (
	figureWords = [figuresPerBand]string{"centre", "boost", "cut", "Q"}
	figureUnits = [figuresPerBand]string{"hertz", "decibel", "decibel", ""}
)

// design is a question with the values that answer it so far. A copy made by
// clone can be led elsewhere.
type design struct {
	of *Equaliser
	Targets
	bands []designBand
}

// designBand is one wanted band.
type designBand struct {
	Wanted
	leg      designLeg
	perHenry float64
	core     float64 // core loss resistance per henry
	soft     float64 // ohms below which the resistor's scale is straight, not logarithmic

	resistor  circuit.Resistor // as they are
	coil      circuit.Inductor
	capacitor circuit.Capacitor

	taken  [partsPerLeg]string     // names of owned parts
	fixed  [partsPerLeg]bool       // not to be moved
	ended  [partsPerLeg]int8       // fixed at an end of what is believable: −1 low, +1 high
	vary   [partsPerLeg]bool       // moved by the search
	active [figuresPerBand]bool    // led to what is wanted
	defect [figuresPerBand]float64 // how far a block of builds measures beside the circuit
	wanted [figuresPerBand]float64 // 0: free
	lost   [figuresPerBand]bool    // there is no such figure to lead
	none   [figuresPerBand]bool    // nor in the end, with values of any size
}

// designLeg is the values of a leg.
type designLeg struct{ ohms, henries, dcr, farads float64 }

// newDesign checks the question and gives every band its starting values.
func (e *Equaliser) newDesign(targets Targets) (*design, error) {
	d := &design{of: e, Targets: targets.withDefaults()}
	found := d.Targets.check()
	for i, w := range d.Wanted {
		list := e.checkWanted(w, d.Wanted[:i])
		found = append(found, list...)
		if list.Err() != nil {
			continue
		}
		b, list := e.designBand(w, d.Targets)
		if found = append(found, list...); list.Err() == nil {
			b.start(e, d.Believable)
			d.bands = append(d.bands, b)
		}
	}
	return d, found.Err()
}

func (t Targets) withDefaults() Targets {
	for _, v := range []struct {
		field *float64
		value float64
	}{
		{&t.Believable.LowHenries, 100e-6}, {&t.Believable.HighHenries, 50},
		{&t.Believable.LowFarads, 100e-12}, {&t.Believable.HighFarads, 220e-6},
		{&t.Believable.HighOhms, 1e6},
		{&t.Counts.Centre, 0.01}, {&t.Counts.DB, 0.2}, {&t.Counts.Q, 0.1},
	} {
		if *v.field == 0 {
			*v.field = v.value
		}
	}
	return t
}

// check looks at what holds for all bands.
func (t Targets) check() finding.List {
	var found finding.List
	l := t.Believable
	for _, v := range []struct {
		what      string
		low, high float64
	}{
		{"believable coil", l.LowHenries, l.HighHenries}, {"believable capacitor", l.LowFarads, l.HighFarads},
		{"believable resistor", leastKnobOhms, l.HighOhms}, {"copper per henry", 0, t.OhmsPerHenry},
		{"step of the centre that counts", 0, t.Counts.Centre}, {"step in dB that counts", 0, t.Counts.DB},
		{"step of Q that counts", 0, t.Counts.Q},
	} {
		if !(v.low >= 0 && v.high >= v.low) || math.IsInf(v.high, 0) {
			found = append(found, finding.New(IDWantedValue, finding.Error, finding.Place{},
				finding.Args{"what": v.what, "value": readable(v.high), "want": "above 0, and its least below its most"}))
		}
	}
	return found
}

func (e *Equaliser) checkWanted(w Wanted, before []Wanted) finding.List {
	var found finding.List
	at := finding.Place{Band: w.Band}
	bad := func(what string, value any, want string) {
		found = append(found, finding.New(IDWantedValue, finding.Error, at,
			finding.Args{"what": what, "value": value, "want": want}))
	}
	if !slices.Contains(e.Bands(), w.Band) {
		return finding.List{finding.New(IDWantedBand, finding.Error, at,
			finding.Args{"known": strings.Join(e.Bands(), ", ")})}
	}
	if slices.ContainsFunc(before, func(o Wanted) bool { return o.Band == w.Band }) {
		bad("band", w.Band, "there once")
	}
	for _, v := range []struct {
		what        string
		value, sign float64
		want        string
	}{
		{"centre", w.CentreHz, 1, "above 0"}, {"boost", w.BoostDB, 1, "above 0 dB"},
		{"cut", w.CutDB, -1, "below 0 dB"}, {"Q", w.Q, 1, "above 0"},
		{"copper per henry", w.OhmsPerHenry, 1, "0 or more"},
	} {
		if !(v.value*v.sign >= 0) || math.IsInf(v.value, 0) {
			bad(v.what, readable(v.value), v.want)
		}
	}
	for part, pick := range w.picks() {
		for _, o := range pick.Owned {
			good := o.Value > 0 || part == partResistor && o.Value == 0
			if !good || !(o.DCR >= 0) || math.IsInf(o.Value+o.DCR, 0) {
				bad("owned "+partWords[part], readable(o.Value), "above 0, its copper too")
			}
		}
	}
	return found
}

func (w *Wanted) picks() [partsPerLeg]Pick { return [partsPerLeg]Pick{w.Resistor, w.Coil, w.Capacitor} }

// designBand reads a band's leg as it stands in the circuit.
func (e *Equaliser) designBand(w Wanted, t Targets) (designBand, finding.List) {
	b := designBand{Wanted: w, wanted: [figuresPerBand]float64{w.CentreHz, w.BoostDB, w.CutDB, w.Q}}
	var ok [partsPerLeg]bool
	b.resistor, ok[partResistor] = e.part(w.Band + ".resistor").(circuit.Resistor)
	b.coil, ok[partCoil] = e.part(w.Band + ".coil").(circuit.Inductor)
	b.capacitor, ok[partCapacitor] = e.part(w.Band + ".capacitor").(circuit.Capacitor)
	var found finding.List
	for part, there := range ok {
		if !there {
			found = append(found, finding.New(IDWantedPart, finding.Error,
				finding.Place{Band: w.Band, Part: w.Band + "." + partWords[part]}, nil))
		}
	}
	if found != nil {
		return b, found
	}
	b.leg = designLeg{b.resistor.Ohms, b.coil.Henries, b.coil.DCR, b.capacitor.Farads}
	b.core = b.coil.CoreOhms / b.coil.Henries
	b.perHenry = w.OhmsPerHenry
	if b.perHenry == 0 {
		b.perHenry = t.OhmsPerHenry
	}
	if b.perHenry == 0 {
		b.perHenry = b.coil.DCR / b.coil.Henries
	}
	for part, pick := range w.picks() {
		if len(pick.Owned) == 1 {
			b.put(part, choice{pick.Owned[0].Value, pick.Owned[0].DCR, pick.Owned[0].Name})
			b.fixed[part] = true
		}
	}
	b.assign()
	return b, nil
}

// assign decides which parts move and which figures they are led by: as many
// of one as of the other, so that what can be reached is reached exactly. What
// the fixed parts leave no part for is given up: boost with the resistor, Q
// before centre with coil or capacitor.
func (b *designBand) assign() {
	b.vary, b.active = [partsPerLeg]bool{}, [figuresPerBand]bool{}
	wants := func(figure int) bool { return b.wanted[figure] != 0 && !b.lost[figure] }
	serve := func(part, figure int) { b.vary[part], b.active[figure] = true, true }
	coil, capacitor := !b.fixed[partCoil], !b.fixed[partCapacitor]
	centre, q := wants(figureCentre), wants(figureQ)
	switch {
	case coil && capacitor:
		if centre {
			serve(partCapacitor, figureCentre)
		}
		if q {
			serve(partCoil, figureQ)
		}
	case (coil || capacitor) && (centre || q):
		part, figure := partCoil, figureCentre
		if capacitor {
			part = partCapacitor
		}
		if !centre {
			figure = figureQ
		}
		serve(part, figure)
	}
	if b.fixed[partResistor] {
		return
	}
	for _, figure := range [...]int{figureBoost, figureCut} {
		if wants(figure) {
			serve(partResistor, figure)
		}
	}
	if !b.vary[partResistor] && q && !b.active[figureQ] {
		serve(partResistor, figureQ)
	}
}

// start gives the values of a leg alone in an ideal cell, where they are to
// be sought; what is fixed or not wanted stays.
func (b *designBand) start(e *Equaliser, limits Believable) {
	total := b.leg.ohms + b.leg.dcr
	if db := max(b.BoostDB, -b.CutDB); db > 0 {
		total = e.spec.Feedback / (math.Pow(10, db/20) - 1)
	}
	total = clamp(total, leastKnobOhms, limits.HighOhms)
	omega := 2 * math.Pi * b.CentreHz
	if b.CentreHz == 0 {
		omega = 2 * math.Pi * legResonance(b.leg.henries, b.leg.farads)
	}
	if b.vary[partCoil] && b.active[figureQ] {
		gain := 1 + e.spec.Feedback/total
		b.setHenries(b.Q * math.Sqrt(gain) * total / omega)
	}
	b.tune(omega, limits)
	if b.vary[partResistor] {
		b.leg.ohms = min(max(total-b.leg.dcr, 0.02*total), limits.HighOhms)
	}
	b.soft = 0.1 * total
}

// tune brings coil and capacitor within what is believable, and what is led to
// the centre to where coil and capacitor cancel there.
func (b *designBand) tune(omega float64, limits Believable) {
	coil := func(henries float64) float64 { return clamp(henries, limits.LowHenries, limits.HighHenries) }
	switch {
	case b.vary[partCapacitor]:
		if b.vary[partCoil] {
			b.setHenries(coil(b.leg.henries))
		}
		b.leg.farads = clamp(1/(omega*omega*b.leg.henries), limits.LowFarads, limits.HighFarads)
	case b.vary[partCoil] && !b.active[figureQ]:
		b.setHenries(coil(1 / (omega * omega * b.leg.farads)))
	case b.vary[partCoil]:
		b.setHenries(coil(b.leg.henries))
	}
}

// clamp brings a value within two ends; what wild figures leave without a
// value comes to the lower one.
func clamp(x, low, high float64) float64 {
	if !(x > low) {
		return low
	}
	return min(x, high)
}

// mostCopper keeps a coil's copper a number, whatever is asked.
const mostCopper = 1e12

// setHenries winds another coil, its copper in proportion.
func (b *designBand) setHenries(henries float64) {
	b.leg.henries, b.leg.dcr = henries, min(b.perHenry*henries, mostCopper)
}

func (d *design) clone() *design {
	c := *d
	c.bands = slices.Clone(d.bands)
	return &c
}

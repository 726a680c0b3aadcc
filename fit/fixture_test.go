package fit_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/fit"
)

// What the tests fit is made by a formula, never by the engine: the cell with an
// ideal amplifier, whose two inputs stand at the same volts, so that each slider
// is a divider between equals and each leg hangs on it alone,
//
//	H = [1 + Rb·Σ pᵢYᵢ] / [1 + Rf·Σ (1−pᵢ)Yᵢ],  Yᵢ = 1/(Zᵢ + r₁r₂/(r₁+r₂)),  p = r₂/(r₁+r₂)
//
// r₁ and r₂ being the track above and below the wiper with its ends (worked out
// from the definition; known.IdealCell is the case Rb = Rf without ends).

// unit is such an equaliser.
type unit struct {
	feed, feedback float64 // source's ohms are in the feed
	legs           []leg
}

type leg struct {
	band                  string
	hz                    float64 // stated
	track, end            float64
	ohms, henries         float64
	farads, dcr, coreOhms float64
}

func (l leg) impedance(w float64) complex128 {
	coil := complex(0, w*l.henries)
	if l.coreOhms > 0 {
		coil *= complex(l.coreOhms, 0) / (coil + complex(l.coreOhms, 0))
	}
	return complex(l.ohms+l.dcr, -1/(w*l.farads)) + coil
}

// gain is the formula.
func (u unit) gain(s curve.Setting, hz float64) complex128 {
	up, down := complex(1, 0), complex(1, 0)
	for _, l := range u.legs {
		p := (1 + s.Slider(l.band)) / 2
		above, below := l.end+l.track*(1-p), l.end+l.track*p
		y := 1 / (l.impedance(2*math.Pi*hz) + complex(above*below/(above+below), 0))
		p = below / (above + below)
		up += complex(u.feedback*p, 0) * y
		down += complex(u.feed*(1-p), 0) * y
	}
	return up / down
}

func (u unit) curve(s curve.Setting, hz []float64) curve.Curve {
	c := curve.Curve{Setting: s, Hz: hz, DB: make([]float64, len(hz))}
	for i, f := range hz {
		c.DB[i], _ = circuit.Decibels(u.gain(s, f))
	}
	return c
}

// noisy gives a curve with noise and another level.
func noisy(c curve.Curve, rng *rand.Rand, sd, level float64) curve.Curve {
	db := make([]float64, len(c.DB))
	for i := range db {
		db[i] = c.DB[i] + level + sd*rng.NormFloat64()
	}
	c.DB = db
	return c
}

// spec is the same unit as a drawing.
func (u unit) spec() equaliser.Spec {
	s := equaliser.Spec{Drawing: equaliser.DrawingIdeal, Feed: u.feed, Feedback: u.feedback}
	for _, l := range u.legs {
		s.Bands = append(s.Bands, equaliser.Band{Name: l.band, Hz: l.hz,
			Slider:    circuit.Slider{Track: l.track, BoostEnd: l.end, CutEnd: l.end},
			Resistor:  circuit.Resistor{Ohms: l.ohms},
			Coil:      circuit.Inductor{Henries: l.henries, DCR: l.dcr, CoreOhms: l.coreOhms},
			Capacitor: circuit.Capacitor{Farads: l.farads}})
	}
	return s
}

func (u unit) build(t testing.TB) *equaliser.Equaliser {
	t.Helper()
	e, err := equaliser.Build(u.spec())
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// demoUnit is the six bands at values near the invented demo's.
func demoUnit() unit {
	u := unit{feed: 2200, feedback: 2200}
	for _, b := range []struct {
		band                                 string
		hz, ohms, henries, farads, dcr, core float64
	}{
		{"63", 63, 330, 2.7, 2.2e-6, 255, 180e3},
		{"160", 160, 430, 1, 1e-6, 138, 120e3},
		{"400", 400, 470, 0.39, 390e-9, 82, 75e3},
		{"1000", 1000, 470, 0.17, 150e-9, 47, 47e3},
		{"2500", 2500, 510, 0.068, 60e-9, 24, 30e3},
		{"6300", 6300, 510, 0.027, 24e-9, 12, 20e3},
	} {
		u.legs = append(u.legs, leg{band: b.band, hz: b.hz, track: 10e3, end: 2,
			ohms: b.ohms, henries: b.henries, farads: b.farads, dcr: b.dcr, coreOhms: b.core})
	}
	return u
}

// off gives the unit with every leg value off by a normal share.
func (u unit) off(rng *rand.Rand, sd float64) unit {
	v := unit{feed: u.feed, feedback: u.feedback}
	for _, l := range u.legs {
		l.ohms *= math.Exp(sd * rng.NormFloat64())
		l.henries *= math.Exp(sd * rng.NormFloat64())
		l.farads *= math.Exp(sd * rng.NormFloat64())
		v.legs = append(v.legs, l)
	}
	return v
}

// legUnknowns are the three values of every leg, in the order of legValues.
func legUnknowns(u unit) []fit.Unknown {
	var list []fit.Unknown
	for _, l := range u.legs {
		list = append(list,
			fit.Unknown{Knob: circuit.Knob{Part: l.band + ".resistor", Value: "Ohms"}},
			fit.Unknown{Knob: circuit.Knob{Part: l.band + ".coil", Value: "Henries"}},
			fit.Unknown{Knob: circuit.Knob{Part: l.band + ".capacitor", Value: "Farads"}})
	}
	return list
}

func legValues(u unit) []float64 {
	var list []float64
	for _, l := range u.legs {
		list = append(list, l.ohms, l.henries, l.farads)
	}
	return list
}

// sliders gives a setting from one sign a band: + boost, − cut, 0 centred.
func sliders(u unit, signs string) curve.Setting {
	s := curve.Setting{}
	for i, l := range u.legs {
		s = s.WithSlider(l.band, map[byte]float64{'+': 1, '-': -1, '0': 0}[signs[i]])
	}
	return s
}

// threeSettings are all up, all down, and by turns: of the triples tried those
// with the least Cramér–Rao bound. A flat take tells little of legs, which then
// hang on half their tracks.
func threeSettings(u unit) []curve.Setting {
	return []curve.Setting{sliders(u, "++++++"), sliders(u, "------"), sliders(u, "+-+-+-")}
}

// plan asks for the legs of a unit drawn as nominal from curves of the true one.
func plan(t testing.TB, nominal unit, takes []fit.Take) fit.Plan {
	return fit.Plan{Circuit: nominal.build(t).Circuit(), Source: equaliser.Source, Out: equaliser.OutputPoint,
		Unknowns: legUnknowns(nominal), Takes: takes}
}

func solved(t testing.TB, p fit.Plan) *fit.Result {
	t.Helper()
	r, err := fit.Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// says tells whether a finding is among others.
func says(list finding.List, id finding.ID) bool {
	return slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == id })
}

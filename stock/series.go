package stock

import (
	"fmt"
	"math"

	"bandwright/finding"
)

// The limits below which a reading is doubted. Common practice, no source.
const (
	lowQ        = 3.0 // meters err below it
	modeQ       = 10  // below it series and parallel differ by over 1 %
	fromSelf    = 5.0 // self-resonance over test frequency
	selfKnown   = 0.2 // how far a stated self-capacitance may be off
	bandAlready = 1.5 // a reading so near to the band needs no other frequency
	nearOpen    = 1e-18
)

// Model is a part as a circuit computes with it: a coil's inductance with the
// copper in series, core loss across the inductance alone and self-capacitance
// across the whole; a capacitor's farads in parallel with a conductance
// ωC·Loss; a resistor's ohms. What the part has not is 0.
type Model struct {
	Henries    float64 `json:"henries,omitempty"`
	DCR        float64 `json:"dcr,omitempty"` // at the temperature asked for
	CoreOhms   float64 `json:"core_ohms,omitempty"`
	SelfFarads float64 `json:"self_farads,omitempty"`
	Farads     float64 `json:"farads,omitempty"`
	Loss       float64 `json:"loss,omitempty"` // tan δ
	Ohms       float64 `json:"ohms,omitempty"`
}

// Estimate is what is known of a part at a frequency and a temperature.
type Estimate struct {
	Kind     Kind         `json:"kind"`
	Hertz    float64      `json:"hertz"`
	Celsius  float64      `json:"celsius"`
	Value    float64      `json:"value"`   // series henries or farads at Hertz, or ohms; negative henries above self-resonance
	SE       float64      `json:"se"`      // standard uncertainty of Value
	Ohms     float64      `json:"ohms"`    // series resistance at Hertz
	OhmsSE   float64      `json:"ohms_se"` // its standard uncertainty
	Q        float64      `json:"q"`       // reactance over Ohms; 0 without Ohms
	Model    Model        `json:"model"`
	ModelSE  float64      `json:"model_se"` // of Henries, Farads or Ohms in Model
	DCRSE    float64      `json:"dcr_se"`
	Measured bool         `json:"measured"` // false: Value is the marked one
	Findings finding.List `json:"findings,omitempty"`
}

// seen is one way to look at a part: what was read, and from it the model.
type seen struct {
	kind        Kind
	value, loss float64 // loss is tan δ, 0 unknown
	mode        Mode
	hertz       float64 // of the reading, 0 unknown
	dcr         float64 // at the temperature of the reading, 0 unknown
	self        float64
	warmer      float64 // dcr at the temperature asked for over dcr
	// between is how far value stands from series (0) to parallel (1) where
	// the mode was not written: one half, give or take one half.
	between float64
}

// outcome is what SeriesAt gives of one seen.
type outcome struct{ value, ohms, model, dcr float64 }

// SeriesAt says what the part is at a frequency (hertz above nought) when it
// is celsius warm, and how well that is known when m took the readings. Of
// several readings the one nearest to the frequency counts, one of Q 3 or more
// before one below. Loss goes to
// copper by the DCR, and what is left to the core. An unmeasured part is what
// is marked on it, with its tolerance taken as uniform.
func (p Part) SeriesAt(hertz, celsius float64, m Meter) Estimate {
	if !(hertz > 0) || math.IsInf(hertz, 0) || !(celsius > -200 && celsius < 1000) {
		panic(fmt.Sprintf("stock: at %v Hz and %v °C", hertz, celsius))
	}
	e, s, limits := p.look(hertz, celsius, m)
	e.spread(s, limits)
	e.judge(p)
	return e
}

// look gathers what was seen of the part and the greatest error of each of
// its numbers, in the same fields.
func (p Part) look(hertz, celsius float64, m Meter) (e Estimate, s, limits seen) {
	e = Estimate{Kind: p.Kind, Hertz: hertz, Celsius: celsius, Measured: p.Measured()}
	copper, reading := p.copper(celsius)
	s = seen{kind: p.Kind, value: p.Marked, mode: Series, dcr: copper, warmer: 1}
	if e.Measured {
		r, _ := p.at(hertz)
		s, limits = e.measured(p, r, m)
	} else {
		// What is marked is the inductance itself, not one seen at a frequency.
		s.value, limits.value = e.marked(p)
		s.self = p.self(s.value)
	}
	if reading.DCR > 0 {
		l, _ := m.limit(Resistor, "", 0)
		limits.dcr = l.Greatest(s.dcr, 0)
	} else if p.Kind == Coil {
		e.warn(IDNoDCR, p, nil)
	}
	limits.self = selfKnown * s.self
	return e, s, limits
}

func (e *Estimate) warn(id finding.ID, p Part, args finding.Args) {
	e.Findings = append(e.Findings, finding.New(id, finding.Warning, finding.Place{Part: p.ID}, args))
}

// copper gives the DCR at a temperature and the reading it comes from.
func (p Part) copper(celsius float64) (float64, Reading) {
	r, ok := p.dcr()
	if !ok {
		return 0, r
	}
	return Copper(r.DCR, r.temperature(), celsius), r
}

func (r Reading) temperature() float64 {
	if r.Celsius == nil {
		return room
	}
	return *r.Celsius
}

// marked notes that the part was not measured and gives the greatest error of
// its marking.
func (e *Estimate) marked(p Part) (value, limit float64) {
	e.Findings = append(e.Findings, finding.New(IDNotMeasured, finding.Note, finding.Place{Part: p.ID}, nil))
	law, list := p.markedLaw()
	e.Findings = append(e.Findings, list...)
	return law.Nominal, max(law.High-law.Nominal, law.Nominal-law.Low)
}

// measured sets up the reading and the greatest error of each of its numbers.
func (e *Estimate) measured(p Part, r Reading, m Meter) (s, limits seen) {
	warm := r.temperature()
	copper, from := p.copper(warm)
	if r.Celsius == nil && from.DCR > 0 {
		warm, copper = from.temperature(), from.DCR
	}
	s = seen{kind: p.Kind, value: r.Value, mode: r.Mode, hertz: r.Hertz, dcr: copper, warmer: Copper(1, warm, e.Celsius)}
	s.loss, _ = r.loss()
	e.Findings = append(e.Findings, p.judgeReading(r, e.Hertz)...)
	if p.Kind == Coil {
		s.self = p.selfOf(r)
	}
	l, known := m.limit(p.Kind, r.Mode, r.Hertz)
	if !known && len(m.Limits) > 0 {
		e.warn(IDMeterGap, p, finding.Args{"meter": m.Name, "hertz": r.Hertz})
	}
	if s.mode == "" {
		s.between, limits.between = 0.5, 0.5
	}
	limits.value = l.Greatest(r.Value, s.loss)
	if s.loss > 0 {
		limits.loss = l.Loss
	}
	return s, limits
}

// selfOf gives the self-capacitance that belongs to what a reading saw.
func (p Part) selfOf(r Reading) float64 {
	if p.SelfFarads > 0 || p.SelfResonance == 0 || r.Hertz == 0 {
		return p.self(r.Value)
	}
	if r.Hertz >= p.SelfResonance {
		return 0 // judged as above resonance; nothing can be taken back
	}
	// seen = L/(1 − (f/f0)²), so L is known before C is
	return p.self(r.Value * (1 - square(r.Hertz/p.SelfResonance)))
}

// spread works out the outcome and, one input after the other moved to either
// end of its standard uncertainty, how far the outcome moves: the numerical
// form of the law of propagation (JCGM 100:2008 5.1.3, from memory). Of the
// two ends the further counts: on one side core loss or D may end at nought.
func (e *Estimate) spread(s, limits seen) {
	model := s.model()
	mid := s.outcome(e.Hertz)
	var sum outcome
	move := func(to *float64, limit float64) {
		if limit == 0 {
			return
		}
		keep, u := *to, standard(limit)
		*to = keep + u
		up := s.outcome(e.Hertz)
		*to = max(keep-u, keep/1000) // no part has nothing of what it is
		down := s.outcome(e.Hertz)
		*to = keep
		further := func(sum *float64, mid, up, down float64) {
			*sum += square(max(math.Abs(up-mid), math.Abs(down-mid)))
		}
		further(&sum.value, mid.value, up.value, down.value)
		further(&sum.ohms, mid.ohms, up.ohms, down.ohms)
		further(&sum.model, mid.model, up.model, down.model)
		further(&sum.dcr, mid.dcr, up.dcr, down.dcr)
	}
	move(&s.value, limits.value)
	move(&s.loss, limits.loss)
	move(&s.dcr, limits.dcr)
	move(&s.self, limits.self)
	move(&s.between, limits.between)
	e.Model, e.Value, e.Ohms = model, mid.value, mid.ohms
	e.SE, e.OhmsSE = math.Sqrt(sum.value), math.Sqrt(sum.ohms)
	e.ModelSE, e.DCRSE = math.Sqrt(sum.model), math.Sqrt(sum.dcr)
	if e.Ohms > 0 && e.Kind != Resistor {
		x := omega(e.Hertz) * e.Value
		if e.Kind == Capacitor {
			x = 1 / x
		}
		e.Q = x / e.Ohms
	}
}

// outcome puts the model to a frequency.
func (s seen) outcome(hertz float64) outcome {
	m := s.model()
	z := m.Impedance(hertz)
	switch s.kind {
	case Coil:
		return outcome{imag(z) / omega(hertz), real(z), m.Henries, m.DCR}
	case Capacitor:
		return outcome{-1 / (imag(z) * omega(hertz)), real(z), m.Farads, 0}
	}
	return outcome{m.Ohms, m.Ohms, m.Ohms, 0}
}

// Impedance gives R + jX of the part at a frequency.
func (m Model) Impedance(hertz float64) complex128 {
	w := omega(hertz)
	switch {
	case m.Henries > 0:
		core := complex(0, w*m.Henries)
		if m.CoreOhms > 0 {
			core = core * complex(m.CoreOhms, 0) / (core + complex(m.CoreOhms, 0))
		}
		y := 1/(core+complex(m.DCR, 0)) + complex(0, w*m.SelfFarads)
		if y == 0 {
			y = nearOpen // exactly at the resonance of a coil without any loss
		}
		return 1 / y
	case m.Farads > 0:
		return 1 / complex(w*m.Farads*m.Loss, w*m.Farads)
	}
	return complex(m.Ohms, 0)
}

// judge warns of the band's own frequency near the coil's self-resonance.
func (e *Estimate) judge(p Part) {
	if p.Kind != Coil || e.Model.SelfFarads == 0 {
		return
	}
	if f := nearSelf(ResonantHertz(e.Model.Henries, e.Model.SelfFarads), e.Hertz, "band", p); f != nil {
		e.Findings = append(e.Findings, *f)
	}
}

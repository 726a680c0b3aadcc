package known

import (
	"math"

	"bandwright/circuit"
	"bandwright/curve"
)

// HandbookBand is one row of the ten-band octave table: a series capacitor C2
// into a coil made of R1, R2, C1 and a follower.
type HandbookBand struct {
	Name           string
	Nominal        float64 // Hz
	C1, C2, R1, R2 float64
	PeakDB         float64 // this slider at full boost, nine flat: worked out
}

// HandbookTable is the ten-band octave equaliser of an audio handbook of 1980
// as recalled FROM MEMORY: no text was found. It is coherent in itself (each
// resonance within 9 % of its label), so it serves as a plausibility case and
// nothing more. Feed and feedback are 3 k, the sliders 10 k, and the work is
// remembered to promise ±12 dB.
func HandbookTable() []HandbookBand {
	return []HandbookBand{
		{"32", 32, 0.12e-6, 4.7e-6, 75e3, 500, 11.64},
		{"64", 64, 0.056e-6, 3.3e-6, 68e3, 510, 10.79},
		{"125", 125, 0.033e-6, 1.5e-6, 62e3, 510, 10.28},
		{"250", 250, 0.015e-6, 0.82e-6, 68e3, 470, 10.58},
		{"500", 500, 8200e-12, 0.39e-6, 62e3, 470, 10.46},
		{"1k", 1000, 3900e-12, 0.22e-6, 68e3, 470, 10.43},
		{"2k", 2000, 2000e-12, 0.1e-6, 68e3, 470, 10.48},
		{"4k", 4000, 1100e-12, 0.056e-6, 62e3, 470, 10.61},
		{"8k", 8000, 510e-12, 0.022e-6, 68e3, 510, 10.50},
		{"16k", 16000, 330e-12, 0.012e-6, 51e3, 510, 11.37},
	}
}

// Resonance of the row with L = (R1 − R2)·R2·C1.
func (b HandbookBand) Resonance() float64 {
	henries := (b.R1 - b.R2) * b.R2 * b.C1
	return 1 / (2 * math.Pi * math.Sqrt(henries*b.C2))
}

// Impedance of the whole leg at hz, C2 included.
func (b HandbookBand) Impedance(hz float64) complex128 {
	return FollowerInductor(b.R1, b.R2, b.C1, hz) - complex(0, 1/(2*math.Pi*hz*b.C2))
}

// FollowerInductor is the impedance of the coil made of a follower, worked
// out from the definition: Z = R2(1 + sC·R1)/(1 + sC·R2).
func FollowerInductor(r1, r2, c, hz float64) complex128 {
	s := complex(0, 2*math.Pi*hz*c)
	return complex(r2, 0) * (1 + s*complex(r1, 0)) / (1 + s*complex(r2, 0))
}

const (
	handbookFeed  = 3e3
	handbookTrack = 10e3
)

// HandbookGain is the closed form of the ten-band table at a setting.
func HandbookGain(setting curve.Setting, hz float64) complex128 {
	var legs []Leg
	var impedances []complex128
	for _, b := range HandbookTable() {
		legs = append(legs, Leg{Track: handbookTrack, Share: (setting.Slider(b.Name) + 1) / 2})
		impedances = append(impedances, b.Impedance(hz))
	}
	return IdealCellOf(handbookFeed, legs, impedances)
}

// HandbookParts is the table as parts: ten sliders, ten followers and the
// driver, all ideal. Eleven op-amps in one circuit.
func HandbookParts() []circuit.Part {
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "source", Plus: "generator", Minus: circuit.Ground},
		circuit.Resistor{Name: "feed", A: "generator", B: "cut", Ohms: handbookFeed},
		circuit.Resistor{Name: "feedback", A: "out", B: "boost", Ohms: handbookFeed},
		circuit.OpAmp{Name: "driver", Plus: "cut", Minus: "boost", Out: "out", Ideal: true},
	}
	for _, b := range HandbookTable() {
		wiper, top, plus, follower := b.Name+".wiper", b.Name+".top", b.Name+".plus", b.Name+".follower"
		parts = append(parts,
			circuit.Slider{Name: b.Name, Boost: "boost", Wiper: wiper, Cut: "cut", Track: handbookTrack},
			circuit.Capacitor{Name: b.Name + ".C2", A: wiper, B: top, Farads: b.C2},
			circuit.Resistor{Name: b.Name + ".R2", A: top, B: follower, Ohms: b.R2},
			circuit.Capacitor{Name: b.Name + ".C1", A: top, B: plus, Farads: b.C1},
			circuit.Resistor{Name: b.Name + ".R1", A: plus, B: circuit.Ground, Ohms: b.R1},
			circuit.OpAmp{Name: b.Name + ".opamp", Plus: plus, Minus: follower, Out: follower, Ideal: true},
		)
	}
	return parts
}

// TenBandHandbook is the table with one slider at full boost, once a band, and
// with all ten up. The table is from memory; the figures are worked out from
// it.
func TenBandHandbook() []Circuit {
	out := across("out", circuit.Ground)
	var all []Circuit
	everything := curve.Setting{}
	for _, b := range HandbookTable() {
		setting := curve.Setting{}.WithSlider(b.Name, 1)
		everything = everything.WithSlider(b.Name, 1)
		c := handbook("handbook table, "+b.Name+" up", setting)
		// The peak lies within a third of an octave of the leg's resonance.
		peak := decibelsToGain(b.PeakDB)
		c.Extrema = []Extremum{{Probe: out, Low: b.Resonance() / 1.3, High: b.Resonance() * 1.3,
			Hz: Value{b.Resonance(), 0.15 * b.Resonance(), Memory}, Magnitude: at(Value{peak, 0.0006 * peak, Memory})}}
		all = append(all, c)
	}
	return append(all, handbook("handbook table, all up", everything), handbook("handbook table, flat", curve.Setting{}))
}

// handbook asks the closed form at a few frequencies.
func handbook(name string, setting curve.Setting) Circuit {
	c := Circuit{Name: name, Setting: setting, Parts: HandbookParts(),
		Source: "ten-band octave equaliser of an audio handbook of 1980, table from memory; closed form of the cell"}
	for _, hz := range []float64{20, 63, 200, 630, 2000, 6300, 20000} {
		h := HandbookGain(setting, hz)
		c = c.gain(across("out", circuit.Ground), hz,
			calc(math.Hypot(real(h), imag(h)), 1e-9),
			at(Value{math.Atan2(imag(h), real(h)) * 180 / math.Pi, 1e-7, Calculated}))
	}
	return c
}

func decibelsToGain(db float64) float64 { return math.Pow(10, db/20) }

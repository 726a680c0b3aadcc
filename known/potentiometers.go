package known

import (
	"fmt"

	"bandwright/circuit"
	"bandwright/curve"
)

// LoadedDivider is the output of a linear track of ohms, its wiper at share a
// of the track and loaded by load ohms, per volt across the track:
// a/(1 + a(1−a)·track/load).
func LoadedDivider(a, track, load float64) float64 {
	return a / (1 + a*(1-a)*track/load)
}

// Potentiometers are the loaded divider at many places of its travel, ends
// included, and two equal tracks in cascade.
func Potentiometers() []Circuit {
	var all []Circuit
	for _, load := range []float64{20e3, 200e3, 1e6} {
		for _, a := range []float64{0, 0.01, 0.25, 0.5, 2.0 / 3, 0.75, 0.99, 1} {
			all = append(all, loadedTrack(a, load))
		}
	}
	// Printed −6.5, −25 and −40 dB (the work's −15 dB at half is in error);
	// the exact figures are worked out, to half a unit of 0.001 dB.
	for _, c := range [][2]float64{{0.75, 0.473697}, {0.5, 0.2}, {0.25, 0.0526316}, {0.1, 0.00917431}} {
		all = append(all, cascade(c[0], c[1]))
	}
	return all
}

func track(name, top, wiper string) circuit.Part {
	return circuit.Slider{Name: name, Boost: top, Wiper: wiper, Cut: circuit.Ground, Track: 10e3}
}

func loadedTrack(a, load float64) Circuit {
	want := LoadedDivider(a, 10e3, load)
	return Circuit{Name: fmt.Sprintf("10k track at %.4g loaded with %.4g ohm", a, load),
		Source: "calculation page on loaded potentiometers: a/(1 + a(1−a)Rp/RL)",
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "top", Minus: circuit.Ground, DC: 1},
			track("track", "top", "wiper"),
			circuit.Resistor{Name: "load", A: "wiper", B: circuit.Ground, Ohms: load},
		},
		Setting: curve.Setting{}.WithSlider("track", 2*a-1),
		Volts:   []Volts{{"wiper", circuit.Ground, Value{want, 1e-12, Read}}},
		Gains:   []Gain{{Probe: across("wiper", circuit.Ground), Hz: 1000, Magnitude: Value{want, 1e-12, Read}}},
	}
}

// cascade is two equal tracks, the second across the wiper of the first, both
// at share a.
func cascade(a, want float64) Circuit {
	exact := a * LoadedDivider(a, 10e3, 10e3)
	return Circuit{Name: fmt.Sprintf("two 10k tracks in cascade at %g", a),
		Source: "discussion of ganged potentiometers; exact figures worked out",
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "top", Minus: circuit.Ground, DC: 1},
			track("first", "top", "middle"),
			track("second", "middle", "wiper"),
		},
		Setting: curve.Setting{}.WithSlider("first", 2*a-1).WithSlider("second", 2*a-1),
		Gains: []Gain{
			{Probe: across("wiper", circuit.Ground), Hz: 1000, Magnitude: Value{want, 6e-5 * want, Calculated}},
			{Probe: across("wiper", circuit.Ground), Hz: 1000, Magnitude: calc(exact, 1e-12)},
		},
	}
}
